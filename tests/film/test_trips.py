"""How a sheet parts its possessions."""

from __future__ import annotations

from planner.film.heading import Said
from planner.film.legend import Legend
from planner.film.rows import Row, sort_rows
from planner.film.trips import bare, in_blocks, sections
from planner.film.wording import Lexicon


def rows(lexicon: Lexicon, text: str) -> list[Row]:
    return sort_rows(text.split("\n"), lexicon, Legend(), Said())


def test_blocks(lexicon: Lexicon) -> None:
    """Blocks have their one clock first and some have more lines; other sheets are none."""
    assert in_blocks(rows(lexicon, "Q1 8:42 +2\nbo 21\n\nQ1 8:20 stop"))
    assert not in_blocks(rows(lexicon, "Q1 8:42 bo\n\nQ1 8:20 stop"))
    assert not in_blocks(rows(lexicon, "Q1 8:42 bo\nQ1 8:20 stop\n\nQ1 8:00 stop"))


def test_bare_lines(lexicon: Lexicon) -> None:
    """A clock with or without points asks for notes to follow; a dash or a stop does not."""
    assert [bare(row) for row in rows(lexicon, "Q1 8:42\nQ1 8:30 2\nQ1 8:20 -\nQ1 8:10 stop")] == [
        True,
        True,
        False,
        False,
    ]


def test_sections(lexicon: Lexicon) -> None:
    """Period headings and totals start a new section."""
    parts = sections(rows(lexicon, "bo 3\nQ2\nbo 4\nTotals: bo 7"))
    assert [[row.number for row in part] for part in parts] == [[1], [2, 3], [4]]
