from __future__ import annotations

import math

import pytest

from planner.court.frame import Move
from planner.court.geometry import Court
from planner.court.moves import read_move
from planner.court.places import Floor, WrongPlace, find_place


@pytest.fixture
def floor(college: Court) -> Floor:
    """Five against five, 1 with the ball at the top."""
    made = Floor(college)
    spots = {"1": "top", "2": "right wing", "3": "left corner", "4": "left elbow", "5": "right block"}
    for mark, words in spots.items():
        made.at[mark] = find_place(made, mark, words)
    made.balls = ["1"]
    for mark in spots:
        made.at[f"x{mark}"] = find_place(made, f"x{mark}", "on")
    made.at["C"] = (-24.0, 28.0)
    return made


def one(floor: Floor, sentence: str) -> Move:
    (move,) = read_move(floor, sentence)
    return move


@pytest.mark.parametrize(
    ("sentence", "kind"),
    [
        ("1 passes to 2", "pass"),
        ("1 throws it to the 2.", "pass"),
        ("1 swings the ball to 2", "pass"),
        ("1 kicks out to 3", "pass"),
        ("1 dribbles hard to the left slot", "dribble"),
        ("1 attacks the rim", "dribble"),
        ("3 cuts to the rim", "run"),
        ("3 fills the left slot", "run"),
        ("x4 drops back to the split line", "run"),
        ("x2 jumps to the ball", "run"),
        ("x3 picks up 4", "run"),
        ("x3 switches onto 4", "run"),
        ("x4 tags 5", "run"),
        ("x2 denies 2", "run"),
        ("x3 helps at the rim", "run"),
        ("x1 goes under 5", "run"),
        ("x3 closes out on 3", "closeout"),
        ("x3 closes out", "closeout"),
        ("x2 bluffs at 1", "bluff"),
        ("x2 stunts at the ball", "bluff"),
        ("5 screens for 2", "screen"),
        ("5 sets a ball screen for 1 at [6, 22]", "screen"),
        ("4 screens x3", "screen"),
        ("x4 boxes out", "box-out"),
        ("x2 traps 1", "trap"),
        ("1 shoots", "shot"),
        ("x3 stays", "stay"),
    ],
)
def test_verbs(floor: Floor, sentence: str, kind: str) -> None:
    """Each trade word is read as its action, and the move starts where the player is."""
    start = dict(floor.at)
    move = one(floor, sentence)

    assert move.kind == kind
    assert move.path[0] == start[move.actor]
    assert move.said == sentence


def test_the_ball_goes_with_the_pass(floor: Floor) -> None:
    """After a pass the receiver has the ball and the passer has not."""
    move = one(floor, "1 passes to 2")

    assert floor.balls == ["2"]
    assert (move.target, move.path[-1]) == ("2", floor.at["2"])
    with pytest.raises(WrongPlace, match="1 has no ball, so 1 cannot pass"):
        read_move(floor, "1 passes to 3")


def test_players_stand_where_they_ran(floor: Floor) -> None:
    """A second move starts where the first one ended."""
    first = one(floor, "3 cuts to the rim")
    second = one(floor, "3 sprints to the right corner")

    assert second.path[0] == first.path[-1]
    assert floor.at["3"] == find_place(floor, "3", "right corner")


def test_nobody_runs_with_the_ball(floor: Floor) -> None:
    """Who has the ball must dribble: running with it is a slip of the pen."""
    with pytest.raises(WrongPlace, match="write 'dribbles'"):
        read_move(floor, "1 cuts to the rim")


def test_a_bluff_comes_back(floor: Floor) -> None:
    """A bluff leads towards the driver and leaves the defender where he was."""
    before = floor.at["x2"]
    move = one(floor, "x2 bluffs at 1")

    assert floor.at["x2"] == before
    assert math.dist(move.path[-1], floor.at["1"]) < math.dist(before, floor.at["1"])
    assert math.dist(before, move.path[-1]) <= math.dist(before, floor.at["1"]) / 2 + 1e-9


