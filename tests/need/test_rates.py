"""How often: the gamma belief and what moves it."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.need.estimate import WatchedGame
from planner.need.film import Film, gather
from planner.need.gamma import fit_together, gamma_fit
from planner.need.rates import Rates, estimate_rates, library_prior, memory
from planner.need.settings import NeedSettings
from tests.need import kit

SMALL = kit.small()
AT = {one.id: column for column, one in enumerate(SMALL.breakdowns)}
BOX = AT["no-box-out"]


def rates_of(games: list[WatchedGame], settings: NeedSettings | None = None) -> Rates:
    settings = settings or NeedSettings()
    return estimate_rates(gather(games, SMALL, kit.LATER, settings), SMALL, settings)


def test_posterior_by_hand() -> None:
    """Gamma(a + sum w c, b + sum w E): three games, the oldest worth 2^(-2/6), a prior of 60 possessions."""
    games = [kit.game(0, {"no-box-out": 3}, 50), kit.game(1, {"no-box-out": 6}), kit.game(2, {}, 70)]
    found = rates_of(games)
    one, two = 2 ** (-1 / 6), 2 ** (-2 / 6)
    assert found.shape[BOX] == pytest.approx(0.07 * 60 + two * 3 + one * 6)
    assert found.weight[BOX] == pytest.approx(60 + two * 50 + one * 60 + 70)
    assert found.prior == "library"
    assert found.film_share[BOX] == pytest.approx(1 - 60 / found.weight[BOX])


def test_no_film_is_the_library() -> None:
    """With no film the rate is the usual one, all of it believed and none of it seen."""
    found = rates_of([])
    assert found.mean[BOX] == pytest.approx(0.07)
    assert found.film_share[BOX] == 0.0


def test_rare_breakdowns_can_move() -> None:
    """A breakdown whose usual rate is 0 starts at a quarter in 100, with a belief of shape a half."""
    vocabulary = dataclasses.replace(SMALL, breakdowns=(kit.breakdown("odd", "talk", rate=0.0),))
    prior = library_prior(vocabulary, NeedSettings())
    assert (prior.shape[0], prior.weight[0]) == pytest.approx((0.5, 200.0))


def test_same_day_games_are_equally_old() -> None:
    """Two games on one day of a tournament weigh the same."""
    games = [kit.game(0, {}), dataclasses.replace(kit.game(0, {}), game="second"), kit.game(1, {})]
    film = gather(games, SMALL, kit.LATER, NeedSettings())
    assert film.ago.tolist() == [1.0, 1.0, 0.0]


def test_later_games_are_not_looked_at() -> None:
    """As of a day, only what had been played by that day counts."""
    games = [kit.game(0, {"no-box-out": 2}), kit.game(5, {"no-box-out": 30})]
    film = gather(games, SMALL, games[0].date, NeedSettings())
    assert [one.game for one in film.games] == ["game-0"]


counts = st.integers(0, 12)
some_games = st.lists(st.tuples(counts, st.integers(30, 90)), min_size=1, max_size=5)


def played(pairs: list[tuple[int, int]]) -> list[WatchedGame]:
    return [kit.game(day, {"no-box-out": seen}, over) for day, (seen, over) in enumerate(pairs)]


@given(some_games, st.integers(90, 120))
def test_a_worse_game_never_lowers_the_rate(pairs: list[tuple[int, int]], over: int) -> None:
    """One more game, no shorter than the others and no better than any of them or than usual: never lower."""
    before = rates_of(played(pairs)).mean[BOX]
    worst = max(0.07, *(seen / length for seen, length in pairs))
    after = rates_of(played([*pairs, (math.ceil(worst * over), over)])).mean[BOX]
    assert after >= before - 1e-12


@given(some_games, st.data())
def test_one_more_sighting_raises_the_rate(pairs: list[tuple[int, int]], data: st.DataObject) -> None:
    """Seeing it once more in any game raises its rate."""
    which = data.draw(st.integers(0, len(pairs) - 1))
    more = [(seen + (day == which), over) for day, (seen, over) in enumerate(pairs)]
    assert rates_of(played(more)).mean[BOX] > rates_of(played(pairs)).mean[BOX]


@given(st.lists(st.tuples(counts, st.integers(30, 90)), max_size=12), st.floats(0.5, 20.0))
def test_limits_hold_the_mean(pairs: list[tuple[int, int]], half_life: float) -> None:
    """The interval always holds the rate, whatever the film."""
    found = rates_of(played(pairs), NeedSettings(half_life_games=half_life))
    low, high = found.limits()
    assert (low < found.mean).all()
    assert (found.mean < high).all()
    assert ((found.film_share >= 0) & (found.film_share < 1)).all()


@given(st.permutations(range(8)))
def test_order_of_games_does_not_matter(order: list[int]) -> None:
    """Games given in any order give the same numbers to the last bit: their dates tell the order."""
    games = [kit.game(day, {"no-box-out": day % 5, "no-talk": 8 - day}, 55 + day) for day in range(8)]
    plain, mixed = rates_of(games), rates_of([games[day] for day in order])
    assert np.array_equal(plain.shape, mixed.shape)
    assert np.array_equal(plain.spread_weight, mixed.spread_weight)


def test_steady_season_forgets_nothing() -> None:
    """A team that stays as it is gets its whole season back: prior 'season', a weight of all possessions."""
    games = [kit.game(day, {"no-box-out": 6, "late-closeout": 3, "no-talk": 2}) for day in range(12)]
    found = rates_of(games)
    assert found.prior == "season"
    assert found.weight[BOX] == pytest.approx(60 + 12 * 60)


def test_changed_team_forgets() -> None:
    """A team that changed in mid-season is judged by its recent games: well under its season's rate."""
    games = [kit.game(day, {"no-box-out": 12 if day < 8 else 2}) for day in range(14)]
    film = gather(games, SMALL, kit.LATER, NeedSettings())
    assert memory(film, library_prior(SMALL, NeedSettings()), 6.0) == 0.0
    found = rates_of(games)
    whole = (8 * 12 + 6 * 2) / (14 * 60)
    assert found.mean[BOX] < 0.8 * whole
    assert found.prior == "library"


