"""Workbooks: read as tables are, bounded before they are parsed, refused when they mean harm."""

from __future__ import annotations

import contextlib
import datetime as dt
import io
import time
import zipfile
from collections.abc import Sequence
from typing import Any

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.film import workbook
from planner.film.intake import Intake
from planner.film.read import read_note
from planner.film.wording import Lexicon
from planner.problem import Refusal

HEADER = ("Quarter", "Clock", "Pts", "Mistake", "Player")
ROWS: Sequence[Sequence[Any]] = (
    HEADER,
    (1, dt.time(8, 42), 2, "no box out", 21),
    (None, dt.time(8, 20), 0, None, None),
    (2, dt.time(7, 0), 3.0, "late closeout", "4 & 12"),
)


def made(*sheets: tuple[str, Sequence[Sequence[Any]]], hidden: str = "") -> bytes:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, rows in sheets:
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(list(row))
        if title == hidden:
            sheet.sheet_state = "hidden"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def altered(data: bytes, part: str, old: bytes, new: bytes) -> bytes:
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as before,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as after,
    ):
        for name in before.namelist():
            text = before.read(name)
            if name == part:
                assert old in text
                text = text.replace(old, new, 1)
            after.writestr(name, text)
    return out.getvalue()


def seen(intake: Intake) -> list[tuple[int | None, str, tuple[str, ...], int | None]]:
    return [(one.line, one.breakdown, one.players, one.points) for one in intake.sightings]


TRUE = [(2, "no-box-out", ("21",), 2), (4, "late-closeout", ("4", "12"), 3)]


def test_a_workbook_is_a_table(lexicon: Lexicon) -> None:
    """Numbers, times, blanks and text of cells are read as if typed; lines are rows of the sheet."""
    intake = read_note("film.xlsx", made(("Film", ROWS)), lexicon)
    assert seen(intake) == TRUE
    assert [(t.period, t.clock, t.points) for t in intake.trips] == [
        ("Q1", "08:42", 2),
        ("Q1", "08:20", 0),
        ("Q2", "07:00", 3),
    ]
    assert (intake.kind, intake.problems, intake.unclear) == ("table", (), ())


def test_sheets(lexicon: Lexicon) -> None:
    """Sheets with one header go together, hidden ones and others are left out, and the others are named."""
    summary = [("Player", "Minutes"), (21, 30)]
    data = made(
        ("Notes", [("hello",)]),
        ("H1", ROWS),
        ("H2", [HEADER, ("", "6:00", 2, "no tag", 4)]),
        ("Minutes", summary),
        ("Old", ROWS),
        hidden="Old",
    )
    intake = read_note("film.xlsx", data, lexicon)
    assert len(intake.sightings) == 3
    assert any("'Notes' and 'Minutes'" in one for one in intake.problems)
    bare = [("Clock", "Mistake"), ("8:42", "no box out"), ("8:20", "stop")]
    parts = read_note("film.xlsx", made(("Q1", bare), ("Q2", bare)), lexicon)
    assert [(t.period, t.clock) for t in parts.trips] == [
        ("Q1", "08:42"),
        ("Q1", "08:20"),
        ("Q2", "08:42"),
        ("Q2", "08:20"),
    ]


def test_title_rows_dates_and_formulas(lexicon: Lexicon) -> None:
    """Title rows with dates in cells are read; a formula counts as its saved value, here none."""
    rows = [
        ("Date", dt.date(2026, 11, 20)),
        ("Opponent", "Elm Creek"),
        (),
        ("Mistake", "Count"),
        ("no box out", 7),
        ("no tag", "=1+1"),
    ]
    intake = read_note("film.xlsx", made(("Film", rows)), lexicon)
    assert (intake.heading.date, intake.heading.opponent) == ("2026-11-20", "Elm Creek")
    assert [(one.breakdown, one.count) for one in intake.sightings] == [("no-box-out", 7), ("no-tag", 1)]


def refused(lexicon: Lexicon, data: bytes, name: str = "x.xlsx") -> str:
    began = time.perf_counter()
    with pytest.raises(Refusal) as fault:
        read_note(name, data, lexicon)
    assert time.perf_counter() - began < 3.0
    sentence = str(fault.value)
    assert sentence.startswith(f"'{name}'")
    assert sentence.endswith(".")
    assert "\n" not in sentence
    return sentence


