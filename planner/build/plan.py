"""A timed practice plan, segment by segment, with its reasons."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from planner.clock import clock_text

SegmentKind = Literal["drill", "warm-up", "water", "fixed", "set-up", "cool-down"]


@dataclass(frozen=True, slots=True)
class Station:
    """One drill run by one group in one place during a segment; ``half`` is "A", "B" or "full"."""

    drill: str
    group: str
    players: tuple[str, ...]
    half: str

    def as_json(self) -> dict[str, Any]:
        """Return the station in the words of the JSON contract."""
        return {"drill": self.drill, "group": self.group, "players": list(self.players), "half": self.half}


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of practice from ``start`` (minute of the day) lasting whole ``minutes``.

    ``shares`` maps principle id to whole twentieths of each minute (sum at most 20).
    """

    start: int
    minutes: int
    kind: SegmentKind
    title: str
    stations: tuple[Station, ...] = ()
    shares: Mapping[str, int] = field(default_factory=dict)
    why: str = ""
    effort: int = 0

    @property
    def drills(self) -> frozenset[str]:
        """Return the drills that run at the same time; nothing outside drill segments."""
        return frozenset(one.drill for one in self.stations) if self.kind == "drill" else frozenset()

    @property
    def minutes_per_principle(self) -> dict[str, float]:
        """Return principle id -> minutes of this segment."""
        return {one: self.minutes * share / 20 for one, share in self.shares.items()}

    def as_json(self) -> dict[str, Any]:
        """Return the segment in the words of the JSON contract."""
        return {
            "start": clock_text(self.start),
            "minutes": self.minutes,
            "kind": self.kind,
            "title": self.title,
            "stations": [one.as_json() for one in self.stations],
            "minutes_per_principle": self.minutes_per_principle,
            "why": self.why,
            "effort": self.effort,
        }


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A drill that is not in the plan, and why."""

    drill: str
    why: str


@dataclass(frozen=True, slots=True)
class Plan:
    """The practice.

    ``objective`` is the plan's worth in points per 100 possessions, ``bound`` what no plan can exceed.
    ``proven`` says that they meet.
    """

    date: dt.date
    start: int
    minutes: int
    objective: float
    bound: float
    proven: bool
    seconds: float
    segments: tuple[Segment, ...]
    left_out: tuple[LeftOut, ...] = ()
    warnings: tuple[str, ...] = ()

    @property
    def turns(self) -> dict[int, int]:
        """Return the number (from 1) of the turn by place of segment, where different drills run at once."""
        found: dict[int, int] = {}
        before: frozenset[str] = frozenset()
        for number, one in enumerate(self.segments):
            if one.kind in {"water", "set-up"}:
                continue
            drills = one.drills
            if len(drills) > 1:
                found[number] = found[max(found)] + 1 if drills == before and found else 1
            before = drills
        return found

    @property
    def load(self) -> float:
        """Return the expected session load: CR-10 rating x minutes, summed over segments."""
        return float(sum(one.effort * one.minutes for one in self.segments))

    def as_json(self) -> dict[str, Any]:
        """Return the plan in the words of the JSON contract; turns of a station block are numbered."""
        turns = self.turns
        return {
            "date": self.date.isoformat(),
            "start": clock_text(self.start),
            "minutes": self.minutes,
            "objective": self.objective,
            "bound": self.bound,
            "proven": self.proven,
            "seconds": self.seconds,
            "segments": [
                {**one.as_json(), **({"turn": turns[number]} if number in turns else {})}
                for number, one in enumerate(self.segments)
            ],
            "left_out": [{"drill": one.drill, "why": one.why} for one in self.left_out],
            "warnings": list(self.warnings),
        }
