"""Lines sorted by what they are."""

from __future__ import annotations

import pytest

from planner.film.heading import Said
from planner.film.legend import Legend
from planner.film.rows import sort_rows
from planner.film.wording import Lexicon


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("", "blank"),
        ("=====", "blank"),
        ("# period clock", "comment"),
        ("// no tag", "comment"),
        ("#4 late closeout", "notes"),
        ("Q2", "period"),
        ("Date: 2026-11-20", "heading"),
        ("Film night", "remark"),
        ("Totals: bo 7", "totals"),
        ("bo 21", "notes"),
        ("Q1 8:42", "notes"),
        ("Note: no tag all night", "remark"),
    ],
)
def test_kinds(lexicon: Lexicon, line: str, kind: str) -> None:
    """Each kind of line is known by its looks."""
    assert sort_rows([line], lexicon, Legend(), Said())[0].kind == kind


def test_bare_numbering(lexicon: Lexicon) -> None:
    """1, 2, 3, 4 at the starts of lines is numbering and neither points nor players."""
    rows = sort_rows(["1 bo 21", "2 stop", "3 lc 4", "4 stop"], lexicon, Legend(), Said())
    assert [row.head.number for row in rows] == [1, 2, 3, 4]


def test_bare_periods(lexicon: Lexicon) -> None:
    """A column of 1 to 4 before clocks is the period."""
    rows = sort_rows([f"{n} 8:{n}0 stop" for n in (1, 1, 2, 2, 3, 4)], lexicon, Legend(), Said())
    assert [row.head.period for row in rows] == ["P1", "P1", "P2", "P2", "P3", "P4"]
