"""What the coach asks of a practice, from the words it is asked in, and as the store keeps it."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from planner.build.brief import FixedBlock, GroupBy, Pin, StationPin
from planner.build.plan import Segment
from planner.clock import parse_clock
from planner.desk.team import clean_jersey
from planner.problem import Refusal
from planner.store.packing import pack_segment, unpack_segment
from planner.text import clean_line


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the coach asks of one practice; None leaves it to the team's settings and gym.

    ``start`` is a minute of the day. ``squad`` is how many will be there, ``away`` the jerseys that will not,
    ``late`` jersey and minute of the day of those who come later. ``stations``: at least one block of two
    drills side by side (True), none (False), or what is worth most (None). ``locks`` are stretches that stay
    as they are, at their time. ``by_hand`` says that the plan was changed by hand since it was built.
    ``film`` is a film session's minutes and minute of the day (None: before the warm-up).
    """

    date: dt.date
    minutes: int | None = None
    start: int | None = None
    squad: int | None = None
    away: tuple[str, ...] = ()
    pins: tuple[Pin, ...] = ()
    keep_out: tuple[str, ...] = ()
    fixed: tuple[FixedBlock, ...] = ()
    coaches: int | None = None
    load_ceiling: float | None = None
    stations: bool | None = None
    station_pins: tuple[StationPin, ...] = ()
    group_by: GroupBy | None = None
    late: tuple[tuple[str, int], ...] = ()
    locks: tuple[Segment, ...] = ()
    by_hand: bool = False
    film: tuple[int, int | None] | None = None

    def as_json(self) -> dict[str, Any]:
        """Return the wishes as plain values, for the store."""
        return {
            "date": self.date.isoformat(),
            "minutes": self.minutes,
            "start": self.start,
            "squad": self.squad,
            "away": list(self.away),
            "pins": [[one.drill, one.minutes] for one in self.pins],
            "keep_out": list(self.keep_out),
            "fixed": [[one.title, one.minutes, one.at, one.effort, one.halves] for one in self.fixed],
            "coaches": self.coaches,
            "load_ceiling": self.load_ceiling,
            "stations": self.stations,
            "station_pins": [[one.first, one.second, one.minutes] for one in self.station_pins],
            "group_by": self.group_by,
            "late": [list(one) for one in self.late],
            "locks": [pack_segment(one) for one in self.locks],
            "by_hand": self.by_hand,
            "film": list(self.film) if self.film else None,
        }


def wishes_from(row: Mapping[str, Any]) -> Wishes:
    """Return stored wishes as they were given."""
    return Wishes(
        date=dt.date.fromisoformat(row["date"]),
        minutes=row.get("minutes"),
        start=row.get("start"),
        squad=row.get("squad"),
        away=tuple(row.get("away", ())),
        pins=tuple(Pin(drill, minutes) for drill, minutes in row.get("pins", ())),
        keep_out=tuple(row.get("keep_out", ())),
        fixed=tuple(FixedBlock(*one) for one in row.get("fixed", ())),
        coaches=row.get("coaches"),
        load_ceiling=row.get("load_ceiling"),
        stations=row.get("stations"),
        station_pins=tuple(StationPin(*one) for one in row.get("station_pins", ())),
        group_by=row.get("group_by"),
        late=tuple((jersey, minute) for jersey, minute in row.get("late", ())),
        locks=tuple(unpack_segment(one) for one in row.get("locks", ())),
        by_hand=bool(row.get("by_hand", False)),
        film=tuple(row["film"]) if row.get("film") else None,
    )


def parse_pins(raw: Sequence[str]) -> tuple[Pin, ...]:
    """Return pins for texts such as ``two-side-box`` or ``two-side-box=8``.

    Raises:
        Refusal: the minutes are no whole number.

    """
    pins = []
    for text in raw:
        drill, found, minutes = text.partition("=")
        length = whole_minutes(minutes) if found else None
        if found and length is None:
            said = clean_line(text, 60)
            raise Refusal(f"'{said}' pins a drill for no whole number of minutes; write it as DRILL=8.")
        pins.append(Pin(clean_line(drill, 60), length))
    return tuple(pins)


def parse_station_pins(raw: Sequence[str]) -> tuple[StationPin, ...]:
    """Return pairs for texts such as ``two-side-box,corner-race`` or ``two-side-box,corner-race=6``.

    Raises:
        Refusal: a text names no two drills, or its minutes are no whole number.

    """
    pairs = []
    for text in raw:
        names, found, minutes = text.partition("=")
        drills = [clean_line(one, 60) for one in names.split(",")]
        length = whole_minutes(minutes) if found else None
        if len(drills) != 2 or not all(drills) or (found and not length):
            said = clean_line(text, 80)
            raise Refusal(f"'{said}' is no pair of stations; write it as FIRST,SECOND or FIRST,SECOND=6.")
        pairs.append(StationPin(drills[0], drills[1], length))
    return tuple(pairs)


def parse_late(raw: Sequence[str]) -> tuple[tuple[str, int], ...]:
    """Return jersey and minute of the day for texts such as ``21@15:50``.

    Raises:
        Refusal: one is no jersey and clock time.

    """
    late = []
    for text in raw:
        jersey, found, when = text.partition("@")
        if not found:
            said = clean_line(text, 40)
            raise Refusal(f"'{said}' says no time; write who comes late as 21@15:50.")
        late.append((clean_jersey(jersey), parse_clock(when)))
    return tuple(late)


def whole_minutes(text: str) -> int | None:
    """Return the minutes that one to four digits give, None where the text is anything else."""
    return int(text) if re.fullmatch(r"[0-9]{1,4}", text) else None
