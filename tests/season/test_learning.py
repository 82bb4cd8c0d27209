from __future__ import annotations

import datetime as dt
import math

import numpy as np
import pytest

from planner.need.carry import carry_over
from planner.need.estimate import WatchedGame
from planner.problem import Refusal
from planner.season.learning import USUAL, Learning, learn
from tests.season.kit import MONDAY, game, words


def made(r: float, tau: float, half_life: float, games: int, thick: int = 1, most: int = 60) -> Learning:
    """Return what is learnt from a season simulated with known weights (seed fixed)."""
    dice = np.random.default_rng(7)
    names = [one.id for one in words().principles]
    minutes = [
        (
            MONDAY + dt.timedelta(days=2 * number),
            {name: float(dice.integers(0, most)) * (number // 8 % 2) for name in names},
        )
        for number in range(games * 2)
    ]
    played = []
    for number in range(games):
        day = MONDAY + dt.timedelta(days=4 * number + 3)
        carried = carry_over([one for one in minutes if one[0] < day], day, half_life)
        counts = {}
        for one in words().breakdowns:
            reached = -math.expm1(-carried.get(one.principle, 0.0) / tau)
            expected = one.usual_rate / 100 * 60 * thick * (1 - r * reached)
            counts[one.id] = int(dice.poisson(expected))
        played.append(WatchedGame(str(number), day, 60 * thick, counts))
    return learn(played, minutes, words())


def test_before_any_data_the_belief_is_the_usual_weight() -> None:
    """The prior's medians are the planning weights, its limits log-normal about them."""
    for one in made(0.35, 30, 14, 10).weights:
        median, spread = USUAL[one.key]
        assert one.before == pytest.approx(median, rel=1e-6)
        assert one.before_high == pytest.approx(median * math.exp(1.645 * spread), rel=0.06)


def test_a_usual_season_tells_little() -> None:
    """Fifteen games and a few minutes each narrow no belief by a third: it says how little was told."""
    found = made(0.35, 30, 14, 15, most=8)
    assert all(0.0 <= one.narrowed < 1 / 3 for one in found.weights)
    assert found.games == 15


def test_much_data_finds_the_weights_it_was_made_with() -> None:
    """Eighty games of ten times the film move r from 0.35 to where it was: 0.6, and down to 0.1."""
    high, low = made(0.6, 30, 14, 80, thick=10), made(0.1, 30, 14, 80, thick=10)
    assert high.weights[0].after == pytest.approx(0.6, abs=0.1)
    assert low.weights[0].after < 0.2
    assert high.weights[0].narrowed > 0.5
    assert not high.little


def test_too_little_is_refused() -> None:
    """Five games, or no minutes, teach nothing."""
    minutes = [(MONDAY, {"tag": 10.0})]
    with pytest.raises(Refusal, match="5 games with film"):
        learn([game(number, no_tag=1) for number in range(5)], minutes, words())
    with pytest.raises(Refusal, match="0 minutes logged"):
        learn([game(number, no_tag=1) for number in range(9)], [(MONDAY, {})], words())


def test_film_in_which_nothing_was_seen_is_no_division_by_zero() -> None:
    """Games without any breakdown leave the belief as it was, more or less."""
    found = learn([game(number) for number in range(8)], [(MONDAY, {"tag": 10.0})], words())
    assert all(math.isfinite(one.after) and one.low <= one.after <= one.high for one in found.weights)
