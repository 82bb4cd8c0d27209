"""A school's calendar (RFC 5545) read for two things: our games, and days on which the gym is closed.

Only the few properties that tell of them are handed on to the parser, event by event, so that one broken or
hostile event costs nothing but itself.
"""

from __future__ import annotations

import datetime as dt
import re
import warnings
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from planner.paper.calendar_event import Asked, Day, Event, Reading, apart, day_of, mark_of, text_of, wall
from planner.paper.calendar_times import FAULTS, times_of
from planner.paper.calendar_titles import Pairing, Venue, pairing, says_closed
from planner.problem import Problem, Refusal
from planner.text import clean_line, plural

MOST_BYTES = 2_000_000
MOST_EVENTS = 5_000
DAYS_AHEAD = 731
"""How far ahead a file is read."""
DAY = 24 * 60

_LONGEST_CLOSING = 120
_TOO_MANY = f"'{{file}}' holds more than {MOST_EVENTS:,} events; export fewer months."
_UNREADABLE = "its date or time cannot be read, so it is left out."
_CALLED_OFF = re.compile(r"\W*(cancelled|canceled|postponed)\b", re.IGNORECASE)
_KEPT = frozenset(
    {"UID", "SUMMARY", "STATUS", "DTSTART", "DTEND", "DURATION", "RRULE", "RDATE", "EXDATE", "RECURRENCE-ID"}
)


@dataclass(frozen=True, slots=True)
class FoundGame:
    """A game in the file. ``key`` is the same whenever the file is read again; ``start`` is a minute."""

    key: str
    date: dt.date
    opponent: str
    venue: Venue
    start: int | None = None
    title: str = ""


@dataclass(frozen=True, slots=True)
class FoundClosing:
    """A stretch of one day, in minutes, in which the gym is closed."""

    key: str
    date: dt.date
    start: int
    end: int
    title: str = ""


@dataclass(frozen=True, slots=True)
class FoundCalendar:
    """What a file says; ``cancelled`` are keys of events it calls off, ``other`` counts the rest."""

    games: tuple[FoundGame, ...]
    closings: tuple[FoundClosing, ...]
    cancelled: frozenset[str]
    other: int
    own: int = 0
    problems: tuple[Problem, ...] = ()


def read_calendar(name: str, raw: bytes, asked: Asked) -> FoundCalendar:
    """Return the games and closings of a calendar file within the days asked for.

    Times are turned into the team's zone; a time without one is taken as the team's. Repeating events are
    unrolled. Titles are cleaned. What cannot be read is a problem, not an end.

    Raises:
        Refusal: the file is no calendar, is too large, or holds too many events.

    """
    reading = Reading(asked, clean_line(name, 80))
    events, own = _events(_lines(raw, reading.file), reading)
    changed = {(one.uid, one.replaces) for one in events if one.replaces}
    games: dict[str, FoundGame] = {}
    closings: dict[str, FoundClosing] = {}
    cancelled: set[str] = set()
    other = 0
    for one in events:
        closed = says_closed(one.title)
        met = None if closed else pairing(one.title, asked.team)
        if not closed and met is None and not one.cancelled:
            other += 1
            continue
        try:
            for key, start in times_of(one, changed, reading):
                if one.cancelled:
                    cancelled.add(key)
                elif met is None:
                    closings.update((part.key, part) for part in _closings(key, start, one, asked))
                elif (game := _game(key, start, met, one, asked)) is not None:
                    games[key] = game
        except FAULTS:
            reading.tell(one.title, _UNREADABLE)
        if len(games) + len(closings) + len(cancelled) > MOST_EVENTS:
            raise Refusal(_TOO_MANY.format(file=reading.file))
    return FoundCalendar(
        tuple(sorted(games.values(), key=lambda one: (one.date, one.start or 0, one.key))),
        tuple(sorted(closings.values(), key=lambda one: (one.date, one.start, one.key))),
        frozenset(cancelled),
        other,
        own,
        tuple(reading.problems),
    )


# ---- from bytes to events --------------------------------------------------------------------------------


def _lines(raw: bytes, file: str) -> list[str]:
    if len(raw) > MOST_BYTES:
        raise Refusal(f"'{file}' is larger than {MOST_BYTES // 1_000_000} MB; export fewer months.")
    text = raw.decode("utf-16" if raw[:2] in {b"\xff\xfe", b"\xfe\xff"} else "utf-8-sig", "replace")
    lines = re.split(r"\r\n|\n|\r", re.sub(r"(?:\r\n|\n|\r)[ \t]", "", text))
    named = [line.strip().upper() for line in lines if line[:6].upper() == "BEGIN:"]
    if "BEGIN:VCALENDAR" not in named:
        raise Refusal(f"'{file}' is no calendar file; it has no line BEGIN:VCALENDAR.")
    if named.count("BEGIN:VEVENT") > MOST_EVENTS:
        raise Refusal(_TOO_MANY.format(file=file))
    return lines


