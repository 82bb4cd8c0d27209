"""Which players a breakdown told over film is charged to."""

from __future__ import annotations

from collections.abc import Sequence

from planner.film.spoken import PLAYER, Word
from planner.film.telling import Telling

_BEFORE = 16
_AFTER = 6
_SUBJECT = 4
"""Words at the start of a telling within which its subject stands."""
_JOINS = frozenset({"and", "or", "plus"})
_TO_THEM = frozenset(
    {"guarding", "on", "to", "against", "their", "off", "by", "past", "behind", "beat", "beats"}
)
_CALLS = frozenset({"by", "from", "for", "on", "thats", "that", "is", "you"})
_OTHERS = frozenset({"nobody", "everybody", "they", "we", "everyone"})


def charged(words: Sequence[Word], told: Telling, before: int, after: int) -> tuple[str, ...]:
    """Return the jerseys told for a breakdown; ``before`` and ``after`` are its neighbours' places.

    A player named before it in the same breath did it, else one named with it or right after it
    (``no box out by twelve``, ``twelve that's you``). What nobody did is charged to those named after it.
    """
    inside = [at for at in range(told.start, told.end) if words[at].text == PLAYER]
    if not told.collective:
        if inside and inside[0] - told.start < _SUBJECT:
            return _group(words, inside[0], 1)
        last = _last(words, told, before)
        if last is not None:
            return _group(words, last, -1)
        if inside:
            return _group(words, inside[0], 1)
    for at in range(told.end, min(len(words), told.end + _AFTER, after)):
        if words[at].text == PLAYER and _called(words, told.end, at, after):
            return _group(words, at, 1)
    return ()


def _last(words: Sequence[Word], told: Telling, before: int) -> int | None:
    """Return the player named last before it; one told for the breakdown before did this too."""
    for at in range(told.start - 1, max(-1, told.start - 1 - _BEFORE), -1):
        text = words[at].text
        if text in _OTHERS and at >= before:
            return None
        theirs = at > 0 and words[at - 1].text in _TO_THEM
        if text == PLAYER and not theirs:
            return at
    return None


def _called(words: Sequence[Word], end: int, at: int, after: int) -> bool:
    """Say whether a player after a breakdown is told for it, and does not start what comes next."""
    between = {word.text for word in words[end:at]}
    follows = {word.text for word in words[at + 1 : at + 3]}
    if between & _CALLS or follows & {"you", "thats", "that", "your"}:
        return True
    return at == end and after - at > _AFTER


def _group(words: Sequence[Word], at: int, step: int) -> tuple[str, ...]:
    """Return a player and those joined to him: ``forty four and fifteen``."""
    found = [words[at].player or ""]
    while True:
        join, other = at + step, at + 2 * step
        if not (0 <= other < len(words) and words[join].text in _JOINS and words[other].text == PLAYER):
            break
        found.append(words[other].player or "")
        at = other
    return tuple(dict.fromkeys(found[::step]))
