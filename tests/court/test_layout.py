from __future__ import annotations

import math
from itertools import combinations

import pytest
from hypothesis import given, settings

from planner.court.frame import Frame, is_defender
from planner.court.layout import lay_out
from planner.court.polyline import curve, cut, evenly, run_length
from planner.court.sheet import CARD, THUMB, Size, View, spread

from .conftest import BREAK, SCREEN, SHELL, Reader
from .kit import frames

VIEW = View(27.6, 37.0, whole=False, scale=0.6)


def laid(frame: Frame, size: Size = THUMB):
    view = View.of(frame, size.width)
    return lay_out(frame, view, size.reach * 0.92, size.reach, size.digit * 0.12)


def test_half_court_has_its_basket_on_top(read: Reader) -> None:
    """On a half court attackers look up the page: their right is the page's right, the basket is on top."""
    (frame, _), _ = read(SHELL)
    view = View.of(frame, 33.0)

    assert view.width == pytest.approx(33.0)
    assert view.at((10.0, 5.0))[0] > view.at((-10.0, 5.0))[0]
    assert view.at((0.0, 5.0))[1] < view.at((0.0, 20.0))[1]


def test_full_court_lies_down_without_a_mirror(read: Reader) -> None:
    """A full court is turned, not mirrored: facing the near basket on the left, right is up the page."""
    (frame,), _ = read(BREAK)
    view = View.of(frame, 33.0)

    assert view.width == pytest.approx(33.0)
    assert view.at((0.0, 5.0))[0] < view.at((0.0, 80.0))[0]
    assert view.at((10.0, 5.0))[1] < view.at((-10.0, 5.0))[1]


def test_defenders_give_way_and_the_ball_stays() -> None:
    """A defender on top of the ball holder is pushed off; the holder does not move."""
    wanted = {"1": (10.0, 10.0), "x1": (10.5, 9.5)}
    places = spread(wanted, {"1": 2.0, "x1": 1.8}, {"1"}, (16.0, 3.0), VIEW, 0.2)

    assert places["1"] == (10.0, 10.0)
    assert math.dist(places["1"], places["x1"]) >= 4.0 - 1e-6


def test_a_defender_on_the_very_spot_goes_towards_the_basket() -> None:
    """Two on one point part along the line to the basket, the defender on its inside."""
    places = spread(
        {"2": (10.0, 10.0), "x2": (10.0, 10.0)}, {"2": 2.0, "x2": 2.0}, set(), (10.0, 0.0), VIEW, 0.0
    )
    assert places["2"] == (10.0, 10.0)
    assert places["x2"] == pytest.approx((10.0, 6.0))


def test_a_wedged_defender_gets_out_sideways() -> None:
    """A defender between two attackers who stand too close for a third symbol is drawn beside them."""
    wanted = {"1": (16.0, 10.0), "2": (20.0, 10.0), "x1": (18.0, 10.0)}
    places = spread(wanted, dict.fromkeys(wanted, 1.9), set(), (16.0, 3.0), VIEW, 0.1)

    assert places["1"] == (16.0, 10.0)
    assert min(math.dist(places["x1"], places[one]) for one in ("1", "2")) >= 3.9 - 1e-3


@given(frames())
@settings(max_examples=60, deadline=None)
def test_no_layout_moves_the_ball_or_leaves_the_paper(frame: Frame) -> None:
    """However crowded, every symbol stays on the drawing and a holder stays at his place."""
    for size in (THUMB, CARD):
        layout = laid(frame, size)
        view = layout.view
        for mark, (x, y) in layout.symbols.items():
            assert 0 < x < view.width
            assert 0 < y < view.height
            if mark in frame.balls:
                room = layout.radii[mark] + size.digit * 0.12
                assert (x, y) == pytest.approx(view.kept(view.at(frame.players[mark]), room))


def test_usual_diagrams_have_no_overlap(read: Reader) -> None:
    """In the shell, the ball screen and the break no symbol covers another, even at 33 mm."""
    for text in (SHELL, SCREEN, BREAK):
        for frame in read(text)[0]:
            layout = laid(frame)
            for one, two in combinations(layout.symbols, 2):
                apart = math.dist(layout.symbols[one], layout.symbols[two])
                assert apart >= layout.radii[one] + layout.radii[two] - 1e-6, (one, two)


def test_attackers_keep_their_places(read: Reader) -> None:
    """Only defenders were moved in the shell."""
    (frame, _), _ = read(SHELL)
    layout = laid(frame)

    for mark, point in frame.players.items():
        if not is_defender(mark):
            assert layout.symbols[mark] == pytest.approx(layout.view.at(point), abs=1.0)


