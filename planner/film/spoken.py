"""Cues joined into one stream of timed words: rolling repeats said once, numbers as jerseys, pauses kept."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from planner.film.cues import Cue
from planner.film.items import jersey
from planner.film.words import TENS, UNITS, plain

MOST_WORDS = 200_000
"""About twenty hours of talk."""
PAUSE = 2500
"""Milliseconds of silence after which something else is talked about."""
LONGEST = 240
"""Words taken together at most, so that the time taken grows with the talk and no faster."""
_CUT = 80
PLAYER = "#"
"""Stands for any jersey in patterns."""
_WORD = re.compile(r"[^\W_]+(?:'[^\W\d_]+)*")
_NOISES = re.compile(r"\[[^\[\]]{0,40}\]|\([^()]{0,40}\)|^\s*(?:>>|-)\s*")
_SHORT = re.compile(r"(?<=[a-z0-9])'(?:s|re|m|ll|d)$")
_FULL = {"let's": "us"}
_LONGEST_OVERLAP = 60
_SPLICE = 3000
"""A repeat may start this many milliseconds after the words it repeats have ended."""
_RARE = 5
"""Smaller numbers count something too often to be a player, unless the roster says so."""
_NAMES = 3
"""Words of a name at most."""
_OH = frozenset({"zero", "oh", "o", "0"})


@dataclass(frozen=True, slots=True)
class Word:
    """A word: ``text`` for patterns, ``said`` for people; a jersey is one word ``#`` with its ``player``."""

    text: str
    said: str
    start: int
    end: int
    line: int
    player: str | None = None


def stream(cues: Sequence[Cue]) -> list[Word]:
    """Return the words of all cues in order; a cue that repeats the end of the one before adds the rest."""
    said: list[Word] = []
    for cue in cues:
        texts = [_texts(line) for line in cue.text]
        every = [text for line in texts for text in line]
        again = _overlap(said, every, cue.start) or _rolled(said, texts)
        said += _timed(every[again:], cue)
        if len(said) > MOST_WORDS:
            return said[:MOST_WORDS]
    return said


def sentence(text: str) -> list[Word]:
    """Return the words of one sentence, a third of a second each."""
    return _timed(_texts(text), Cue(0, 333 * (text.count(" ") + 1), (text,), 0))


def blocks(said: Sequence[Word]) -> Iterator[list[Word]]:
    """Yield runs of words without a long pause inside; an endless run is cut where it pauses most."""
    block: list[Word] = []
    for word in said:
        if block and not -PAUSE < word.start - block[-1].end < PAUSE:
            yield block
            block = []
        block.append(word)
        if len(block) >= LONGEST:
            cut = max(range(LONGEST - _CUT, LONGEST), key=lambda at: block[at].start - block[at - 1].end)
            yield block[:cut]
            block = block[cut:]
    if block:
        yield block


def _texts(line: str) -> list[str]:
    texts: list[str] = []
    for raw in _WORD.findall(plain(_NOISES.sub(" ", line))):
        full = raw.removesuffix("'ve")
        texts.append(_SHORT.sub("", full).replace("'", ""))
        texts += [_FULL[raw]] if raw in _FULL else ["have"] if full != raw else []
    return texts


