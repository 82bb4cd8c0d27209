"""What a breakdown costs, against other ways to the same number."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from planner.need.costs import Costs, estimate_costs, posterior, tally
from planner.need.estimate import WatchedTrip
from planner.need.film import gather
from planner.need.settings import NeedSettings
from tests.need import kit

SMALL = kit.small()
IDS = [one.id for one in SMALL.breakdowns]
TRUE = {"no-box-out": 0.5, "inside-lost": 0.7, "late-closeout": 0.4, "unmatched": 0.9, "no-talk": 0.2}


def made_trips(number: int, seed: int = 7) -> list[WatchedTrip]:
    """Return possessions whose points rise with what was seen, on average by ``TRUE`` over a base of 0.5."""
    dice = random.Random(seed)
    trips = []
    for _ in range(number):
        seen = [one for one in IDS if dice.random() < 0.15]
        hope = (0.5 + sum(TRUE[one] for one in seen)) / 2.2
        trips.append(kit.trip(dice.choice((2, 2, 2, 2, 3)) if dice.random() < hope else 0, *seen))
    return trips


def costs_of(trips: list[WatchedTrip], settings: NeedSettings) -> Costs:
    film = gather([kit.game(0, {}, len(trips) or 60, trips)], SMALL, kit.LATER, settings)
    return estimate_costs(tally(film, settings), SMALL, settings)


def design_of(trips: list[WatchedTrip]) -> tuple[np.ndarray, np.ndarray]:
    rows = [[1.0, *(one.breakdowns.get(name, 0) for name in IDS)] for one in trips]
    return np.array(rows, dtype=float), np.array([one.points for one in trips], dtype=float)


def test_flat_prior_is_least_squares() -> None:
    """With a prior that says nothing the costs are numpy's least squares."""
    trips = made_trips(400)
    found = costs_of(trips, NeedSettings(cost_sd=1e5, base_sd=1e5))
    fitted = np.linalg.lstsq(*design_of(trips), rcond=None)[0]
    assert found.mean == pytest.approx(fitted, abs=1e-6)


def test_flat_prior_noise_is_the_residual_mean_square() -> None:
    """Then the noise is the residual sum over possessions less coefficients, as in any textbook."""
    trips = made_trips(400)
    found = costs_of(trips, NeedSettings(cost_sd=1e5, base_sd=1e5, noise_possessions=0.0))
    design, points = design_of(trips)
    fitted, residual, *_ = np.linalg.lstsq(design, points, rcond=None)
    noise = float(residual[0]) / (400 - len(fitted))
    assert found.noise == pytest.approx(noise, rel=1e-6)
    errors = np.sqrt(np.diag(noise * np.linalg.inv(design.T @ design)))
    assert found.sd == pytest.approx(errors, rel=1e-5)


def test_ridge_by_added_rows() -> None:
    """With the noise known, the posterior is least squares with one added row for each prior belief."""
    trips = made_trips(90)
    settings = NeedSettings(noise_possessions=math.inf)
    found = costs_of(trips, settings)
    design, points = design_of(trips)
    before = np.array([settings.base, *(one.usual_cost for one in SMALL.breakdowns)])
    sd = np.array([settings.base_sd, *[settings.cost_sd] * len(IDS)])
    root = math.sqrt(settings.noise_variance)
    rows = np.vstack([design / root, np.diag(1 / sd)])
    fitted = np.linalg.lstsq(rows, np.concatenate([points / root, before / sd]), rcond=None)[0]
    assert found.mean == pytest.approx(fitted, abs=1e-10)
    assert found.noise == settings.noise_variance


def test_one_breakdown_by_hand() -> None:
    """Two possessions, one breakdown, base nailed at 0.7: precision-weighted means by hand."""
    settings = NeedSettings(base=0.7, base_sd=1e-6, cost_sd=0.5, noise_possessions=math.inf)
    found = costs_of([kit.trip(2, "no-box-out"), kit.trip(0)], settings)
    film, prior = 1 / 1.2, 1 / 0.25
    assert found.mean[1] == pytest.approx((film * 1.3 + prior * 0.4) / (film + prior), abs=1e-6)
    assert found.sd[1] == pytest.approx((film + prior) ** -0.5, abs=1e-6)
    assert found.film_share[1] == pytest.approx(film / (film + prior), abs=1e-6)


def test_no_points_fall_back_on_the_library() -> None:
    """Count-only notes leave costs and limits as believed before."""
    found = costs_of([], NeedSettings())
    assert found.reported == pytest.approx([one.usual_cost for one in SMALL.breakdowns])
    assert found.film_share == pytest.approx([0.0] * 6)
    low, high = found.limits()
    assert high[0] == pytest.approx(0.4 + 1.644854 * 0.25, abs=1e-5)
    assert low[4] == 0.0


def test_never_below_zero() -> None:
    """A breakdown after which opponents never score costs 0 in the report, whatever the sum says."""
    trips = [kit.trip(0, "no-talk") for _ in range(300)] + [kit.trip(2) for _ in range(300)]
    found = costs_of(trips, NeedSettings())
    assert found.mean[5] < 0
    low, high = found.limits()
    assert (found.reported[4], low[4], high[4]) == (0.0, 0.0, 0.0)


def test_shared_blame() -> None:
    """Two breakdowns that always come together share the points; neither gets them all."""
    trips = [kit.trip(2, "no-box-out", "inside-lost") for _ in range(200)] + [kit.trip(0) for _ in range(200)]
    found = costs_of(trips, NeedSettings())
    assert found.reported[0] + found.reported[1] == pytest.approx(2 - found.mean[0], abs=0.15)
    assert 0.3 < found.reported[0] < 1.2


def test_first_blame_puts_it_on_the_first() -> None:
    """Under first blame the same points fall on the one that came first."""
    both = [kit.trip(2, "no-box-out", "inside-lost", first="no-box-out") for _ in range(200)]
    trips = both + [kit.trip(0) for _ in range(200)]
    found = costs_of(trips, NeedSettings(blame="first"))
    assert found.reported[0] > 1.2
    assert found.film_share[2] == pytest.approx(0.0, abs=1e-9)


def test_truth_is_found() -> None:
    """Four thousand possessions bring every cost within three of its own standard deviations."""
    found = costs_of(made_trips(4000), NeedSettings())
    truth = np.array([0.5, *TRUE.values()])
    assert (np.abs(found.mean - truth) < 3 * found.sd).all()
    assert (found.sd[1:] < 0.1).all()


def test_covariance_is_symmetric_and_positive() -> None:
    """The covariance can be drawn from."""
    film = gather([kit.game(0, {}, 90, made_trips(90))], SMALL, kit.LATER, NeedSettings())
    _, covariance = posterior(tally(film, NeedSettings()), np.zeros(6), np.ones(6), 1.2)
    assert np.array_equal(covariance, covariance.T)
    assert (np.linalg.eigvalsh(covariance) > 0).all()
