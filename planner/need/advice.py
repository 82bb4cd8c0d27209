"""Would one more game on film tell us more? How much narrower each interval would be."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from planner.drills.vocabulary import Vocabulary
from planner.need.costs import Tally, estimate_costs, tally
from planner.need.estimate import WatchedGame
from planner.need.film import Film
from planner.need.needs import Picture, interval, look, principle_shares
from planner.need.rates import estimate_rates
from planner.need.settings import NeedSettings
from planner.text import clean_line

if TYPE_CHECKING:
    from numpy.typing import NDArray

USUAL_GAME = 60
"""Possessions in a usual game, where the team has no film yet (our choice)."""
HARDLY = 0.03


@dataclass(frozen=True, slots=True)
class Advice:
    """A principle's 90 % interval now and, on average, after one more game; points per 100 possessions.

    ``narrower`` is the part of the width that would go (0.2: a fifth narrower); it is never below 0.
    """

    principle: str
    width_now: float
    width_then: float
    narrower: float
    sentence: str

    def as_json(self) -> dict[str, Any]:
        """Return the advice as plain values."""
        return {
            "principle": self.principle,
            "width_now": self.width_now,
            "width_then": self.width_then,
            "narrower": self.narrower,
            "sentence": self.sentence,
        }


def one_more_game(
    games: Sequence[WatchedGame],
    vocabulary: Vocabulary,
    as_of: dt.date,
    settings: NeedSettings | None = None,
    *,
    possessions: int | None = None,
    with_points: bool = True,
) -> tuple[Advice, ...]:
    """Return what one more game of film would bring, widest gain first.

    The game is taken to go as the estimates expect. ``with_points``: the points of every possession are
    noted too, so that the costs are learnt as well as the rates. ``possessions``: as in the team's mean game.
    """
    settings = settings or NeedSettings()
    now = look(games, vocabulary, as_of, settings)
    film = now.film
    length = possessions or (round(film.possessions / len(film.games)) if film.games else USUAL_GAME)
    then = _after(now, vocabulary, settings, tally(film, settings), float(length), with_points=with_points)
    shares = principle_shares(vocabulary, settings.off)
    widths = [_width(picture, shares, settings) for picture in (now, then)]
    found = [
        _advice(one.id, one.title, float(before), float(after))
        for one, before, after in zip(vocabulary.principles, *widths, strict=True)
        if before > 0
    ]
    return tuple(sorted(found, key=lambda one: one.width_then - one.width_now))


def _after(
    now: Picture,
    vocabulary: Vocabulary,
    settings: NeedSettings,
    sums: Tally,
    length: float,
    *,
    with_points: bool,
) -> Picture:
    """Return the picture after a game that goes as expected."""
    import numpy as np

    film, rate = now.film, now.rates.mean
    older = 2.0 ** (-1.0 / settings.half_life_games)
    game = WatchedGame("expected", dt.date.max, round(length), {})
    grown = replace(
        film,
        games=(*film.games, game),
        counts=np.vstack([film.counts, rate * length]),
        exposure=np.vstack([film.exposure, np.full(len(rate), length)]),
        ago=np.append(film.ago + 1.0, 0.0),
        weights=np.append(film.weights * older, 1.0),
    )
    costs = now.costs
    if with_points:
        costs = estimate_costs(_expected(sums, now, length), vocabulary, settings)
    return Picture(grown, _steady(now, grown, vocabulary, settings), costs)


def _steady(now: Picture, grown: Film, vocabulary: Vocabulary, settings: NeedSettings) -> Any:
    """Return the rates after the game; the mean stays and the belief is at least as firm as before."""
    import numpy as np

    rates = estimate_rates(grown, vocabulary, settings)
    firm = np.maximum(rates.spread_weight, now.rates.spread_weight)
    return replace(rates, spread_weight=firm, spread_shape=now.rates.mean * firm)


def _expected(sums: Tally, now: Picture, length: float) -> Tally:
    """Return the sums with one more game's expected ones, breakdowns falling independently."""
    import numpy as np

    row = np.concatenate([[1.0], now.rates.mean])
    gram = np.outer(row, row) + np.diag(np.concatenate([[0.0], now.rates.mean]))
    gram *= length
    mean = now.costs.mean
    squares = float(mean @ gram @ mean) + now.costs.noise * length
    return Tally(
        sums.gram + gram, sums.moment + gram @ mean, sums.squares + squares, sums.possessions + length
    )


def _width(picture: Picture, shares: NDArray[Any], settings: NeedSettings) -> NDArray[Any]:
    low, high = interval(picture.rates, picture.costs, shares, settings)
    width: NDArray[Any] = high - low
    return width


def _advice(principle: str, title: str, before: float, after: float) -> Advice:
    narrower = max(0.0, 1.0 - after / before)
    gain = f"make it about {narrower:.0%} narrower" if narrower >= HARDLY else "hardly narrow it"
    said = f"{clean_line(title)}: the range is {before:.1f} points wide; one more game of film would {gain}."
    return Advice(principle, before, after, narrower, said)
