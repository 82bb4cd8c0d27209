"""One letter for each of the dozen breakdowns seen most, and finding the others by a few letters."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from planner.drills.vocabulary import Breakdown
from planner.text import clean_line

RESERVED = frozenset("pngxauqct")
"""Letters that do something else where breakdowns have letters."""
DOZEN = 12


def choose_letters(
    breakdowns: Iterable[Breakdown], seen: Mapping[str, int], off: Collection[str] = ()
) -> dict[str, str]:
    """Return letter -> breakdown for the dozen seen most (before any film: the usually most frequent)."""
    taught = [one for one in breakdowns if one.id not in off]
    dozen = sorted(taught, key=lambda one: (-seen.get(one.id, 0), -one.usual_rate, one.id))[:DOZEN]
    found: dict[str, str] = {}
    for one in dozen:
        free = [letter for letter in _preferred(one.id) if letter not in found and letter not in RESERVED]
        found[free[0]] = one.id
    return dict(sorted(found.items(), key=lambda pair: [one.id for one in dozen].index(pair[1])))


def _preferred(breakdown: str) -> str:
    """Return all letters, those that begin the words of an id first, its main word before ``no``."""
    words = breakdown.split("-")
    main = [one for one in words if one not in {"no", "late", "slow", "on", "the"}]
    firsts = "".join(one[0] for one in (*main, *words))
    return firsts + "".join(main) + "".join(words) + "abcdefghijklmnopqrstuvwxyz"


def find_breakdowns(said: str, breakdowns: Iterable[Breakdown]) -> tuple[Breakdown, ...]:
    """Return the breakdowns whose id or title holds all words said, the best fitting first."""
    parts = clean_line(said, 60).casefold().replace("-", " ").split()
    found = []
    for one in breakdowns:
        words = one.id.replace("-", " ")
        text = f"{words} {one.title.casefold()}"
        if all(part in text for part in parts):
            begins = sum(any(word.startswith(part) for word in text.split()) for part in parts)
            named = sum(part in words for part in parts)
            found.append((-begins, -named, one.title, one))
    return tuple(row[-1] for row in sorted(found, key=lambda row: row[:3]))
