"""How often: a gamma belief per breakdown, moved by recent film, with honest width.

Rate of a breakdown = Gamma(a + sum w c, b + sum w E). Before ``season_games`` games the prior (a, b) is the
library's usual rate. From then on it is the team's own season: its level comes from what the recency weights
leave out, sum (1 - w) c over sum (1 - w) E, and its weight b from a gamma fitted to the games by maximum
likelihood (steady from game to game: old games count in full; changing: they count little). No game is
used twice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from planner.drills.vocabulary import Vocabulary
from planner.need.dispersion import widening
from planner.need.film import Film
from planner.need.gamma import fit_columns
from planner.need.settings import TAIL, NeedSettings

if TYPE_CHECKING:
    from numpy.typing import NDArray

RAREST = 0.0025
"""A usual rate below this per possession is taken as this, so that film can move it."""
LEAST_SHAPE = 0.5


@dataclass(frozen=True)
class Rates:
    """One entry per breakdown, in the order of the vocabulary; rates per possession.

    ``shape / weight`` is the rate. ``spread_shape / spread_weight`` is the same rate with the width to
    report: wider where games differ by more than chance. ``film_share`` is how much of it is film.
    """

    shape: NDArray[Any]
    weight: NDArray[Any]
    spread_shape: NDArray[Any]
    spread_weight: NDArray[Any]
    film_share: NDArray[Any]
    overdispersed: NDArray[Any]
    prior: str

    @property
    def mean(self) -> NDArray[Any]:
        """Return the rates per possession."""
        mean: NDArray[Any] = self.shape / self.weight
        return mean

    def limits(self) -> tuple[NDArray[Any], NDArray[Any]]:
        """Return the 90 % limits by gamma quantiles, per possession."""
        from scipy.special import gammaincinv

        low = gammaincinv(self.spread_shape, TAIL) / self.spread_weight
        high = gammaincinv(self.spread_shape, 1.0 - TAIL) / self.spread_weight
        return low, high


@dataclass(frozen=True)
class Prior:
    """Gamma(shape, weight) per breakdown; ``library`` is the part of ``weight`` without film behind it."""

    shape: NDArray[Any]
    weight: NDArray[Any]
    library: NDArray[Any]
    source: str


def estimate_rates(film: Film, vocabulary: Vocabulary, settings: NeedSettings) -> Rates:
    """Return the rates as the film stands."""
    prior = library_prior(vocabulary, settings)
    if len(film.games) >= settings.season_games:
        prior = season_prior(film, prior)
    aged = film.weights[:, None]
    seen, over = (aged * film.counts).sum(axis=0), (aged * film.exposure).sum(axis=0)
    shape, weight = prior.shape + seen, prior.weight + over
    factor, flagged = widening(film.counts, film.exposure)
    # Dispersion touches the film alone and the width alone: the mean must not fall when a bad game is added.
    behind = weight - prior.library
    kept = (prior.library + behind / factor) / weight
    return Rates(shape, weight, shape * kept, weight * kept, behind / weight, flagged, prior.source)


def library_prior(vocabulary: Vocabulary, settings: NeedSettings) -> Prior:
    """Return what is believed before any film: the usual rates, as heavy as ``prior_possessions``.

    A rare breakdown's belief is made heavier rather than shapeless: its shape is never below 0.5.
    """
    import numpy as np

    usual = np.array([one.usual_rate / 100.0 for one in vocabulary.breakdowns], dtype=float)
    usual = np.maximum(usual, RAREST)
    shape = np.maximum(usual * settings.prior_possessions, LEAST_SHAPE)
    return Prior(shape, shape / usual, shape / usual, "library")


def season_prior(film: Film, library: Prior) -> Prior:
    """Return the team's own season as the prior, by empirical Bayes over its games."""
    import numpy as np

    rest = (1.0 - film.weights)[:, None]
    old_shape = library.shape + (rest * film.counts).sum(axis=0)
    old_weight = library.weight + (rest * film.exposure).sum(axis=0)
    shape, mean = fit_columns(film.counts, film.exposure)
    fitted = np.where(mean > 0, shape / np.maximum(mean, 1e-300), np.inf)
    weight = np.clip(fitted, library.weight, old_weight)
    return Prior(old_shape / old_weight * weight, weight, library.weight * weight / old_weight, "season")
