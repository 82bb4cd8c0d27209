"""The gamma posterior of a rate, against worked examples. Shape and RATE; some texts invert the second."""

from __future__ import annotations

import pytest

from planner.need.gamma import Gamma


def test_asthma() -> None:
    """Three deaths in 2.0: Gamma(3, 5) to Gamma(6, 7), mean 0.86 (BDA3 section 2.6, from memory)."""
    after = Gamma(3, 5).updated([3], [2.0])
    assert (after.shape, after.weight) == (6, 7)
    assert round(after.mean, 2) == 0.86
    limits = after.quantile(0.025), after.quantile(0.975)
    assert limits == pytest.approx((0.31456, 1.66690), abs=5e-6)  # computed


def test_asthma_ten_years() -> None:
    """Ten years, 30 deaths in 20: mean 1.32, chance of more than 1 is 0.93 (BDA3 2.6, from memory)."""
    after = Gamma(3, 5).updated([30], [20.0])
    assert (after.shape, after.weight) == (33, 25)
    assert after.mean == pytest.approx(1.32)
    assert after.above(1.0) == pytest.approx(0.92854, abs=5e-6)
    limits = after.quantile(0.025), after.quantile(0.975)
    assert limits == pytest.approx((0.90863, 1.80698), abs=5e-6)


def test_asthma_prior() -> None:
    """Gamma(3, 5) has mean 0.6 and 97.5 % of it below 1.44 (BDA3 2.6, from memory)."""
    prior = Gamma(3, 5)
    assert prior.mean == pytest.approx(0.6)
    assert prior.quantile(0.975) == pytest.approx(1.444938, abs=5e-7)


def test_fraud_calls() -> None:
    """Gamma(10, 2) and 6, 2, 2, 1 calls: Gamma(21, 6), mean 5.0 to 3.5 (Bayes Rules! chapter 5, read)."""
    prior = Gamma(10, 2)
    after = prior.updated([6, 2, 2, 1], [1, 1, 1, 1])
    assert (prior.mean, after.shape, after.weight, after.mean) == (5.0, 21, 6, 3.5)


def test_home_runs() -> None:
    """58 in 581 with a flat-in-log prior: the exact 5 and 95 % limits behind Albert's simulated ones.

    Albert 2007 simulated 0.07898 and 0.12170 (read in a copy); the exact quantiles are computed.
    """
    after = Gamma(0, 0).updated([58], [581])
    limits = after.quantile(0.05), after.quantile(0.95)
    assert limits == pytest.approx((0.0792890, 0.1223220), abs=5e-8)
    assert limits == pytest.approx((0.07898, 0.12170), abs=1e-3)


def test_weights_are_parts_of_games() -> None:
    """Weighted by a half, two like games tell as much as one (computed by hand)."""
    assert Gamma(1, 10).updated([4, 4], [50, 50], [0.5, 0.5]) == Gamma(1, 10).updated([4], [50])
