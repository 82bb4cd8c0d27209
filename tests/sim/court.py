"""The stand-in for the solver: many practices at once, by greedy choice over the library's real drills.

It has the same drills, shares, stage fits, freshness and lengths as ``planner.build``, and the minutes that
a real practice leaves for drills, but no clock: no order, no gym, no load. ``tests/sim/validate.py`` sets it
beside the real solver.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.build.brief import Rules
from planner.build.candidates import stage_fit
from planner.drills.card import SHARE_UNIT, Drill
from planner.drills.vocabulary import Vocabulary

Array = NDArray[Any]
FLOOR_MINUTES = 90
DRILL_MINUTES = 58.0
"""Of a practice of 90: less 26 for warm-up, offence and free throws, 6 for water."""
SET_UP = 0.0
"""Minutes lost by one more drill: the real plans set beside the stand-in keep to one layout."""
LONGER = 2.0
"""Minutes by which a drill is made longer at a time."""

Gain = Callable[[Array], Array]
"""Effective minutes so far (N x principles) to what one more is worth (N x principles)."""


@dataclass(frozen=True)
class Shelf:
    """The library as numbers: drills x principles and one entry a drill."""

    drills: tuple[Drill, ...]
    raw: Array
    fit: Array
    low: Array
    high: Array
    players: Array

    @property
    def worths(self) -> Array:
        """Return effective minutes per minute, drills x principles."""
        worths: Array = self.raw * self.fit[:, None]
        return worths


@dataclass
class Habits:
    """Which drills each season ran in its last two practices."""

    last: Array
    before: Array

    @classmethod
    def none(cls, seasons: int, drills: int) -> Habits:
        """Return the habits of teams that have not practised."""
        return cls(np.zeros((seasons, drills), bool), np.zeros((seasons, drills), bool))

    def fresh(self, rules: Rules) -> Array:
        """Return what is left of each drill's worth."""
        before = np.where(self.before, rules.freshness_before, 1.0)
        return np.where(self.last, rules.freshness_last, before)

    def ran(self, minutes: Array) -> None:
        """Take in a practice."""
        self.before, self.last = self.last, minutes > 0


def shelf(drills: Sequence[Drill], vocabulary: Vocabulary) -> Shelf:
    """Return the drills as numbers."""
    kept = tuple(one for one in drills if one.kind == "drill")
    names = [one.id for one in vocabulary.principles]
    return Shelf(
        drills=kept,
        raw=np.array([[one.shares.get(name, 0) / SHARE_UNIT for name in names] for one in kept]),
        fit=np.array([stage_fit(one.stage, None) for one in kept]),
        low=np.array([one.minutes.min for one in kept], dtype=float),
        high=np.array([one.minutes.max for one in kept], dtype=float),
        players=np.array([one.players_min for one in kept]),
    )


def choose(kit: Shelf, gain: Gain, fresh: Array, squads: Array, budget: float = DRILL_MINUTES) -> Array:
    """Return minutes per drill (N x drills): the best next block of minutes, again and again.

    A block is a new drill at its least minutes, or two more of one that runs.
    """
    seasons, drills = fresh.shape
    principles = kit.raw.shape[1]
    minutes, taught = np.zeros((seasons, drills)), np.zeros((seasons, principles))
    left = np.full(seasons, budget)
    allowed = kit.players[None, :] <= squads[:, None]
    rows = np.arange(seasons)
    while True:
        open_ = minutes > 0
        block = np.where(open_, np.minimum(LONGER, kit.high - minutes), kit.low)
        cost = np.where(open_, block, block + SET_UP)
        can = allowed & (block > 0) & (cost <= left[:, None] + 1e-9)
        if not can.any():
            return minutes
        half = 0.5 * float(kit.low.mean()) * float(kit.worths.max(axis=1).mean())
        slope = gain(taught + 0.0)
        bent = (gain(taught + half) - slope) / half
        each = fresh * (slope @ kit.worths.T + 0.5 * block * fresh * (bent @ (kit.worths**2).T))
        score = np.where(can, each * block / np.maximum(cost, 1e-9), -np.inf)
        best = score.argmax(axis=1)
        ok = can[rows, best] & (score[rows, best] > 0)
        if not ok.any():
            return minutes
        length = np.where(ok, block[rows, best], 0.0)
        minutes[rows, best] += length
        left -= np.where(ok, cost[rows, best], 0.0)
        left = np.where(ok, left, 0.0)
        taught += (length * fresh[rows, best])[:, None] * kit.worths[best]
