"""What this season says of the planning weights r, tau and half-life: little, and it is shown how little.

Model: the rate of a principle's breakdowns in a game is its own level x (1 - r (1 - exp(-S / tau))), S the
minutes carried over to the day of the game, halved every half-life days; counts are Poisson over the
possessions, thinned where games differ by more than chance (quasi-likelihood). The level of each principle
is integrated out against a wide gamma belief at its own mean. Priors are log-normal around the usual
weights. The posterior is summed over a grid: no draws, the same numbers every time. The model is our
choice, no source; what it finds is association, not cause.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from planner.drills.vocabulary import Vocabulary
from planner.need.estimate import WatchedGame
from planner.problem import Refusal
from planner.season.evidence import feeding, seen_in

if TYPE_CHECKING:
    from numpy.typing import NDArray

USUAL: Mapping[str, tuple[float, float]] = {"r": (0.35, 0.35), "tau": (30.0, 0.4), "half-life": (14.0, 0.5)}
"""Weight -> median and spread (standard deviation of the logarithm) of the belief before any data."""
BOUNDS: Mapping[str, tuple[float, float]] = {
    "r": (0.02, 0.95),
    "tau": (5.0, 300.0),
    "half-life": (1.0, 120.0),
}
STEPS = 11
LITTLE = 0.10
"""An interval narrowed by less than this part has learnt next to nothing."""
LEAST_GAMES = 6
LEVEL_WEIGHT = 1.0
"""The belief about each principle's own level weighs as much as so many occurrences."""


@dataclass(frozen=True, slots=True)
class Learnt:
    """One weight: the usual value, the belief before and after (median and 90 % limits), how much was told.

    ``narrowed`` is by what part the data narrowed the belief (on the logarithm), 0 for not at all.
    """

    key: str
    before: float
    before_low: float
    before_high: float
    after: float
    low: float
    high: float
    narrowed: float

    def as_json(self) -> dict[str, Any]:
        """Return the weight as plain values."""
        return {
            "key": self.key,
            "prior": self.before,
            "prior_low": self.before_low,
            "prior_high": self.before_high,
            "median": self.after,
            "low": self.low,
            "high": self.high,
            "narrowed": self.narrowed,
        }


@dataclass(frozen=True, slots=True)
class Learning:
    """The three weights, from so many games and minutes; ``thin`` is by how much counts were thinned."""

    weights: tuple[Learnt, ...]
    games: int
    minutes: float
    thin: float

    @property
    def little(self) -> bool:
        """Return whether the season has told next to nothing."""
        return all(one.narrowed < LITTLE for one in self.weights)

    def as_json(self) -> dict[str, Any]:
        """Return what was learnt as plain values."""
        return {
            "weights": [one.as_json() for one in self.weights],
            "games": self.games,
            "minutes": self.minutes,
            "thinned": self.thin,
            "little": self.little,
        }


def learn(
    games: Sequence[WatchedGame],
    minutes: Sequence[tuple[dt.date, Mapping[str, float]]],
    vocabulary: Vocabulary,
    off: frozenset[str] = frozenset(),
) -> Learning:
    """Return what games and minutes (date and minutes per principle, per practice) say of the weights.

    Raises:
        Refusal: there are fewer than six games with film, or no minutes.

    """
    import numpy as np

    watched = [one for one in games if one.possessions > 0]
    spent = math.fsum(value for _, parts in minutes for value in parts.values())
    if len(watched) < LEAST_GAMES or spent <= 0:
        raise Refusal(
            f"There is too little to learn from: {len(watched)} games with film and {spent:.0f} minutes"
            f" logged; it takes {LEAST_GAMES} games and some practice."
        )
    names = [one.id for one in vocabulary.principles if feeding(vocabulary, one.id, off)]
    counts = np.array(
        [[seen_in(game, feeding(vocabulary, one, off)) for game in watched] for one in names], dtype=float
    )
    over = np.array([one.possessions for one in watched], dtype=float)
    thin = _thinned(counts, over)
    grid = {key: _grid(key) for key in USUAL}
    log_weight = _prior() + _likelihood(grid, names, watched, minutes, (counts, over)) / thin
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    prior = np.exp(_prior())
    prior /= prior.sum()
    found = []
    for axis, key in enumerate(USUAL):
        others = tuple(one for one in range(3) if one != axis)
        found.append(_learnt(key, grid[key], prior.sum(axis=others), weight.sum(axis=others)))
    return Learning(tuple(found), len(watched), spent, thin)


