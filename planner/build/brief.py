"""What a practice has to work with: the brief that the solver is given."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from planner.drills.card import Drill
from planner.drills.vocabulary import Stage


@dataclass(frozen=True, slots=True)
class SquadPlayer:
    """A player at practice; the jersey is text ("0" and "00" differ), name and position are optional."""

    jersey: str
    position: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True)
class GymWindow:
    """From ``start`` to ``end`` (minutes of the day) there are ``halves`` half courts (0, 1 or 2)."""

    start: int
    end: int
    halves: int


@dataclass(frozen=True, slots=True)
class FixedBlock:
    """Something the coach has already decided.

    ``at`` is minutes after the start of practice, or ``"first"`` (after the warm-up) or ``"last"`` (before
    the cool-down).
    """

    title: str
    minutes: int
    at: int | str
    effort: int = 3
    halves: int = 1
    shares: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Pin:
    """A drill that must be in the plan, for ``minutes`` if given."""

    drill: str
    minutes: int | None = None


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
    """The house rules of a practice; minutes, CR-10 ratings and session load (rating x minutes)."""

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


@dataclass(frozen=True, slots=True)
class Brief:
    """Everything the solver may know about one practice.

    ``start`` is a minute of the day, ``minutes`` the whole practice. ``gym`` windows that do not cover the
    practice leave both halves free. ``ran_last`` and ``ran_before`` are the drill ids of the last two
    practices. ``weights`` maps principle id to its weight. Where several days are planned together,
    ``elsewhere`` holds the effective minutes of the other days and ``lasting`` is the part of this day's
    minutes that is left on the day they are for.
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