def test_strokes_start_and_end_outside_symbols(read: Reader) -> None:
    """A pass leaves the passer's circle and stops before the receiver's digit."""
    (frame, _), _ = read(SHELL)
    layout = laid(frame)
    pass_ = layout.traces[0]

    assert pass_.move.kind == "pass"
    assert math.dist(pass_.points[0], layout.symbols["1"]) >= layout.radii["1"]
    assert math.dist(pass_.points[-1], layout.symbols["2"]) >= layout.radii["2"]


def test_a_bar_clears_the_player_screened(read: Reader) -> None:
    """A screen's bar stands beside the screened player's symbol even when that was pushed away."""
    (frame,), _ = read(SCREEN)
    layout = laid(frame)
    screen = next(one for one in layout.traces if one.move.kind == "screen")

    assert math.dist(screen.points[-1], layout.symbols["x1"]) >= layout.radii["x1"]


def test_a_bar_keeps_its_distance(read: Reader) -> None:
    """A screen set close to a defender is drawn a quarter of a symbol clear of it."""
    (frame,), _ = read(
        '[[diagram]]\nplayers = { 1 = "top", 5 = "right block", x1 = "on" }\nball = "1"\n'
        'moves = ["5 screens for 1"]'
    )
    layout = laid(frame)
    apart = math.dist(layout.traces[0].points[-1], layout.symbols["x1"])
    assert apart >= layout.radii["x1"] * 1.24


def test_strokes_stay_on_the_paper(read: Reader) -> None:
    """A way round a player who stands at the sideline does not leave the drawing."""
    (frame,), _ = read(
        "[[diagram]]\nplayers = { 1 = [25.5, 28], 2 = [25.5, 15] }\n"
        'moves = ["1 runs to [25.5, 2]", "1 runs over 2 to [25, 28]"]'
    )
    layout = laid(frame)
    assert [len(one.points) > 3 for one in layout.traces] == [True, True]
    for trace in layout.traces:
        assert all(0 <= x <= layout.view.width for x, _ in trace.points)


def test_a_screener_already_there_still_gets_a_bar(read: Reader) -> None:
    """A screen without a run is drawn as a short stroke towards the player screened."""
    (frame,), _ = read(
        '[[diagram]]\nplayers = { 4 = [0, 18], 3 = [0, 28], x3 = [0, 20.5] }\nmoves = ["4 screens for 3"]'
    )
    (trace,) = laid(frame).traces
    assert trace.move.kind == "screen"
    assert 0 < run_length(trace.points) < 3


def test_a_stroke_goes_round_a_player(read: Reader) -> None:
    """A run whose straight way leads through another player is bowed around; a free one is straight."""
    blocked, _ = read('[[diagram]]\nplayers = { 1 = [-20, 15], 2 = [0, 15] }\nmoves = ["1 cuts to [20, 15]"]')
    free, _ = read('[[diagram]]\nplayers = { 1 = [-20, 15], 2 = [0, 25] }\nmoves = ["1 cuts to [20, 15]"]')
    around, straight = laid(blocked[0]), laid(free[0])

    assert len(straight.traces[0].points) == 2
    nearest = min(math.dist(one, around.symbols["2"]) for one in evenly(around.traces[0].points, 0.2))
    assert nearest > around.radii["2"] * 0.9


def test_there_and_back_do_not_lie_on_each_other(read: Reader) -> None:
    """A pass and the pass back are two strokes one can tell apart."""
    (frame,), _ = read(
        '[[diagram]]\nplayers = { 1 = "left wing", 2 = "right wing" }\nball = "1"\n'
        'moves = ["1 passes to 2", "2 passes to 1"]'
    )
    there, back = laid(frame).traces
    middle = there.points[len(there.points) // 2 - 1 : len(there.points) // 2 + 1]
    half_way = ((middle[0][0] + middle[-1][0]) / 2, (middle[0][1] + middle[-1][1]) / 2)
    assert min(math.dist(half_way, one) for one in evenly(back.points, 0.2)) > 1.0


def test_sums_on_polylines() -> None:
    """Cutting takes off exactly that length, a curve passes through its middle, samples keep both ends."""
    path = [(0.0, 0.0), (3.0, 0.0), (3.0, 4.0)]
    assert run_length(cut(path, 4.0)) == pytest.approx(3.0)
    assert cut(path, 4.0)[0] == pytest.approx((3.0, 1.0))
    assert cut(path, 7.5) == []
    assert curve((0.0, 0.0), (1.0, 1.0), (2.0, 0.0))[4] == pytest.approx((1.0, 1.0))
    assert evenly(path, 1.0)[0] == path[0]
    assert evenly(path, 1.0)[-1] == pytest.approx(path[-1])
    assert len(evenly(path, 1.0)) == 8