def test_a_screen_is_set_on_the_defender(floor: Floor) -> None:
    """A screen for 2 ends close to x2, on the screener's side, and is aimed at x2."""
    before = floor.at["5"]
    move = one(floor, "5 screens for 2")

    assert move.target == "x2"
    assert math.dist(move.path[-1], floor.at["x2"]) == pytest.approx(2.5)
    assert math.dist(move.path[-1], before) < math.dist(floor.at["x2"], before)


def test_over_and_under_pass_a_screener_on_different_sides(floor: Floor) -> None:
    """Under a screen is the basket's side of it, over is the ball's."""
    floor.at["5"] = (6.0, 24.0)
    floor.at["x1"] = (10.0, 23.0)
    floor.at["1"] = (-2.0, 28.0)
    under = one(floor, "x1 goes under 5 to 1").path[1]
    floor.at["x1"] = (10.0, 23.0)
    over = one(floor, "x1 fights over 5").path[1]

    assert (
        math.dist(under, floor.basket) < math.dist((6.0, 24.0), floor.basket) < math.dist(over, floor.basket)
    )


def test_a_hand_off_brings_the_receiver(floor: Floor) -> None:
    """A far receiver runs to the giver first; a near one does not move."""
    run, give = read_move(floor, "1 hands the ball off to 2")

    assert (run.kind, run.actor, give.kind, give.target) == ("run", "2", "hand-off", "2")
    assert math.dist(floor.at["2"], floor.at["1"]) == pytest.approx(3.0)
    assert floor.balls == ["2"]
    assert [move.kind for move in read_move(floor, "2 hands off to 1")] == ["hand-off"]


def test_a_shot_leaves_a_loose_ball_to_rebound(floor: Floor) -> None:
    """After a shot the ball is at the rim, nobody's, until somebody rebounds."""
    read_move(floor, "1 shoots")
    assert floor.balls == [floor.court.basket]
    read_move(floor, "x3 rebounds at the left block")
    assert floor.balls == ["x3"]
    with pytest.raises(WrongPlace, match="no loose ball"):
        read_move(floor, "x4 rebounds")


def test_a_shot_goes_to_the_nearer_basket(college: Court) -> None:
    """On a full court the shot goes to the basket the shooter is near."""
    floor = Floor(college, whole=True, at={"1": (0.0, 80.0)}, balls=["1"])
    assert one(floor, "1 shoots").path[-1] == college.across(college.basket)


def test_several_do_the_same(floor: Floor) -> None:
    """Several players named together each make the move."""
    moves = read_move(floor, "x2, x3 and x4 sprint to help")

    assert [move.actor for move in moves] == ["x2", "x3", "x4"]
    assert len({move.path[-1] for move in moves}) == 3


@pytest.mark.parametrize(
    ("sentence", "said"),
    [
        ("the guard passes", "a move starts with a player"),
        ("", "a move starts with a player"),
        ("7 cuts to the rim", "7 is not on the floor"),
        ("1 passes to 7", "7 is not on the floor"),
        ("1 passes", "a pass needs a receiver"),
        ("1 passes to 1", "cannot pass to 1"),
        ("3 levitates to the rim", "'levitates' is no action"),
        ("3 cuts", "needs to say where"),
        ("3 cuts to the rimm", "did you mean 'rim'"),
        ("5 screens", "needs a player"),
        ("C passes to 2", "C has no ball"),
        ("x4 bumps the cutter", "needs a player"),
        ("1 hands off to 2 at the top", "first bring the ball there"),
    ],
)
def test_what_cannot_be_is_refused(floor: Floor, sentence: str, said: str) -> None:
    """A sentence that makes no sense is refused with the reason, and changes nothing."""
    before = (dict(floor.at), list(floor.balls))
    with pytest.raises(WrongPlace, match=said):
        read_move(floor, sentence)
    assert (dict(floor.at), list(floor.balls)) == before
