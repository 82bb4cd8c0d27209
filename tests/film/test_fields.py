"""Lines in fields, whatever parts them."""

from __future__ import annotations

import pytest

from planner.film.fields import parted

ROWS = [("1", "12 bb", "2"), ("2", "stop", "0"), ("3", "4 lc", "3"), ("4", "21 bo", "2"), ("5", "", "0")]


@pytest.mark.parametrize("mark", [" → ", " -> ", "\t", " | ", " - ", " ; "])
def test_number_first_and_points_last(mark: str) -> None:
    """Whatever parts the fields, the number goes to the front and the points to the back."""
    made = parted([mark.join(row) for row in ROWS])
    assert made[0] == "poss 1 12 bb . 2 pts"
    assert made[3] == "poss 4 21 bo . 2 pts"
    assert made[4].split() == ["poss", "5", ".", "0", "pts"]


def test_numbers_may_begin_again() -> None:
    """A second half numbered from 1 is numbered still."""
    lines = [f"{n} → bo 21 → 2" for n in (1, 2, 3, 4, 5, 1, 2, 3)]
    assert [line.split()[1] for line in parted(lines)] == ["1", "2", "3", "4", "5", "1", "2", "3"]


def test_a_player_in_a_field_of_his_own_is_charged_with_the_next() -> None:
    """A field of jerseys stands before what it did."""
    lines = [f"{n}\t12\tblow by\t2" for n in range(1, 6)]
    assert parted(lines)[0] == "poss 1 #12 blow by . 2 pts"


def test_lines_without_fields_stay() -> None:
    """Ordinary lines are left alone."""
    lines = ["Q1 8:42 2 bo 21", "Q1 8:20 0 stop", "a note - here", "7:40 lc 4", "7:20 stop"]
    assert parted(lines) == lines