def _grid(key: str) -> NDArray[Any]:
    import numpy as np

    median, spread = USUAL[key]
    low, high = BOUNDS[key]
    steps = np.exp(np.log(median) + spread * np.linspace(-2.6, 2.6, STEPS))
    kept: NDArray[Any] = np.clip(steps, low, high)
    return kept


def _prior() -> NDArray[Any]:
    """Return the log of the prior on the grid (evenly spaced in the logarithms): r x tau x half-life."""
    import numpy as np

    steps = -0.5 * np.linspace(-2.6, 2.6, STEPS) ** 2
    total: NDArray[Any] = steps[:, None, None] + steps[None, :, None] + steps[None, None, :]
    return total


def _likelihood(
    grid: Mapping[str, NDArray[Any]],
    names: Sequence[str],
    games: Sequence[WatchedGame],
    minutes: Sequence[tuple[dt.date, Mapping[str, float]]],
    seen: tuple[NDArray[Any], NDArray[Any]],
) -> NDArray[Any]:
    """Return the log likelihood on the grid, the principles' own levels integrated out."""
    import numpy as np

    counts, over = seen
    total = counts.sum(axis=1)
    mean = np.maximum(total / over.sum(), 1e-9)
    out = np.zeros((STEPS, STEPS, STEPS))
    for third, half_life in enumerate(grid["half-life"]):
        carried = _carried(names, games, minutes, float(half_life))
        for second, tau in enumerate(grid["tau"]):
            reached = -np.expm1(-carried / tau)
            kept = 1.0 - grid["r"][:, None, None] * reached[None, :, :]
            exposed = (kept * over).sum(axis=2)
            told = (counts * np.log(kept)).sum(axis=2)
            level = (LEVEL_WEIGHT + total) * np.log(LEVEL_WEIGHT / mean + exposed)
            out[:, second, third] = (told - level).sum(axis=1)
    return out


def _carried(
    names: Sequence[str],
    games: Sequence[WatchedGame],
    minutes: Sequence[tuple[dt.date, Mapping[str, float]]],
    half_life: float,
) -> NDArray[Any]:
    """Return principles x games: minutes carried over to each game from the practices before its day."""
    import numpy as np

    days = np.array([one.date.toordinal() for one in games], dtype=float)
    when = np.array([date.toordinal() for date, _ in minutes], dtype=float)
    spent = np.array([[parts.get(one, 0.0) for one in names] for _, parts in minutes], dtype=float)
    ago = days[None, :] - when[:, None]
    fading = np.where(ago > 0, np.exp2(-np.maximum(ago, 0.0) / half_life), 0.0)
    carried: NDArray[Any] = spent.T @ fading
    return carried


def _thinned(counts: NDArray[Any], over: NDArray[Any]) -> float:
    from planner.need.dispersion import chi_squares

    value, df = chi_squares(counts.T, over[:, None] + 0.0 * counts.T)
    seen = counts.sum(axis=1) > 0
    degrees = float(df[seen].sum())
    return max(1.0, float(value[seen].sum()) / degrees) if degrees > 0 else 1.0


def _learnt(key: str, values: NDArray[Any], prior: NDArray[Any], weight: NDArray[Any]) -> Learnt:
    before, after = _points(values, prior), _points(values, weight)
    was, now = _spread(values, prior), _spread(values, weight)
    narrowed = max(0.0, 1.0 - now / was) if was > 0 else 0.0
    return Learnt(key, before[1], before[0], before[2], after[1], after[0], after[2], narrowed)


def _points(values: NDArray[Any], weight: NDArray[Any]) -> tuple[float, float, float]:
    """Return the 5 %, 50 % and 95 % points, straight between the middles of the steps (on the logarithm)."""
    import numpy as np

    middle = np.cumsum(weight) - weight / 2
    low, median, high = np.exp(np.interp((0.05, 0.5, 0.95), middle, np.log(values)))
    return float(low), float(median), float(high)


def _spread(values: NDArray[Any], weight: NDArray[Any]) -> float:
    import numpy as np

    logs = np.log(values)
    mean = float((weight * logs).sum())
    return math.sqrt(float((weight * (logs - mean) ** 2).sum()))
