"""The coach's own totals."""

from __future__ import annotations

from collections.abc import Callable

from planner.film.intake import Intake

Read = Callable[..., Intake]
SHEET = "Q1 8:42 2 bo 21\nQ1 8:20 3 lc 4\nQ1 8:00 0 stop\n"


def told(read: Read, totals: str) -> list[str]:
    return [problem.split(": ", 1)[1] for problem in read(SHEET + totals).problems]


def test_totals_that_agree_say_nothing(read: Read) -> None:
    """Totals that agree with the sheet raise no problem, in breakdowns, points and possessions."""
    assert told(read, "Totals: bo 1, lc 1; points 5, possessions 3") == []


def test_totals_that_differ_are_pointed_out(read: Read) -> None:
    """Each total that differs is pointed out with both numbers."""
    assert told(read, "Totals: bo 2, lc 1, pts allowed 6") == [
        "the total says 2 no-box-out, the sheet has 1",
        "the total says 6 points, the sheet has 5",
    ]


def test_totals_that_cannot_be_read_are_pointed_out(read: Read) -> None:
    """A total of nothing we know is pointed out and not counted."""
    assert told(read, "Totals: zz zone 4") == ["total 'zz zone 4' could not be read"]


def test_counts_straight_below_are_possessions_not_totals(read: Read) -> None:
    """Without a blank line or a word such as totals, a line below is a possession."""
    assert len(read(SHEET + "bo 21").trips) == 4
