"""A possession while its lines are being read, and how a sheet parts its possessions."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from planner.film.charge import Charge
from planner.film.intake import Sighting
from planner.film.items import Item
from planner.film.rows import Row

_FEW_BLOCKS = 4
_LONGER = 0.2
_TWICE = 0.15
_USUAL = 3
SCORING = frozenset(
    {
        *("they", "get", "got", "gets", "gave", "give", "gives", "up", "score", "scored", "scores", "made"),
        *("make", "makes", "hit", "hits", "and", "it", "for", "a", "the", "in", "both", "kid", "just", "on"),
        *("again", "one", "of", "tough", "shot", "pts", "points", "result", "res", "cost", "costs", "us"),
        *("allowed", "conceded", "surrendered", "worth", "outcome", "them", "opp", "their"),
    }
)
"""Words that beside points say no more than how they were scored."""
_LONG_LINE = 70
_FEW_PARAGRAPHS = 6
_MOST = 0.75
_COUNTED = re.compile(r"\W*(?:\d|[a-z]{1,10}\.?\s?#?\d|[qh]\d)", re.IGNORECASE)
_TOLD = re.compile(r"\b(?:points?|pts|scored?|scores|miss(?:es|ed)?|stop|baskets?|buckets?)\b", re.IGNORECASE)
"""What a paragraph says of how its possession ended."""
_MANY_BULLETS = 8
_BULLETED = 0.8
_FEW_NUMBERS = 4
_BEFORE = 2
_RUN = 0.7


@dataclass(slots=True)
class Trip:
    """One possession: its first row, the lines said so far, the breakdowns charged and their rows.

    ``told`` means that the points are written and not only implied; ``bare`` that its first line
    holds nothing but a number, a clock and points, ``block`` that it is bare and has a clock: the lines below
    are its notes.
    """

    row: Row
    number: int
    period: str | None
    points: int | None = None
    told: bool = False
    block: bool = False
    bare: bool = False
    last: list[str] = field(default_factory=list)
    """The player named last."""
    said: list[str] = field(default_factory=list)
    charges: list[tuple[Row, Charge]] = field(default_factory=list)


def sections(rows: list[Row]) -> list[list[Row]]:
    """Part a sheet at its period headings and totals."""
    sections: list[list[Row]] = [[]]
    for row in rows:
        if row.kind in ("period", "totals"):
            sections.append([])
        sections[-1].append(row)
    return sections


def in_blocks(rows: list[Row]) -> bool:
    """Say whether blank lines part the possessions, each told in one line or several.

    Its clock or number then stands on the first line only; where there is none anywhere, no more than one
    of its lines may say how it ended.
    """
    blocks: list[list[Row]] = [[]]
    for row in rows:
        if row.kind in ("blank", "period", "totals"):
            blocks.append([])
        elif row.kind == "notes":
            blocks[-1].append(row)
    marked = [block for block in blocks if any(_marked(row) for row in block)]
    longer = sum(len(block) > 1 for block in marked)
    once = all(_marked(block[0]) and sum(_marked(row) for row in block) == 1 for block in marked)
    if marked:
        return len(marked) > 1 and longer > 0 and once
    blocks = [block for block in blocks if block]
    longer = sum(len(block) > 1 for block in blocks)
    twice = sum(sum(ends(row) for row in block) > 1 for block in blocks)
    return len(blocks) > _FEW_BLOCKS and longer >= _LONGER * len(blocks) and twice <= _TWICE * len(blocks)


def counted_off(rows: Sequence[Row]) -> bool:
    """Say whether possessions are numbered through the sheet: the numbers run, and start with its notes."""
    notes = [row for row in rows if row.kind == "notes" and (row.starts_sheet or row.head.number is not None)]
    numbered = [at for at, row in enumerate(notes) if row.head.number is not None]
    numbers = [notes[at].head.number or 0 for at in numbered]
    if len(numbers) < _FEW_NUMBERS or numbered[0] > _BEFORE or numbers[0] > _BEFORE:
        return False
    good = sum(b - a in (0, 1) or b == 1 for a, b in pairwise(numbers))
    loose = sum(row.timed and row.head.number is None for row in notes)
    return good >= _RUN * (len(numbers) - 1) and loose < (1 - _RUN) * len(numbers)


def bulleted(notes: Sequence[Row]) -> bool:
    """Say whether possessions are the bullets of a list, so that lines without one are no possessions."""
    outer = [row for row in notes if row.indent == 0]
    marked = sum(row.head.bullet for row in outer)
    return marked >= _MANY_BULLETS and marked >= _BULLETED * len(outer)


def with_notes_below(rows: Sequence[Row]) -> set[int]:
    """Return the lines whose own notes stand below, set deeper: ``- High screen:``."""
    return {
        row.number
        for row, below in pairwise(rows)
        if row.kind == below.kind == "notes" and below.indent > row.indent
    }


def paragraphs(lines: Sequence[str]) -> bool:
    """Say whether a sheet is written in paragraphs, a possession each: long lines parted by blank ones."""
    filled = [at for at, line in enumerate(lines) if line.strip()]
    long = [at for at in filled if len(lines[at]) > _LONG_LINE and not _COUNTED.match(lines[at])]
    apart = [
        at
        for at in long
        if not any(0 <= near < len(lines) and lines[near].strip() for near in (at - 1, at + 1))
    ]
    told = sum(bool(_TOLD.search(lines[at])) for at in apart)
    return len(apart) >= _FEW_PARAGRAPHS and len(apart) >= _MOST * len(filled) and 2 * told >= len(apart)


def _marked(row: Row) -> bool:
    return row.timed or row.head.number is not None


def ends(row: Row) -> bool:
    """Say whether a line tells how its possession ended: points, a stop, a small number set apart."""
    if any(one.kind in ("points", "paren") for one in row.items) or row.meanings & {"stop", "missed"}:
        return True
    last = row.items[-1] if row.items else None
    return last is not None and last.kind == "number" and last.value <= _USUAL


def opening(rows: Sequence[Row]) -> list[Row]:
    """Return the notes of each block as its first line would hold them: how a hand writes shows there."""
    found: list[Row] = []
    fresh = True
    for row in rows:
        if row.kind == "notes":
            if fresh or row.head.number is not None:
                found.append(replace(row, items=[*row.items]))
            else:
                found[-1].items.extend([Item("break", ","), *row.items])
        fresh = row.kind != "notes"
    return found


def written(row: Row) -> bool:
    """Say whether a line shows that it is a possession and no count."""
    return any(one.kind in ("points", "jersey") for one in row.items) or bool(
        row.meanings & {"stop", "clean"}
    )


def bare(row: Row) -> bool:
    """Say whether a line holds a clock or number and perhaps points, and asks for its notes to follow."""
    if row.head.rest.strip() and not row.items:
        return False
    return all(
        one.kind in ("number", "points", "paren")
        or (one.kind == "word" and one.text in SCORING)
        or one == Item("meaning", "missed")
        for one in row.items
    )


def same_clock(last: Trip, row: Row, period: str | None) -> bool:
    """Say whether a line repeats the clock of the possession before: it tells more of the same one."""
    head = last.row.head
    if (head.clock, head.film, last.period) != (row.head.clock, row.head.film, period):
        return False
    return row.head.number is None or row.head.number == head.number


def sighting(row: Row, one: Charge, trip: Trip) -> Sighting:
    """Return a charged breakdown as a sighting, with the points of its whole possession."""
    return Sighting(
        breakdown=one.breakdown,
        line=row.number,
        start=row.head.film or trip.row.head.film,
        players=tuple(one.players),
        points=trip.points,
        count=one.count,
        sure=one.sure,
        text=row.text,
        possession=trip.number,
    )
