"""How often: a gamma belief per breakdown, moved by recent film, with honest width.

Rate of a breakdown = Gamma(a + sum w c, b + sum w E). Before ``season_games`` games the prior (a, b) is the
library's usual rate. From then on it is the team's own season, by empirical Bayes: the library's belief and
a part k of what the recency weights leave out, a + k sum (1 - w) c and b + k sum (1 - w) E. That part is the
one that foretells each game best from those before it: all for a team that stays as it is, none for one
that changes. The library's belief itself grows firmer where the team lies near the usual rates
(``planner.need.firm``). No game is used twice in a rate.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from planner.drills.vocabulary import Vocabulary
from planner.need.dispersion import widening
from planner.need.film import Film
from planner.need.firm import rate_firmness
from planner.need.gamma import fit_together
from planner.need.settings import TAIL, NeedSettings

if TYPE_CHECKING:
    from numpy.typing import NDArray

RAREST = 0.0025
"""A usual rate below this per possession is taken as this, so that film can move it."""
LEAST_SHAPE = 0.5
SWING_GAMES = 3
"""Fewer games say nothing of how rates swing from game to game."""
MEMORIES = (0.0, 0.25, 0.5, 0.75, 1.0)


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
        prior = season_prior(film, firm_prior(film, prior), settings.half_life_games)
    aged = film.weights[:, None]
    seen, over = (aged * film.counts).sum(axis=0), (aged * film.exposure).sum(axis=0)
    shape, weight = prior.shape + seen, prior.weight + over
    factor, flagged = _width(film)
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


def _width(film: Film) -> tuple[NDArray[Any], NDArray[Any]]:
    """Return by how much the variance of the film grows, and which breakdowns are flagged.

    One game's counts of one breakdown say little, so the swing from game to game is taken from all
    breakdowns together; one that swings by itself beyond chance is widened by its own index.
    """
    import numpy as np

    own, flagged = widening(film.counts, film.exposure)
    if len(film.games) < SWING_GAMES:
        return own, flagged
    shape = fit_together(film.counts, film.exposure)
    expected = film.counts.sum(axis=0) / len(film.games)
    return np.maximum(own, 1.0 + expected / shape), flagged


def firm_prior(film: Film, library: Prior) -> Prior:
    """Return the library's belief as firmly held as the whole film warrants; the rates it names stay."""
    counts, over = film.counts.sum(axis=0), film.exposure.sum(axis=0)
    factor = rate_firmness(library.shape, library.weight, counts, over)
    return Prior(library.shape * factor, library.weight * factor, library.library * factor, library.source)


def season_prior(film: Film, library: Prior, half_life: float) -> Prior:
    """Return the library's belief with as much of the older film added as the season itself warrants."""
    kept = memory(film, library, half_life)
    rest = kept * (1.0 - film.weights)[:, None]
    shape = library.shape + (rest * film.counts).sum(axis=0)
    weight = library.weight + (rest * film.exposure).sum(axis=0)
    return Prior(shape, weight, library.weight, "season" if kept > 0 else "library")


def memory(film: Film, library: Prior, half_life: float) -> float:
    """Return which part of what ageing takes off a game should be given back: 0, 1/4, 1/2, 3/4 or 1.

    The part under which each game, all breakdowns together, was best foretold by the games before it: the
    largest marginal (negative binomial) likelihood. Ties go to the smallest.
    """
    import numpy as np

    before = np.tril(np.ones((len(film.ago), len(film.ago))), -1)[1:]
    younger = film.ago[None, :] - film.ago[:-1, None]
    aged = before * np.exp2(-np.maximum(younger, 0.0) / half_life)
    told = [_foretold(film, library, aged + part * (before - aged)) for part in MEMORIES]
    return MEMORIES[int(np.argmax(told))]


def _foretold(film: Film, library: Prior, weights: NDArray[Any]) -> float:
    """Return the log likelihood of games 2, 3 ... given the weighted games before each (less constants)."""
    import numpy as np
    from scipy.special import gammaln, xlogy

    shape = library.shape + weights @ film.counts
    weight = library.weight + weights @ film.exposure
    seen, over = film.counts[1:], film.exposure[1:]
    terms = gammaln(shape + seen) - gammaln(shape) - shape * np.log1p(over / weight)
    return float((terms + xlogy(seen, over / (weight + over))).sum())
