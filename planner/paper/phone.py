"""The log that the court-side page hands back: which plan it belongs to, and what it may hold."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import re
from dataclasses import dataclass
from typing import Any

from planner.build.plan import Plan
from planner.clock import clock_text
from planner.problem import Refusal
from planner.text import clean_line

FILE = "stopsheet-log"
VERSION = 1
LARGEST = 256 * 1024
"""Bytes of the largest file that is read."""

_MOST_SECONDS = 300 * 60
_MOST_TRIES = 9_999
_MOST_ROWS = 200


@dataclass(frozen=True, slots=True)
class PhoneSegment:
    """One segment as run, in whole seconds (0: not run); ``stops`` out of ``tries`` if counted."""

    seconds: int
    stops: int | None = None
    tries: int | None = None


@dataclass(frozen=True, slots=True)
class PhoneLog:
    """What the page noted; ``plan`` is the digest of the plan, ``start`` and ``began`` minutes of the day."""

    plan: str
    date: dt.date
    start: int
    began: int
    segments: tuple[PhoneSegment, ...]
    absent: tuple[str, ...] = ()
    rating: int | None = None


def plan_digest(plan: Plan) -> str:
    """Return 32 hexadecimal digits that are equal only for plans that run alike.

    Reasons and figures of merit do not count; day, clock, titles, drills, groups and players do.
    """
    rows = [
        [one.start, one.minutes, one.kind, one.title, [s.as_json() for s in one.stations]]
        for one in plan.segments
    ]
    said = json.dumps([plan.date.isoformat(), plan.start, plan.minutes, rows], sort_keys=True)
    return hashlib.sha256(said.encode()).hexdigest()[:32]


def read_phone_log(raw: bytes, name: str) -> PhoneLog:
    """Read what the page saved or what was copied from it; ``name`` is how messages call the file.

    Raises:
        Refusal: it is no such log, or something in it cannot be.

    """
    shown = clean_line(name, 60)
    found = _parsed(raw, shown)
    if found.get("file") != FILE:
        raise Refusal(f"'{shown}' is no log of a court-side page; save it there under Finish.")
    if found.get("version") != VERSION:
        raise Refusal(f"'{shown}' was saved by a page of another version; print the plan's page again.")
    return PhoneLog(
        plan=_digest(found, shown),
        date=_day(found, shown),
        start=_clock(found, "start", shown),
        began=_clock(found, "began", shown),
        segments=_segments(found, shown),
        absent=_absent(found, shown),
        rating=_rating(found, shown),
    )


def check_plan(log: PhoneLog, plan: Plan) -> None:
    """Refuse a log that belongs to another plan.

    Raises:
        Refusal: the plan is another one than the page was printed from.

    """
    if log.plan != plan_digest(plan) or len(log.segments) != len(plan.segments):
        raise Refusal(
            f"The log is of another plan than the one kept for {plan.date.isoformat()} "
            f"{clock_text(plan.start)}; log that practice by hand with --took and --stops."
        )


def _parsed(raw: bytes, shown: str) -> dict[str, Any]:
    if len(raw) > LARGEST:
        raise Refusal(f"'{shown}' is too large for a log of a practice.")
    try:
        found = json.loads(raw.decode("utf-8-sig"))
    except (ValueError, RecursionError):
        raise Refusal(f"'{shown}' cannot be read as a log; save or copy it from the page again.") from None
    return found if isinstance(found, dict) else {}


def _whole(value: object, most: int) -> int | None:
    """Return a whole number from 0 to ``most``, or None; 60.0 counts as whole, True does not."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= most:
        return None
    return int(value) if value == int(value) else None


def _wrong(shown: str, what: str) -> Refusal:
    return Refusal(f"'{shown}': {what}; save or copy the log from the page again.")


def _digest(found: dict[str, Any], shown: str) -> str:
    plan = found.get("plan")
    if not isinstance(plan, str) or not re.fullmatch("[0-9a-f]{32}", plan):
        raise _wrong(shown, "it does not say which plan it belongs to")
    return plan


def _day(found: dict[str, Any], shown: str) -> dt.date:
    said = found.get("date")
    if isinstance(said, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", said):
        try:
            return dt.date.fromisoformat(said)
        except ValueError:
            pass
    raise _wrong(shown, "its date is not a day of the calendar")


def _clock(found: dict[str, Any], key: str, shown: str) -> int:
    said = found.get(key)
    if isinstance(said, str) and (clock := re.fullmatch(r"([01][0-9]|2[0-3]):([0-5][0-9])", said)):
        return int(clock[1]) * 60 + int(clock[2])
    raise _wrong(shown, f"its '{key}' is not a time of day")


def _segments(found: dict[str, Any], shown: str) -> tuple[PhoneSegment, ...]:
    rows = found.get("segments")
    if not isinstance(rows, list) or not 0 < len(rows) <= _MOST_ROWS:
        raise _wrong(shown, "it holds no segments")
    return tuple(_segment(row, number, shown) for number, row in enumerate(rows, 1))


def _segment(row: object, number: int, shown: str) -> PhoneSegment:
    if not isinstance(row, dict):
        raise _wrong(shown, f"segment {number} cannot be read")
    seconds = _whole(row.get("seconds"), _MOST_SECONDS)
    if seconds is None:
        raise _wrong(shown, f"segment {number} has no length between 0 and 300 minutes")
    if row.get("stops") is None and row.get("tries") is None:
        return PhoneSegment(seconds)
    stops, tries = _whole(row.get("stops"), _MOST_TRIES), _whole(row.get("tries"), _MOST_TRIES)
    if stops is None or tries is None or stops > tries:
        raise _wrong(shown, f"the count of segment {number} cannot be")
    return PhoneSegment(seconds, stops, tries)


def _absent(found: dict[str, Any], shown: str) -> tuple[str, ...]:
    absent = found.get("absent", [])
    if not isinstance(absent, list) or not all(isinstance(one, str) for one in absent):
        raise _wrong(shown, "the absent are not a list of jerseys")
    if len(absent) > _MOST_ROWS:
        raise _wrong(shown, "it names too many absent jerseys")
    return tuple(dict.fromkeys(clean_line(one, 12) for one in absent))


def _rating(found: dict[str, Any], shown: str) -> int | None:
    said = found.get("rating")
    rating = _whole(said, 10)
    if said is not None and rating is None:
        raise _wrong(shown, "its effort rating is not between 0 and 10")
    return rating
