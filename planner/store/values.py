"""What the store hands out: plain frozen values, never rows of the database."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from planner.build.brief import FixedBlock, GymWindow
from planner.build.plan import Plan
from planner.drills.vocabulary import Stage
from planner.film.intake import NoteKind

Venue = Literal["", "home", "away", "neutral"]
PracticeState = Literal["planned", "done"]

NOTHING = "nothing"
NOT_OURS = "not-ours"
NOT_A_MISTAKE = "not-a-mistake"
QUIET = frozenset({NOTHING, NOT_OURS, NOT_A_MISTAKE})
"""What an unclear line is sorted as when it says nothing of the defence."""


@dataclass(frozen=True, slots=True)
class TeamInfo:
    """The team and its season; ``level`` is free text ("under 16")."""

    name: str
    season_start: dt.date | None = None
    season_end: dt.date | None = None
    level: str = ""
    id: int | None = None


@dataclass(frozen=True, slots=True)
class PlayerInfo:
    """A player on the roster; the jersey is text ("0" and "00" differ), name and position are optional."""

    jersey: str
    name: str = ""
    position: str = ""
    active: bool = True


@dataclass(frozen=True, slots=True)
class GameInfo:
    """A game, or an opponent's game that was only scouted.

    ``possessions`` overrides what the film notes say of the exposure. ``chances`` maps breakdown id to
    counted chances of that kind. ``films`` is the number of film notes read and not undone.
    """

    id: int
    date: dt.date
    opponent: str
    venue: Venue = ""
    possessions: int | None = None
    scouted: bool = False
    chances: Mapping[str, int] = field(default_factory=dict)
    films: int = 0


@dataclass(frozen=True, slots=True)
class IntakeInfo:
    """One reading of one film note.

    ``sightings`` is the sum of their counts, those sorted from unclear lines and those said yes to included;
    ``unclear`` is how many lines still wait to be sorted, ``proposed`` how much was proposed from narration
    and ``waiting`` how much of it still waits for yes or no.
    """

    id: int
    file: str
    kind: NoteKind
    digest: str
    game: int
    stamp: dt.datetime
    possessions: int | None
    trips: int
    sightings: int
    unclear: int
    problems: tuple[str, ...]
    undone: bool
    proposed: int = 0
    waiting: int = 0


@dataclass(frozen=True, slots=True)
class ProposalInfo:
    """A breakdown heard in narration; see ``film.intake.Proposal``.

    ``answer`` is None while it waits, ``NO``, or the breakdown that it counts as, charged to ``charged``.
    """

    id: int
    intake: int
    file: str
    game: int
    breakdown: str
    players: tuple[str, ...]
    asks: tuple[str, ...]
    line: int | None
    start: str | None
    end: str | None
    sure: float
    text: str
    wording: str
    answer: str | None = None
    charged: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class UnclearInfo:
    """A line that could not be read; ``sorted_as`` is a breakdown id, ``NOTHING``, or None while it waits."""

    id: int
    intake: int
    file: str
    text: str
    why: str
    line: int | None
    start: str | None
    sorted_as: str | None


@dataclass(frozen=True, slots=True)
class PracticeInfo:
    """A practice, planned or done, without its segments.

    ``start`` is a minute of the day. ``has_plan`` is false for a practice that was run and logged without
    one; the solver's figures are then None. ``wishes`` is what the plan was asked for. ``done_seconds`` is
    None until the practice is logged. ``version`` is another one whenever a plan is saved.
    """

    id: int
    date: dt.date
    start: int
    minutes: int
    state: PracticeState
    has_plan: bool
    objective: float | None
    bound: float | None
    proven: bool | None
    load: float | None
    wishes: Mapping[str, Any]
    rating: int | None
    absent: tuple[str, ...]
    done_seconds: int | None
    version: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class GymRule:
    """When the team has the gym: on a weekday (0 is Monday), on one date, or by an RFC 5545 rule.

    Exactly one of ``weekday``, ``date`` and ``rrule`` is given. ``start`` and ``end`` are minutes of the day,
    ``halves`` half courts (0 says: not there). ``first`` is the day an ``rrule`` counts from.
    """

    start: int
    end: int
    halves: int
    weekday: int | None = None
    date: dt.date | None = None
    rrule: str | None = None
    first: dt.date | None = None
    note: str = ""
    id: int | None = None

    @property
    def window(self) -> GymWindow:
        """Return the rule's stretch of a day."""
        return GymWindow(self.start, self.end, self.halves)

    def holds_on(self, day: dt.date) -> bool:
        """Return whether the rule speaks of ``day``."""
        if self.date is not None:
            return day == self.date
        if self.weekday is not None:
            return day.weekday() == self.weekday
        return self.rrule is not None and _recurs_on(self.rrule, self.first or day, day)


@dataclass(frozen=True, slots=True)
class FixedRule:
    """A block that every practice holds (on one ``weekday``, 0 is Monday, if given)."""

    title: str
    minutes: int
    at: int | str
    effort: int = 3
    halves: int = 1
    shares: Mapping[str, int] = field(default_factory=dict)
    weekday: int | None = None
    id: int | None = None

    @property
    def block(self) -> FixedBlock:
        """Return the block as the brief takes it."""
        return FixedBlock(self.title, self.minutes, self.at, self.effort, self.halves, dict(self.shares))

    def holds_on(self, day: dt.date) -> bool:
        """Return whether the block belongs to a practice on ``day``."""
        return self.weekday is None or day.weekday() == self.weekday


@dataclass(frozen=True, slots=True)
class EmphasisInfo:
    """A coach's factor on a principle's need, from a date on."""

    id: int
    principle: str
    factor: float
    since: dt.date


@dataclass(frozen=True, slots=True)
class ProgressInfo:
    """The highest stage passed on a date (None: back to nothing), and how that was judged."""

    id: int
    principle: str
    stage: Stage | None
    date: dt.date
    how: str


@dataclass(frozen=True, slots=True)
class JournalEntry:
    """One thing the coach did that can be undone: the verb, the words to show, and what undoing needs."""

    id: int
    stamp: dt.datetime
    verb: str
    words: str
    payload: Mapping[str, Any]
    undone: bool
    coach: str = ""


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A plan that came second, with the wishes it was built from, when it was kept and by whom."""

    id: int
    plan: Plan
    wishes: Mapping[str, Any]
    stamp: dt.datetime
    coach: str = ""


def _recurs_on(rule: str, first: dt.date, day: dt.date) -> bool:
    from dateutil.rrule import rrulestr

    if day < first:
        return False
    start = dt.datetime.combine(first, dt.time())
    midnight = dt.datetime.combine(day, dt.time())
    moments = rrulestr(rule, dtstart=start, ignoretz=True)
    found = moments.after(midnight - dt.timedelta(seconds=1))
    return found is not None and found.date() == day