def test_memory_is_the_likeliest() -> None:
    """The part given back has the largest likelihood, written out here game by game."""
    games = [kit.game(day, {"no-box-out": seen}) for day, seen in enumerate((9, 7, 8, 3, 4, 6, 2, 5))]
    film = gather(games, SMALL, kit.LATER, NeedSettings())
    prior = library_prior(SMALL, NeedSettings())

    def told(part: float) -> float:
        total = 0.0
        for now in range(1, 8):
            for b in range(5):
                shape, weight = prior.shape[b], prior.weight[b]
                for then in range(now):
                    aged = 2 ** (-(now - 1 - then) / 6)
                    kept = aged + part * (1 - aged)
                    shape, weight = shape + kept * film.counts[then, b], weight + kept * 60
                seen = film.counts[now, b]
                total += math.lgamma(shape + seen) - math.lgamma(shape)
                total += shape * math.log(weight / (weight + 60)) + seen * math.log(60 / (weight + 60))
        return total

    parts = (0.0, 0.25, 0.5, 0.75, 1.0)
    assert memory(film, prior, 6.0) == max(parts, key=told)


def test_swings_widen() -> None:
    """Where games differ by more than chance the interval is wider, flagged, and the rate the same."""
    even = [kit.game(day, {"no-box-out": 6}) for day in range(5)]
    wild = [kit.game(day, {"no-box-out": seen}) for day, seen in enumerate((0, 15, 0, 15, 0))]
    steady, swinging = rates_of(even), rates_of(wild)
    assert not steady.overdispersed[BOX]
    assert swinging.overdispersed[BOX]
    assert swinging.mean[BOX] == pytest.approx(swinging.spread_shape[BOX] / swinging.spread_weight[BOX])
    assert swinging.spread_weight[BOX] < 0.5 * steady.spread_weight[BOX]


def test_a_common_swing_widens_all() -> None:
    """A swing too small to flag in any one breakdown, but shared, widens all by 1 + mean count / shape."""
    swing = (2, 9, 4, 10, 5)
    found = rates_of([kit.game(day, dict.fromkeys(AT, seen)) for day, seen in enumerate(swing)])
    shape = gamma_fit(swing).shape
    film = found.weight - 60
    assert shape < 100
    assert not found.overdispersed.any()
    assert found.spread_weight == pytest.approx(60 + film / (1 + np.mean(swing) / shape), rel=1e-5)


def test_one_shape_for_all() -> None:
    """The common shape is the likeliest one when each breakdown keeps its own mean (searched on a grid)."""
    counts = np.array([[3, 1, 6], [8, 2, 5], [0, 1, 6], [14, 3, 7], [5, 2, 6]], dtype=float)
    means = counts.mean(axis=0)

    def told(shape: float) -> float:
        return sum(
            math.lgamma(shape + seen) - math.lgamma(shape) - (shape + seen) * math.log(shape + mean)
            for column, mean in zip(counts.T, means, strict=True)
            for seen in column
        ) + counts.size * shape * math.log(shape)

    best = max(np.exp(np.linspace(-2, 6, 1601)), key=told)
    assert fit_together(counts, np.ones_like(counts)) == pytest.approx(best, rel=0.006)


def test_a_very_short_half_life_is_safe() -> None:
    """Three hundred games and a half-life of a tenth of a game give numbers, not overflow."""
    found = rates_of(
        [kit.game(day, {"no-box-out": day % 7}) for day in range(300)], NeedSettings(half_life_games=0.1)
    )
    assert np.isfinite(found.mean).all()


def test_endless_half_life() -> None:
    """With an endless half-life all games count alike."""
    games = [kit.game(day, {"no-box-out": day}) for day in range(8)]
    found = rates_of(games, NeedSettings(half_life_games=math.inf))
    assert found.weight[BOX] == pytest.approx(60 + 8 * 60)
    assert found.shape[BOX] == pytest.approx(4.2 + 28)


def drawn_seasons(rng: np.random.Generator, games: int) -> tuple[int, int]:
    """Return how many of the rates, drawn from their prior, lie in their intervals, and of how many."""
    vocabulary, settings = kit.shipped(), NeedSettings()
    prior = library_prior(vocabulary, settings)
    ago = np.arange(games)[::-1].astype(float)
    played = tuple(kit.game(day, {}) for day in range(games))
    ids = tuple(one.id for one in vocabulary.breakdowns)
    truth = rng.gamma(prior.shape, 1 / prior.weight)
    over = np.full((games, len(ids)), 60.0)
    film = Film(ids, played, rng.poisson(truth * over), over, ago, np.exp2(-ago / 6), 60 * games, ())
    low, high = estimate_rates(film, vocabulary, settings).limits()
    return int(((low <= truth) & (truth <= high)).sum()), len(ids)


@pytest.mark.slow
@pytest.mark.parametrize("games", [2, 5, 12, 24])
def test_ninety_percent_means_ninety(games: int) -> None:
    """Over 500 seasons drawn from the prior (2,000 over the four lengths), 87 to 93 % of rates are held."""
    rng = np.random.default_rng(games)
    pairs = [drawn_seasons(rng, games) for _ in range(500)]
    covered = sum(inside for inside, _ in pairs) / sum(every for _, every in pairs)
    assert 0.87 < covered < 0.93
