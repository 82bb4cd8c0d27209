from __future__ import annotations

from hypothesis import given, settings

from planner.court.describe import describe
from planner.court.frame import Frame

from .conftest import BREAK, SCREEN, SHELL, Reader
from .kit import frames


def test_a_frame_in_words(read: Reader) -> None:
    """The description says who stands where, who has the ball, and then what happens, in order."""
    (first, second), _ = read(SHELL)

    assert describe(first) == (
        "Shell. Half court."
        " Attackers: 1 at the right slot, 2 at the right corner, 3 at the left corner and 4 at the left slot."
        " Defenders: x1 guarding 1, x2 denying 2, x3 in help, at the left low paint and x4 in the gap off 4."
        " 1 has the ball."
        " Then: 1 passes to 2; x2 closes out to 2; x1 jumps to the ball; x4 drops to help 4."
    )
    assert "2 has the ball. Then: 2 skips to 3; x3 closes out to 3." in describe(second)


def test_everything_drawn_is_said(read: Reader) -> None:
    """Coach, cones, waiting lines and a full court are mentioned."""
    (frame,), _ = read(SCREEN)
    (full,), _ = read(BREAK)

    for words in (
        "Coach: C at the left sideline",
        "1 cone on the floor",
        "1 line of waiting players at the left baseline",
    ):
        assert words in describe(frame)
    assert describe(full).startswith("Full court.")


def test_a_hand_off_is_said_once(read: Reader) -> None:
    """A sentence that draws two strokes is read out once."""
    (frame,), _ = read(
        '[[diagram]]\nplayers = { 1 = "top", 2 = "left corner" }\nball = "1"\nmoves = ["1 hands off to 2"]'
    )
    assert describe(frame).count("1 hands off to 2") == 1


@given(frames())
@settings(max_examples=40, deadline=None)
def test_nobody_is_left_out(frame: Frame) -> None:
    """Every player on the floor and every loose ball is in the words."""
    said = describe(frame)
    for mark in frame.players:
        assert f"{mark} " in said
    if any(not isinstance(one, str) for one in frame.balls):
        assert "a ball lies" in said.lower()
