"""Practices and games as an iCalendar file (RFC 5545) that calendars can take in again and again."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256

from planner.text import clean_block, clean_line

MADE_BY = "-//stopsheet//practices//EN"
"""The product that made the file; it is how the program knows its own files again."""

LINE_OCTETS = 75
"""Octets of a line without its end (RFC 5545, section 3.1)."""

_UTC = dt.timedelta(0)
_OLD = dt.datetime(1970, 1, 1)  # noqa: DTZ001 (a wall clock of the zone itself)


@dataclass(frozen=True, slots=True)
class Entry:
    """One practice or game.

    ``start`` is a naive wall-clock time of the file's zone, or a date for a whole day. ``minutes`` is the
    length of a timed entry. ``changed`` (aware) is when the entry was last changed, ``sequence`` how often
    it was since it was first given away.
    """

    uid: str
    start: dt.datetime | dt.date
    summary: str
    minutes: int = 0
    description: str = ""
    category: str = ""
    cancelled: bool = False
    changed: dt.datetime = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)
    sequence: int = 0

    @property
    def digest(self) -> str:
        """Return a short mark that changes with anything a reader of the calendar would see."""
        shown = (self.start.isoformat(), self.minutes, self.summary, self.description, self.category)
        return sha256(repr((*shown, self.cancelled)).encode()).hexdigest()[:16]

    @property
    def day(self) -> dt.date:
        """Return the day it begins on."""
        return self.start.date() if isinstance(self.start, dt.datetime) else self.start


def calendar_file(entries: Sequence[Entry], zone: str, name: str) -> bytes:
    """Return the whole calendar, oldest entry first, in the wall-clock time of an IANA ``zone``.

    The same arguments give the same bytes. Lines are folded at 75 octets and end in CRLF.

    Raises:
        zoneinfo.ZoneInfoNotFoundError: the zone is not known here.

    """
    ordered = sorted(entries, key=lambda one: (one.day, one.start.isoformat(), one.uid))
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:{MADE_BY}",
        "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH",
        f"X-WR-CALNAME:{escape(clean_line(name, 80))}",
    ]
    timed = [one.day.year for one in ordered if isinstance(one.start, dt.datetime)]
    if timed and zone != "UTC":
        lines += zone_lines(zone, min(timed), max(timed))
    for one in ordered:
        lines += _event(one, zone)
    lines.append("END:VCALENDAR")
    return "".join(f"{fold(line)}\r\n" for line in lines).encode()


def _event(one: Entry, zone: str) -> Iterator[str]:
    stamp = f"{one.changed.astimezone(dt.UTC):%Y%m%dT%H%M%SZ}"
    yield "BEGIN:VEVENT"
    yield f"UID:{escape(one.uid)}"
    yield f"DTSTAMP:{stamp}"
    yield f"LAST-MODIFIED:{stamp}"
    yield f"SEQUENCE:{one.sequence}"
    yield from _when(one, zone)
    yield f"SUMMARY:{escape(clean_line(one.summary, 200))}"
    if one.description:
        yield f"DESCRIPTION:{escape(clean_block(one.description, 8_000))}"
    if one.category:
        yield f"CATEGORIES:{escape(clean_line(one.category, 40))}"
    yield f"STATUS:{'CANCELLED' if one.cancelled else 'CONFIRMED'}"
    yield f"TRANSP:{'TRANSPARENT' if one.cancelled else 'OPAQUE'}"
    yield "END:VEVENT"


def _when(one: Entry, zone: str) -> Iterator[str]:
    """Return start and end; the end is the first moment that no longer belongs to the entry."""
    if not isinstance(one.start, dt.datetime):
        yield f"DTSTART;VALUE=DATE:{_date(one.start)}"
        yield f"DTEND;VALUE=DATE:{_date(one.start + dt.timedelta(days=1))}"
        return
    here = zoneinfo.ZoneInfo(zone)
    begins = one.start.replace(tzinfo=here)
    # By the clock that never jumps: a practice over a change of the hour keeps its length.
    ends = (begins.astimezone(dt.UTC) + dt.timedelta(minutes=one.minutes)).astimezone(here)
    if zone == "UTC":
        yield f"DTSTART:{_wall(begins)}Z"
        yield f"DTEND:{_wall(ends)}Z"
        return
    yield f"DTSTART;TZID={zone}:{_wall(begins)}"
    if _wall(ends) > _wall(begins):
        yield f"DTEND;TZID={zone}:{_wall(ends)}"
    else:  # the clock was put back meanwhile, and the same wall-clock time would mean its first passing
        yield f"DURATION:PT{one.minutes}M"


def _date(day: dt.date) -> str:
    return f"{day.year:04d}{day.month:02d}{day.day:02d}"


def _wall(moment: dt.datetime) -> str:
    return f"{_date(moment)}T{moment.hour:02d}{moment.minute:02d}{moment.second:02d}"


def escape(text: str) -> str:
    r"""Return text as a TEXT value: ``\`` first, then ``;`` and ``,``, a line break as ``\n`` (3.3.11)."""
    said = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return said.replace("\r\n", "\\n").replace("\n", "\\n").replace("\r", "\\n")


def fold(line: str) -> str:
    """Return a content line in pieces of at most 75 octets, never within a character (section 3.1).

    The blank that begins a further piece is one of its octets.
    """
    pieces: list[str] = []
    piece, size = "", 0
    for char in line:
        octets = len(char.encode())
        if size + octets > LINE_OCTETS:
            pieces.append(piece)
            piece, size = " ", 1
        piece += char
        size += octets
    return "\r\n".join([*pieces, piece])


# ---- the zone --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Change:
    """The offset from UTC changes at ``at`` (aware, UTC)."""

    at: dt.datetime
    before: dt.timedelta
    after: dt.timedelta
    name: str
    summer: bool


def zone_lines(zone: str, first: int, last: int) -> list[str]:
    """Return the VTIMEZONE of an IANA zone with every change of the hour from one year to another."""
    here = zoneinfo.ZoneInfo(zone)
    begin = dt.datetime(first, 1, 1, tzinfo=dt.UTC)
    lines = ["BEGIN:VTIMEZONE", f"TZID:{zone}"]
    now = begin.astimezone(here)
    standing = now.utcoffset() or _UTC
    lines += _observance(_OLD, standing, standing, now.tzname() or zone, bool(now.dst()))
    for one in _changes(here, begin, dt.datetime(last + 1, 1, 1, tzinfo=dt.UTC)):
        onset = (one.at + one.before).replace(tzinfo=None)
        lines += _observance(onset, one.before, one.after, one.name, one.summer)
    return [*lines, "END:VTIMEZONE"]


def _observance(
    onset: dt.datetime, before: dt.timedelta, after: dt.timedelta, name: str, summer: bool
) -> list[str]:
    kind = "DAYLIGHT" if summer else "STANDARD"
    return [
        f"BEGIN:{kind}",
        f"DTSTART:{_wall(onset)}",
        f"TZOFFSETFROM:{_offset(before)}",
        f"TZOFFSETTO:{_offset(after)}",
        f"TZNAME:{escape(name)}",
        f"END:{kind}",
    ]


def _offset(offset: dt.timedelta) -> str:
    seconds = round(offset.total_seconds())
    hours, rest = divmod(abs(seconds), 3600)
    minutes, rest = divmod(rest, 60)
    return f"{'-' if seconds < 0 else '+'}{hours:02d}{minutes:02d}{f'{rest:02d}' if rest else ''}"


def _changes(here: dt.tzinfo, begin: dt.datetime, end: dt.datetime) -> Iterable[_Change]:
    at = begin
    while at < end:
        after = at + dt.timedelta(days=1)
        before, then = _standing(here, at), _standing(here, after)
        if before != then:
            moment = _halved(here, at, after)
            local = moment.astimezone(here)
            yield _Change(moment, before[0], then[0], local.tzname() or "", bool(local.dst()))
        at = after


def _standing(here: dt.tzinfo, moment: dt.datetime) -> tuple[dt.timedelta, str]:
    local = moment.astimezone(here)
    return local.utcoffset() or _UTC, local.tzname() or ""


def _halved(here: dt.tzinfo, low: dt.datetime, high: dt.datetime) -> dt.datetime:
    """Return the first whole second of what holds at ``high``, which does not hold at ``low``."""
    wanted = _standing(here, high)
    while high - low > dt.timedelta(seconds=1):
        middle = low + dt.timedelta(seconds=round((high - low).total_seconds()) // 2)
        if _standing(here, middle) == wanted:
            high = middle
        else:
            low = middle
    return high
