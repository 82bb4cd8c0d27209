from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given, settings

from planner.court.braille import draw
from planner.court.frame import Frame

from .conftest import BREAK, SCREEN, SHELL, Reader
from .kit import frames


@pytest.mark.parametrize(("columns", "rows"), [(60, 26), (40, 16), (78, 20)])
def test_every_player_can_be_read(read: Reader, columns: int, rows: int) -> None:
    """At each size every player of the usual diagrams is there in real characters, a holder in brackets."""
    for text in (SHELL, SCREEN, BREAK):
        for frame in read(text)[0]:
            shown = str(draw(frame, columns, rows))
            for mark in frame.players:
                assert (f"({mark})" if mark in frame.balls else mark) in shown, (mark, shown)


@given(frames())
@settings(max_examples=40, deadline=None)
def test_any_diagram_fills_its_grid(frame: Frame) -> None:
    """Any diagram has the rows and columns asked for, one role to a cell, one column to a character."""
    for columns, rows in ((60, 26), (40, 16)):
        picture = draw(frame, columns, rows)
        assert len(picture.rows) == len(picture.roles) == rows
        for row, roles in zip(picture.rows, picture.roles, strict=True):
            assert len(row) == len(roles) == columns
            assert all(unicodedata.east_asian_width(one) not in {"W", "F"} for one in row)
            assert set(roles) <= set(" caodbw")
        assert draw(frame, columns, rows) == picture


def test_marks_at_the_edge_are_whole(read: Reader) -> None:
    """A mark of several characters at the very edge is shown whole."""
    (frame,), _ = read('[[diagram]]\nplayers = { 1 = "top" }\nwaiting = [[27.5, 20], [-27.5, 20]]')
    assert str(draw(frame)).count("∙∙∙") == 2


def test_arrow_ends_point_the_way(read: Reader) -> None:
    """Ends are real characters that say direction and action."""
    (frame,), _ = read(
        '[[diagram]]\nball = "1"\n'
        "players = { 1 = [-15, 20], 2 = [15, 20], 3 = [0, 28], x3 = [0, 12], 4 = [-20, 5] }\n"
        'moves = ["2 cuts to [22, 20]", "x3 closes out to [0, 22]", "4 screens x3", "1 passes to 3"]'
    )
    shown = str(draw(frame))
    for end in "→⇓":
        assert end in shown
    assert any(one in shown for one in "┤┴├┬")


def test_roles_tell_actions_from_lines(read: Reader) -> None:
    """A screen can dim the court and colour the sides: every role of the picture is marked."""
    (frame,), _ = read(SCREEN)
    roles = "".join(draw(frame).roles)

    for role in "caodbw":
        assert role in roles, role
