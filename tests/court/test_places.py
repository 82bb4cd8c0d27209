from __future__ import annotations

import math

import pytest

from planner.court.geometry import Court
from planner.court.places import Floor, WrongPlace, find_place, mark_of, toward


@pytest.fixture
def floor(college: Court) -> Floor:
    """1 has the ball at the top, 2 on the right wing, 3 in the left corner."""
    made = Floor(college)
    for mark, words in (("1", "top"), ("2", "right wing"), ("3", "left corner")):
        made.at[mark] = find_place(made, mark, words)
    made.balls = ["1"]
    return made


def angle_off(point: tuple[float, float], start: tuple[float, float], end: tuple[float, float]) -> float:
    """Return how far a point is off the line from start to end, in feet."""
    length = math.dist(start, end)
    return (
        abs((end[0] - start[0]) * (start[1] - point[1]) - (start[0] - point[0]) * (end[1] - start[1]))
        / length
    )


def test_on_is_an_arm_away_between_player_and_basket(floor: Floor) -> None:
    """The defender on a player stands 3 feet off, on the line to the basket."""
    at = find_place(floor, "x2", "on 2")

    assert math.dist(at, floor.at["2"]) == pytest.approx(3.0)
    assert angle_off(at, floor.at["2"], floor.basket) == pytest.approx(0.0, abs=1e-9)
    assert math.dist(at, floor.basket) < math.dist(floor.at["2"], floor.basket)


@pytest.mark.parametrize("word", ["on", "deny", "gap", "help", "behind", "trail", "split"])
def test_own_player_may_be_left_out(floor: Floor, word: str) -> None:
    """A defender's relation without a number means the player of the same number."""
    assert find_place(floor, "x2", word) == find_place(floor, "x2", f"{word} 2")


def test_help_has_a_foot_in_the_paint_on_the_own_players_side(court: Court) -> None:
    """Help stands just inside the lane line towards one's own player, above the ring and below the nail."""
    floor = Floor(court)
    for spot in ("left corner", "left wing", "left slot", "right wing"):
        floor.at["3"] = find_place(floor, "3", spot)
        x, y = find_place(floor, "x3", "help")
        assert court.lane - 1.5 < abs(x) < court.lane
        assert (x < 0) == spot.startswith("left")
        assert court.basket_y < y < court.free_throw_line


def test_help_follows_the_far_basket(college: Court) -> None:
    """When the attack goes to the far basket, help stands in the far paint."""
    floor = Floor(college, whole=True, attack_far=True)
    floor.at["3"] = find_place(floor, "3", "far left corner")
    x, y = find_place(floor, "x3", "help")

    assert y > college.length - college.free_throw_line
    assert x > 0, "the far left is on the near right"


def test_deny_and_gap_lean_towards_the_ball(floor: Floor) -> None:
    """A denying defender is nearer to the passing lane than one in the gap; both are nearer to the ball."""
    deny, gap = find_place(floor, "x2", "deny"), find_place(floor, "x2", "gap")
    one, two = floor.at["1"], floor.at["2"]

    assert angle_off(deny, one, two) < angle_off(gap, one, two)
    assert max(math.dist(deny, one), math.dist(gap, one)) < math.dist(two, one)


def test_front_and_behind_are_on_opposite_sides(floor: Floor) -> None:
    """Fronting is the ball's side of a post player, behind is the basket's."""
    floor.at["5"] = find_place(floor, "5", "right block")
    ball, basket = floor.at["1"], floor.basket

    assert math.dist(find_place(floor, "x5", "front 5"), ball) < math.dist(floor.at["5"], ball)
    assert math.dist(find_place(floor, "x5", "behind 5"), basket) < math.dist(floor.at["5"], basket)


def test_between_and_steps(floor: Floor) -> None:
    """Places are built from others: half-way, or three feet a step; left and right turn at the far end."""
    assert find_place(floor, "4", "between 1 and 2") == pytest.approx(
        ((floor.at["1"][0] + floor.at["2"][0]) / 2, (floor.at["1"][1] + floor.at["2"][1]) / 2)
    )
    assert find_place(floor, "4", "two steps above the nail") == (0.0, 25.0)
    assert find_place(floor, "4", "a step left of the nail") == (-3.0, 19.0)
    inside = find_place(floor, "4", "a step inside the right wing")
    assert math.dist(inside, floor.basket) == pytest.approx(math.dist(floor.at["2"], floor.basket) - 3)
    floor.whole = floor.attack_far = True
    assert find_place(floor, "4", "a step left of the far nail") == pytest.approx((3.0, 75.0))
    assert find_place(floor, "4", "a step below the far nail") == pytest.approx((0.0, 78.0))


def test_bare_players_and_feet(floor: Floor) -> None:
    """A defender goes onto an attacker; anyone else stops beside; feet are taken as they are."""
    assert find_place(floor, "x3", "2") == find_place(floor, "x3", "on 2")
    assert find_place(floor, "3", "2") == find_place(floor, "3", "near 2")
    assert find_place(floor, "3", "[13, 20]") == (13.0, 20.0)
    assert find_place(floor, "3", "-13.5, 2") == (-13.5, 2.0)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("the right elbwo", "did you mean 'right elbow'"),
        ("on 7", "7 is not on the floor"),
        ("help", "needs a player"),
        ("far rim", 'write court = "full"'),
        ("", "no place called"),
    ],
)
def test_wrong_places_say_why(floor: Floor, words: str, said: str) -> None:
    """A place that cannot be worked out is refused in words a coach can act on."""
    with pytest.raises(WrongPlace, match=said):
        find_place(floor, "3", words)


def test_ball_relations_need_a_ball(floor: Floor) -> None:
    """Nobody can deny a pass when there is no ball."""
    floor.balls = []
    with pytest.raises(WrongPlace, match="needs a ball"):
        find_place(floor, "x2", "deny")
    with pytest.raises(WrongPlace, match="no ball on the floor"):
        find_place(floor, "x2", "the ball")


def test_toward_never_overshoots() -> None:
    """A step towards a near thing goes half-way at most."""
    assert toward((0.0, 0.0), (2.0, 0.0), 3.0) == (1.0, 0.0)
    assert toward((1.0, 1.0), (1.0, 1.0), 3.0) == (1.0, 1.0)


def test_marks_keep_one_form() -> None:
    """Coaches are written large, defenders small."""
    assert (mark_of("c"), mark_of("X3"), mark_of("C2")) == ("C", "x3", "C2")
