"""Lines that only count."""

from __future__ import annotations

import pytest

from planner.film.counts import count_line, counted_section
from planner.film.wording import Lexicon


@pytest.mark.parametrize(
    ("line", "breakdown", "count"),
    [
        ("no box out 7", "no-box-out", 7),
        ("late closeout: 4", "late-closeout", 4),
        ("bo ||||| ||", "no-box-out", 7),
        ("bo: iiii iii", "no-box-out", 7),
        ("bo ||||/ ||", "no-box-out", 7),
        ("no tag x3", "no-tag", 3),
        ("no tag = 5", "no-tag", 5),
        ("fly by - 2", "fly-by", 2),
        ("3x no talk", "no-talk", 3),
        ("no talk (3)", "no-talk", 3),
    ],
)
def test_count_lines(lexicon: Lexicon, line: str, breakdown: str, count: int) -> None:
    """Numbers and strokes are counted in every usual form."""
    (made,) = count_line(line, lexicon) or []
    assert (made.breakdown, made.count) == (breakdown, count)


def test_several_on_a_line(lexicon: Lexicon) -> None:
    """Several counts on a line are several counts."""
    assert [(one.breakdown, one.count) for one in count_line("bo 7, lc 4", lexicon) or []] == [
        ("no-box-out", 7),
        ("late-closeout", 4),
    ]


@pytest.mark.parametrize("line", ["no box out", "bo 21 lc 4", "bo #21", "", "bo 21 again"])
def test_other_lines_are_no_counts(lexicon: Lexicon, line: str) -> None:
    """A line with more or less than wording and number is no count."""
    assert count_line(line, lexicon) is None


def section(lexicon: Lexicon, *lines: str, watched: bool = False, roster: set[str] | None = None) -> bool:
    return counted_section([count_line(line, lexicon) for line in lines], watched=watched, roster=roster)


def test_what_makes_a_section_count(lexicon: Lexicon) -> None:
    """Distinct breakdowns count when marks, possessions told or numbers off the roster show it."""
    assert section(lexicon, "bo 7", "lc 4")
    assert section(lexicon, "bo: 7")
    assert section(lexicon, "bo 7", watched=True)
    assert not section(lexicon, "bo 7")
    assert not section(lexicon, "bo 21", "lc 4", roster={"21", "4"})
    assert section(lexicon, "bo 21", "lc 5", roster={"21", "4"})
    assert not section(lexicon, "bo 21", "lc 4", "bo 12")
    assert not section(lexicon, "bo 21", "lc 4 late again", "no tag in the lane")
