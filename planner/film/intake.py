"""What one reading of one film note yields."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

NoteKind = Literal["sheet", "table", "captions"]


@dataclass(frozen=True, slots=True)
class Possession:
    """One defensive possession that the note writes down.

    ``number`` counts from 1 in the order of the note. ``points`` is what the opponent scored on it, None
    when the note does not say. ``clock`` is the game clock as ``"08:42"``.
    """

    number: int
    period: str | None = None
    clock: str | None = None
    points: int | None = None
    line: int | None = None


@dataclass(frozen=True, slots=True)
class Sighting:
    """One breakdown seen (``count`` times, for notes that only count)."""

    breakdown: str
    line: int | None = None
    start: str | None = None
    end: str | None = None
    players: tuple[str, ...] = ()
    points: int | None = None
    count: int = 1
    sure: float = 1.0
    text: str = ""
    possession: int | None = None

    def as_json(self) -> dict[str, Any]:
        """Return the sighting in the words of the JSON contract."""
        return {
            "line": self.line,
            "start": self.start,
            "end": self.end,
            "breakdown": self.breakdown,
            "players": list(self.players),
            "points": self.points,
            "count": self.count,
            "sure": self.sure,
            "text": self.text,
            "possession": self.possession,
        }


@dataclass(frozen=True, slots=True)
class Proposal(Sighting):
    """A breakdown heard in narration, which counts only once the coach says yes.

    ``wording`` are the very words that tell it (``#`` for a jersey), ``asks`` the jerseys said that no player
    of ours wears.
    """

    wording: str = ""
    asks: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Return the proposal as a sighting that waits."""
        return {**Sighting.as_json(self), "waits": True, "asks": list(self.asks)}


@dataclass(frozen=True, slots=True)
class Unclear:
    """A line or cue that could not be read; kept and shown, never dropped."""

    text: str
    why: str
    line: int | None = None
    start: str | None = None

    def as_json(self) -> dict[str, Any]:
        """Return the line in the words of the JSON contract."""
        return {"line": self.line, "start": self.start, "text": self.text, "why": self.why}


@dataclass(frozen=True, slots=True)
class Heading:
    """What the note says of its game, as far as it does (ISO date, opponent's name, home or away)."""

    date: str | None = None
    opponent: str | None = None
    venue: str | None = None


@dataclass(frozen=True, slots=True)
class Intake:
    """One reading of one file.

    ``possessions`` is the number of defensive possessions watched, None when neither written down one by
    one nor told. ``digest`` is the SHA-256 of the bytes: the same file read twice adds nothing. ``columns``
    says in words how a table's columns were read and ``header`` is its header row, normalised; neither is
    stored.
    """

    file: str
    kind: NoteKind
    digest: str
    possessions: int | None
    trips: tuple[Possession, ...]
    sightings: tuple[Sighting, ...]
    unclear: tuple[Unclear, ...]
    problems: tuple[str, ...]
    heading: Heading = Heading()
    columns: tuple[str, ...] = field(default=(), compare=False)
    header: str = field(default="", compare=False)

    @property
    def proposals(self) -> tuple[Proposal, ...]:
        """Return what waits for the coach's yes or no."""
        return tuple(one for one in self.sightings if isinstance(one, Proposal))

    @property
    def seen(self) -> tuple[Sighting, ...]:
        """Return what counts as it is read."""
        return tuple(one for one in self.sightings if not isinstance(one, Proposal))

    def as_json(self) -> dict[str, Any]:
        """Return the reading in the words of the JSON contract."""
        return {
            "file": self.file,
            "kind": self.kind,
            "possessions": self.possessions,
            "sightings": [one.as_json() for one in self.sightings],
            "unclear": [one.as_json() for one in self.unclear],
            "problems": list(self.problems),
            **({"columns": list(self.columns)} if self.columns else {}),
        }


@dataclass(slots=True)
class Reading:
    """What a reader of sheets or tables has gathered so far; the parts of an Intake."""

    trips: list[Possession] = field(default_factory=list)
    sightings: list[Sighting] = field(default_factory=list)
    unclear: list[Unclear] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    possessions: int | None = None
    heading: Heading = field(default_factory=Heading)
