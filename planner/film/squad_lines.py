"""Lines that only say who played: ``rotation: 1 Bex, 4 Ona, 7 Lil``, a name a line, or numbers alone.

Their names are what the rest of the sheet calls players by.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from planner.film.items import jersey

_NAME = r"[^\W\d_][^\W\d_'’-]+"
_NUMBER_NAME = re.compile(rf"(?<![\w:.])#?(?P<n>\d{{1,2}})\s*[-–.:=]?\s*(?P<name>{_NAME})")
_NAME_NUMBER = re.compile(rf"(?P<name>{_NAME})\s*(?:[-–:=]\s*|\(\s*)?#?(?P<n>\d{{1,2}})\b\)?")
_ONE = re.compile(
    rf"^[\s*•-]*#?(?P<n>\d{{1,2}})\s*[-–.:=)]?\s+(?P<name>{_NAME})(?:\s+{_NAME})?\s*(?:\([^)]*\))?$"
)
_IS = re.compile(
    rf"(?<![\w])(?P<name>{_NAME})\s+(?:is|wears|wearing|has|in|=)\s+(?:no\.?\s|number\s)?#?(?P<n>\d{{1,2}})(?![\w:])"
)
_NUMBERS = re.compile(r"(?<![\w:.#])#?\d{1,2}(?:\s*(?:,|/|&|and|\s)\s*#?\d{1,2}){4,}(?![\w:])")
_LABEL = re.compile(
    r"\b(?:roster|rotation|squad|line-?up|lineup|starters?|started|starting|dressed|played|players|we had"
    r"|bench|who played|our (?:kids|girls|boys|team)|numbers|active|available|personnel)\b",
    re.IGNORECASE,
)
_CALLED = re.compile(
    rf"^[\s*•–—-]*(?:and\s+)?(?:the\s+)?(?P<name>{_NAME})(?:\s+(?:is|wears)\s+(?:no\.?\s?|number\s|#)?|\s*[=:–—-]\s*#)"
    r"(?P<n>\d{1,2})\b\s*(?:$|[,.;(–—-]|because\b|since\b|and\b)",
    re.IGNORECASE,
)
"""A nickname explained on a line of its own: ``Gate is 14, because he swings open``."""
_FEW_CALLED = 3
_FEW = 4
_FEW_SAID = 2
_WORDS_BESIDE = 16
_WORDS = re.compile(r"[^\W\d_]+")
_LONGEST = 300
_MOST_WORDS = 14
_DECIDED = 40


@dataclass(slots=True)
class Players:
    """Lines that name the players, and what they are called -> jersey, as written."""

    lines: set[int] = field(default_factory=set)
    names: dict[str, str] = field(default_factory=dict)


def read_players(lines: Sequence[str]) -> Players:
    """Find the lines of a sheet that say who played; each name must stand for one jersey only."""
    found = Players()
    _nicknames(lines, found)
    run: list[tuple[int, str, str]] = []
    for number, line in enumerate(lines, 1):
        if len(line) > _LONGEST:
            continue
        one = _ONE.match(line.strip()) if number <= _DECIDED * 2 else None
        if one and one["name"][0].isupper():
            run.append((number, one["n"], one["name"]))
            continue
        _keep(run, found)
        run = []
        if line.strip() and (number <= _DECIDED or _LABEL.search(line)):
            _line(number, line, found)
    _keep(run, found)
    return found


def _nicknames(lines: Sequence[str], found: Players) -> None:
    """Take the lines at the top of a sheet that each say whom a name means."""
    told = [
        (number, match["n"], match["name"])
        for number, line in enumerate(lines[:_DECIDED], 1)
        if len(line) <= _LONGEST and (match := _CALLED.match(line)) and match["name"][0].isupper()
    ]
    distinct = len({n for _, n, _ in told}) == len(told) == len({name for _, _, name in told})
    if len(told) >= _FEW_CALLED and distinct and told[-1][0] - told[0][0] <= 2 * len(told):
        for number, digits, name in told:
            found.lines.add(number)
            found.names[name] = jersey(digits)


def named(line: str, names: Mapping[str, str]) -> str:
    """Return a line with the names of players, where they are written as names, as jerseys."""
    if not names:
        return line
    shouted = line.isupper()
    pattern = "|".join(sorted(map(re.escape, names), key=len, reverse=True))
    flags = re.IGNORECASE if shouted else 0
    lookup = {name.lower(): number for name, number in names.items()}

    def number(match: re.Match[str]) -> str:
        told = lookup[match["name"].lower()]
        return f"#{told}"

    return re.sub(
        rf"(?<![\w#])(?P<name>{pattern})(?:['’]s)?(?:\s*\(\s*#?\d{{1,2}}\s*\))?(?!\w)",
        number,
        line,
        flags=flags,
    )


def _keep(run: list[tuple[int, str, str]], found: Players) -> None:
    numbers = {number for _, number, _ in run}
    if len(run) >= _FEW and len(numbers) == len(run):
        rising = [int(number) for _, number, _ in run]
        if rising == list(range(1, len(run) + 1)):
            return
        for line, number, name in run:
            found.lines.add(line)
            found.names[name] = jersey(number)


def _named_so(number: int, line: str, found: Players) -> bool:
    """Take ``Orvan is 8, Tuckerly is 23``; two at least, in a line that says little else."""
    pairs = [(match["n"], match["name"]) for match in _IS.finditer(line) if match["name"][0].isupper()]
    names = {name for _, name in pairs}
    if len(pairs) < _FEW_SAID or len(names) < len(pairs) or len({n for n, _ in pairs}) < len(pairs):
        return False
    if len(_WORDS.findall(line)) > _WORDS_BESIDE + 4 * len(pairs):
        return False
    found.lines.add(number)
    found.names.update({name: jersey(digits) for digits, name in pairs})
    return True


def _line(number: int, line: str, found: Players) -> None:
    label = bool(_LABEL.search(line))
    listed = _NUMBERS.search(line)
    words = _WORDS.findall(line)
    if listed and (len(words) <= 2 or (label and len(words) <= _MOST_WORDS)):
        found.lines.add(number)
        return
    if _named_so(number, line, found):
        return
    for pattern in (_NUMBER_NAME, _NAME_NUMBER):
        pairs = [
            (match["n"], match["name"])
            for match in pattern.finditer(line)
            if line.isupper() or match["name"][0].isupper()
        ]
        whole = len(pairs) >= _FEW and len({n for n, _ in pairs}) == len(pairs)
        if (
            whole
            and len({name for _, name in pairs}) == len(pairs)
            and (label or len(words) <= len(pairs) + 3)
        ):
            found.lines.add(number)
            found.names.update({name: jersey(digits) for digits, name in pairs})
            return
