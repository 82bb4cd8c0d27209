"""How a hand numbers its possessions, found over the whole sheet: ``P1``, ``#1``, ``Q1-01``, ``3 of 40``.

Whatever stands in front of numbers that run 1, 2, 3 through a sheet is their label. Every head is then
written the one way the reader knows, ``poss 7``, with what stood beside the number kept behind it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from planner.film.words import plain

_PERIOD = r"(?:q(?:tr)?\s?[1-4]|[1-4]\s?q|h(?:alf)?\s?[12]|[12]\s?h|ot\s?\d?)"
_POSSESSION = r"(?:poss(?:ession)?s?|trips?|plays?|clips?|def(?:en[sc]e)?|time down|stand)\b\.?"
_HEAD = re.compile(
    rf"""
    (?P<lead>\s*(?:\#{{1,6}}\s+)?(?:[-*•–—▪◦·>+]\s+)?[*_~`"]*[(\[{{<]*\s*)
    (?:(?P<before>{_PERIOD})(?!\d)\s*(?:[-–—.,:/|]\s*)?(?!\d?\d[:.]\d\d))?
    (?P<label>(?!ot\d)[a-z]{{1,12}}(?:\s(?!\d)[a-z]{{1,10}})?)?(?(label)\s*[.:]?\s*)(?P<sharp>\#)?\s*
    0{{0,2}}(?P<n>\d{{1,3}})(?P<th>(?:st|nd|rd|th)\s+{_POSSESSION})?
    (?:(?:\s*/(?=\d)|\s*\bof\b\s*)\d{{1,3}}(?!\d))?(?:\s*[(\[](?P<behind>{_PERIOD})[)\]])?
    (?P<mark>(?:\s*[)\]}}>*_~`".:,;=|/]|\s*[-–—]+>?(?=\s|$))*)
    (?P<after>\s|$|(?<=[^\w\s])(?=[^\W\d]))
    """,
    re.VERBOSE,
)
_CLOCK = re.compile(r"\d{1,3}[:.']\d\d(?!\d)")
_TIMED_NUMBER = re.compile(
    r"(?P<time>\s*(?:[-*•]\s+)?[(\[]?\d{1,2}[:.']\d\d(?::\d\d)?[)\]]?\s*(?:[-–—|,;]\s*)?)"
    r"(?:(?:poss(?:ession)?|trip|no|nr|#)\.?\s?#?)?(?P<n>\d{1,3})(?P<mark>\s*[.):\]]|(?=\s))(?!\d)",
    re.IGNORECASE,
)
"""A clock and the number of its possession behind it."""
_CLOCKED = re.compile(rf"\W*(?:{_PERIOD}\W*)?\d{{1,2}}:\d\d", re.IGNORECASE)
_MOSTLY = 0.8
"""Share of lines with a clock in front that need no number."""
_TIME = re.compile(r"\d:\d\d")
_WORDED = frozenset(
    {
        *("poss", "possession", "pos", "posn", "psn", "p", "trip", "play", "clip", "d", "def"),
        *("defence", "defense", "stand", "d poss", "def poss", "our d", "defensive trip"),
    }
)
"""Labels that one hand may use side by side."""
_PERIODS = frozenset({"q", "qtr", "quarter", "h", "half", "period", "per", "ot", "ft", "fts"})
"""Words that number something else."""
_FEW = 4
_MOST_PERIODS = 4
_RUN = 0.75
_RESTART = 3
_FIRST = 2
_MANY = 8


@dataclass(frozen=True, slots=True)
class _Head:
    at: int
    lead: str
    label: str
    number: int
    period: str
    rest: str


def numbered(lines: Sequence[str]) -> list[str]:
    """Return the lines with the heads of possessions as ``poss 7``; those of other sheets as they are."""
    lines = _behind_clocks(lines)
    if sum(bool(_CLOCKED.match(line)) for line in lines) >= _MOSTLY * sum(
        bool(line.strip()) for line in lines
    ):
        return list(lines)
    heads = [one for at, line in enumerate(lines) if (one := _head(at, line)) is not None]
    best: list[_Head] = []
    groups: dict[tuple[str, ...], list[_Head]] = {}
    for one in heads:
        label = "worded" if one.label in _WORDED else one.label
        alone = "" if one.rest else "alone"
        for key in ((one.label,), (label, "any"), (label, "how", alone), (label, one.lead, "lead")):
            groups.setdefault(key, []).append(one)
    for group in groups.values():
        if len(group) > len(best) and _runs(group):
            best = group
    for group in groups.values() if not best else ():
        picked = _picked(group)
        if len(picked) > len(best) and len(picked) >= _MANY:
            best = picked
    made = list(lines)
    for one in _outermost(best):
        made[one.at] = " ".join(part for part in ("poss", str(one.number), one.period, one.rest) if part)
    return made


def _behind_clocks(lines: Sequence[str]) -> list[str]:
    """Write ``19:05 2. 22 late`` as ``poss 2 19:05 22 late`` where such numbers run through a sheet."""
    found = [(at, match) for at, line in enumerate(lines) if (match := _TIMED_NUMBER.match(line))]
    heads = [_Head(at, "", "", int(match["n"]), "", "") for at, match in found]
    timed = sum(bool(_CLOCKED.match(line)) for line in lines)
    made = list(lines)
    if len(heads) < _MOSTLY * timed or not _runs(heads):
        return made
    for at, match in found:
        made[at] = f"poss {match['n']} {match['time'].strip(' -–—|,;')} {lines[at][match.end() :].strip()}"
    return made


def _head(at: int, line: str) -> _Head | None:
    start = line[:60]
    low = plain(start)
    if len(low) != len(start) or _CLOCK.match(low.lstrip(" -*•([@")):
        return None
    match = _HEAD.match(low)
    if match is None or _CLOCK.match(low, match.start("n")) or _TIME.search(match.group()):
        return None
    label = (match["label"] or "").strip()
    period = match["before"] or match["behind"] or ""
    if match["th"]:
        label = "th"
    elif not label:
        marked = match["mark"].strip() or period or "##" in match["lead"]
        label = "#" if match["sharp"] else "marked" if marked else "alone"
    rest = line[match.end("mark") :].strip()
    if label in _PERIODS or (label == "alone" and rest):
        return None
    return _Head(at, match["lead"], label, int(match["n"]), period, rest)


def _outermost(group: Sequence[_Head]) -> list[_Head]:
    """Return the heads without those set deeper than most: players listed below their possession."""
    depths = [len(one.lead) - len(one.lead.lstrip()) for one in group]
    usual = max(set(depths), key=depths.count, default=0)
    return [one for one, depth in zip(group, depths, strict=True) if depth <= usual]


def _picked(group: Sequence[_Head]) -> list[_Head]:
    """Return the heads that count on from one another, where players' numbers stand in between."""
    picked: list[_Head] = []
    last = 0
    for one in group:
        if one.number == last + 1 or (one.number == 1 and last >= _MANY):
            picked.append(one)
            last = one.number
    return picked


def _runs(group: Sequence[_Head]) -> bool:
    """Say whether numbers run 1, 2, 3, from 1 again in another period; a line may stand there twice."""
    numbers = [one.number for one in group]
    if len(numbers) < _FEW or numbers[0] > _FIRST:
        return False
    steps = list(pairwise(numbers))
    good = sum(b - a == 1 or (b == 1 and a > _RESTART) for a, b in steps)
    return good >= _RUN * len(steps) and len(set(numbers)) >= _FEW and max(numbers) > _MOST_PERIODS