def _timed(texts: Sequence[str], cue: Cue) -> list[Word]:
    """Return words spoken one after the other while their cue is shown."""
    span = cue.end - cue.start
    times = [cue.start + span * at // len(texts) for at in range(len(texts) + 1)] if texts else []
    return [Word(text, text, times[at], times[at + 1], cue.line) for at, text in enumerate(texts)]


def _overlap(said: Sequence[Word], new: Sequence[str], start: int) -> int:
    """Return how many words of a cue only repeat the end of what was said (one may have been corrected)."""
    if not said or not new or start - said[-1].end > _SPLICE:
        return 0
    most = min(len(said), len(new), _LONGEST_OVERLAP)
    tail, head = [one.text for one in said[-most:]], new[:most]
    for size in range(most, 0, -1):
        if tail[most - size :] == head[:size] and (size > 1 or len(new) > 1 or len(head[0]) > 3):
            return size
    for size in range(most, 3, -1):
        unlike = sum(a != b for a, b in zip(tail[most - size :], head[:size], strict=True))
        if unlike == 1 and tail[most - size] == head[0]:
            return size
    return 0


def _rolled(said: Sequence[Word], lines: Sequence[Sequence[str]]) -> int:
    """Return how many words above the last line of a cue have stood there since before a pause."""
    above = [text for line in lines[:-1] for text in line]
    tail = [one.text for one in said[-len(above) :]] if above else []
    return len(above) if tail == above else 0


@dataclass(frozen=True)
class Numerals:
    """Which spoken numbers are players: what must not stand before or after a bare number."""

    named: frozenset[str]
    not_before: frozenset[str]
    not_after: frozenset[str]
    roster: frozenset[str] | None = None
    names: Mapping[str, str] = field(default_factory=dict)
    """What players are called in talk -> jersey."""

    def with_roster(self, roster: Collection[str] | None, names: Mapping[str, str] | None = None) -> Numerals:
        """Return the same rules for a team whose jerseys are known, and what its players are called."""
        known = None if roster is None else frozenset(roster)
        called = {
            " ".join(_texts(name)): number
            for name, number in (names or {}).items()
            if known is None or number in known
        }
        return Numerals(self.named, self.not_before, self.not_after, known, called)

    def joined(self, said: Sequence[Word]) -> list[Word]:
        """Return the words with each jersey or name as one word ``#``: ``number twenty one``, ``okafor``.

        A number that no player of ours wears stays as it was said.
        """
        made: list[Word] = []
        at = 0
        while at < len(said):
            size, number = self._jersey(said, at)
            if number is None:
                made.append(said[at])
                at += 1
                continue
            run = said[at : at + size]
            told = " ".join(word.said for word in run)
            made.append(Word(PLAYER, told, run[0].start, run[-1].end, run[0].line, number))
            at += size
        return made

    def _jersey(self, said: Sequence[Word], at: int) -> tuple[int, str | None]:
        for size in range(_NAMES if self.names else 0, 0, -1):
            number = self.names.get(" ".join(word.text for word in said[at : at + size]))
            if number is not None:
                return size, number
        named = said[at].text in self.named
        place = at + 1 if named else at
        texts = [word.text for word in said[place : place + 3]]
        size, digits = number_said(texts, spelled=named)
        if not size:
            return 0, None
        number = jersey(digits)
        after = said[place + size].text if place + size < len(said) else ""
        before = said[at - 1].text if at else ""
        counted = not named and (before in self.not_before or after in self.not_after)
        sure = named or len(digits) > 1 or (texts[0] != "one" and (self.roster or int(number) >= _RARE))
        stranger = self.roster is not None and number not in self.roster
        if counted or not sure or stranger or len(digits) > 2:
            return 0, None
        return place - at + size, number


def number_said(texts: Sequence[str], *, spelled: bool) -> tuple[int, str]:
    """Return how many words make a number and its digits; ``two one`` only where it is ``spelled`` out."""
    if not texts:
        return 0, ""
    first, second = texts[0], texts[1] if len(texts) > 1 else ""
    if first == "double" and second in _OH:
        return 2, "00"
    if first in _OH and second in _OH and first != "o":
        return 2, "00"
    if first in TENS:
        unit = UNITS.get(second, 0)
        return (2, str(TENS[first] + unit)) if 1 <= unit <= 9 else (1, str(TENS[first]))
    if first in UNITS:
        if spelled and UNITS[first] < 10 and UNITS.get(second, 10) < 10:
            return 2, f"{UNITS[first]}{UNITS[second]}"
        return 1, str(UNITS[first])
    return (1, first) if first.isdecimal() and first.isascii() else (0, "")
