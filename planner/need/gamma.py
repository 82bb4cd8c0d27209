"""Gamma beliefs about a rate: updating by counts, limits, and the fit to many counts (shape and RATE)."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from planner.problem import Refusal

if TYPE_CHECKING:
    from numpy.typing import NDArray

_STEADY = 1e6
"""A fitted shape beyond this is no longer told apart from a steady rate."""


@dataclass(frozen=True, slots=True)
class Gamma:
    """A belief about a rate: ``shape`` in events, ``weight`` in units of exposure (the gamma's rate)."""

    shape: float
    weight: float

    @property
    def mean(self) -> float:
        """Return the mean rate per unit of exposure."""
        return self.shape / self.weight

    def quantile(self, part: float) -> float:
        """Return the rate below which ``part`` (0 to 1) of the belief lies."""
        from scipy.special import gammaincinv

        return float(gammaincinv(self.shape, part)) / self.weight

    def above(self, rate: float) -> float:
        """Return the belief that the rate is above ``rate``."""
        from scipy.special import gammaincc

        return float(gammaincc(self.shape, rate * self.weight))

    def updated(
        self, counts: Sequence[float], exposures: Sequence[float], weights: Sequence[float] | None = None
    ) -> Gamma:
        """Return the belief after seeing counts over exposures: Gamma(a + sum w c, b + sum w E)."""
        kept = [1.0] * len(counts) if weights is None else weights
        seen = math.fsum(w * c for w, c in zip(kept, counts, strict=True))
        over = math.fsum(w * e for w, e in zip(kept, exposures, strict=True))
        return Gamma(self.shape + seen, self.weight + over)


@dataclass(frozen=True, slots=True)
class GammaFit:
    """Gamma(shape, weight) fitted to counts; both are infinite when nothing but chance moves the counts.

    ``scale`` is 1 / weight. ``log_likelihood`` is that of the negative binomial at the fit.
    """

    shape: float
    weight: float
    mean: float
    log_likelihood: float

    @property
    def scale(self) -> float:
        """Return the gamma's scale."""
        return 1.0 / self.weight


def gamma_fit(
    counts: Sequence[float], exposures: Sequence[float] | None = None, times: Sequence[float] | None = None
) -> GammaFit:
    """Fit the gamma from which the rates behind the counts were drawn, by maximum likelihood.

    ``exposures`` default to 1 each; ``times`` says how often each (count, exposure) pair was seen. Source
    of the method: Efron and Hastie, Computer Age Statistical Inference, chapter 6.

    Raises:
        Refusal: there is nothing to fit, or an exposure is not above 0.

    """
    import numpy as np

    seen = np.asarray(counts, dtype=float)[:, None]
    over = np.ones_like(seen) if exposures is None else np.asarray(exposures, dtype=float)[:, None]
    often = np.ones_like(seen) if times is None else np.asarray(times, dtype=float)[:, None]
    if not seen.size or not (over > 0).all():
        raise Refusal("A rate can only be fitted to one or more counts, each with an exposure above 0.")
    shape, mean = (float(one[0]) for one in fit_columns(seen, over, often, steps=60))
    fitted = _log_likelihood(seen, over, often, shape, mean)
    return GammaFit(shape, shape / mean if mean > 0 else math.inf, mean, fitted)


def fit_columns(
    counts: NDArray[Any], exposures: NDArray[Any], times: NDArray[Any] | None = None, steps: int = 30
) -> tuple[NDArray[Any], NDArray[Any]]:
    """Return fitted shape and mean rate of each column (rows are games); shape inf where counts are steady.

    The profile score of the shape is bisected on a log scale, all columns at once. A row with exposure 0
    tells nothing and is passed over.
    """
    import numpy as np

    often = np.ones_like(counts) if times is None else times
    shape = _bisect(lambda tried: _score(counts, exposures, often, tried), counts.shape[1], steps)
    shape = np.where(counts.sum(axis=0) == 0, math.inf, shape)
    return shape, _mean_at(counts, exposures, often, shape)


def fit_together(counts: NDArray[Any], exposures: NDArray[Any], steps: int = 30) -> float:
    """Return the one shape that fits all columns, each with a mean of its own; inf where all are steady.

    Game to game, every rate then swings by the same proportion, 1 / sqrt(shape).
    """
    import numpy as np

    often = np.ones_like(counts)
    found = _bisect(lambda tried: _score(counts, exposures, often, tried).sum(keepdims=True), 1, steps)
    return float(found[0])


def _bisect(slope: Callable[[NDArray[Any]], NDArray[Any]], size: int, steps: int) -> NDArray[Any]:
    """Return where the falling slope crosses 0, inf where it never does."""
    import numpy as np

    low, high = np.full(size, math.log(1e-4)), np.full(size, math.log(_STEADY))
    steady = slope(np.exp(high)) >= 0
    for _ in range(steps):
        middle = (low + high) / 2
        rising = slope(np.exp(middle)) > 0
        low, high = np.where(rising, middle, low), np.where(rising, high, middle)
    return np.where(steady, math.inf, np.exp((low + high) / 2))


def _mean_at(
    counts: NDArray[Any], exposures: NDArray[Any], often: NDArray[Any], shape: NDArray[Any]
) -> NDArray[Any]:
    """Return the mean rate that fits best when the shape is known (equal exposures: the plain mean)."""
    import numpy as np

    mean: NDArray[Any] = (often * counts).sum(axis=0) / np.maximum((often * exposures).sum(axis=0), 1e-300)
    for _ in range(6):
        trust = often / (1.0 + mean * exposures / shape)
        mean = (trust * counts).sum(axis=0) / np.maximum((trust * exposures).sum(axis=0), 1e-300)
    return mean


def _score(
    counts: NDArray[Any], exposures: NDArray[Any], often: NDArray[Any], shape: NDArray[Any]
) -> NDArray[Any]:
    """Return the slope of the log likelihood along the shape, the mean following it."""
    import numpy as np
    from scipy.special import digamma

    expected = _mean_at(counts, exposures, often, shape) * exposures
    gap = digamma(shape + counts) - digamma(shape) - np.log1p(expected / shape)
    slope = gap + (expected - counts) / (shape + expected)
    total: NDArray[Any] = (often * slope).sum(axis=0)
    return total


def _log_likelihood(
    counts: NDArray[Any], exposures: NDArray[Any], often: NDArray[Any], shape: float, mean: float
) -> float:
    import numpy as np
    from scipy.special import gammaln, xlogy

    expected = mean * exposures
    if math.isinf(shape):
        terms = xlogy(counts, expected) - expected - gammaln(counts + 1)
    else:
        terms = gammaln(shape + counts) - gammaln(shape) - gammaln(counts + 1)
        terms = terms - shape * np.log1p(expected / shape) + xlogy(counts, expected / (shape + expected))
    return float((often * terms).sum())
