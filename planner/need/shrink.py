"""Many small counts drawn towards their common mean, in closed form."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planner.need.gamma import Gamma
from planner.problem import Refusal

LOST = 3
"""Degrees lost to the common mean and the spread (Efron and Morris: one more than plain counting)."""


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """The common ``mean``, the variance ``spread`` of the true rates around it, the ``rates`` as drawn in.

    ``spread`` is 0 where chance alone explains the differences; every rate is then the mean.
    """

    mean: float
    spread: float
    rates: tuple[float, ...]

    def belief(self, lightest: float, heaviest: float) -> Gamma:
        """Return the gamma belief of the same mean and spread, its weight kept within limits."""
        weight = self.mean / self.spread if self.spread > 0 else math.inf
        weight = min(max(weight, lightest), heaviest)
        return Gamma(self.mean * weight, weight)


def shrink(
    counts: Sequence[float],
    exposures: Sequence[float],
    *,
    unit_variance: float | None = None,
    lost: int = LOST,
) -> Shrinkage:
    """Draw the rates ``counts / exposures`` towards their common mean by moments.

    A rate's chance variance is ``unit_variance`` (None: the mean, as for counts) over its exposure. With
    ``lost`` 0 this is the estimator of Marshall, Applied Statistics 40, 1991; with equal exposures and
    ``lost`` 3 that of Efron and Morris, J. Am. Stat. Assoc. 70, 1975, the factor never below 0.

    Raises:
        Refusal: there is nothing to draw in, or an exposure is not above 0.

    """
    if not counts or min(exposures) <= 0 or min(counts) < 0:
        raise Refusal("Rates can only be drawn together from counts, each with an exposure above 0.")
    size, over = len(counts), math.fsum(exposures)
    mean = math.fsum(counts) / over
    chance = mean if unit_variance is None else unit_variance
    raw = [count / exposure for count, exposure in zip(counts, exposures, strict=True)]
    scatter = math.fsum(e * (rate - mean) ** 2 for e, rate in zip(exposures, raw, strict=True)) / over
    spread = 0.0
    if size > lost:
        spread = max(0.0, scatter * size / (size - lost) - chance * size / over)
    drawn = (
        mean + (spread / (spread + chance / e) if spread > 0 else 0.0) * (rate - mean)
        for e, rate in zip(exposures, raw, strict=True)
    )
    return Shrinkage(mean, spread, tuple(drawn))
