"""Tables of the team: roster, games, gym, fixed blocks, settings."""

import datetime as dt
from typing import Any

from sqlalchemy import JSON, Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from planner.store.models.base import NUMBERED, one_of, rule, yes_or_no

VENUES = ("", "home", "away", "neutral")


class Team(SQLModel, table=True):
    """The team and its season."""

    __tablename__ = "team"
    __table_args__ = (
        rule("name", "length(name) > 0"),
        rule("season", "season_end >= season_start"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    name: str
    season_start: dt.date | None = None
    season_end: dt.date | None = None
    level: str = ""


class Player(SQLModel, table=True):
    """A player of the roster; "0" and "00" are two jerseys."""

    __tablename__ = "player"
    __table_args__ = (
        UniqueConstraint("team_id", "jersey"),
        rule("jersey", "length(trim(jersey)) BETWEEN 1 AND 12"),
        yes_or_no("active"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    team_id: int = Field(foreign_key="team.id", ondelete="CASCADE")
    jersey: str
    name: str = ""
    position: str = ""
    active: bool = True


class Game(SQLModel, table=True):
    """A game of the season, or an opponent's game that was scouted."""

    __tablename__ = "game"
    __table_args__ = (
        Index(None, "team_id", "date"),
        one_of("venue", VENUES),
        rule("possessions", "possessions >= 0"),
        yes_or_no("scouted"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    team_id: int = Field(foreign_key="team.id", ondelete="CASCADE")
    date: dt.date
    opponent: str = ""
    venue: str = ""
    possessions: int | None = None
    scouted: bool = False
    chances: dict[str, int] = Field(default_factory=dict, sa_type=JSON)


class GymWindow(SQLModel, table=True):
    """When the team has how many half courts."""

    __tablename__ = "gym_window"
    __table_args__ = (
        rule(
            "when",
            "(weekday IS NOT NULL) + (date IS NOT NULL) + (rrule IS NOT NULL) = 1",
            "num_nonnulls(weekday, date, rrule) = 1",
        ),
        rule("weekday", "weekday BETWEEN 0 AND 6"),
        rule("hours", 'start BETWEEN 0 AND 1439 AND "end" > start AND "end" <= 2880'),
        rule("halves", "halves BETWEEN 0 AND 2"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    team_id: int = Field(foreign_key="team.id", ondelete="CASCADE", index=True)
    weekday: int | None = None
    date: dt.date | None = None
    rrule: str | None = None
    first: dt.date | None = None
    start: int
    end: int
    halves: int
    note: str = ""


class FixedBlock(SQLModel, table=True):
    """A block that every practice, or every practice on a weekday, holds."""

    __tablename__ = "fixed_block"
    __table_args__ = (
        rule("title", "length(title) > 0"),
        rule("minutes", "minutes > 0"),
        rule(
            "at", "at_word IN ('first', 'last') AND at_minute IS NULL OR at_word IS NULL AND at_minute >= 0"
        ),
        rule("effort", "effort BETWEEN 0 AND 10"),
        rule("halves", "halves BETWEEN 0 AND 2"),
        rule("weekday", "weekday BETWEEN 0 AND 6"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    team_id: int = Field(foreign_key="team.id", ondelete="CASCADE", index=True)
    title: str
    minutes: int
    at_word: str | None = None
    at_minute: int | None = None
    effort: int
    halves: int
    shares: dict[str, int] = Field(default_factory=dict, sa_type=JSON)
    weekday: int | None = None


class Setting(SQLModel, table=True):
    """One thing the coach set, as JSON."""

    __tablename__ = "setting"
    __table_args__ = (rule("key", "length(key) > 0"),)

    team_id: int = Field(foreign_key="team.id", ondelete="CASCADE", primary_key=True)
    key: str = Field(primary_key=True)
    value: Any = Field(default=None, sa_type=JSON)


class SwitchedOff(SQLModel, table=True):
    """A breakdown this team does not count."""

    __tablename__ = "switched_off"
    __table_args__ = (rule("breakdown", "length(breakdown) > 0"),)

    team_id: int = Field(foreign_key="team.id", ondelete="CASCADE", primary_key=True)
    breakdown: str = Field(primary_key=True)


class Journal(SQLModel, table=True):
    """One thing the coach did that can be undone."""

    __tablename__ = "journal"
    __table_args__ = (
        Index(None, "team_id", "undone"),
        rule("verb", "length(verb) > 0"),
        yes_or_no("undone"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    team_id: int = Field(foreign_key="team.id", ondelete="CASCADE")
    stamp: dt.datetime
    verb: str
    words: str = ""
    payload: dict[str, Any] = Field(default_factory=dict, sa_type=JSON)
    undone: bool = False
    coach: str | None = None
