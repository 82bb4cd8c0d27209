"""Exact limits and tests for counts, against published values."""

from __future__ import annotations

from fractions import Fraction
from math import comb

import pytest

from planner.need.poisson import GARWOOD, TWO_RATES, one_rate, rate_limits, two_rates
from planner.problem import Refusal

# Garwood, Biometrika 28, 1936, by the chi-square form; computed with scipy 1.17.1. k, 95 % and 90 % limits.
LIMITS = [
    (0, 0.0, 3.688879, 0.0, 2.995732),
    (1, 0.025318, 5.571643, 0.051293, 4.743865),
    (2, 0.242209, 7.224688, 0.355362, 6.295794),
    (3, 0.618672, 8.767273, 0.817691, 7.753657),
    (5, 1.623486, 11.668332, 1.970150, 10.513035),
    (10, 4.795389, 18.390356, 5.425406, 16.962219),
    (15, 8.395386, 24.740219, 9.246330, 23.097130),
    (20, 12.216520, 30.888378, 13.254652, 29.062019),
    (25, 16.178682, 36.904932, 17.382126, 34.916080),
    (30, 20.240874, 42.826865, 21.593979, 40.690508),
    (50, 37.110964, 65.918767, 38.964733, 63.287074),
    (100, 81.363991, 121.626794, 84.139277, 118.079273),
]


@pytest.mark.parametrize(("count", "low95", "high95", "low90", "high90"), LIMITS)
def test_garwood(count: int, low95: float, high95: float, low90: float, high90: float) -> None:
    """The limits of a count are Garwood's, at 95 and at 90 %."""
    wide, narrow = rate_limits(count, level=0.95), rate_limits(count, level=0.90)
    assert (wide.low, wide.high) == pytest.approx((low95, high95), abs=6e-7)
    assert (narrow.low, narrow.high) == pytest.approx((low90, high90), abs=6e-7)
    assert wide.method == GARWOOD


def test_printed_anchors() -> None:
    """Limits as printed: 25 events by GraphPad's calculator help, 10 events by calculatorhub (both read).

    Another page prints 4.78 to 18.25 for 10 events; that is wrong and must not come out.
    """
    for level, low, high in ((0.95, 16.18, 36.90), (0.90, 17.38, 34.92), (0.99, 14.00, 41.00)):
        found = rate_limits(25, level=level)
        assert (round(found.low, 2), round(found.high, 2)) == (low, high)
    ten = rate_limits(10, level=0.95)
    assert (round(ten.low, 2), round(ten.high, 2)) == (4.80, 18.39)


def test_fifteen_in_four_hundred() -> None:
    """15 events in 400: exact limits and central test of 0.05 (statsmodels test file, from R; read)."""
    found = rate_limits(15, 400, level=0.95)
    assert found.rate == 0.0375
    assert (found.low, found.high) == pytest.approx((0.0209884653319583, 0.0618505471787146), rel=1e-12)
    assert one_rate(15, 400, 0.05) == pytest.approx(0.313026269279486, rel=1e-12)


def test_small_counts_by_hand() -> None:
    """0/100 v 3/100 and 2/100 v 6/100: doubled binomial tails, 2 x 1/8 and 2 x 37/256 (computed by hand).

    The E-test of the same data prints 0.0884 and 0.1749: this is another test, and says so.
    """
    nought = two_rates(0, 100, 3, 100)
    assert nought.p == pytest.approx(0.25, rel=1e-12)
    assert (nought.ratio, nought.low) == (0.0, 0.0)
    assert two_rates(2, 100, 6, 100).p == pytest.approx(0.2890625, rel=1e-12)
    assert nought.method == TWO_RATES
    assert "conditional" in TWO_RATES
    assert "central" in TWO_RATES


def test_fay() -> None:
    """Fay's 2/17877 v 9/16660: ratio, central p-value and limits (rateratio.test vignette, 2022; read).

    The minimum-likelihood p of the same data is 0.0331 and would contradict the limits.
    """
    found = two_rates(2, 17877, 9, 16660, level=0.95)
    assert found.ratio == pytest.approx(0.2070941557, abs=5e-11)
    assert (found.first, found.second) == pytest.approx((0.0001118756, 0.0005402161), abs=5e-11)
    assert found.p == pytest.approx(0.05011, abs=5e-6)
    assert (found.low, found.high) == pytest.approx((0.02177406, 1.00054910), abs=6e-9)


def test_fluoroscopy() -> None:
    """41/28010 v 15/19017 (Boice and Monson): exact limits and central p, computed.

    One-sided against a ratio of 1.5, Gu et al. 2008 print 0.2913 (read in the statsmodels test file); the
    binomial sum in whole fractions is 0.29145.
    """
    found = two_rates(41, 28010, 15, 19017, level=0.95)
    assert found.high is not None
    assert (round(found.low, 4), round(found.high, 4), round(found.p, 5)) == (1.0057, 3.6093, 0.04766)
    one_sided = two_rates(41, 28010, 15, 19017, ratio0=1.5).p_more
    part = Fraction(3, 2) * 28010 / (Fraction(3, 2) * 28010 + 19017)
    exact = sum(comb(56, seen) * part**seen * (1 - part) ** (56 - seen) for seen in range(41, 57))
    assert one_sided == pytest.approx(float(exact), rel=1e-12)
    assert one_sided == pytest.approx(0.2913, abs=2e-4)


def test_gu_example_one() -> None:
    """60/51477.5 v 30/54308.7 (Gu et al. 2008, example 1; read): one-sided exact p; limits computed."""
    found = two_rates(60, 51477.5, 30, 54308.7, level=0.95)
    assert found.p_more == pytest.approx(0.000428, abs=5e-7)
    assert found.ratio == pytest.approx(2.10999757, abs=5e-9)
    assert (found.low, found.high) == pytest.approx((1.33974, 3.38837), abs=5e-6)


def test_never_seen() -> None:
    """With nothing seen on one side there is no ratio and no upper limit, and with nothing at all no news."""
    gone = two_rates(4, 100, 0, 100)
    assert (gone.ratio, gone.high) == (None, None)
    assert gone.p == pytest.approx(2 * 0.5**4)
    nothing = two_rates(0, 100, 0, 100)
    assert (nothing.ratio, nothing.low, nothing.high, nothing.p) == (None, 0.0, None, 1.0)


@pytest.mark.parametrize("wrong", [(-1, 10), (2, 0), (float("nan"), 10), (3, float("inf"))])
def test_refused(wrong: tuple[float, float]) -> None:
    """A count below 0 or an exposure that is none is refused in one sentence."""
    with pytest.raises(Refusal, match=r"cannot be .*: give"):
        rate_limits(*wrong)
    with pytest.raises(Refusal):
        two_rates(1, 10, *wrong)


def test_level_refused() -> None:
    """A level is a part, not a percentage."""
    with pytest.raises(Refusal, match=r"0\.90"):
        rate_limits(1, 10, level=90)
