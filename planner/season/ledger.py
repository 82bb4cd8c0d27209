"""The same seconds told other ways: by stage, by player, and planned beside done. Nothing is lost in any."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from planner.season.minutes import BESIDES, practice_seconds, split_seconds, summed
from planner.season.record import DonePractice

NO_STAGE = "none"
"""The stage of what is no drill, or of a drill whose stage nobody noted."""


def stage_seconds(practices: Iterable[DonePractice]) -> dict[str, dict[str, int]]:
    """Return stage -> seconds per principle and remainder; all of it sums to the practices' seconds."""
    found: dict[str, dict[str, int]] = {}
    for practice in practices:
        for segment in practice.segments:
            into = found.setdefault(segment.stage or NO_STAGE, {})
            for key, seconds in split_seconds(segment).items():
                into[key] = into.get(key, 0) + seconds
    return found


@dataclass(frozen=True, slots=True)
class PlayerMinutes:
    """What one player was there for: practices, practices missed, seconds per principle and remainder."""

    jersey: str
    practices: int
    missed: int
    seconds: Mapping[str, int]

    @property
    def total(self) -> int:
        """Return all seconds the player was there for."""
        return sum(self.seconds.values())

    def as_json(self) -> dict[str, Any]:
        """Return the player's minutes as plain values."""
        return {
            "player": self.jersey,
            "practices": self.practices,
            "missed": self.missed,
            "minutes": {one: value / 60 for one, value in sorted(self.seconds.items())},
            "total": self.total / 60,
        }


def by_player(practices: Sequence[DonePractice], roster: Iterable[str]) -> tuple[PlayerMinutes, ...]:
    """Return the minutes of each player of the roster, in its order; whoever was absent has none.

    The log says who was absent, not which group a player was in: whoever was there is given the whole
    practice.
    """
    parts = [(one, practice_seconds(one)) for one in practices]
    found = []
    for jersey in roster:
        there = [seconds for one, seconds in parts if jersey not in one.absent]
        found.append(PlayerMinutes(jersey, len(there), len(parts) - len(there), summed(there)))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class PlannedDone:
    """One principle (or remainder) in minutes: planned, done of what was planned, done without a plan.

    ``done`` and ``planned`` are of the same practices: those that had a plan and were logged.
    """

    key: str
    planned: float
    done: float
    unplanned: float

    @property
    def apart(self) -> float:
        """Return by how many minutes more than planned was done."""
        return self.done - self.planned

    def as_json(self) -> dict[str, Any]:
        """Return the row as plain values."""
        return {
            "principle": self.key,
            "planned": self.planned,
            "done": self.done,
            "unplanned": self.unplanned,
            "apart": self.apart,
        }


@dataclass(frozen=True, slots=True)
class Kept:
    """How the plans were kept: rows by falling plan, practices counted, and days planned but not logged."""

    rows: tuple[PlannedDone, ...]
    with_plan: int
    without_plan: int
    not_logged: tuple[dt.date, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the comparison as plain values."""
        return {
            "principles": [one.as_json() for one in self.rows],
            "practices_with_plan": self.with_plan,
            "practices_without_plan": self.without_plan,
            "planned_but_not_logged": [one.isoformat() for one in self.not_logged],
        }


def planned_beside_done(planned: Sequence[DonePractice], done: Sequence[DonePractice]) -> Kept:
    """Return minutes planned beside minutes done, practice by practice (matched by their number).

    A plan is given as a practice run to the letter, so that one rule accounts for both.
    """
    plans = {one.practice: one for one in planned}
    logged = {one.practice for one in done}
    both = [one for one in done if one.practice in plans]
    alone = [one for one in done if one.practice not in plans]
    wanted = summed(practice_seconds(plans[one.practice]) for one in both)
    ran = summed(practice_seconds(one) for one in both)
    besides = summed(practice_seconds(one) for one in alone)
    keys = sorted(
        {*wanted, *ran, *besides},
        key=lambda one: (one in BESIDES, -wanted.get(one, 0), -ran.get(one, 0), one),
    )
    rows = tuple(
        PlannedDone(one, wanted.get(one, 0) / 60, ran.get(one, 0) / 60, besides.get(one, 0) / 60)
        for one in keys
    )
    waiting = tuple(one.date for one in planned if one.practice not in logged)
    return Kept(rows, len(both), len(alone), waiting)
