"""What a practice has to work with: the brief that the solver is given."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from planner.drills.card import Drill
from planner.drills.vocabulary import Stage


@dataclass(frozen=True, slots=True)
class SquadPlayer:
    """A player at practice; the jersey is text ("0" and "00" differ), name and position are optional.

    ``arrives`` is the minute of the day from which the player is there.
    """

    jersey: str
    position: str = ""
    name: str = ""
    arrives: int = 0


@dataclass(frozen=True, slots=True)
class GymWindow:
    """From ``start`` to ``end`` (minutes of the day) there are ``halves`` half courts (0, 1 or 2)."""

    start: int
    end: int
    halves: int


@dataclass(frozen=True, slots=True)
class FixedBlock:
    """Something the coach has already decided.

    ``at`` is minutes after the start of practice, ``"start"`` (before the warm-up), ``"first"`` (after it) or
    ``"last"`` (before the cool-down). With no ``halves`` it is off the floor: it needs no basket, and players
    drink as they like. ``content`` says what it is about.
    """

    title: str
    minutes: int
    at: int | str
    effort: int = 3
    halves: int = 1
    shares: Mapping[str, int] = field(default_factory=dict)
    content: str = ""


@dataclass(frozen=True, slots=True)
class Pin:
    """A drill that must be in the plan, for ``minutes`` if given."""

    drill: str
    minutes: int | None = None


@dataclass(frozen=True, slots=True)
class StationPin:
    """Two drills that must run side by side, for ``minutes`` a turn if given."""

    first: str
    second: str
    minutes: int | None = None


GroupBy = Literal["need", "position", "even"]
"""How the squad is split for stations: who is charged most goes first, like with like, or evenly."""


@dataclass(frozen=True, slots=True)
class Weight:
    """What a principle's minutes are worth tomorrow.

    ``need`` in points per 100 possessions, ``carry_over`` minutes still in the legs and heads, ``passed``
    the highest stage the team has passed (None: nothing yet).
    """

    need: float
    carry_over: float = 0.0
    passed: Stage | None = None


@dataclass(frozen=True, slots=True)
class Rules:
    """The house rules of a practice; minutes, CR-10 ratings and session load (rating x minutes).

    ``rotation_minutes`` is what the change of baskets takes between two turns of a station block.
    ``waiting`` (0 to 1) is the part of a minute that is lost on a player who waits for a turn.
    """

    water_every: int = 25
    water_minutes: int = 2
    set_up_minutes: int = 1
    high_effort: int = 7
    high_in_a_row: int = 2
    load_ceiling: float | None = None
    freshness_last: float = 0.6
    freshness_before: float = 0.8
    r: float = 0.35
    tau: float = 30.0
    rotation_minutes: int = 1
    waiting: float = 0.0


@dataclass(frozen=True, slots=True)
class Brief:
    """Everything the solver may know about one practice.

    ``start`` is a minute of the day, ``minutes`` the whole practice. ``gym`` windows that do not cover the
    practice leave both halves free. ``ran_last`` and ``ran_before`` are the drill ids of the last two
    practices. ``weights`` maps principle id to its weight. Where several days are planned together,
    ``elsewhere`` holds the effective minutes of the other days and ``lasting`` is the part of this day's
    minutes that is left on the day they are for. ``stations``: at least one block of two drills side by side
    (True), none (False), or what is worth most (None). ``first_in`` maps principle id to the jerseys that go
    to its drill first. ``equipment`` is what the team has, so many of each; what it does not name is there.
    """

    date: dt.date
    start: int
    minutes: int
    squad: tuple[SquadPlayer, ...]
    drills: tuple[Drill, ...]
    weights: Mapping[str, Weight]
    warm_up: Drill | None = None
    warm_up_minutes: int = 0
    cool_down: Drill | None = None
    cool_down_minutes: int = 0
    gym: tuple[GymWindow, ...] = ()
    coaches: int = 2
    fixed: tuple[FixedBlock, ...] = ()
    pins: tuple[Pin, ...] = ()
    keep_out: frozenset[str] = frozenset()
    ran_last: frozenset[str] = frozenset()
    ran_before: frozenset[str] = frozenset()
    rules: Rules = Rules()
    elsewhere: Mapping[str, float] = field(default_factory=dict)
    lasting: float = 1.0
    stations: bool | None = None
    station_pins: tuple[StationPin, ...] = ()
    group_by: GroupBy = "need"
    first_in: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    equipment: Mapping[str, int] = field(default_factory=dict)

    def at(self, minute: int) -> Brief:
        """Return the brief with only those who are there at a minute of the day."""
        if all(one.arrives <= minute for one in self.squad):
            return self
        return replace(self, squad=tuple(one for one in self.squad if one.arrives <= minute))

    @property
    def phases(self) -> tuple[tuple[int, int], ...]:
        """Return the spans (minutes after the start) in which the same players are there."""
        comes = {one.arrives - self.start for one in self.squad}
        marks = [0, *sorted(one for one in comes if 0 < one < self.minutes), self.minutes]
        return tuple(itertools.pairwise(marks))
