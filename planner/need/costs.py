"""What a breakdown costs: a linear model of the points on a possession, with a normal belief per breakdown.

points = base + sum of (times seen x cost) + noise. Breakdowns seen together share the blame. The belief
before film is the library's usual cost, held more firmly where the team's film lies near it
(``planner.need.firm``); the posterior is normal and in closed form. Counts without points add
nothing here. A cost below 0 is not believed: reported means, limits and draws are cut off at 0.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from planner.drills.vocabulary import Vocabulary
from planner.need.estimate import WatchedTrip
from planner.need.film import Film, first_cause
from planner.need.firm import cost_firmness
from planner.need.settings import Z90, NeedSettings

if TYPE_CHECKING:
    from numpy.typing import NDArray

ROUNDS = 4


@dataclass(frozen=True)
class Tally:
    """Sums over possessions; column 0 is the base, then the breakdowns in the order of the vocabulary."""

    gram: NDArray[Any]
    moment: NDArray[Any]
    squares: float
    possessions: float


@dataclass(frozen=True)
class Costs:
    """Posterior of base (entry 0) and costs: ``mean`` may be below 0, ``reported`` may not."""

    mean: NDArray[Any]
    covariance: NDArray[Any]
    noise: float
    film_share: NDArray[Any]

    @property
    def reported(self) -> NDArray[Any]:
        """Return the costs in points per occurrence, never below 0."""
        import numpy as np

        costs: NDArray[Any] = np.maximum(self.mean[1:], 0.0)
        return costs

    @property
    def sd(self) -> NDArray[Any]:
        """Return the posterior standard deviations, base first."""
        import numpy as np

        sd: NDArray[Any] = np.sqrt(np.diag(self.covariance))
        return sd

    def limits(self) -> tuple[NDArray[Any], NDArray[Any]]:
        """Return the 90 % limits of the costs, never below 0."""
        import numpy as np

        half = Z90 * self.sd[1:]
        return np.maximum(self.mean[1:] - half, 0.0), np.maximum(self.mean[1:] + half, 0.0)


def tally(film: Film, settings: NeedSettings) -> Tally:
    """Sum up the possessions whose points are known."""
    import numpy as np

    at = {name: column for column, name in enumerate(film.ids, start=1)}
    alike: Counter[tuple[tuple[int, int], ...]] = Counter()
    scored: Counter[tuple[tuple[int, int], ...]] = Counter()
    squares = 0
    for game in film.games:
        for trip in game.trips:
            seen = _charged(trip, at, settings)
            alike[seen] += 1
            scored[seen] += trip.points
            squares += trip.points**2
    design = np.zeros((len(alike), len(at) + 1))
    design[:, 0] = 1.0
    for row, seen in enumerate(alike):
        for column, times in seen:
            design[row, column] = times
    often = np.array(list(alike.values()), dtype=float)
    points = np.array([scored[seen] for seen in alike], dtype=float)
    return Tally((design.T * often) @ design, design.T @ points, float(squares), float(often.sum()))


def _charged(trip: WatchedTrip, at: Mapping[str, int], settings: NeedSettings) -> tuple[tuple[int, int], ...]:
    """Return what a possession is charged with, as (column, times)."""
    first = first_cause(trip, settings.off) if settings.blame == "first" else None
    seen = trip.breakdowns.items() if first is None else ((first, 1),)
    return tuple(sorted((at[name], times) for name, times in seen if name in at))


def estimate_costs(sums: Tally, vocabulary: Vocabulary, settings: NeedSettings) -> Costs:
    """Return the posterior; the noise is plugged in from the residuals, shrunk to the usual one."""
    import numpy as np

    usual = [one.usual_cost for one in vocabulary.breakdowns]
    before = np.array([settings.base, *usual], dtype=float)
    sd = np.array([settings.base_sd, *(settings.cost_sd for _ in usual)], dtype=float)
    noise = settings.noise_variance
    sd[1:] /= math.sqrt(cost_firmness(sums.gram, sums.moment, before, sd, noise))
    mean, covariance = posterior(sums, before, sd, noise)
    if sums.possessions and math.isfinite(settings.noise_possessions):
        for _ in range(ROUNDS):
            noise = _noise(sums, mean, covariance, sd, settings)
            mean, covariance = posterior(sums, before, sd, noise)
    share = 1.0 - np.diag(covariance) / sd**2
    return Costs(mean, covariance, noise, np.clip(share, 0.0, 1.0))


def posterior(
    sums: Tally, before: NDArray[Any], sd: NDArray[Any], noise: float
) -> tuple[NDArray[Any], NDArray[Any]]:
    """Return mean and covariance for a known noise variance and independent normal priors."""
    import numpy as np

    precision = sums.gram / noise + np.diag(sd**-2.0)
    covariance = np.linalg.inv(precision)
    covariance = (covariance + covariance.T) / 2.0
    return np.linalg.solve(precision, sums.moment / noise + before / sd**2), covariance


def _noise(
    sums: Tally, mean: NDArray[Any], covariance: NDArray[Any], sd: NDArray[Any], settings: NeedSettings
) -> float:
    """Return the residual variance, over the possessions not used up by the estimates."""
    residual = max(0.0, float(sums.squares - 2.0 * mean @ sums.moment + mean @ sums.gram @ mean))
    used = float(len(mean) - (covariance.diagonal() / sd**2).sum())
    weight = settings.noise_possessions
    return (weight * settings.noise_variance + residual) / (weight + max(sums.possessions - used, 0.0))
