"""Delimited text cut into rows of cells: whatever the delimiter, quoted line breaks kept, nothing trusted.

RFC 4180 is read (quotes, doubled quotes, line breaks in quotes, CRLF); spaces around a cell are dropped, and
a quote that is never closed loses its own line only.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from planner.problem import Refusal
from planner.text import clean_line

DELIMITERS = ("\t", ";", ",", "|")
MOST_ROWS = 20_000
MOST_COLUMNS = 400
MOST_CELL = 500
"""Characters kept of one cell."""
_MOST_SPAN = 50
"""Lines that one quoted record may span; a quote open for longer was never meant to open."""
_BREAKS = re.compile(r"\r\n|\n|\r")
_RULE = re.compile(r"[\s|:+=-]*[-=]{2}[\s|:+=-]*")
_GUARDED = re.compile(r"^'(?=[=+\-@])")
_ENDS = " \t\u00a0"


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: the line it begins on and its cells, cleaned."""

    number: int
    cells: tuple[str, ...]

    @property
    def text(self) -> str:
        """Return the row as one line."""
        text = ", ".join([one for one in self.cells if one])
        return text if len(text) <= MOST_CELL else clean_line(text, MOST_CELL)

    @property
    def blank(self) -> bool:
        """Say whether no cell holds anything."""
        return not any(self.cells)

    def cell(self, at: int) -> str:
        """Return a cell, empty beyond the end of the row."""
        return self.cells[at] if at < len(self.cells) else ""


@dataclass(slots=True)
class Grid:
    """Rows in order; ``part`` names the sheet of a workbook they stand on, if any."""

    rows: list[Row] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    part: str = ""


def tidy(raw: str) -> str:
    """Return a cell as one clean line, without the quote that guards a formula sign in exported tables."""
    if raw.isascii() and raw.isprintable() and len(raw) <= MOST_CELL:
        text = raw.strip(_ENDS)
    else:
        text = clean_line(_BREAKS.sub("; ", raw[: MOST_CELL * 4]), MOST_CELL).strip(_ENDS)
    return text[1:] if _GUARDED.match(text) else text


def lines_of(text: str) -> list[str]:
    """Return the lines of a text by RFC 4180 (CRLF, LF or CR), without NUL and byte order mark."""
    lines = _BREAKS.split(text.replace("\0", "").lstrip("\ufeff"))
    while lines and not lines[-1].strip():
        lines.pop()
    return lines


def delimiters_in(lines: Sequence[str]) -> list[str]:
    """Return the delimiters that the first lines hold, commonest first."""
    head = "\n".join(line[:2_000] for line in lines[:60])
    told = re.match(r"\s*sep=(.)\s*$", lines[0]) if lines else None
    if told and told[1] in DELIMITERS:
        return [told[1]]
    found = [one for one in DELIMITERS if one in head]
    return sorted(found, key=lambda one: -head.count(one))


def cut(file: str, lines: Sequence[str], delimiter: str) -> Grid:
    """Return the rows of delimited lines; rules of dashes and ``sep=`` lines are left out.

    Raises:
        Refusal: more than 400 columns or 20,000 rows.

    """
    if len(lines) > MOST_ROWS:
        raise Refusal(f"'{file}' has {len(lines):,} lines, more than {MOST_ROWS:,}; give one game per file.")
    grid = Grid()
    wide = False
    for number, cells in _records(lines, delimiter, grid.problems):
        wide = wide or any(cell.strip() for cell in cells[MOST_COLUMNS:])
        grid.rows.append(Row(number, tuple(tidy(cell) for cell in cells[:MOST_COLUMNS])))
    if wide:
        raise Refusal(
            f"'{file}' has more than {MOST_COLUMNS} columns; keep only those that matter and save it again."
        )
    if delimiter == "|" and not any(row.cell(0) for row in grid.rows if len(row.cells) > 1):
        grid.rows = [Row(row.number, row.cells[1:]) if len(row.cells) > 1 else row for row in grid.rows]
    return grid


def grid_of(rows: Iterable[tuple[int, Sequence[str]]], part: str = "") -> Grid:
    """Return a grid of rows that are cut already (number and cells)."""
    return Grid([Row(number, tuple(tidy(cell) for cell in cells)) for number, cells in rows], part=part)


def _records(lines: Sequence[str], delimiter: str, problems: list[str]) -> Iterable[tuple[int, list[str]]]:
    at = 0
    while at < len(lines):
        line, number = lines[at], at + 1
        at += 1
        if _RULE.fullmatch(line[:300]) or (number == 1 and line.strip().lower().startswith("sep=")):
            continue
        if '"' not in line:
            yield number, line.split(delimiter)
            continue
        cells, span = _quoted(lines[number - 1 : number - 1 + _MOST_SPAN], delimiter)
        if cells is None:
            problems.append(
                f"line {number}: a quote is opened and never closed; the line is read as it stands"
            )
            yield number, line.replace('"', "").split(delimiter)
            continue
        at += span - 1
        yield number, cells


def _quoted(lines: Sequence[str], delimiter: str) -> tuple[list[str] | None, int]:
    """Return the cells of the first record and how many lines it spans; None when its quote stays open."""
    spaced = re.compile(rf"(^|{re.escape(delimiter)}) +(?=\")")
    first = spaced.sub(r"\1", lines[0])
    text = "\n".join([first, *lines[1:]]) if first.count('"') % 2 else first
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        cells = next(reader)
    except (csv.Error, StopIteration):
        return None, 1
    span = reader.line_num
    whole = "\n".join([first, *lines[1:span]])
    if span > 1 and whole.count('"') % 2:
        return None, 1
    return cells, span
