"""The courts against published dimensions."""

from __future__ import annotations

import math

import pytest

from planner.court.geometry import (
    Arc,
    Court,
    Line,
    free_throw_circle,
    lane,
    read_court,
    restricted_arc,
    three_point,
)
from planner.data import drill_library

INCH, METRE = 1 / 12, 1 / 0.3048
QUARTER_INCH, MILLIMETRE = INCH / 4, METRE / 1000


def shipped(rules: str) -> Court:
    path = drill_library() / "courts" / f"{rules}.toml"
    court, problems = read_court(path.name, path.read_text("utf-8"))
    assert court is not None, problems
    return court


SCHOOL, COLLEGE, INTERNATIONAL = shipped("school"), shipped("college"), shipped("international")


@pytest.mark.parametrize(
    ("court", "length", "width"),
    [
        (SCHOOL, 84.0, 50.0),  # NFHS 84 x 50 ft: published dimension table
        (COLLEGE, 94.0, 50.0),  # NCAA court diagram, 17 June 2019
        (INTERNATIONAL, 28 * METRE, 15 * METRE),  # sports dimensions guide of Western Australia
    ],
)
def test_floor_sizes(court: Court, length: float, width: float) -> None:
    """A floor has the length and width its rule book prints."""
    assert court.length == pytest.approx(length, abs=1e-9)
    assert court.width == pytest.approx(width, abs=1e-9)


@pytest.mark.parametrize(
    ("court", "radius"),
    [
        (SCHOOL, 19 + 9 * INCH),  # 19 ft 9 in: published dimension table
        (COLLEGE, 22 + 1.75 * INCH),  # 22 ft 1 3/4 in to the outside edge: NCAA court diagram, 17 June 2019
        (INTERNATIONAL, 6.75 * METRE),  # published dimension table
    ],
)
def test_three_point_arc(court: Court, radius: float) -> None:
    """The three-point arc lies the printed distance from the ring's centre, at every angle of it."""
    arc = three_point(court)[1]

    assert isinstance(arc, Arc)
    for part in (0.0, 0.25, 0.5, 1.0):
        point = arc.at(arc.start + part * (arc.end - arc.start))
        assert math.dist(point, court.basket) == pytest.approx(radius, abs=1e-9)


def test_top_of_the_arc_as_a_coach_measures_it() -> None:
    """The college line's top is 22 ft 1 3/4 in plus 63 in from the end line (same sources)."""
    arc = three_point(COLLEGE)[1]

    assert isinstance(arc, Arc)
    assert arc.at(math.pi / 2)[1] == pytest.approx((265.75 + 63) * INCH)


@pytest.mark.parametrize(
    ("court", "corner", "from_sideline"),
    [
        (COLLEGE, 21 + 7.875 * INCH, 40.125 * INCH),  # NCAA court diagram, 17 June 2019
        (INTERNATIONAL, 6.60 * METRE, 0.90 * METRE),  # published dimension table
    ],
)
def test_corner_three(court: Court, corner: float, from_sideline: float) -> None:
    """The straight part lies the printed distance from the basket and from the sideline: both agree."""
    straight = three_point(court)[0]

    assert isinstance(straight, Line)
    assert straight.start[0] == straight.end[0] == pytest.approx(corner, abs=1e-9)
    assert court.side - straight.start[0] == pytest.approx(from_sideline, abs=1e-9)


@pytest.mark.parametrize(
    ("court", "meets", "tolerance"),
    [
        (INTERNATIONAL, 2.99 * METRE, 0.5 * MILLIMETRE),  # FIBA court diagram, from memory
        (COLLEGE, 9 + 10.375 * INCH, QUARTER_INCH),  # printed 9 ft 10 3/8 in; the arithmetic gives 10.57 in
        (SCHOOL, 63 * INCH, 1e-9),  # straight up to ring height: published court page
    ],
)
def test_where_straight_meets_arc(court: Court, meets: float, tolerance: float) -> None:
    """The straight part of the three-point line ends at the height the diagrams print."""
    assert court.meeting_y == pytest.approx(meets, abs=tolerance)


def test_exact_meeting_points() -> None:
    """Basket distance plus the root of radius and corner squares: 2.990097 m and 118.570 in (recomputed)."""
    assert INTERNATIONAL.meeting_y / METRE == pytest.approx(1.575 + math.sqrt(6.75**2 - 6.60**2), abs=1e-9)
    assert INTERNATIONAL.meeting_y / METRE == pytest.approx(2.990097, abs=5e-7)
    assert COLLEGE.meeting_y / INCH == pytest.approx(118.570, abs=5e-4)


def test_angle_of_the_international_arc() -> None:
    """The international arc ends 12.1015 degrees off the end line's direction, acos(6.60 / 6.75)."""
    arc = three_point(INTERNATIONAL)[1]

    assert isinstance(arc, Arc)
    assert math.degrees(arc.start) == pytest.approx(12.1015, abs=5e-5)


