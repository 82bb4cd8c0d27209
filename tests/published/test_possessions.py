"""Possessions from worked box scores."""

from __future__ import annotations

import pytest

from planner.need.possessions import K_COLLEGE, BoxScore, pace, possessions
from planner.problem import Refusal

# High school game A (overtime): ronsenbasketball blog, December 2023 (read). Game B: February 2023 (read).
GAME_A = BoxScore(field_goals_tried=55, offensive_rebounds=12, turnovers=23, free_throws_tried=19)
GAME_B = BoxScore(field_goals_tried=44, offensive_rebounds=6, turnovers=22, free_throws_tried=13)


def test_game_a() -> None:
    """Printed: 74 possessions and 0.61 points on each, with k 0.44 (the page rounds 8.36 to 8 on the way)."""
    found = possessions(GAME_A)
    assert found.value == pytest.approx(74.36)
    assert found.whole == 74
    assert round(45 / found.value, 2) == 0.61
    assert found.k == 0.44


def test_game_b() -> None:
    """Printed: 66 possessions and 0.59 points on each, with the college k 0.475."""
    found = possessions(GAME_B, k=K_COLLEGE)
    assert found.value == pytest.approx(66.175)
    assert found.whole == 66
    assert round(39 / found.value, 2) == 0.59


@pytest.mark.parametrize(
    ("k", "a", "b"), [(0.40, 73.60, 65.20), (0.44, 74.36, 65.72), (0.475, 75.025, 66.175)]
)
def test_other_schools(k: float, a: float, b: float) -> None:
    """Other k in use move the answer by a possession or so (recomputed by hand)."""
    assert possessions(GAME_A, k=k).value == pytest.approx(a)
    assert possessions(GAME_B, k=k).value == pytest.approx(b)


def test_both_teams_are_averaged() -> None:
    """With both totals the mean is taken, as for college games (quoted from a published glossary, read)."""
    assert possessions(GAME_A, GAME_B).value == pytest.approx((74.36 + 65.72) / 2)


def test_pace() -> None:
    """100 possessions in 240 player-minutes are a pace of 100 per 48 (hoopR documentation, read)."""
    assert pace(100, 240, 48) == 100
    assert pace(74.36, 5 * 36, 32) == pytest.approx(74.36 * 32 / 36)


def test_nonsense_is_refused() -> None:
    """Totals below 0, or no possessions at all, are refused in a sentence."""
    with pytest.raises(Refusal, match="below 0"):
        possessions(BoxScore(55, -1, 23, 19))
    with pytest.raises(Refusal, match="no possessions"):
        possessions(BoxScore(3, 12, 0, 0))
    with pytest.raises(Refusal, match="minutes"):
        pace(70, 0, 32)
