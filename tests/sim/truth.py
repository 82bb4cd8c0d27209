"""Invented teams whose true rates, costs and learning are known: what film and practice do to them.

A *world* says how teams are made and how they learn; nothing in it is read by a policy. The world named
``as believed`` draws teams from the very beliefs the program starts with; every other world breaks one of
them. All numbers are our choice, no source.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.drills.vocabulary import Vocabulary
from planner.need.estimate import WatchedGame, WatchedTrip
from planner.need.needs import principle_shares
from planner.need.rates import library_prior
from planner.need.settings import NeedSettings

Array = NDArray[Any]
CLEAN = 0.68
"""Points on a possession without a breakdown."""
BASKET = (0.7, 2.3)
"""Part of the scoring possessions that give 2 points (the rest 3), and their mean points."""
POSSESSIONS = 60
ROSTER = 12
LEAST_SQUAD = 8
MOST_RATE = 0.6


@dataclass(frozen=True)
class World:
    """How teams are made, how they learn and what the film of them is like.

    ``spread`` None: rates and costs as widely apart as the program believes; else the standard deviation of
    their logarithms around the usual ones. ``kept`` is the part of a rate that is left after S minutes in
    mind; ``half_lives`` in days (several: the minutes are split evenly over them). ``usual_costs`` are the
    factors by which the program's own costs may be wrong. ``apart`` is how far principles differ in how
    well and how fast they are learnt; ``stages`` whether the stage of a drill matters as the program says.
    """

    name: str
    about: str
    spread: float | None = None
    curve: str = "exponential"
    r: float = 0.35
    tau: float = 30.0
    half_lives: tuple[float, ...] = (14.0,)
    apart: float = 0.0
    seen: tuple[float, float] = (0.9, 0.9)
    mistagged: float = 0.0
    usual_costs: tuple[float, ...] = (1.0,)
    points_noted: bool = True
    watched: float = 1.0
    drift: float = 0.0
    stages: bool = True
    swing: float = 8.0
    opponents: float = 0.3


BELIEVED = World("as believed", "teams, learning and film are as the program assumes")
WORLDS: tuple[World, ...] = (
    BELIEVED,
    World("alike", "teams lie near the usual numbers", spread=0.25),
    World("power curve", "no ceiling to what practice does", curve="power"),
    World("s-curve", "the first minutes do next to nothing", curve="s"),
    World("slow", "four times the minutes for the same effect", tau=120.0),
    World("quick", "a third of the minutes for the same effect", tau=10.0),
    World("forgetful", "half is gone in 5 days", half_lives=(5.0,)),
    World("retentive", "half is gone in 45 days", half_lives=(45.0,)),
    World("two memories", "half fades in 4 days, half in 60", half_lives=(4.0, 60.0)),
    World("uneven", "principles differ in how much and how fast they are learnt", apart=0.6),
    World("hardly teachable", "practice does a third of what is assumed", r=0.12),
    World("mis-tagged", "one breakdown in five is noted as another", mistagged=0.2),
    World("half seen", "some breakdowns are noted four times in ten, others always", seen=(0.4, 1.0)),
    World(
        "costs off",
        "the program's usual costs are half or one and a half the true ones",
        usual_costs=(0.5, 1.5),
    ),
    World(
        "costs off, no points",
        "the same, and no points are noted",
        usual_costs=(0.5, 1.5),
        points_noted=False,
    ),
    World("thin film", "every third game is watched", watched=1 / 3),
    World("drifting", "levels wander through the season", drift=0.08),
    World("stages alike", "a minute is a minute at every stage, and a drill never wears out", stages=False),
)


@dataclass(frozen=True)
class Teams:
    """Truth of N seasons: ``level`` (per possession, unpractised) and ``cost`` are N x breakdowns.

    ``r`` and ``tau`` are N x principles, ``quality`` N x drills, ``opponents`` N x games x breakdowns.
    """

    world: World
    vocabulary: Vocabulary
    believed: tuple[Vocabulary, ...]
    shares: Array
    level: Array
    cost: Array
    r: Array
    tau: Array
    quality: Array
    opponents: Array
    wander: Array
    squads: Array
    watched: Array
    seen: Array
    seed: int = 0
    settings: NeedSettings = field(default_factory=NeedSettings)

    def __len__(self) -> int:
        """Return the number of seasons."""
        return len(self.level)

    def kept(self, minutes: Array) -> Array:
        """Return the part of each principle's rate that is left after effective ``minutes`` in mind."""
        return 1.0 - self.r * _reached(self.world.curve, minutes / self.tau)

    def slope(self, minutes: Array) -> Array:
        """Return by how much that part falls with one more minute."""
        step = 0.5
        return (self.kept(minutes) - self.kept(minutes + step)) / step

    def rates(self, minutes: Array, game: int) -> Array:
        """Return the true rates per possession in a game."""
        practised = self.kept(minutes) @ self.shares.T
        rates: Array = self.level * self.wander[:, game] * self.opponents[:, game] * practised
        return np.minimum(rates, MOST_RATE)

    def conceded(self, minutes: Array, game: int) -> Array:
        """Return the true expected points conceded per 100 possessions in a game."""
        lost: Array = 100.0 * (CLEAN + (self.rates(minutes, game) * self.cost).sum(axis=1))
        return lost


CURVES: dict[str, Callable[[Array], Array]] = {
    "exponential": lambda x: -np.expm1(-x),
    "power": lambda x: (1.0 - (1.0 + x) ** -0.35) / 0.45,
    "s": lambda x: x**2 / (1.0 + x**2),
}


def _reached(curve: str, x: Array) -> Array:
    return CURVES[curve](x)