def test_college_and_international_arc_are_one_line() -> None:
    """The college arc in metres is 6.75005 (265.75 in x 0.0254): the international arc to 0.05 mm."""
    assert COLLEGE.arc_radius / METRE == pytest.approx(6.75005, abs=1e-9)
    assert COLLEGE.arc_radius == pytest.approx(INTERNATIONAL.arc_radius, abs=0.06 * MILLIMETRE)
    assert COLLEGE.corner_distance / METRE == pytest.approx(6.6008, abs=5e-5)


def test_school_arc_in_metres() -> None:
    """The school arc is 6.0198 m (237 in): nearer than the other two by more than two feet."""
    assert SCHOOL.arc_radius / METRE == pytest.approx(6.0198, abs=5e-5)
    assert COLLEGE.arc_radius - SCHOOL.arc_radius > 2.0


@pytest.mark.parametrize(
    ("court", "width", "length"),
    [
        (SCHOOL, 12.0, 19.0),  # published dimension table
        (COLLEGE, 12.0, 19.0),  # published dimension table
        (INTERNATIONAL, 4.9 * METRE, 5.8 * METRE),  # published size guide; not the trapezoid of before 2010
    ],
)
def test_lane(court: Court, width: float, length: float) -> None:
    """The lane is a rectangle of the printed width and length."""
    right, across, left = lane(court)

    assert isinstance(right, Line)
    assert isinstance(across, Line)
    assert isinstance(left, Line)
    assert right.end[0] - left.start[0] == pytest.approx(width, abs=1e-9)
    assert across.start[1] == across.end[1] == pytest.approx(length, abs=1e-9)
    assert right.start[0] == right.end[0]


@pytest.mark.parametrize(
    ("court", "to_board", "to_basket"),
    [
        (SCHOOL, 15.0, 13.75),  # 15 ft: published dimension table; 13 ft 9 in recomputed
        (COLLEGE, 15.0, 13.75),
        (INTERNATIONAL, 4.60 * METRE, 4.225 * METRE),  # 5.80 - 1.20 and 5.80 - 1.575
    ],
)
def test_free_throw_line(court: Court, to_board: float, to_basket: float) -> None:
    """The free-throw line is the printed distance from the backboard and from the basket."""
    assert court.free_throw_line - court.backboard_y == pytest.approx(to_board, abs=1e-9)
    assert court.free_throw_line - court.basket_y == pytest.approx(to_basket, abs=1e-9)


@pytest.mark.parametrize(
    ("court", "radius"),
    [
        (COLLEGE, 4.0),  # 4 ft to the inner edge: NCAA court diagram, 17 June 2019
        (INTERNATIONAL, 1.25 * METRE),  # published dimension table
    ],
)
def test_restricted_arc(court: Court, radius: float) -> None:
    """The restricted arc is a half circle about the basket that runs straight on to the backboard's plane."""
    right, arc, left = restricted_arc(court)

    assert isinstance(arc, Arc)
    assert isinstance(right, Line)
    assert isinstance(left, Line)
    assert arc.centre == court.basket
    assert arc.radius == pytest.approx(radius, abs=1e-9)
    assert right.start == pytest.approx((radius, court.backboard_y))
    assert left.end == pytest.approx((-radius, court.backboard_y))


def test_school_has_no_restricted_arc() -> None:
    """The school rules know no restricted arc: a public page prints 4 ft, three tables agree on none."""
    assert SCHOOL.restricted_radius is None
    assert restricted_arc(SCHOOL) == ()


@pytest.mark.parametrize(
    ("court", "ring", "board", "circle"),
    [
        (SCHOOL, 0.75, 6.0, 6.0),  # 18 in ring, 72 in board, 6 ft circle: published dimension table
        (COLLEGE, 0.75, 6.0, 6.0),
        (INTERNATIONAL, 0.225 * METRE, 1.80 * METRE, 1.80 * METRE),  # circle also: Western Australia guide
    ],
)
def test_ring_board_and_centre_circle(court: Court, ring: float, board: float, circle: float) -> None:
    """Ring, backboard and centre circle have their printed sizes; the free-throw circle is as large."""
    assert court.ring_radius == pytest.approx(ring, abs=1e-9)
    assert court.backboard_width == pytest.approx(board, abs=1e-9)
    assert court.centre_radius == pytest.approx(circle, abs=1e-9)
    half_circle = free_throw_circle(court)[0]
    assert isinstance(half_circle, Arc)
    assert half_circle.radius == pytest.approx(circle, abs=1e-9)  # common practice, no source


@pytest.mark.parametrize("court", [SCHOOL, COLLEGE, INTERNATIONAL], ids=lambda one: one.id)
def test_each_court_names_its_edition_and_sources(court: Court) -> None:
    """Dimensions change between editions, so every court says which one it shows and where from."""
    assert court.edition
    assert court.sources


def test_not_the_old_lines() -> None:
    """Replaced dimensions still stand on public pages: 20 ft 9 in for college, 6.25 m international."""
    assert COLLEGE.arc_radius != pytest.approx(20.75, abs=0.1)
    assert INTERNATIONAL.arc_radius / METRE != pytest.approx(6.25, abs=0.1)
