"""How a coach may choose what to practise: by habit, by the last game, by our plan, by the truth.

Every policy has the same drills and the same greedy hand (``court.choose``); only what it wants differs.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from planner.build.brief import Rules
from planner.need.costs import estimate_costs, tally
from planner.need.estimate import WatchedGame
from planner.need.film import gather
from planner.need.rates import firm_prior, library_prior, season_prior
from planner.need.settings import NeedSettings
from tests.sim.court import DRILL_MINUTES, Gain
from tests.sim.truth import Teams

Array = NDArray[Any]
LAST_DAY = dt.date(2027, 12, 31)


class Policy(Protocol):
    """What the coach wants of the next practice, and what is taken in after practices and games."""

    name: str
    watches: bool

    def wants(self, minutes: Array) -> Gain:
        """Return the worth of one more effective minute; ``minutes`` are what is truly in mind."""
        ...

    def practised(self, raw: Array, effective: Array) -> None:
        """Take in the minutes per principle of a practice: as logged, and as the plan counts them."""
        ...

    def slept(self, days: float) -> None:
        """Let days go by."""
        ...

    def saw(self, season: int, game: WatchedGame) -> None:
        """Take in a film note."""
        ...


@dataclass
class Chaser:
    """Keeps the minutes per principle near given shares, over the whole season so far."""

    name: str
    shares: Array
    watches: bool = False
    done: Array = field(init=False)
    due: Array = field(init=False)

    def __post_init__(self) -> None:
        """Start a season."""
        self.done, self.due = np.zeros_like(self.shares), np.zeros_like(self.shares)

    def wants(self, minutes: Array) -> Gain:
        """Want most what lies farthest behind its share."""
        self.due = self.due + self.shares * DRILL_MINUTES
        behind = self.due - self.done
        lift = np.maximum(0.0, DRILL_MINUTES - behind.max(axis=1, keepdims=True)) + 1.0
        return lambda taught: np.maximum(behind - taught + lift, 1e-6)

    def practised(self, raw: Array, effective: Array) -> None:
        """Count what was taught, in shares of the practice."""
        self.done = (
            self.done + effective / np.maximum(effective.sum(axis=1, keepdims=True), 1e-9) * DRILL_MINUTES
        )

    def slept(self, days: float) -> None:
        """Let nothing fade."""

    def saw(self, season: int, game: WatchedGame) -> None:
        """Watch nothing."""


def even(teams: Teams) -> Chaser:
    """Return the even split over principles."""
    principles = teams.shares.shape[1]
    return Chaser("even split", np.full((len(teams), principles), 1.0 / principles))


def template(teams: Teams) -> Chaser:
    """Return the fixed template: each principle by what it usually costs any team."""
    rates = np.array([one.usual_rate for one in teams.vocabulary.breakdowns])
    rows = []
    for believed in teams.believed:
        usual = (rates * np.array([one.usual_cost for one in believed.breakdowns])) @ teams.shares
        rows.append(usual / usual.sum())
    return Chaser("fixed template", np.array(rows))


class LastGame(Chaser):
    """Gives the minutes to what the last game showed, by usual costs; before any game, as the template."""

    def __init__(self, teams: Teams) -> None:
        """Start from the template."""
        super().__init__("last game only", template(teams).shares.copy(), watches=True)
        self.teams = teams

    def saw(self, season: int, game: WatchedGame) -> None:
        """Forget all else."""
        believed = self.teams.believed[season].breakdowns
        seen = np.array([game.counts.get(one.id, 0) * one.usual_cost for one in believed]) @ self.teams.shares
        if seen.sum() > 0:
            self.shares[season] = seen / seen.sum()
            self.done[season] = self.due[season] = 0.0


@dataclass
class Ours:
    """Needs from the film by ``planner.need``, worth of minutes by ``planner.build.worth``."""

    teams: Teams
    name: str = "our plan"
    rules: Rules = field(default_factory=Rules)
    half_life_days: float = 14.0
    settings: NeedSettings = field(default_factory=NeedSettings)
    films: bool = True
    carries: str = "raw"
    unpractised: bool = False
    sampled: bool = False

    watches: bool = field(init=False)
    needs: Array = field(init=False)
    carried: Array = field(init=False)
    games: list[list[WatchedGame]] = field(init=False)

    def __post_init__(self) -> None:
        """Start a season with the usual numbers."""
        self.watches = self.films
        self.games = [[] for _ in range(len(self.teams))]
        self.needs = np.array([self._need(season) for season in range(len(self.teams))])
        self.carried = np.zeros_like(self.needs)

    def _need(self, season: int) -> Array:
        """Return points per 100 by principle, as ``assess`` finds them; its intervals are left out."""
        vocabulary, settings = self.teams.believed[season], self.settings
        film = gather(self.games[season], vocabulary, LAST_DAY, settings)
        prior = library_prior(vocabulary, settings)
        if len(film.games) >= settings.season_games:
            prior = season_prior(film, firm_prior(film, prior), settings.half_life_games)
        aged = film.weights[:, None]
        shape = prior.shape + (aged * film.counts).sum(axis=0)
        weight = prior.weight + (aged * film.exposure).sum(axis=0)
        found = estimate_costs(tally(film, settings), vocabulary, settings)
        rates, costs = shape / weight, found.reported
        if self.sampled:
            dice = np.random.default_rng([season, len(self.games[season])])
            rates = dice.standard_gamma(shape) / weight
            costs = np.maximum(dice.multivariate_normal(found.mean, found.covariance)[1:], 0.0)
        need: Array = 100.0 * (rates * costs) @ self.teams.shares
        return need

    def wants(self, minutes: Array) -> Gain:
        """Want by need x r / tau x exp(-(carried + minutes) / tau), the slope of ``worth.Curve``."""
        r, tau = self.rules.r, self.rules.tau
        scale = self.needs * r / tau
        if self.unpractised:
            scale = scale / (1.0 + r * np.expm1(-self.carried / tau))
        return lambda taught: scale * np.exp(-(self.carried + taught) / tau)

    def practised(self, raw: Array, effective: Array) -> None:
        """Add what the log says."""
        self.carried = self.carried + (raw if self.carries == "raw" else effective)

    def slept(self, days: float) -> None:
        """Let the minutes fade."""
        self.carried = self.carried * 2.0 ** (-days / self.half_life_days)

    def saw(self, season: int, game: WatchedGame) -> None:
        """Assess the needs anew."""
        self.games[season].append(game)
        self.needs[season] = self._need(season)


@dataclass
class Oracle:
    """Knows levels, costs, learning curves, what is in mind, and how good each drill is."""

    teams: Teams
    name: str = "oracle"
    watches: bool = False

    def wants(self, minutes: Array) -> Gain:
        """Want the true fall of points per minute."""
        lost = (self.teams.level * self.teams.cost) @ self.teams.shares

        def gain(taught: Array) -> Array:
            found: Array = lost * self.teams.slope(minutes + taught)
            return found

        return gain

    def practised(self, raw: Array, effective: Array) -> None:
        """Take nothing in: it knows already."""

    def slept(self, days: float) -> None:
        """Take nothing in: it knows already."""

    def saw(self, season: int, game: WatchedGame) -> None:
        """Take nothing in: it knows already."""


Maker = Callable[[Teams], Policy]
