"""Notes spoken into a telephone."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from planner.film.dictated import dictated, value
from tests.film.conftest import Read

SPOKEN = """possession one number twelve no box out comma nobody home at the rim period two points
possession two number four late closeout three points
three great help everybody in the gap zero points
four twelve gave up the middle comma thirty four reached one point
possession five no sorry i'm on six now six four back cut two points
seven no tag by thirty four exclamation point two points
eight stop zero points"""


def test_marks_and_numbers_are_said(read: Read) -> None:
    """Commas and periods said aloud are marks, counted possessions are possessions, players are players."""
    made = read(SPOKEN)
    assert made.possessions == 7
    assert [one.points for one in made.trips] == [2, 3, 0, 1, 2, 2, 0]
    assert [(one.possession, one.breakdown, one.players) for one in made.sightings] == [
        (1, "no-box-out", ("12",)),
        (1, "late-help", ()),
        (2, "late-closeout", ("4",)),
        (4, "gave-middle", ("12",)),
        (4, "reach-foul", ("34",)),
        (5, "back-cut", ("4",)),
        (6, "no-tag", ("34",)),
    ]


def test_typed_notes_are_left() -> None:
    """Notes that only hold a number in words are as they were."""
    lines = [
        "1. two on one, 12 all in",
        "2. stop",
        "3. one pass away, 5 helps",
        "4. stop",
        "5. four guys back",
    ]
    assert dictated(lines) == lines
    assert value("twenty five") == 25


@given(st.lists(st.text(max_size=80), max_size=30))
def test_any_lines_stay_as_many(lines: list[str]) -> None:
    """Whatever is written, as many lines come back."""
    assert len(dictated(lines)) == len(lines)


def test_small_numbers_that_stand_as_players(read: Read) -> None:
    """``third: four late`` charges 4 where several such stand as players; ``all five`` are none."""
    made = read(
        "First: twelve beaten off the dribble, 2.\nSecond: all five talk, stop.\n"
        "Third: four late on the closeout, 3.\nFourth: nine no box out, 2.\n"
        "Fifth: five reach foul. One of two.\nSixth: thirty sealed, 2.\nSeventh: twelve ball watching, 2."
    )
    assert [(one.possession, one.players) for one in made.sightings] == [
        (1, ("12",)),
        (3, ("4",)),
        (4, ("9",)),
        (5, ("5",)),
        (6, ("30",)),
        (7, ("12",)),
    ]
    assert made.trips[4].points == 1
