from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.court.frame import Move, MoveKind
from planner.court.layout import Trace
from planner.court.polyline import direction, run_length
from planner.court.sheet import THUMB
from planner.court.strokes import action_lines, bar, dashes, head, wave

LINE = ((0.0, 0.0), (20.0, 0.0))


def drawn(kind: MoveKind) -> tuple[list[list[tuple[float, float]]], list[list[tuple[float, float]]]]:
    return action_lines(Trace(Move(kind, "1", LINE, None, ""), LINE), THUMB)


@pytest.mark.parametrize(
    ("kind", "strokes", "heads"),
    [
        ("run", 1, 1),
        ("dribble", 1, 1),
        ("shot", 2, 1),
        ("closeout", 1, 2),
        ("bluff", 1, 2),
        ("screen", 2, 0),
        ("box-out", 2, 0),
        ("trap", 2, 0),
        ("hand-off", 2, 0),
    ],
)
def test_each_action_has_its_mark(kind: MoveKind, strokes: int, heads: int) -> None:
    """Every action has its own strokes and heads: a bar has no head, a closeout has two, and so on."""
    lines, ends = drawn(kind)

    assert (len(lines), len(ends)) == (strokes, heads)


def test_a_pass_is_dashed() -> None:
    """A pass is many short strokes, a run a single one."""
    lines, _ = drawn("pass")

    assert len(lines) > 8
    assert all(run_length(one) < 1.5 for one in lines)


def test_a_dribble_zigzags() -> None:
    """A dribble swings to both sides of its line and ends on it."""
    (line,), _ = drawn("dribble")

    assert min(y for _, y in line) < -0.3
    assert max(y for _, y in line) > 0.3
    assert line[-1][1] == pytest.approx(0.0)


def test_the_head_points_where_the_move_ends() -> None:
    """The arrow's tip is the end of the move; a bluff also points back at its start."""
    _, (tip,) = drawn("run")
    _, two = drawn("bluff")

    assert tip[0] == LINE[-1]
    assert {one[0] for one in two} == {LINE[0], LINE[-1]}


def test_a_bar_is_square_to_its_stroke() -> None:
    """The cross-bar is centred on the end and perpendicular to the last bit of the stroke."""
    (ax, ay), (bx, by) = bar([(0.0, 0.0), (3.0, 4.0)], 2.0)

    assert ((ax + bx) / 2, (ay + by) / 2) == pytest.approx((3.0, 4.0))
    assert (bx - ax) * 3 + (by - ay) * 4 == pytest.approx(0.0)
    assert math.dist((ax, ay), (bx, by)) == pytest.approx(2.0)


@given(st.floats(0.3, 80), st.floats(0.4, 3))
def test_dashes_start_and_end_whole(length: float, dash: float) -> None:
    """Dashes cover both ends of a line whatever its length, and never overlap."""
    strokes = dashes([(0.0, 0.0), (length, 0.0)], dash)

    assert strokes[0][0][0] == pytest.approx(0.0, abs=1e-6)
    assert strokes[-1][-1][0] == pytest.approx(length, abs=1e-6)
    for before, after in pairwise(strokes):
        assert before[-1][0] < after[0][0]


@given(st.floats(1, 80))
def test_waves_keep_their_ends(length: float) -> None:
    """A zig-zag starts and ends where its line does."""
    line = wave([(0.0, 0.0), (length, 0.0)], THUMB)
    assert (line[0], line[-1]) == ((0.0, 0.0), (length, 0.0))


def test_directions_of_nothing() -> None:
    """A stroke without length still has a direction, so that no mark is lost in a division by nothing."""
    assert direction([(1.0, 1.0), (1.0, 1.0)]) == (0.0, -1.0)
    assert len(head([(1.0, 1.0), (1.0, 1.0)], 2.0)) == 3
