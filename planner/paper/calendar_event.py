"""One event of a calendar file: its times in the team's zone, and what is wrong with it."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from dataclasses import dataclass, field
from typing import Any

from planner.problem import Problem
from planner.text import clean_line

Day = dt.datetime | dt.date
"""A moment (aware where its zone is known), or a whole day."""

_MOST_PROBLEMS = 200


@dataclass(frozen=True, slots=True)
class Asked:
    """What to look for: the team's name and zone, the first and last day, and the end of our own UIDs."""

    team: str
    zone: str
    since: dt.date
    until: dt.date
    own: str = "\0"


@dataclass(slots=True)
class Event:
    """One VEVENT: title, first start in its own zone, length, and how it repeats (``raw``).

    ``replaces`` is the mark of the time of a repeating event for which this one stands in.
    """

    uid: str
    title: str
    start: Day
    length: dt.timedelta | None
    cancelled: bool
    raw: Any
    replaces: str = ""


@dataclass(slots=True)
class Reading:
    """One file being read: what was asked, and the problems met so far, each once."""

    asked: Asked
    file: str
    problems: dict[Problem, None] = field(default_factory=dict)
    repeating: int = 0

    def tell(self, title: str, what: str) -> None:
        """Note what is wrong with an event; after two hundred problems no more are kept."""
        if len(self.problems) < _MOST_PROBLEMS:
            name = f"event '{clean_line(title, 60)}'" if title else "an event without a title"
            self.problems[Problem(self.file, None, f"{name}: {what}")] = None

    def here(self, day: Day) -> Day:
        """Return a moment as a naive wall-clock time of the team's zone; a whole day as it is."""
        if isinstance(day, dt.datetime) and day.tzinfo is not None:
            return day.astimezone(zoneinfo.ZoneInfo(self.asked.zone)).replace(tzinfo=None)
        return day


def text_of(value: Any) -> str:
    """Return a property's text, the first where there are several."""
    if isinstance(value, list):
        value = value[0] if value else ""
    return "" if value is None else str(value)


def day_of(value: Any, title: str, reading: Reading) -> Day:
    """Return a parsed date or time, aware where its zone is known.

    Raises:
        AttributeError, TypeError, ValueError: it is none.

    """
    if isinstance(value, list):
        value = value[0]
    zone = getattr(value, "params", {}).get("TZID", "")
    return zoned(value.dt, zone, title, reading)


def zoned(moment: Any, zone: Any, title: str, reading: Reading) -> Day:
    """Return a moment with its zone; one that is not known is taken as the team's, and told."""
    if isinstance(moment, tuple):  # a period: its beginning
        moment = moment[0]
    if isinstance(moment, dt.datetime):
        if moment.tzinfo is None and zone:
            named = _known_zone(str(zone))
            if named is None:
                said = clean_line(str(zone), 40)
                reading.tell(title, f"the zone '{said}' is not known; taken as the team's.")
            return moment.replace(tzinfo=named)
        return moment
    if isinstance(moment, dt.date):
        return moment
    raise TypeError


def _known_zone(name: str) -> zoneinfo.ZoneInfo | None:
    """Return the zone of a name such as ``/example.org/20260101/Europe/Oslo``, whose end is known."""
    parts = name.strip("/").split("/")[-3:]
    for at in range(len(parts)):
        try:
            return zoneinfo.ZoneInfo("/".join(parts[at:]))
        except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
            continue
    return None


def apart(start: Day, end: Day) -> dt.timedelta:
    """Return how long something lasts: by the clock where both zones are known, else by the wall clock."""
    if isinstance(start, dt.datetime) and isinstance(end, dt.datetime) and start.tzinfo and end.tzinfo:
        return end - start
    return wall(end) - wall(start)


def wall(one: Day) -> dt.datetime:
    """Return a naive time: the wall clock's of the moment's own zone, midnight of a whole day."""
    return one.replace(tzinfo=None) if isinstance(one, dt.datetime) else dt.datetime.combine(one, dt.time())


def mark_of(one: Day) -> str:
    """Return a moment as text that does not change with the team's zone."""
    if isinstance(one, dt.datetime) and one.tzinfo is not None:
        return f"{one.astimezone(dt.UTC).replace(tzinfo=None).isoformat()}Z"
    return wall(one).isoformat()
