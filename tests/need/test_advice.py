"""What one more game of film would tell."""

from __future__ import annotations

import pytest

from planner.need.advice import one_more_game
from planner.need.needs import assess
from planner.need.settings import NeedSettings
from tests.need import kit
from tests.need.test_needs import season

SMALL = kit.small()


def test_widths_now_are_those_of_the_needs() -> None:
    """The width now is the interval that the needs show."""
    games = season(3)
    shown = {one.principle: one for one in assess(games, SMALL, kit.LATER).principles}
    for one in one_more_game(games, SMALL, kit.LATER):
        assert one.width_now == pytest.approx(shown[one.principle].high - shown[one.principle].low)


def test_the_next_game_tells_less_and_less() -> None:
    """The second game narrows more than the twentieth."""
    early = one_more_game(season(1), SMALL, kit.LATER)
    late = one_more_game(season(20), SMALL, kit.LATER)
    mean = [sum(one.narrower for one in found) / len(found) for found in (early, late)]
    assert mean[0] > 0.05
    assert mean[1] < mean[0]


def test_points_tell_more_than_counts() -> None:
    """Noting every possession's points narrows more than counting alone, and a longer game more still."""
    games = season(4)

    def gain(**chosen: int | bool) -> float:
        found = one_more_game(games, SMALL, kit.LATER, **chosen)  # type: ignore[arg-type]
        return sum(one.width_now - one.width_then for one in found)

    assert gain(possessions=60) > gain(possessions=60, with_points=False) > 0
    assert gain(possessions=200) > gain(possessions=60)


def test_widest_gain_first_and_off_left_out() -> None:
    """The principle that gains most comes first; a principle with nothing switched on is not advised on."""
    chosen = NeedSettings(off=frozenset({"no-box-out", "inside-lost"}))
    found = one_more_game(season(2), SMALL, kit.LATER, chosen)
    gains = [one.width_now - one.width_then for one in found]
    assert gains == sorted(gains, reverse=True)
    assert "box-out" not in {one.principle for one in found}


def test_no_film_yet() -> None:
    """Before any film the first game is taken to be of usual length and tells a good deal."""
    found = one_more_game([], SMALL, kit.LATER)
    assert found[0].narrower > 0.1
    assert "narrower" in found[0].sentence


@pytest.mark.parametrize("half_life", [0.5, 6.0])
def test_foretold_width_comes_true(half_life: float) -> None:
    """Played and filmed, such a game narrows about as foretold, averaged over principles and games."""
    foretold = seen = 0.0
    chosen = NeedSettings(half_life_games=half_life)
    for seed in range(6):
        games = season(3, seed=seed, possessions=200)
        advised = one_more_game(games[:2], SMALL, kit.LATER, chosen)
        foretold += sum(one.width_then for one in advised)
        seen += sum(one.high - one.low for one in assess(games, SMALL, kit.LATER, chosen).principles)
    assert foretold == pytest.approx(seen, rel=0.05)
