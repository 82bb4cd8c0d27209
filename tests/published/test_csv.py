"""Delimited text against RFC 4180 (October 2005), section 2, and the OWASP guard for formulas.

The examples are those of its rules 1 to 7 (https://www.rfc-editor.org/rfc/rfc4180; from memory). Where it
says that spaces are part of a field, a film note drops them at its ends: on purpose, and tested as such. The
guard is that of OWASP ASVS 5, requirement 1.2.10 (a single quote before = + - @), taken off again when read.
"""

from __future__ import annotations

import pytest

from planner.film.table_cells import cut, lines_of


def cells(text: str, delimiter: str = ",") -> list[tuple[str, ...]]:
    return [row.cells for row in cut("x", lines_of(text), delimiter).rows]


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]),
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]),
        ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]),
        ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [("aaa", "b; bb", "ccc"), ("zzz", "yyy", "xxx")]),
        ('"aaa","b""bb","ccc"', [("aaa", 'b"bb', "ccc")]),
        ('"aaa","b,bb","ccc"', [("aaa", "b,bb", "ccc")]),
        (",,\r\n", [("", "", "")]),
        ('"",""', [("", "")]),
    ],
)
def test_rules(text: str, read: list[tuple[str, ...]]) -> None:
    """The RFC's examples are cut as it says; a line break in quotes becomes a separator of notes."""
    assert cells(text) == read


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("ends", ["\r\n", "\n", "\r"])
def test_delimiters_and_line_ends(delimiter: str, ends: str) -> None:
    """The rules hold for every delimiter and line end in use; a tab inside a cell becomes a space."""
    text = ends.join([f'a{delimiter}"b{delimiter}b"{delimiter}c', f"d{delimiter}e{delimiter}f"])
    inside = " " if delimiter == "\t" else delimiter
    assert cells(text, delimiter) == [("a", f"b{inside}b", "c"), ("d", "e", "f")]


def test_spaces_at_the_ends_are_dropped() -> None:
    """Departing from rule 4, spaces around a field are no part of it."""
    assert cells(' a , "b c" ,d') == [("a", "b c", "d")]


def test_lines_are_counted() -> None:
    """A record is on the line where it begins, however many it spans."""
    rows = cut("x", lines_of('a,"1\n2\n3"\nb,c\n'), ",").rows
    assert [row.number for row in rows] == [1, 4]


def test_open_quote() -> None:
    """A quote that is never closed loses its own line only, and is pointed out."""
    grid = cut("x", lines_of('a,"b\nc,d\ne,f\n'), ",")
    assert [row.cells for row in grid.rows] == [("a", "b"), ("c", "d"), ("e", "f")]
    assert grid.problems == ["line 1: a quote is opened and never closed; the line is read as it stands"]
    assert cells('6" reach,b\nc,d') == [('6" reach', "b"), ("c", "d")]


@pytest.mark.parametrize("said", ["=1+1", "+7", "-3", "@x"])
def test_formula_guard(said: str) -> None:
    """A single quote before a formula sign is taken off; any other is part of the text."""
    assert cells(f"'{said},'tis") == [(said, "'tis")]