def make_teams(
    world: World, vocabulary: Vocabulary, size: int, games: int, practices: int, drills: int, seed: int
) -> Teams:
    """Draw seasons; season number n is the same in every world where the world leaves it alone."""
    rows = [_one(world, vocabulary, games, practices, drills, [seed, number]) for number in range(size)]
    stacked = {key: np.stack([row[key] for row in rows]) for key in rows[0]}
    factors = stacked.pop("believed")
    return Teams(
        world=world,
        vocabulary=vocabulary,
        believed=tuple(_believed(vocabulary, row) for row in factors),
        shares=principle_shares(vocabulary, frozenset()),
        seed=seed,
        **stacked,
    )


def _believed(vocabulary: Vocabulary, factors: Array) -> Vocabulary:
    told = zip(vocabulary.breakdowns, factors, strict=True)
    return Vocabulary(
        vocabulary.principles,
        tuple(replace(one, usual_cost=one.usual_cost * float(factor)) for one, factor in told),
    )


def _one(
    world: World, vocabulary: Vocabulary, games: int, practices: int, drills: int, seed: list[int]
) -> dict[str, Array]:
    dice = np.random.default_rng(seed)
    breakdowns, principles = len(vocabulary.breakdowns), len(vocabulary.principles)
    usual = np.array([one.usual_rate / 100.0 for one in vocabulary.breakdowns])
    costs = np.array([one.usual_cost for one in vocabulary.breakdowns])
    normal, uniform = dice.standard_normal((2, breakdowns)), dice.random((5, breakdowns))
    if world.spread is None:
        settings = NeedSettings()
        prior = library_prior(vocabulary, settings)
        level = dice.standard_gamma(prior.shape) / prior.weight
        cost = np.maximum(costs + settings.cost_sd * normal[1], 0.0)
    else:
        level = usual * np.exp(world.spread * normal[0] - world.spread**2 / 2)
        cost = costs * np.exp(world.spread * normal[1] - world.spread**2 / 2)
    dice = np.random.default_rng([*seed, 1])
    apart = np.exp(world.apart * dice.standard_normal((2, principles)))
    quality = np.exp(0.2 * dice.standard_normal(drills) - 0.02)
    shares = principle_shares(vocabulary, frozenset())
    tendency = np.exp(world.opponents * dice.standard_normal((games, principles)) - world.opponents**2 / 2)
    wander = np.exp(np.cumsum(world.drift * dice.standard_normal((games, breakdowns)), axis=0))
    low, high = world.seen
    factors = np.asarray(world.usual_costs)
    return {
        "level": level,
        "cost": cost,
        "r": np.minimum(world.r * apart[0], 0.9),
        "tau": world.tau * apart[1],
        "quality": quality,
        "opponents": tendency @ shares.T,
        "wander": wander,
        "squads": np.maximum(dice.binomial(ROSTER, 0.88, practices), LEAST_SQUAD),
        "watched": dice.random(games) < world.watched,
        "seen": low + (high - low) * uniform[0],
        "believed": factors[(uniform[1] * len(factors)).astype(int)],
    }


def film(teams: Teams, season: int, game: int, rates: Array, date: dt.date) -> WatchedGame:
    """Return what the coach's film notes say of a game, the same chances falling for every policy."""
    dice = np.random.default_rng([teams.seed, season, game, 7])
    size = len(rates)
    chance, points, noticed, slip, where = (
        dice.random((POSSESSIONS, size)),
        dice.random(POSSESSIONS),
        dice.random((POSSESSIONS, size)),
        dice.random((POSSESSIONS, size)),
        dice.random((POSSESSIONS, size)),
    )
    swing = dice.gamma(teams.world.swing, 1.0 / teams.world.swing, size)
    happened = chance < np.minimum(rates * swing, MOST_RATE)
    scored = _points(CLEAN + happened @ teams.cost[season], points)
    noted = happened & (noticed < teams.seen[season])
    tags = np.tile(np.arange(size), (POSSESSIONS, 1))
    wrong = slip < teams.world.mistagged
    tags[wrong] = _other(teams.vocabulary, tags[wrong], where[wrong])
    return _written(teams, noted, tags, scored, f"{season}.{game}", date)


def _points(mean: Array, luck: Array) -> Array:
    two, usual = BASKET
    scoring = np.minimum(mean / usual, 0.98)
    return np.where(luck >= scoring, 0, np.where(luck < scoring * two, 2, 3))


def _other(vocabulary: Vocabulary, tags: Array, where: Array) -> Array:
    """Return another tag: half the time of the same principle, else any."""
    homes = np.array([one.principle for one in vocabulary.breakdowns])
    found = []
    for tag, luck in zip(tags, where, strict=True):
        near = np.flatnonzero(homes == homes[tag])
        pool, part = (near, 2 * luck) if luck < 0.5 else (np.arange(len(homes)), 2 * luck - 1)
        pool = pool[pool != tag]
        found.append(pool[int(part * len(pool))] if len(pool) else tag)
    return np.array(found, dtype=int)


def _written(teams: Teams, noted: Array, tags: Array, scored: Array, name: str, date: dt.date) -> WatchedGame:
    ids = [one.id for one in teams.vocabulary.breakdowns]
    counts: dict[str, int] = {}
    trips: list[dict[str, int]] = [{} for _ in range(POSSESSIONS)]
    for row, column in zip(*np.nonzero(noted), strict=True):
        tag = ids[tags[row, column]]
        counts[tag] = counts.get(tag, 0) + 1
        trips[row][tag] = trips[row].get(tag, 0) + 1
    told: tuple[WatchedTrip, ...] = ()
    if teams.world.points_noted:
        told = tuple(WatchedTrip(int(one), seen) for one, seen in zip(scored, trips, strict=True))
    return WatchedGame(name, date, POSSESSIONS, counts, told)
