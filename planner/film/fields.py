"""Lines whose parts stand in fields: number, time, players, what happened and points, whatever parts them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

_SEPARATORS = tuple(
    re.compile(pattern)
    for pattern in (
        r"\s*(?:[-–—]+>|=+>|[→⇒➔➜»›])\s*",
        r"\t",
        r"\s*\|\s*",
        r"(?:(?<=\s)|^)[-–—]{1,2}(?=\s|$)",
        r"\s*;\s*",
        r"\s+/{1,2}\s+",
        r"\s{2,}",
    )
)
_BULLET = re.compile(r"^\s*(?:[-*•–—▪◦·‣●○■□➤➢]\s+)?")
_NUMBER = re.compile(r"#?(?:(?:poss(?:ession)?|trip|clip|play)\.?\s*#?)?(?P<n>\d{1,3})[.):]?", re.IGNORECASE)
_HEADED = re.compile(r"(?P<n>\d{1,3})[.):]?\s+(?P<rest>\S.*)")
_TIME = re.compile(r"\d{1,3}[:.]\d\d(?::\d\d)?(?:\s*(?:left|mins?))?", re.IGNORECASE)
_PERIOD = re.compile(r"(?:q[1-4]|[1-4]q|h[12]|[12]h|ot|[1-4](?:st|nd|rd|th))\.?", re.IGNORECASE)
_PLAYERS = re.compile(r"#?\d{1,2}(?:\s*(?:,|/|&|\+|and|\s)\s*#?\d{1,2})*")
_POINTS = re.compile(r"[+(]?(?P<n>[0-4])[)]?(?:\s*(?:pts?|points?|p))?\.?", re.IGNORECASE)
_NOTHING = re.compile(
    r"(?:x|no|none|nothing|miss(?:ed)?|stop|0 ?/ ?[123]|no (?:score|pts|points)|empty|nada)\W*", re.IGNORECASE
)
_LINE = re.compile(r"(?P<n>[0-3])\s?/\s?[123]", re.IGNORECASE)
_MADE = re.compile(
    r"(?:(?:made|they (?:get|score)|scored?|gave up|layup|dunk|and|second|chance|putback|ft|fts|line|for|of"
    r"|three|two|lay-?in|jumper|corner|one|it|in|on|the)[\s,:]+){0,3}(?P<n>[0-4])\b\s*(?:pts?|points?|fts?\b[^\d]*)?\W*(?:\([^()]*\))?",
    re.IGNORECASE,
)
_SHARE = 0.6
_POINT_SHARE = 0.75
_FEW = 4
_RUN = 0.75


@dataclass(slots=True)
class _Line:
    """One line in fields: its number, what says when it was, and the other fields."""

    at: int
    number: int | None
    when: list[str]
    fields: list[str]


def parted(lines: Sequence[str]) -> list[str]:
    """Return the lines with number and time in front and points behind, where fields show which is which.

    A separator is taken when most lines hold it, and its fields begin with numbers that run 1, 2, 3 or hold
    points at the same end of nearly every line.
    """
    for separator in _SEPARATORS:
        made = _by(separator, lines)
        if made is not None:
            return made
    return list(lines)


def _by(separator: re.Pattern[str], lines: Sequence[str]) -> list[str] | None:
    told = sum(any(char.isdigit() for char in line) for line in lines)
    found = [_line(at, line, separator) for at, line in enumerate(lines) if separator.search(line.strip())]
    if len(found) < _FEW or len(found) < _SHARE * told:
        return None
    numbered = _numbered(found)
    if not numbered:
        for one in found:
            if one.number is not None:
                one.fields.insert(0, str(one.number))
                one.number = None
    place = _points_at(found)
    if place is None and not numbered:
        return None
    made = list(lines)
    for one in found:
        made[one.at] = _joined(one, place)
    return made


def _line(at: int, line: str, separator: re.Pattern[str]) -> _Line:
    bare = _BULLET.sub("", line, count=1)
    fields = [field.strip() for field in separator.split(bare)]
    while fields and not fields[0]:
        del fields[0]
    number = _NUMBER.fullmatch(fields[0]) if fields else None
    made = _Line(at, None, [], fields)
    headed = _HEADED.fullmatch(fields[0]) if fields and number is None else None
    if number:
        made.number, made.fields = int(number["n"]), fields[1:]
    elif headed and _TIME.fullmatch(headed["rest"]):
        made.number, made.fields = int(headed["n"]), [headed["rest"], *fields[1:]]
    while made.fields and (_TIME.fullmatch(made.fields[0]) or _PERIOD.fullmatch(made.fields[0])):
        made.when.append(made.fields.pop(0))
    return made


def _numbered(found: Sequence[_Line]) -> bool:
    """Say whether the first fields run 1, 2, 3, from 1 again in another period."""
    numbers = [one.number for one in found if one.number is not None]
    if len(numbers) < _FEW or len(numbers) < _RUN * len(found) or numbers[0] > 1:
        return False
    steps = sum(b - a in (0, 1) or b == 1 for a, b in pairwise(numbers))
    return steps >= _RUN * (len(numbers) - 1) and len(set(numbers)) >= _FEW


def _points_at(found: Sequence[_Line]) -> int | None:
    """Return the field that holds points: -1 the last, 0 the first behind number and time, None neither."""
    for place in (-1, 0):
        cells = [fields[place] for one in found if (fields := [f for f in one.fields if f])]
        strict = sum(bool(_POINTS.fullmatch(cell) or _NOTHING.fullmatch(cell)) for cell in cells)
        loose = sum(_scored(cell) is not None for cell in cells)
        digits = sum(bool(_POINTS.fullmatch(cell)) for cell in cells)
        several = sum(len([f for f in one.fields if f]) > 1 for one in found)
        if (
            cells
            and strict >= _SHARE * len(cells)
            and loose >= _POINT_SHARE * len(cells)
            and digits
            and several * 3 > len(found)
        ):
            return place
    return None


def _scored(cell: str) -> int | None:
    if _NOTHING.fullmatch(cell):
        return 0
    if cell.replace(" ", "") in ("2+1", "3+1"):
        return int(cell[0]) + 1
    match = _POINTS.fullmatch(cell) or _LINE.fullmatch(cell) or _MADE.fullmatch(cell)
    return int(match["n"]) if match else None


def _joined(one: _Line, place: int | None) -> str:
    fields = [field for field in one.fields if field]
    points: int | None = None
    if place is not None and fields:
        points = _scored(fields[place])
        if points is not None:
            del fields[place]
        elif place == -1:
            inner = next(
                (at for at in range(len(fields) - 1, -1, -1) if _scored(fields[at]) is not None), None
            )
            points = _scored(fields.pop(inner)) if inner is not None else None
    said = ""
    for at, field in enumerate(fields):
        players = bool(_PLAYERS.fullmatch(field)) and at + 1 < len(fields)
        text = re.sub(r"(?<![#\d])(?=\d)", "#", field) if players else field
        said += f"{text} " if players else f"{text} , "
    head = [f"poss {one.number}"] if one.number is not None else []
    tail = f". {points} pts" if points is not None else ""
    return " ".join([*head, *one.when, said.strip(" ,"), tail]).strip()
