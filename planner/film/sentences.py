"""A whole sentence of notes weighed: what it is like, beside what its pieces were read as.

Pieces between commas are read by themselves. Where they say nothing we know, or only something by likeness,
the sentence as a whole may tell what it is about.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from planner.film.items import GOES_ON, Item, read_items
from planner.film.lexicon import NO, Lexicon
from planner.film.meant import faulty, liked
from planner.film.words import Token, tokens

_Piece = TypeVar("_Piece", Item, Token)
_TURNS = frozenset(
    {"but", "then", "until", "except", "only", "just", "after", "yet", "though", "watched", "stood"}
)
"""What turns praise into a charge: boxed him out, then stood there."""
_OTHERS = frozenset({"they", "their", "theirs", "our", "ours", "opp", "opponent", "we", "same", "ditto"})
"""Words that begin what is told of the other team, of our own attack, or again."""
_SUBJECT = 2
_WORDS = range(3, 41)
_EXACT = 0.8
"""Sureness from which a breakdown was read in so many words."""
_LEAD = 3.8
_LEAD_LABEL = 1.5
_FAULT_LABEL = -1.0
_LEAD_UNNAMED = 6.0
"""Lead that a sentence needs which names no player and denies nothing."""
_LEAD_PRAISED = 8.0
"""Lead that outweighs a word of praise, or one that says how they scored."""
_FAULT = 0.5
_FAULT_UNNAMED = 1.5
_FAULT_PRAISED = -2.0
_LEAD_OVER_WEAK = 4.0
_LEAD_OVER_EXACT = 8.0
_LEAD_OVER_ONE = 6.0
_MANY = 6
"""Words of a sentence from which more than its phrases may count."""
_SURE = 0.6


def read_notes(text: str, lexicon: Lexicon, *, label: bool = False) -> list[Item]:
    """Return the items of the notes on one line, in order, sentence by sentence.

    ``label`` says that the notes stand where a mistake is to be named, so that less is enough to read one.
    """
    line = tokens(text)
    found = read_items(text, lexicon, line)
    if len(line) < _WORDS.start or not _weighs(found):
        return found
    label = label and not any(one.kind == "meaning" and one.text in ("praised", "clean") for one in found)
    made: list[Item] = []
    for part, said in zip(_sentences(found), _sentences(line), strict=True):
        made += weighed(part, [one.text for one in said if one.kind in ("word", "and")], lexicon, label=label)
    return made


def _weighs(items: list[Item]) -> bool:
    """Say whether anything is left open: words unexplained, or a breakdown read by likeness."""
    return any(one.kind == "word" or (one.kind == "breakdown" and one.sure < _EXACT) for one in items)


def _sentences(pieces: list[_Piece]) -> list[list[_Piece]]:
    """Part tokens or items behind every mark but commas and dashes."""
    made: list[list[_Piece]] = [[]]
    for one in pieces:
        made[-1].append(one)
        if one.kind == "break" and one.text not in GOES_ON:
            made.append([])
    return made


def weighed(items: list[Item], said: Sequence[str], lexicon: Lexicon, *, label: bool = False) -> list[Item]:
    """Return the items of one sentence, ``said`` its words, with what the whole of it adds or takes away."""
    named = [one for one in items if one.kind == "breakdown"]
    exact = {one.text for one in named if one.sure >= _EXACT}
    weak = [one for one in named if one.sure < _EXACT]
    if len(said) not in _WORDS or (len(said) < _MANY and exact and not weak):
        return items
    items = _once(items, weak)
    named = [one for one in items if one.kind == "breakdown"]
    best, lead = liked(said, lexicon)
    if not best:
        return items
    if not named:
        return _added(items, (best, lead), said, lexicon, label=label)
    if exact and best not in exact and lead < (_LEAD_OVER_ONE if len(exact) == 1 else _LEAD_OVER_EXACT):
        return items
    if lead < _LEAD_OVER_WEAK:
        return items
    if best in {one.text for one in named}:
        return [
            one
            for at, one in enumerate(items)
            if one not in weak or one.text == best or _own_player(items, at)
        ]
    first = next(at for at, one in enumerate(items) if one in named)
    kept = [one for at, one in enumerate(items) if one not in named or at == first]
    return [Item("breakdown", best, 0, _SURE) if one is items[first] else one for one in kept]


def _once(items: list[Item], weak: Sequence[Item]) -> list[Item]:
    """Leave out what a later piece tells again, of nobody else, where the first was read by likeness."""
    told: set[str] = set()
    kept: list[Item] = []
    for at, one in enumerate(items):
        again = one.kind == "breakdown" and one.text in told
        if not (again and any(one.text == other.text for other in weak) and not _own_player(items, at)):
            kept.append(one)
        told |= {one.text} if one.kind == "breakdown" else set()
    return kept


def _own_player(items: list[Item], at: int) -> bool:
    """Say whether a player stands in the same piece between commas."""
    start, end = at, at
    while start and items[start - 1].kind != "break":
        start -= 1
    while end < len(items) and items[end].kind != "break":
        end += 1
    return any(one.kind in ("jersey", "number", "paren") for one in items[start:end])


def _added(
    items: list[Item], like: tuple[str, float], said: Sequence[str], lexicon: Lexicon, *, label: bool
) -> list[Item]:
    """Return the items with a breakdown that no piece named, where the sentence leaves little doubt."""
    best, lead = like
    meanings = {one.text for one in items if one.kind == "meaning"}
    if "denied" in meanings or set(said[:_SUBJECT]) & _OTHERS:
        return items
    meanings -= {"neutral", "missed"}
    line = [word.text for word in lexicon.canonical(said)]
    player = next((at for at, one in enumerate(items) if one.kind in ("jersey", "number")), None)
    fault = faulty(line, lexicon)
    if label:
        well = meanings & {"praised", "clean"}
        need = _LEAD_PRAISED if well else _LEAD if meanings else _LEAD_LABEL
        take = lead >= need and fault >= _FAULT_LABEL
    elif meanings:
        turned = NO in line or not _TURNS.isdisjoint(said) or not meanings & {"praised", "clean"}
        take = turned and lead >= _LEAD_PRAISED and fault >= _FAULT_PRAISED and player is not None
    elif player is not None or NO in line:
        take = (lead >= _LEAD and fault >= _FAULT) or (lead >= _LEAD_OVER_EXACT and fault >= _FAULT_PRAISED)
    else:
        take = lead >= _LEAD_UNNAMED and fault >= _FAULT_UNNAMED
    if not take:
        return items
    at = len(items) if player is None else player + 1
    while at < len(items) and items[at].kind != "break":
        at += 1
    return [*items[:at], Item("breakdown", best, 0, _SURE), *items[at:]]
