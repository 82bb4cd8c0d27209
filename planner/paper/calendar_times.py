"""When a repeating event of a calendar file happens, by the rules of RFC 5545, section 3.8.5."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from itertools import islice
from typing import Any

from planner.paper.calendar_event import Day, Event, Reading, mark_of, wall, zoned
from planner.paper.calendar_rule import days_of, read_rule

MOST_REPEATING = 500
MOST_TIMES = 800
"""Times of one repeating event that are taken, from its beginning."""
DAYS_BEFORE = 731
"""How far back a repeating event may have begun."""

FAULTS = (ValueError, TypeError, AttributeError, KeyError, IndexError, OverflowError, RecursionError, OSError)
"""What the parsers raise at text that is no date, rule or zone (``Europe`` alone is a folder of zones)."""


def times_of(one: Event, changed: set[tuple[str, str]], reading: Reading) -> Iterator[tuple[str, Day]]:
    """Return a lasting key and the start, in the team's zone, of every time an event happens within reach.

    ``changed`` holds UID and mark of the times for which another event of the file stands in.
    """
    if one.replaces:
        yield f"{one.uid}#{one.replaces}", reading.here(one.start)
        return
    if not any(name in one.raw for name in ("RRULE", "RDATE")):
        yield one.uid, reading.here(one.start)
        return
    reading.repeating += 1
    if reading.repeating > MOST_REPEATING:
        reading.tell(one.title, f"only the first {MOST_REPEATING} repeating events are read.")
        return
    try:
        found = _unrolled(one, reading)
    except FAULTS:
        reading.tell(one.title, "how it repeats cannot be read; only its first day is taken.")
        found = [wall(one.start)]
    for moment in found:
        day = _as_first(moment, one.start)
        if (one.uid, mark_of(day)) not in changed:
            yield f"{one.uid}#{mark_of(day)}", reading.here(day)


def _as_first(moment: dt.datetime, first: Day) -> Day:
    """Return a wall-clock time in the form of the event's first: a whole day, or with its zone."""
    return moment.replace(tzinfo=first.tzinfo) if isinstance(first, dt.datetime) else moment.date()


def _unrolled(one: Event, reading: Reading) -> list[dt.datetime]:
    """Return the wall-clock times of the event's own zone, in which its rules are meant."""
    first, last = wall(one.start), reading.asked.until + dt.timedelta(days=1)
    if first.date() < reading.asked.since - dt.timedelta(days=DAYS_BEFORE):
        reading.tell(one.title, "it began too long ago; export the calendar from this season on.")
        return []
    found = {first}
    for parts in _listed(one.raw.get("RRULE")):
        days = days_of(read_rule(parts, _until(parts, one.start)), first, last)
        found.update(dt.datetime.combine(day, first.time()) for day in islice(days, MOST_TIMES))
    found.update(moment for moment in _dates(one.raw.get("RDATE"), one, reading) if moment.date() <= last)
    found.difference_update(_dates(one.raw.get("EXDATE"), one, reading))
    return sorted(found)[:MOST_TIMES]


def _until(parts: Mapping[str, Any], first: Day) -> dt.datetime | None:
    said = next(iter(_listed(parts.get("UNTIL"))), None)
    if said is None:
        return None
    moment = _beside(said, first)
    return moment if isinstance(said, dt.datetime) else moment.replace(hour=23, minute=59)


def _beside(moment: Day, first: Day) -> dt.datetime:
    """Return a moment by the wall clock of the zone in which the event began."""
    if isinstance(moment, dt.datetime) and moment.tzinfo is not None:
        zone = first.tzinfo if isinstance(first, dt.datetime) else None
        return wall(moment.astimezone(zone)) if zone is not None else wall(moment)
    return wall(moment)


def _listed(value: Any) -> list[Any]:
    if value is None:
        return []
    return list(value) if isinstance(value, (list, tuple)) else [value]


def _dates(value: Any, one: Event, reading: Reading) -> Iterator[dt.datetime]:
    for several in _listed(value):
        zone = getattr(several, "params", {}).get("TZID", "")
        for said in islice(several.dts, MOST_TIMES):
            day = zoned(said.dt, zone, one.title, reading)
            moment = _beside(day, one.start)
            # A day alone takes the hour of the event.
            timed = isinstance(day, dt.datetime)
            yield moment if timed else dt.datetime.combine(moment.date(), wall(one.start).time())
