from __future__ import annotations

import math
import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.court.geometry import Arc, Court, Line, Piece, floor, read_court, three_point, turned
from planner.data import drill_library

COLLEGE = (drill_library() / "courts" / "college.toml").read_text("utf-8")


def ends(piece: Piece) -> tuple[tuple[float, float], tuple[float, float]]:
    if isinstance(piece, Line):
        return piece.start, piece.end
    return piece.at(piece.start), piece.at(piece.end)


def test_three_point_line_is_unbroken(court: Court) -> None:
    """Each part of the three-point line starts where the one before ends, from end line to end line."""
    parts = [ends(one) for one in three_point(court)]

    for before, after in pairwise(parts):
        assert before[1] == pytest.approx(after[0])
    assert parts[0][0][1] == parts[-1][1][1] == 0.0


def test_every_line_lies_on_the_floor(court: Court) -> None:
    """No line of a whole court leaves the floor."""
    for piece in floor(court, whole=True):
        for x, y in ends(piece):
            assert abs(x) <= court.side + 1e-9
            assert -1e-9 <= y <= court.length + 1e-9


def test_far_end_is_the_near_end_turned_half_round(court: Court) -> None:
    """Turning a court's end twice gives it back, and the far basket is as far from its end line."""
    near = three_point(court)
    again = turned(court, turned(court, near))

    for one, two in zip(near, again, strict=True):
        assert ends(one)[0] == pytest.approx(ends(two)[0])
    assert court.length - court.across(court.basket)[1] == pytest.approx(court.basket_y)


def test_cut_court_stays_open(college: Court) -> None:
    """A half court cut short has no line across its open side."""
    across = [
        one
        for one in floor(college, whole=False, depth=34.0)
        if isinstance(one, Line) and one.start[1] == one.end[1] == 34.0
    ]
    assert across == []
    assert any(isinstance(one, Line) and one.end[1] == 34.0 for one in floor(college, False, 34.0))


def test_half_court_line_closes_a_half_court(college: Court) -> None:
    """A whole half court is closed by the half-court line and half the centre circle."""
    pieces = floor(college, whole=False)

    assert any(isinstance(one, Line) and one.start[1] == one.end[1] == 47.0 for one in pieces)
    assert any(isinstance(one, Arc) and one.centre == (0.0, 47.0) for one in pieces)


@pytest.mark.parametrize(
    ("what", "by", "said"),
    [
        (r'unit = "in"', 'unit = "yd"', "'unit' must be one of ft, in, m"),
        (r'unit = "in"', 'unit = "m"', "larger than 110 by 60 feet"),
        (r"width = 600", "width = 60", "smaller than 60 by 35 feet"),
        (r"width = 600", "width = -600", "'width' must be a length above 0"),
        (r"width = 600", "width = nan", "'width' must be a length above 0"),
        (r"width = 600", "width = true", "'width' must be a length above 0"),
        (r"width = 600\n", "", "'width' must be a length above 0"),
        (r"arc_radius = 265.75", "arc_radius = 250", "corner distance is longer"),
        (r"corner_distance = 259.875", "corner_distance = 10", "lane is wider"),
        (r"basket_from_end_line = 63", "basket_from_end_line = 40", "mixed up"),
        (r'title = "College"', "title = 3", "'title' is missing"),
        (r"\Z", "\nlane_lenght = 3\n", "unknown field 'lane_lenght'"),
        (r"\Z", "\n= 3\n", "not valid TOML"),
    ],
)
def test_faults_are_values(what: str, by: str, said: str) -> None:
    """A court file that cannot be true is refused with a sentence that names file and fault."""
    court, problems = read_court("mine.toml", re.sub(what, by, COLLEGE, count=1))

    assert court is None
    assert any(said in one.what for one in problems), problems
    assert all(one.file == "mine.toml" for one in problems)


@given(st.sampled_from([("ft", 1.0), ("in", 12.0), ("m", 0.3048)]))
def test_units_do_not_matter(unit: tuple[str, float]) -> None:
    """The same court written in another unit is the same court."""
    name, per_foot = unit
    known, _ = read_court("a", COLLEGE)
    assert known is not None
    text = re.sub(r'unit = "in"', f'unit = "{name}"', COLLEGE)
    text = re.sub(r"(?m)^(\w+ = )([\d.]+)", lambda m: f"{m[1]}{float(m[2]) / 12 * per_foot!r}", text)

    other, problems = read_court("b", text)

    assert problems == []
    assert other is not None
    assert other.arc_radius == pytest.approx(known.arc_radius)
    assert other.meeting_y == pytest.approx(known.meeting_y)


def test_arc_points_lie_on_the_circle() -> None:
    """A point of an arc is one radius from its centre."""
    assert math.dist(Arc((1.0, 2.0), 3.0, 0, 1).at(0.7), (1.0, 2.0)) == pytest.approx(3.0)
