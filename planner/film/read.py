"""Any film note in, one Intake out: the bytes decoded, the kind of note chosen, the reader called.

What a file is follows from its content first (a zip archive, ``WEBVTT``, a header of columns), then from the
ending of its name. Bounds: the bytes of ``bounds``, 20,000 lines and 20,000 words of a typed sheet; cues and
workbooks have theirs.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.film import workbook
from planner.film.decode import decode, is_captions
from planner.film.intake import Intake, NoteKind, Reading
from planner.film.sheet import read_sheet
from planner.film.table import find_table, read_tables, sheet_lines
from planner.film.table_cells import cut, delimiters_in, lines_of
from planner.film.table_columns import Columns, find_header
from planner.film.table_players import Squad
from planner.film.transport import unwrapped
from planner.film.wording import Lexicon
from planner.problem import Refusal
from planner.text import clean_line, listed

if TYPE_CHECKING:
    from planner.film.table import TableReading
    from planner.film.table_cells import Grid
    from planner.film.table_columns import Header

MOST_LINES = 20_000
MOST_WORDS = 20_000
"""Words of a typed sheet; the film of one game takes far fewer."""
_TABLES = (".csv", ".tsv", ".tab")
_MARKUP = re.compile(
    r"\ufeff?\s*(?:<!doctype\b|<html\b|<\?xml\b|<table\b|<head\b|\{\\rtf|%PDF)", re.IGNORECASE
)
_WORD = re.compile(r"[^\W\d_]+")


@dataclass(frozen=True, slots=True)
class _Parts:
    kind: NoteKind
    read: Reading
    columns: tuple[str, ...] = ()
    header: str = ""


def read_note(
    name: str,
    data: bytes,
    lexicon: Lexicon,
    roster: Collection[str] | None = None,
    *,
    names: Mapping[str, str] | None = None,
    columns: Columns | None = None,
) -> Intake:
    """Return what a film note yields.

    ``roster`` holds the team's jerseys, None when they are not known; ``names`` what players are called ->
    jersey (``table_players.name_keys``); ``columns`` what the team has said of a table's columns. UTF-8 (with
    or without mark), UTF-16 and Windows text are read, and workbooks.

    Raises:
        Refusal: the note is empty, no text, damaged, larger than the bounds, or holds several games.

    """
    file = clean_line(name, 200) or "note"
    squad = Squad(roster, names or {})
    if workbook.is_workbook(file, data):
        parts = _workbook(file, data, lexicon, squad, columns or Columns())
    else:
        parts = _text_note(file, decode(file, data), lexicon, squad, columns or Columns())
    return Intake(
        file=file,
        kind=parts.kind,
        digest=hashlib.sha256(data).hexdigest(),
        possessions=parts.read.possessions,
        trips=tuple(parts.read.trips),
        sightings=tuple(parts.read.sightings),
        unclear=tuple(parts.read.unclear),
        problems=tuple(parts.read.problems),
        heading=parts.read.heading,
        columns=parts.columns,
        header=parts.header,
    )


def with_possessions(intake: Intake, watched: int) -> Intake:
    """Return a reading for which the coach says how many possessions were watched.

    Raises:
        Refusal: the note itself writes more, or no game has so many.

    """
    written = len(intake.trips)
    if not 1 <= watched <= 300:
        raise Refusal(f"{watched} possessions cannot be watched in one game.")
    if watched < written:
        raise Refusal(f"'{intake.file}' itself writes {written} possessions, more than {watched}.")
    return replace(intake, possessions=watched)


def _text_note(file: str, text: str, lexicon: Lexicon, squad: Squad, columns: Columns) -> _Parts:
    ending = file.lower()
    if _MARKUP.match(text):
        raise Refusal(
            f"'{file}' is a web page or a formatted document, no film note; save it as text or .csv."
        )
    if is_captions(file, text):
        return _captions(text, lexicon, squad)
    text = "\n".join(unwrapped(text.splitlines()))
    lines = text.splitlines()
    if len(lines) > MOST_LINES:
        raise Refusal(f"'{file}' has {len(lines):,} lines, more than {MOST_LINES:,}; give one game per file.")
    must = ending.endswith(_TABLES)
    found = find_table(file, text, lexicon, squad, columns, must=must)
    if found is not None:
        return _table(read_tables(file, [found], lexicon, squad))
    if must:
        cells = lines_of(text)
        delimiter = next(iter(delimiters_in(cells)), ",")
        return _sheet(file, sheet_lines(cut(file, cells, delimiter)), lexicon, squad, "table")
    return _sheet(file, lines, lexicon, squad, "sheet")


def _captions(text: str, lexicon: Lexicon, squad: Squad) -> _Parts:
    from planner.film.captions import read_captions

    read = read_captions(text, lexicon, squad.jerseys, squad.names)
    gathered = Reading([], [*read.sightings], [*read.unclear], [*read.problems])
    return _Parts("captions", gathered)


def _table(read: TableReading) -> _Parts:
    return _Parts("table", read, read.columns, read.header)


def _sheet(file: str, lines: Sequence[str], lexicon: Lexicon, squad: Squad, kind: NoteKind) -> _Parts:
    words = sum(len(_WORD.findall(line[:2_000])) for line in lines)
    if words > MOST_WORDS:
        raise Refusal(f"'{file}' has {words:,} words, more than {MOST_WORDS:,}; give one game per file.")
    return _Parts(kind, read_sheet(lines, lexicon, squad.jerseys, squad.names))


def _workbook(file: str, data: bytes, lexicon: Lexicon, squad: Squad, columns: Columns) -> _Parts:
    """Read the sheets whose header is that of the first with a header of film; the others are named."""
    grids = workbook.read_grids(file, data)
    if not grids:
        raise Refusal(f"'{file}' is empty; no sheet of it holds anything.")
    tables: list[tuple[Grid, Header]] = []
    for grid in grids:
        header = find_header(grid, lexicon, squad, columns)
        if header is not None and (not tables or header.key == tables[0][1].key):
            tables.append((grid, header))
    if not tables:
        return _sheet(file, sheet_lines(grids[0]), lexicon, squad, "table")
    parts = _table(read_tables(file, tables, lexicon, squad))
    used = {grid.part for grid, _ in tables}
    left = [f"'{grid.part}'" for grid in grids if grid.part not in used]
    if left:
        parts.read.problems.append(f"not read: {listed(left)} (another kind of sheet)")
    return parts
