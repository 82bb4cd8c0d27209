"""Where the header of a table stands and what each column means: by its header, by its contents, as told."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from planner.film import table_words as word
from planner.film.meant import meant
from planner.film.table_cells import Grid, Row
from planner.film.table_contents import Column, Settler, total_row
from planner.film.table_players import Squad
from planner.film.table_values import whole
from planner.film.wording import Lexicon
from planner.film.words import plain, words
from planner.problem import Refusal
from planner.text import clean_line

_SEARCHED = 40
"""Rows among which a header is looked for."""
_SAMPLE_CELLS = 4_000
_SAMPLE_ROWS = (10, 200)
_WIDE = 0.5
_ENOUGH = 4
"""Columns known by which a header is taken without looking further down."""
_NAMED = 3
_CERTAIN = 3
"""Columns known by which a header further down must know two more: a second table has its own."""
_COUNT_WORDS = re.compile(r"\b(?:count|number|total|times|how many|of)\b|[#(),:]")
_SHORT = 14
_LONGEST = 60
_CLOCKED = re.compile(r"\d[:.]\d\d")
_REMARK = re.compile(r"(?://|;|%|#\s*[^\W\d]+\s+\w)")


@dataclass(frozen=True, slots=True)
class Columns:
    """What a team has said of headers: now (``told``) and before (``known``, by header row).

    Both map a header, normalised, to one of ``table_words.TOLD`` or the id of a breakdown.
    """

    told: Mapping[str, str] = field(default_factory=dict)
    known: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    def of(self, key: str) -> dict[str, str]:
        """Return what holds for one header row."""
        return {**self.known.get(key, {}), **self.told}


@dataclass(frozen=True, slots=True)
class Header:
    """The header of a table: its row among the rows of the grid, and its columns."""

    at: int
    key: str
    columns: tuple[Column, ...]

    def all(self, *meanings: str) -> list[Column]:
        """Return the columns of some meanings, from the left."""
        return [one for one in self.columns if one.meaning in meanings]

    def has(self, *meanings: str) -> bool:
        """Say whether there is a column of one of these meanings."""
        return any(one.meaning in meanings for one in self.columns)

    def first(self, *meanings: str) -> Column | None:
        """Return the leftmost column of some meanings."""
        return next(iter(self.all(*meanings)), None)


def told_columns(said: Sequence[str], lexicon: Lexicon) -> dict[str, str]:
    """Return what ``Header=meaning`` arguments say, header normalised.

    Raises:
        Refusal: one is no such pair or no such meaning.

    """
    told = {}
    for one in said:
        header, mark, meaning = one.rpartition("=")
        meaning = meaning.strip().casefold()
        if not mark or not word.normal(header):
            raise Refusal(
                f"'{clean_line(one, 60)}' does not say what a column means; write 'Header=breakdown'."
            )
        if meaning not in word.TOLD and meaning not in lexicon.ids:
            known = ", ".join(word.TOLD)
            raise Refusal(
                f"'{clean_line(meaning, 40)}' is no meaning of a column; use {known}, or a breakdown."
            )
        told[word.normal(header)] = meaning
    return told


def find_header(
    grid: Grid, lexicon: Lexicon, squad: Squad, columns: Columns, *, strict: bool = False
) -> Header | None:
    """Return the header of a table, None when no row is one.

    A header names two columns or more, one of them breakdowns or a count of one, and holds no data itself.
    ``strict`` asks besides that the rows below are as wide and hold what the header says: nothing but the
    text itself says that it is a table.
    """
    best: Header | None = None
    most = 1
    for at, row in enumerate(grid.rows[:_SEARCHED]):
        if row.blank or sum(bool(cell) for cell in row.cells) < 2:
            continue
        made = _header(grid, at, lexicon, squad, columns)
        sure = most + 1 if best is not None and most >= _CERTAIN else most
        if (
            made is not None
            and made[1] > sure
            and not (strict and not (_worded(made[0]) and _fits(grid, made[0])))
        ):
            best, most = made
        if most >= _ENOUGH:
            break
    return best


def _worded(header: Header) -> bool:
    """Say whether the words of a header themselves name columns, two of three or better."""
    told = sum(
        word.header_meaning(one.header) is not None or one.meaning == word.OF for one in header.columns
    )
    return told > 1 or (told == 1 and len(header.columns) > 2)


def _fits(grid: Grid, header: Header) -> bool:
    """Say whether rows are as wide as their header and clocks are clocks; a line with commas is no header."""
    width = len(grid.rows[header.at].cells)
    below = [row for row in grid.rows[header.at + 1 :] if len(row.cells) > 1 and not row.blank]
    below = [row for row in below if not total_row(row.cells) and row.cells != grid.rows[header.at].cells]
    if _REMARK.match(grid.rows[header.at].cells[0]) or 2 * sum(
        len(row.cells) == width for row in below
    ) < len(below):
        return False
    for one in header.all(word.CLOCK, word.START, word.POINTS, word.COUNT, word.PERIOD):
        cells = [cell for row in below if (cell := row.cell(one.at))]
        fit = sum(any(c.isdigit() for c in cell) and len(cell) <= _SHORT for cell in cells)
        if 2 * fit < len(cells):
            return False
    return True


def _header(
    grid: Grid, at: int, lexicon: Lexicon, squad: Squad, columns: Columns
) -> tuple[Header, int] | None:
    row = grid.rows[at]
    key = word.header_key(row.cells)
    said = columns.of(key)
    if not said and any(_data(cell) for cell in row.cells):
        return None
    named = [_named(place, cell, said, lexicon) for place, cell in enumerate(row.cells)]
    explained = _explained(named, grid.rows[at + 1 : at + 2], lexicon)
    if explained is not None:
        named, at = explained, at + 1
    if not any(one.meaning != word.IGNORE for one in named):
        return None
    size = max(_SAMPLE_ROWS[0], min(_SAMPLE_ROWS[1], _SAMPLE_CELLS // len(row.cells)))
    below = list(itertools.takewhile(_no_header, grid.rows[at + 1 : at + 1 + size]))
    below = [one for one in below if not one.blank]
    settled = Settler(named, below, lexicon, squad).settle()
    counts = [settled[one.at].meaning == word.OF for one in named if one.meaning == word.OF]
    titled = sum(word.header_meaning(cell) is not None for cell in row.cells if len(cell) > 1)
    first_row = 2 * sum(counts) < len(counts) and titled < _NAMED
    known = sum(
        one.meaning not in (word.IGNORE, word.COMMENT) or bool(word.header_meaning(one.header))
        for one in settled
    )
    shown = any(one.meaning in (word.BREAKDOWN, word.OF) for one in settled)
    worded = any(one.meaning != word.IGNORE and len(word.normal(one.header)) > 1 for one in named)
    if first_row or not shown or not worded or not _tabular(settled, below):
        return None
    return Header(at, key, tuple(settled)), known


def _explained(named: Sequence[Column], below: Sequence[Row], lexicon: Lexicon) -> list[Column] | None:
    """Return the columns as the row below the header explains its codes, None where it explains none."""
    filled = [(at, cell) for row in below for at, cell in enumerate(row.cells) if cell]
    if len(filled) < _ENOUGH or any(char.isdigit() for _, cell in filled for char in cell[:1]):
        return None
    means = {at: _named(at, cell, {}, lexicon) for at, cell in filled}
    told = [at for at, one in means.items() if one.meaning == word.OF]
    before = sum(one.meaning == word.OF for one in named)
    if 2 * len(told) < len(filled) or len(told) < max(_NAMED, before + 1):
        return None
    return [
        replace(means[one.at], header=one.header)
        if one.at in told
        else replace(one, meaning=word.IGNORE, subject="")
        if one.at in means and one.meaning == word.OF
        else one
        for one in named
    ]


def _no_header(row: Row) -> bool:
    """Say whether a row is no header of a second table."""
    named = sum(word.header_meaning(cell) is not None for cell in row.cells if cell)
    return named < _NAMED or 2 * named < sum(bool(cell) for cell in row.cells)


def _data(cell: str) -> bool:
    """Say whether a cell holds data, as no header does."""
    return "=" in cell or bool(_CLOCKED.search(cell)) or (whole(cell) is not None and len(cell) > 2)


def _named(at: int, cell: str, said: Mapping[str, str], lexicon: Lexicon) -> Column:
    told = said.get(word.normal(cell))
    if told is not None:
        return Column(at, cell, word.OF, told) if told in lexicon.ids else Column(at, cell, told)
    meaning = word.header_meaning(cell)
    if meaning is not None:
        return Column(at, cell, meaning)
    if not cell or len(cell) > _LONGEST or cell[0].isdigit() or cell[0] == "#":
        return Column(at, cell, word.IGNORE)
    label = _COUNT_WORDS.sub(" ", plain(cell))
    made = meant(label, lexicon, bare=False) if words(label) else None
    if made is not None and made.id:
        return Column(at, cell, word.OF, made.id)
    return Column(at, cell, word.IGNORE)


def _tabular(columns: Sequence[Column], below: Sequence[Row]) -> bool:
    """Say whether the rows below fill the columns that were named."""
    if not below:
        return False
    at = [one.at for one in columns if one.meaning not in (word.IGNORE, word.COMMENT)]
    filled = sum(len(row.cells) > 1 and any(row.cell(one) for one in at) for row in below)
    return len(at) > 1 and filled >= _WIDE * len(below)
