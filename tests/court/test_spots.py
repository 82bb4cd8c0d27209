from __future__ import annotations

import math

import pytest

from planner.court.geometry import Court
from planner.court.spots import ALIASES, find_spot, name_of, nearest_names, spot_table


def test_every_spot_is_where_its_name_says(court: Court) -> None:
    """On every court shooters' spots are outside the arc, help spots in the lane, elbows on its corners."""
    places = spot_table(court)

    def reach(name: str) -> float:
        return math.dist(places[name], court.basket)

    for name in ("top", "left slot", "right wing"):
        assert court.arc_radius < reach(name) < court.arc_radius + 3
    assert court.corner_distance < places["right corner"][0] < court.side
    for name in ("left paint foot", "right low paint", "split line", "paint", "nail"):
        assert abs(places[name][0]) <= court.lane
        assert places[name][1] <= court.free_throw_line
    for side, sign in (("left", -1), ("right", 1)):
        assert places[f"{side} elbow"] == (sign * court.lane, court.free_throw_line)
        assert sign * places[f"{side} block"][0] > court.lane
    assert reach("left gap") < court.arc_radius


def test_spots_are_apart(court: Court) -> None:
    """No two names mean nearly the same place."""
    places = sorted(spot_table(court).items())
    for index, (one, at) in enumerate(places):
        for two, there in places[index + 1 :]:
            assert math.dist(at, there) > 1.0, (one, two)


def test_left_mirrors_right(court: Court) -> None:
    """Every sided spot has its mirror image on the other side."""
    places = spot_table(court)
    for name, (x, y) in places.items():
        if name.startswith("right "):
            assert places["left " + name[6:]] == (-x, y)
            assert x > 0


def test_far_turns_left_and_right(college: Court) -> None:
    """Who runs straight up the floor from the left wing arrives at the far right wing."""
    near = find_spot(college, "left wing")
    far = find_spot(college, "the far right wing")

    assert near is not None
    assert far is not None
    assert far[0] == pytest.approx(near[0])
    assert far[1] == pytest.approx(college.length - near[1])


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("the free-throw line", "nail"),
        ("Left High Post", "left elbow"),
        ("low post right", "right block"),
        ("right paint", "right paint foot"),
        ("paint", "paint"),
        ("help line", "split line"),
    ],
)
def test_other_words_for_a_place(college: Court, words: str, name: str) -> None:
    """Articles, capitals, word order and common second names do not matter."""
    assert find_spot(college, words) == spot_table(college)[name]


def test_every_alias_leads_somewhere(college: Court) -> None:
    """No second name points at nothing."""
    for name in ALIASES:
        assert any(find_spot(college, side + name) for side in ("", "left ")), name


def test_unknown_words_get_a_hint(college: Court) -> None:
    """A misspelt place is unknown, and the nearest names are offered."""
    assert find_spot(college, "right elbwo") is None
    assert nearest_names(college, "right elbwo")[0] == "right elbow"


def test_a_point_in_words(college: Court) -> None:
    """A point is named by its spot, by the nearest spot, or in feet."""
    assert name_of(college, (0.0, 19.2), whole=False) == "at the nail"
    assert name_of(college, (1.0, 22.0), whole=False) == "near the nail"
    assert name_of(college, (-15.0, 38.0), whole=False) == "15 ft left and 38 ft out"
    assert name_of(college, (0.0, 47.0), whole=True) == "at half court"
    assert name_of(college, college.across((0.0, 19.0)), whole=True) == "at the far nail"
