"""Exact limits and tests for counts: one rate (Garwood) and two rates (conditional, central)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from planner.problem import Refusal

GARWOOD = "exact limits for a count (Garwood 1936)"
ONE_RATE = "exact test of one rate, central (twice the smaller tail)"
TWO_RATES = "exact conditional test of two rates, central (twice the smaller tail)"


@dataclass(frozen=True, slots=True)
class RateLimits:
    """A rate per unit of exposure with exact limits."""

    count: float
    exposure: float
    rate: float
    low: float
    high: float
    level: float
    method: str = GARWOOD


@dataclass(frozen=True, slots=True)
class TwoRates:
    """Two rates compared: ``ratio`` is the first over the second, with exact limits.

    ``p`` is two-sided; ``p_more`` and ``p_fewer`` are the chances of a first count as high, or as low, as
    seen, were the true ratio ``ratio0``. With a second count of 0 there is no ratio and no upper limit:
    ``ratio`` and ``high`` are None.
    """

    first: float
    second: float
    ratio: float | None
    low: float
    high: float | None
    p: float
    p_more: float
    p_fewer: float
    level: float
    ratio0: float = 1.0
    method: str = TWO_RATES

    def as_json(self) -> dict[str, Any]:
        """Return the comparison as plain values."""
        return {
            "first": self.first,
            "second": self.second,
            "ratio": self.ratio,
            "low": self.low,
            "high": self.high,
            "p": self.p,
            "level": self.level,
            "method": self.method,
        }


def rate_limits(count: float, exposure: float = 1.0, level: float = 0.90) -> RateLimits:
    """Return the rate count / exposure with its exact central limits (Garwood, Biometrika 28, 1936).

    Raises:
        Refusal: the count is below 0, the exposure not above 0, or the level not between 0 and 1.

    """
    from scipy.special import gammaincinv

    _check(count, exposure, level)
    tail = (1.0 - level) / 2.0
    low = float(gammaincinv(count, tail)) if count > 0 else 0.0
    high = float(gammaincinv(count + 1.0, 1.0 - tail))
    return RateLimits(count, exposure, count / exposure, low / exposure, high / exposure, level)


def one_rate(count: float, exposure: float, rate: float) -> float:
    """Return the exact central p-value of the claim that the true rate is ``rate`` (see ``ONE_RATE``)."""
    from scipy.special import gammainc, gammaincc

    _check(count, exposure, 0.5)
    expected = rate * exposure
    more = float(gammainc(count, expected)) if count > 0 else 1.0
    fewer = float(gammaincc(count + 1.0, expected))
    return min(1.0, 2.0 * min(more, fewer))


def two_rates(
    count1: float,
    exposure1: float,
    count2: float,
    exposure2: float,
    level: float = 0.90,
    ratio0: float = 1.0,
) -> TwoRates:
    """Compare two rates given how many events there were in all: the first count is then binomial.

    The p-value doubles the smaller tail (never above 1), so that it agrees with the limits, which are
    Clopper and Pearson's carried over to the ratio. Other exact tests of the same data give other
    p-values; the method is named in the result.

    Raises:
        Refusal: a count is below 0, an exposure not above 0, or the level not between 0 and 1.

    """
    _check(count1, exposure1, level)
    _check(count2, exposure2, level)
    odds = ratio0 * exposure1 / exposure2
    more, fewer = _tails(count1, count2, odds / (1.0 + odds))
    low, high = _ratio_limits(count1, count2, exposure2 / exposure1, level)
    first, second = count1 / exposure1, count2 / exposure2
    return TwoRates(
        first=first,
        second=second,
        ratio=first / second if second > 0 else None,
        low=low,
        high=high,
        p=min(1.0, 2.0 * min(more, fewer)),
        p_more=more,
        p_fewer=fewer,
        level=level,
        ratio0=ratio0,
    )


def _tails(first: float, second: float, part: float) -> tuple[float, float]:
    """Return P(X >= first) and P(X <= first) for X binomial of (first + second, part)."""
    from scipy.special import betainc

    more = float(betainc(first, second + 1.0, part)) if first > 0 else 1.0
    fewer = float(betainc(second, first + 1.0, 1.0 - part)) if second > 0 else 1.0
    return more, fewer


def _ratio_limits(first: float, second: float, per: float, level: float) -> tuple[float, float | None]:
    from scipy.special import betaincinv

    tail = (1.0 - level) / 2.0
    low, high = 0.0, None
    if first > 0:
        part = float(betaincinv(first, second + 1.0, tail))
        low = part / (1.0 - part) * per
    if second > 0:
        other = float(betaincinv(second, first + 1.0, tail))
        high = (1.0 - other) / other * per
    return low, high


def _check(count: float, exposure: float, level: float) -> None:
    if not (math.isfinite(count) and count >= 0):
        raise Refusal(f"A count cannot be {count}: give a number of times seen, 0 or more.")
    if not (math.isfinite(exposure) and exposure > 0):
        raise Refusal(f"An exposure cannot be {exposure}: give the possessions watched, more than 0.")
    if not 0.0 < level < 1.0:
        raise Refusal(f"A level cannot be {level}: give a part between 0 and 1, such as 0.90.")
