"""A belief grows firm on evidence alone."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from planner.need.costs import Tally, estimate_costs
from planner.need.firm import FIRMER, cost_firmness, rate_firmness
from planner.need.rates import library_prior
from planner.need.settings import NeedSettings
from tests.need import kit

DICE = np.random.default_rng(5)


def test_nothing_seen_changes_nothing() -> None:
    """Without film both beliefs stay as the settings have them."""
    none = np.zeros(36)
    assert rate_firmness(none + 2.0, none + 60.0, none, none) == 1.0
    assert cost_firmness(np.zeros((4, 4)), np.zeros(4), np.ones(4), np.full(4, 0.25), 1.2) == 1.0


def test_a_usual_team_is_believed_more_firmly() -> None:
    """Counts just as the usual rates have them make the belief firmer; wildly different ones do not."""
    prior = library_prior(kit.shipped(), NeedSettings())
    over = np.full(len(prior.shape), 1500.0)
    usual = np.round(prior.shape / prior.weight * over)
    assert rate_firmness(prior.shape, prior.weight, usual, over) >= 4.0
    apart = usual * np.where(np.arange(len(usual)) % 2, 0.2, 2.2)
    assert rate_firmness(prior.shape, prior.weight, apart, over) == 1.0


def test_rates_go_by_the_negative_binomial() -> None:
    """The factor taken has the largest negative binomial likelihood over itself (scipy's nbinom)."""
    prior = library_prior(kit.shipped(), NeedSettings())
    over = np.full(len(prior.shape), 600.0)
    for spread in (0.1, 0.4, 0.8):
        truth = prior.shape / prior.weight * np.exp(spread * DICE.standard_normal(len(over)))
        counts = DICE.poisson(truth * over).astype(float)

        def score(factor: float, counts: np.ndarray = counts) -> float:
            part = prior.weight * factor / (prior.weight * factor + over)
            told = stats.nbinom.logpmf(counts, prior.shape * factor, part).sum()
            return float(told) - math.log(factor)

        assert rate_firmness(prior.shape, prior.weight, counts, over) == max(FIRMER, key=score)


def test_costs_go_by_the_normal_likelihood() -> None:
    """The factor taken has the largest likelihood of the points themselves (scipy's multivariate normal)."""
    rows, noise = 150, 1.2
    design = np.column_stack([np.ones(rows), DICE.poisson(0.6, (rows, 4))]).astype(float)
    before, sd = np.array([0.7, 0.3, 0.3, 0.3, 0.3]), np.array([0.2, 0.5, 0.5, 0.5, 0.5])
    for off in (0.0, 0.5, 2.0):
        truth = before + off * np.array([0.0, 1.0, -1.0, 1.0, -1.0])
        points = design @ truth + math.sqrt(noise) * DICE.standard_normal(rows)

        def score(factor: float, points: np.ndarray = points) -> float:
            wide = np.concatenate([sd[:1], sd[1:] / math.sqrt(factor)])
            spread = design @ np.diag(wide**2) @ design.T + noise * np.eye(rows)
            told = stats.multivariate_normal(design @ before, spread).logpdf(points)
            return float(told) - math.log(factor)

        found = cost_firmness(design.T @ design, design.T @ points, before, sd, noise)
        assert found == max(FIRMER, key=score)
    assert found == 1.0


def test_firm_costs_move_less() -> None:
    """Possessions that go as usual pull the costs' width in beyond what they tell by themselves."""
    vocabulary, settings = kit.shipped(), NeedSettings(noise_possessions=math.inf)
    usual = np.array([settings.base, *(one.usual_cost for one in vocabulary.breakdowns)])
    gram = np.diag([2000.0, *(120.0 for _ in vocabulary.breakdowns)])
    as_usual = Tally(gram, gram @ usual, 0.0, 2000.0)
    found = estimate_costs(as_usual, vocabulary, settings)
    alone = 1.0 / math.sqrt(120.0 / settings.noise_variance + settings.cost_sd**-2)
    assert found.sd[1] < 0.9 * alone
    assert found.mean == pytest.approx(usual)
