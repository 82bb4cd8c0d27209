"""Workbooks (.xlsx): the sheets as grids of text, with every bound checked before anything is parsed.

Bounds: 5 MB packed, 400 parts, 12 MB unpacked as the directory declares (the unpacker hands out no more), 20
sheets, 5,000 rows and 400 columns of a sheet. Macros, links and formulas are never run or followed: a formula
counts as the value that was saved with it. Document types and entities are refused.
"""

from __future__ import annotations

import datetime as dt
import io
import warnings
import zipfile
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from planner.film.bounds import UNPACKED_BYTES, WORKBOOK_BYTES, megabytes
from planner.film.table_cells import MOST_COLUMNS, Grid, grid_of
from planner.problem import Refusal
from planner.text import clean_line

if TYPE_CHECKING:
    from openpyxl.workbook.workbook import Workbook

MOST_PARTS = 400
MOST_SHEETS = 20
MOST_ROWS = 5_000
ENDINGS = (".xlsx", ".xlsm", ".xltx", ".xls", ".xlsb", ".ods", ".numbers")
_LAST_ROW = 1_048_576
_OLD = b"\xd0\xcf\x11\xe0"
_SAVE = "save it as .xlsx or .csv"
_XML = (".xml", ".rels")
_DAY_ZERO = dt.date(1900, 1, 1)
_DOCTYPE = tuple(
    word.encode(encoding)
    for word in ("<!DOCTYPE", "<!ENTITY")
    for encoding in ("ascii", "utf-16-le", "utf-16-be")
)


def is_workbook(name: str, data: bytes) -> bool:
    """Say whether a file is, or claims to be, a workbook."""
    return data.startswith((b"PK\x03\x04", b"PK\x05\x06", _OLD)) or name.lower().endswith(ENDINGS)


def read_grids(file: str, data: bytes) -> list[Grid]:
    """Return the visible sheets of a workbook that hold anything, in order.

    Raises:
        Refusal: it is no workbook, damaged, locked, too large, or made to do harm.

    """
    if not data:
        raise Refusal(f"'{file}' is empty.")
    if data.startswith(_OLD):
        raise Refusal(f"'{file}' is an old or locked workbook; {_SAVE}.")
    if not data.startswith(b"PK"):
        raise Refusal(f"'{file}' is no workbook whatever its name says; {_SAVE}.")
    if len(data) > WORKBOOK_BYTES:
        raise Refusal(f"'{file}' is larger than {megabytes(WORKBOOK_BYTES)}; give one game per file.")
    _check(file, data)
    book = _opened(file, data)
    try:
        return _grids(file, book)
    finally:
        book.close()


def _check(file: str, data: bytes) -> None:
    """Refuse an archive that would unpack to too much, hide its content, or is no workbook."""
    try:
        packed = zipfile.ZipFile(io.BytesIO(data))
    except Exception:  # a damaged archive fails in many ways (BadZipFile, struct.error, NotImplementedError)
        raise _damaged(file) from None
    with packed:
        parts = packed.infolist()
        if len(parts) > MOST_PARTS or sum(one.file_size for one in parts) > UNPACKED_BYTES:
            raise Refusal(f"'{file}' unpacks to far more than a table of film; {_SAVE}.")
        if any(one.flag_bits & 0x1 for one in parts):
            raise Refusal(f"'{file}' is locked with a password; {_SAVE} without one.")
        if "[Content_Types].xml" not in {one.filename for one in parts}:
            raise Refusal(f"'{file}' is no workbook; {_SAVE}.")
        try:
            declared = any(_declares(packed.read(one)) for one in parts if one.filename.endswith(_XML))
        except Exception:
            raise _damaged(file) from None
    if declared:
        raise Refusal(f"'{file}' holds a document type, which no workbook needs; {_SAVE}.")


def _declares(part: bytes) -> bool:
    return any(one in part for one in _DOCTYPE)


def _damaged(file: str) -> Refusal:
    return Refusal(f"'{file}' is damaged or no workbook; open it and {_SAVE} again.")


def _opened(file: str, data: bytes) -> Workbook:
    import openpyxl
    from openpyxl.xml import DEFUSEDXML

    if not DEFUSEDXML:
        raise Refusal(
            f"'{file}' is not read: the guarded XML reader is missing or switched off; install defusedxml."
        )
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return openpyxl.load_workbook(
                io.BytesIO(data), read_only=True, data_only=True, keep_links=False, keep_vba=False
            )
    except Exception:  # a damaged workbook fails in any way at all inside the reader
        raise _damaged(file) from None


def _grids(file: str, book: Workbook) -> list[Grid]:
    sheets = [one for one in book.worksheets if one.sheet_state == "visible"]
    if len(sheets) > MOST_SHEETS:
        raise Refusal(f"'{file}' has {len(sheets)} sheets, more than {MOST_SHEETS}; give one game per file.")
    grids = []
    for sheet in sheets:
        title = clean_line(str(sheet.title), 60)
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                rows = list(_rows(file, title, sheet))
        except Refusal:
            raise
        except Exception:
            raise _damaged(file) from None
        if rows:
            grids.append(grid_of(rows, title))
    return grids


def _rows(file: str, title: str, sheet: Any) -> Iterable[tuple[int, list[str]]]:
    """Yield the rows that hold anything; gaps are skipped, one column beyond the bounds is looked at."""
    sheet.reset_dimensions()
    gap: object = None
    for number, row in enumerate(sheet.iter_rows(max_col=MOST_COLUMNS + 1, values_only=True), 1):
        if row is gap and number <= _LAST_ROW:
            continue
        gap = row if row.count(None) == len(row) else gap
        cells = [] if row is gap else [_text(one) for one in row]
        while cells and not cells[-1]:
            cells.pop()
        if number > _LAST_ROW or (cells and (number > MOST_ROWS or len(cells) > MOST_COLUMNS)):
            raise Refusal(
                f"'{file}' has more than {MOST_ROWS:,} rows or {MOST_COLUMNS} columns in '{title}';"
                " keep only those that matter and save it again."
            )
        if cells:
            yield number, cells


def _text(value: object) -> str:
    """Return a cell as one would type it; times of day keep their seconds only where there are any."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "1" if value else "0"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e9 else f"{value:.6g}"
    if isinstance(value, dt.datetime):
        if value.date() < _DAY_ZERO:
            return _clock(value.time())
        return value.date().isoformat() if value.time() == dt.time() else value.isoformat(" ")
    if isinstance(value, dt.time):
        return _clock(value)
    if isinstance(value, dt.timedelta):
        seconds = int(value.total_seconds())
        return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
    text = str(value)
    return "" if text in ("#N/A", "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!") else text


def _clock(value: dt.time) -> str:
    """Return a time of day: what was typed as 8:42 comes as 8 hours and 42 minutes."""
    if value.second == 0 and value.hour:
        return f"{value.hour}:{value.minute:02d}"
    return f"{value.hour}:{value.minute:02d}:{value.second:02d}"