def test_zip_bombs(lexicon: Lexicon) -> None:
    """An archive that declares too much is refused unread; one that lies gives no more than it says."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("[Content_Types].xml", "<x/>")
        packed.writestr("xl/worksheets/sheet1.xml", b"0" * 60_000_000)
    bomb = out.getvalue()
    assert len(bomb) < 100_000
    assert "unpacks to far more" in refused(lexicon, bomb)
    lying = bomb.replace((60_000_000).to_bytes(4, "little"), (1_000).to_bytes(4, "little"))
    assert "damaged" in refused(lexicon, lying)


def test_many_parts(lexicon: Lexicon) -> None:
    """Thousands of small parts are refused."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        for number in range(workbook.MOST_PARTS + 1):
            packed.writestr(f"{number}.xml", "<x/>")
    assert "unpacks to far more" in refused(lexicon, out.getvalue())


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
@pytest.mark.parametrize(
    "prolog",
    [
        '<!DOCTYPE lolz [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>',
        '<!DOCTYPE x [<!ENTITY f SYSTEM "file:///etc/passwd">]>',
    ],
)
def test_entities(lexicon: Lexicon, prolog: str, encoding: str) -> None:
    """Entities that multiply or name other files are refused, in UTF-16 as well."""
    data = made(("Film", ROWS))
    part = "xl/worksheets/sheet1.xml"
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        text = packed.read(part).decode()
    head = f'<?xml version="1.0" encoding="{encoding}"?>{prolog}'
    evil = (head + text.replace("no box out", "&b;&f;")).encode(encoding)
    assert "document type" in refused(lexicon, altered(data, part, text.encode(), evil))


def test_guarded_reader_is_in_use() -> None:
    """The workbook library reads XML through the guarded parser in any case."""
    from openpyxl.xml import DEFUSEDXML

    assert DEFUSEDXML


def test_no_workbooks(lexicon: Lexicon) -> None:
    """Web pages, old workbooks, other archives, halves of files and nothing at all are refused."""
    whole = made(("Film", ROWS))
    other = io.BytesIO()
    with zipfile.ZipFile(other, "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
    for data in (
        b"<!doctype html><html><table><tr><td>Mistake</td></tr></table></html>",
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600,
        b"",
        b"PK\x03\x04",
        whole[: len(whole) // 2],
        other.getvalue(),
        made(("Film", [])),
        b"PK\x03\x04" + bytes(range(256)) * 20,
    ):
        refused(lexicon, data)


def test_bounds_of_a_sheet(lexicon: Lexicon) -> None:
    """Too many rows, columns and sheets are refused; a far cell among empty ones is too."""
    tall = made(("Film", [HEADER, *[("1", "8:42", "2", "no box out", "21")] * workbook.MOST_ROWS]))
    assert "5,000 rows" in refused(lexicon, tall)
    wide = made(("Film", [HEADER, ("x",) * 10_000]))
    assert "400 columns" in refused(lexicon, wide)
    far = altered(made(("Film", ROWS)), "xl/worksheets/sheet1.xml", b'<row r="4"', b'<row r="1048576"')
    refused(lexicon, far)
    beyond = altered(made(("Film", ROWS)), "xl/worksheets/sheet1.xml", b'<row r="4"', b'<row r="999999999"')
    refused(lexicon, beyond)
    many = made(*((f"S{number}", [HEADER]) for number in range(workbook.MOST_SHEETS + 1)))
    assert "sheets" in refused(lexicon, many)


def test_claimed_size_is_not_believed(lexicon: Lexicon) -> None:
    """A sheet that claims a million rows but holds four is read as four."""
    data = made(("Film", ROWS))
    part = "xl/worksheets/sheet1.xml"
    claimed = altered(data, part, b'<dimension ref="A1:E4"', b'<dimension ref="A1:XFD1048576"')
    began = time.perf_counter()
    assert seen(read_note("film.xlsx", claimed, lexicon)) == TRUE
    assert time.perf_counter() - began < 1.0


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_any_damage(lexicon: Lexicon, data: st.DataObject) -> None:
    """A workbook with bytes changed or cut gives a reading or a refusal."""
    whole = bytearray(BASE)
    for _ in range(data.draw(st.integers(1, 6))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(0, len(whole)))
    given_bytes = bytes(whole if data.draw(st.booleans()) else whole[:cut])
    with contextlib.suppress(Refusal):
        assert read_note("x.xlsx", given_bytes, lexicon).kind == "table"


BASE = made(("Film", ROWS))
