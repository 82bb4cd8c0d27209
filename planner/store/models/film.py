"""Tables of the film: notes, readings of them, and what was seen."""

import datetime as dt
from typing import Any

from sqlalchemy import JSON, Index, UniqueConstraint, text
from sqlmodel import Field, SQLModel

from planner.store.models.base import NUMBERED, one_of, rule, yes_or_no

NOTE_KINDS = ("sheet", "table", "captions")


class FilmNote(SQLModel, table=True):
    """A file of film notes, byte for byte (``packed``: through zlib)."""

    __tablename__ = "film_note"
    __table_args__ = (
        UniqueConstraint("team_id", "digest"),
        one_of("kind", NOTE_KINDS),
        rule("digest", "length(digest) = 64"),
        rule("size", "size >= 0"),
        yes_or_no("packed"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    team_id: int = Field(foreign_key="team.id", ondelete="CASCADE")
    name: str
    kind: str
    digest: str
    size: int
    packed: bool
    raw: bytes


class Intake(SQLModel, table=True):
    """One reading of one film note."""

    __tablename__ = "intake"
    __table_args__ = (
        # The same file counts once, however the program is driven.
        Index(
            "uq_intake_film_note_id_live",
            "film_note_id",
            unique=True,
            sqlite_where=text("undone = 0"),
            postgresql_where=text("NOT undone"),
        ),
        rule("possessions", "possessions >= 0"),
        yes_or_no("undone"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    film_note_id: int = Field(foreign_key="film_note.id", ondelete="CASCADE", index=True)
    # No action rather than RESTRICT: a game with film stays, yet a whole team can still go.
    game_id: int = Field(foreign_key="game.id", index=True)
    stamp: dt.datetime
    name: str
    possessions: int | None = None
    problems: list[str] = Field(default_factory=list, sa_type=JSON)
    heading: dict[str, Any] = Field(default_factory=dict, sa_type=JSON)
    undone: bool = False


class Possession(SQLModel, table=True):
    """One defensive possession that a note writes down."""

    __tablename__ = "possession"
    __table_args__ = (
        UniqueConstraint("intake_id", "number"),
        rule("number", "number >= 1"),
        rule("points", "points >= 0"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    intake_id: int = Field(foreign_key="intake.id", ondelete="CASCADE")
    number: int
    period: str | None = None
    clock: str | None = None
    points: int | None = None
    line: int | None = None


class Unclear(SQLModel, table=True):
    """A line that could not be read, and what the coach made of it."""

    __tablename__ = "unclear"
    __table_args__ = (rule("sorted_as", "length(sorted_as) > 0"), NUMBERED)

    id: int | None = Field(default=None, primary_key=True)
    intake_id: int = Field(foreign_key="intake.id", ondelete="CASCADE", index=True)
    text: str
    why: str
    line: int | None = None
    start: str | None = None
    sorted_as: str | None = None


class Sighting(SQLModel, table=True):
    """One breakdown seen; ``unclear_id`` when the coach sorted it from an unclear line."""

    __tablename__ = "sighting"
    __table_args__ = (
        UniqueConstraint("unclear_id"),
        rule("breakdown", "length(breakdown) > 0"),
        rule("points", "points >= 0"),
        rule("seen", "seen >= 1"),
        rule("sure", "sure BETWEEN 0 AND 1"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    intake_id: int = Field(foreign_key="intake.id", ondelete="CASCADE", index=True)
    unclear_id: int | None = Field(default=None, foreign_key="unclear.id", ondelete="CASCADE")
    breakdown: str
    line: int | None = None
    start: str | None = None
    end: str | None = None
    points: int | None = None
    seen: int
    sure: float
    text: str = ""
    possession: int | None = None


class SightingPlayer(SQLModel, table=True):
    """A player charged with a sighting, by jersey; he need not be on the roster."""

    __tablename__ = "sighting_player"
    __table_args__ = (rule("jersey", "length(jersey) > 0"),)

    sighting_id: int = Field(foreign_key="sighting.id", ondelete="CASCADE", primary_key=True)
    position: int = Field(primary_key=True)
    jersey: str


class Proposal(SQLModel, table=True):
    """A breakdown heard in narration; ``answer`` is ``no`` or the breakdown that the coach said it is."""

    __tablename__ = "proposal"
    __table_args__ = (
        UniqueConstraint("sighting_id"),
        rule("breakdown", "length(breakdown) > 0"),
        rule("sure", "sure BETWEEN 0 AND 1"),
        rule("answer", "length(answer) > 0"),
        # What counts has been said yes to, and nothing else.
        rule("counts", "sighting_id IS NULL OR (answer IS NOT NULL AND answer <> 'no')"),
        NUMBERED,
    )

    id: int | None = Field(default=None, primary_key=True)
    intake_id: int = Field(foreign_key="intake.id", ondelete="CASCADE", index=True)
    sighting_id: int | None = Field(default=None, foreign_key="sighting.id")
    breakdown: str
    line: int | None = None
    start: str | None = None
    end: str | None = None
    sure: float
    text: str = ""
    wording: str = ""
    players: list[str] = Field(default_factory=list, sa_type=JSON)
    asks: list[str] = Field(default_factory=list, sa_type=JSON)
    answer: str | None = None
