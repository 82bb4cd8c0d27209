"""Tables of the practices: planned and done, and where the team stands."""

import datetime as dt
from typing import Any

from sqlalchemy import JSON, Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from planner.store.models.base import NUMBERED, one_of, rule, yes_or_no

STATES = ("planned", "done")
SIDES = ("planned", "done")
SEGMENT_KINDS = ("drill", "warm-up", "water", "fixed", "set-up", "cool-down")
HALVES = ("A", "B", "full")
STAGES = ("walk", "guided", "contested", "live")


class Practice(SQLModel, table=True):
    """One practice; the solver's figures are null when it was run without a plan."""

    __tablename__ = "practice"
    __table_args__ = (
        UniqueConstraint("team_id", "date", "start"),
        one_of("state", STATES),
        rule("start", "start BETWEEN 0 AND 1439"),
        rule(
            "began",
            "(began IS NOT NULL) = (state = 'done') AND ifnull(began, 0) BETWEEN 0 AND 1439",
            "(began IS NOT NULL) = (state = 'done') AND coalesce(began, 0) BETWEEN 0 AND 1439",
        ),
        rule("minutes", "minutes > 0"),
        rule("rating", "rating BETWEEN 0 AND 10"),
        rule("took", "took >= 0"),
        rule(
            "plan",
            "(objective IS NULL) = (bound IS NULL) AND "
            "(objective IS NULL) = (proven IS NULL) AND (objective IS NULL) = (took IS NULL)",
        ),
        rule("planned", "state = 'done' OR objective IS NOT NULL"),
        yes_or_no("proven"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    team_id: int = Field(foreign_key="team.id", ondelete="CASCADE")
    date: dt.date
    start: int
    minutes: int
    state: str
    saved: int
    """Counts plans as they are saved: the largest is the latest."""
    objective: float | None = None
    bound: float | None = None
    proven: bool | None = None
    took: float | None = None
    """Seconds the solver took."""
    load: float | None = None
    warnings: list[str] = Field(default_factory=list, sa_type=JSON)
    left_out: list[list[str]] = Field(default_factory=list, sa_type=JSON)
    brief: dict[str, Any] = Field(default_factory=dict, sa_type=JSON)
    began: int | None = None
    """Minute of the day at which it really began."""
    rating: int | None = None
    absent: list[str] = Field(default_factory=list, sa_type=JSON)


class KeptPlan(SQLModel, table=True):
    """A plan that came second: another coach had changed the practice meanwhile."""

    __tablename__ = "kept_plan"
    __table_args__ = (Index(None, "team_id", "date"), rule("start", "start BETWEEN 0 AND 1439"), NUMBERED)

    id: int | None = Field(default=None, primary_key=True)
    team_id: int = Field(foreign_key="team.id", ondelete="CASCADE")
    date: dt.date
    start: int
    stamp: dt.datetime
    coach: str | None = None
    plan: dict[str, Any] = Field(default_factory=dict, sa_type=JSON)
    brief: dict[str, Any] = Field(default_factory=dict, sa_type=JSON)


class Segment(SQLModel, table=True):
    """A stretch of a practice, on its planned or its done side, in seconds."""

    __tablename__ = "segment"
    __table_args__ = (
        UniqueConstraint("practice_id", "side", "position"),
        one_of("side", SIDES),
        one_of("kind", SEGMENT_KINDS),
        rule(
            "start",
            "(start IS NOT NULL) = (side = 'planned') AND ifnull(start, 0) >= 0",
            "(start IS NOT NULL) = (side = 'planned') AND coalesce(start, 0) >= 0",
        ),
        rule("seconds", "seconds > 0 OR side = 'done' AND seconds = 0"),
        rule("whole_minutes", "side = 'done' OR seconds % 60 = 0"),
        rule("effort", "effort BETWEEN 0 AND 10"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    practice_id: int = Field(foreign_key="practice.id", ondelete="CASCADE")
    side: str
    position: int
    start: int | None = None
    seconds: int
    kind: str
    title: str
    drill: str | None = None
    stage: str | None = None
    shares: dict[str, int] = Field(default_factory=dict, sa_type=JSON)
    why: str = ""
    effort: int = 0


class Station(SQLModel, table=True):
    """One drill run by one group in one place during a segment."""

    __tablename__ = "station"
    __table_args__ = (UniqueConstraint("segment_id", "position"), one_of("half", HALVES), NUMBERED)

    id: int | None = Field(default=None, primary_key=True)
    segment_id: int = Field(foreign_key="segment.id", ondelete="CASCADE")
    position: int
    drill: str
    group: str
    half: str
    players: list[str] = Field(default_factory=list, sa_type=JSON)


class DrillResult(SQLModel, table=True):
    """How a drill was scored: stops out of tries."""

    __tablename__ = "drill_result"
    __table_args__ = (
        rule("stops", "stops >= 0"),
        rule("tries", "tries >= 0"),
        rule("within", "stops <= tries"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    segment_id: int = Field(foreign_key="segment.id", ondelete="CASCADE", unique=True)
    drill: str | None = None
    stops: int | None = None
    tries: int | None = None


class Emphasis(SQLModel, table=True):
    """A coach's factor on a principle's need, from a date on."""

    __tablename__ = "emphasis"
    __table_args__ = (
        Index(None, "team_id", "since"),
        rule("principle", "length(principle) > 0"),
        rule("factor", "factor >= 0"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    team_id: int = Field(foreign_key="team.id", ondelete="CASCADE")
    principle: str
    factor: float
    since: dt.date


class Progress(SQLModel, table=True):
    """The highest stage passed as of a date; null takes the team back to nothing."""

    __tablename__ = "progress"
    __table_args__ = (
        Index(None, "team_id", "date"),
        rule("principle", "length(principle) > 0"),
        one_of("stage", STAGES),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    team_id: int = Field(foreign_key="team.id", ondelete="CASCADE")
    principle: str
    stage: str | None = None
    date: dt.date
    how: str = ""