def _blocks(lines: Iterable[str]) -> Iterator[list[str]]:
    """Return the telling lines of each VEVENT, without those of what lies inside it (alarms)."""
    inside = ""
    kept: list[str] = []
    for line in lines:
        upper = line.strip().upper()
        if not kept:
            if upper == "BEGIN:VEVENT":
                kept, inside = ["BEGIN:VEVENT"], ""
        elif inside:
            inside = "" if upper == f"END:{inside}" else inside
        elif upper == "END:VEVENT":
            yield [*kept, "END:VEVENT"]
            kept = []
        elif upper == "BEGIN:VEVENT":
            kept = ["BEGIN:VEVENT"]
        elif upper.startswith("BEGIN:"):
            inside = upper.removeprefix("BEGIN:")
        elif re.split("[;:]", upper, maxsplit=1)[0] in _KEPT:
            kept.append(line[:20_000])


def _events(lines: Iterable[str], reading: Reading) -> tuple[list[Event], int]:
    import icalendar

    found, own = [], 0
    for block in _blocks(lines):
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # of zones the library has to guess
                one = _event(icalendar.Event.from_ical("\r\n".join(block) + "\r\n"), reading)
        except FAULTS:
            title = next((line.split(":", 1)[-1] for line in block if line.upper().startswith("SUMMARY")), "")
            reading.tell(title, _UNREADABLE)
            continue
        if one.uid.endswith(reading.asked.own):
            own += 1
        else:
            found.append(one)
    return found, own


def _event(parsed: Any, reading: Reading) -> Event:
    title = clean_line(text_of(parsed.get("SUMMARY")), 200)
    start = day_of(parsed["DTSTART"], title, reading)
    length: dt.timedelta | None = None
    if "DTEND" in parsed:
        length = apart(start, day_of(parsed["DTEND"], title, reading))
    elif "DURATION" in parsed:
        length = parsed["DURATION"].dt
        if not isinstance(length, dt.timedelta):
            raise ValueError
    replaces = mark_of(day_of(parsed["RECURRENCE-ID"], title, reading)) if "RECURRENCE-ID" in parsed else ""
    uid = clean_line(text_of(parsed.get("UID")), 250) or f"{mark_of(start)} {title}"
    cancelled = text_of(parsed.get("STATUS")).strip().upper() == "CANCELLED" or bool(_CALLED_OFF.match(title))
    return Event(uid, title, start, length, cancelled, parsed, replaces)


# ---- from events to days ---------------------------------------------------------------------------------


def _game(key: str, start: Day, met: Pairing, one: Event, asked: Asked) -> FoundGame | None:
    day = start.date() if isinstance(start, dt.datetime) else start
    if not asked.since <= day <= asked.until:
        return None
    minute = start.hour * 60 + start.minute if isinstance(start, dt.datetime) else None
    return FoundGame(key, day, met.opponent, met.venue, minute, one.title)


def _closings(key: str, start: Day, one: Event, asked: Asked) -> Iterator[FoundClosing]:
    """Return one stretch for each day that a closing touches; its end does not belong to it."""
    begin = wall(start)
    if isinstance(start, dt.datetime):
        rest = dt.datetime.combine(begin.date(), dt.time()) + dt.timedelta(days=1)
        end = begin + one.length if one.length else rest
    else:
        end = begin + max(one.length or dt.timedelta(days=1), dt.timedelta(days=1))
    for number in range(_LONGEST_CLOSING):
        midnight = dt.datetime.combine(begin.date(), dt.time()) + dt.timedelta(days=number)
        low = max(0, _minutes(begin - midnight))
        high = min(DAY, _minutes(end - midnight))
        if high <= low:
            return
        if asked.since <= midnight.date() <= asked.until:
            yield FoundClosing(f"{key}/{number}" if number else key, midnight.date(), low, high, one.title)


def _minutes(length: dt.timedelta) -> int:
    return round(length.total_seconds()) // 60


def only_ahead(found: FoundCalendar, today: dt.date) -> FoundCalendar:
    """Return the calendar without closings of days gone by."""
    return replace(found, closings=tuple(one for one in found.closings if one.date >= today))


def in_words(found: FoundCalendar) -> str:
    """Return in one line how much of what a file holds."""
    parts = [plural(len(found.games), "game"), plural(len(found.closings), "closed gym time")]
    if found.own:
        parts.append(f"{found.own} of our own")
    parts.append(plural(found.other, "other event"))
    return ", ".join(parts)
