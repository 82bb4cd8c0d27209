"""Dates and wall-clock times as coaches write them."""

from __future__ import annotations

import datetime as dt
import re

from planner.problem import Refusal
from planner.text import clean_line

_CLOCK = re.compile(r"(\d{1,2})(?:[:.h](\d{2}))?\s*([ap])?\.?m?\.?", re.IGNORECASE)
_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def clock_text(minute: int) -> str:
    """Return a minute of the day as ``"16:30"``; minutes past midnight wrap."""
    hours, minutes = divmod(minute % (24 * 60), 60)
    return f"{hours:02d}:{minutes:02d}"


def parse_clock(text: str) -> int:
    """Return the minute of the day for ``16:30``, ``4:30 pm``, ``4.30pm`` or ``16``.

    Raises:
        Refusal: the text is no time of day.

    """
    said = clean_line(text, 20)
    found = _CLOCK.fullmatch(said)
    if not found:
        raise Refusal(f"'{said}' is not a time of day; write it as 16:30 or 4:30pm.")
    hour, minute, half = int(found[1]), int(found[2] or 0), (found[3] or "").lower()
    if half and not 1 <= hour <= 12:
        raise Refusal(f"'{said}' is not a time of day; write it as 16:30 or 4:30pm.")
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    if hour > 23 or minute > 59:
        raise Refusal(f"'{said}' is not a time of day; write it as 16:30 or 4:30pm.")
    return hour * 60 + minute


def parse_date(text: str, today: dt.date) -> dt.date:
    """Return the date for ISO, ``today``, ``tomorrow``, ``next tue``, ``friday`` or a written date.

    A day's name means the next such day after today. Numeric dates other than ISO are refused when they
    could be read two ways (3/4).

    Raises:
        Refusal: the text is no date, or an ambiguous one.

    """
    said = clean_line(text, 40)
    low = said.lower()
    fixed = {"today": 0, "tonight": 0, "tomorrow": 1, "yesterday": -1}
    if low in fixed:
        return today + dt.timedelta(days=fixed[low])
    day = low.removeprefix("next ").strip()
    if len(day) >= 3 and day.isalpha():
        for number, name in enumerate(_DAYS):
            if name.startswith(day):
                return today + dt.timedelta(days=(number - today.weekday() - 1) % 7 + 1)
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", low):
        try:
            return dt.date.fromisoformat(low)
        except ValueError:
            raise Refusal(f"'{said}' is not a day of the calendar.") from None
    return _written_date(said, today)


def _written_date(said: str, today: dt.date) -> dt.date:
    from dateutil import parser

    if re.fullmatch(r"[\d\s./-]+", said):
        raise Refusal(f"'{said}' can be read more than one way; write it as {today.isoformat()}.")
    # Read against two days: what differs was not written (a month alone, or a time of day).
    readings = set()
    try:
        for month, day in ((1, 1), (3, 2)):
            moment = parser.parse(said, default=dt.datetime(today.year, month, day), fuzzy=False)  # noqa: DTZ001
            readings.add(moment.date())
    except (ValueError, OverflowError):
        readings.clear()
    if len(readings) != 1:
        raise Refusal(f"'{said}' is not a date; write it as {today.isoformat()}, 'tomorrow' or 'next tue'.")
    return readings.pop()
