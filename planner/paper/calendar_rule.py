"""The days of a recurrence rule (RFC 5545, section 3.3.10), never more work than the days looked at.

A general library runs on to the year 9999 when nothing matches; a file from outside may ask just that. So
the periods of a rule are walked here, one by one, up to the last day wanted. Rules that repeat within a day
or count by weeks or days of the year are not read.
"""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

_DAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
_KNOWN = frozenset(
    {
        "FREQ",
        "INTERVAL",
        "COUNT",
        "UNTIL",
        "WKST",
        "BYDAY",
        "BYMONTHDAY",
        "BYMONTH",
        "BYSETPOS",
        "RSCALE",
        "SKIP",
    }
)
_LONGEST_LIST = 400


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule in numbers: weekdays as (which one of the period or 0, 0 for Monday), negative ones from behind.

    ``until`` is the last moment by the wall clock of the event's own zone.
    """

    freq: str
    interval: int = 1
    count: int | None = None
    until: dt.datetime | None = None
    week_start: int = 0
    weekdays: tuple[tuple[int, int], ...] = ()
    month_days: tuple[int, ...] = ()
    months: tuple[int, ...] = ()
    positions: tuple[int, ...] = ()


def read_rule(parts: Mapping[str, Any], until: dt.datetime | None) -> Rule:
    """Return the rule that a parser found, given as part -> values; ``until`` stands for its UNTIL.

    Raises:
        ValueError: it repeats within a day, has a part that is not read here, or a number out of range.

    """
    rule = {str(key).upper(): _listed(values) for key, values in parts.items()}
    freq = str(_only(rule, "FREQ", "")).upper()
    if freq not in {"DAILY", "WEEKLY", "MONTHLY", "YEARLY"} or set(rule) - _KNOWN:
        raise ValueError(freq)
    count = _only(rule, "COUNT", None)
    return Rule(
        freq=freq,
        interval=_within(int(_only(rule, "INTERVAL", 1)), 1, 10_000),
        count=None if count is None else _within(int(count), 1, 1_000_000),
        until=until,
        week_start=_DAYS.index(str(_only(rule, "WKST", "MO")).upper()),
        weekdays=tuple(_weekday(str(one), freq) for one in rule.get("BYDAY", ())),
        month_days=tuple(_within(int(one), -31, 31) for one in rule.get("BYMONTHDAY", ())),
        months=tuple(_within(int(one), 1, 12) for one in rule.get("BYMONTH", ())),
        positions=tuple(_within(int(one), -366, 366) for one in rule.get("BYSETPOS", ())),
    )


def _listed(value: Any) -> list[Any]:
    return list(value)[:_LONGEST_LIST] if isinstance(value, (list, tuple)) else [value]


def _only(rule: Mapping[str, list[Any]], key: str, default: Any) -> Any:
    found = rule.get(key)
    return found[0] if found else default


def _within(number: int, low: int, high: int) -> int:
    if not low <= number <= high or number == 0:
        raise ValueError(number)
    return number


def _weekday(text: str, freq: str) -> tuple[int, int]:
    found = re.fullmatch(r"([+-]?\d{1,2})?([A-Z]{2})", text.upper())
    if found is None:
        raise ValueError(text)
    which = int(found[1] or 0)
    if which and freq in {"DAILY", "WEEKLY"}:
        raise ValueError(text)
    return which, _DAYS.index(found[2])


def days_of(rule: Rule, first: dt.datetime, last: dt.date) -> Iterator[dt.date]:
    """Return the days on which a rule that began at ``first`` holds, in order, up to ``last``."""
    left = rule.count
    for period in _periods(rule, first.date(), last):
        for day in _chosen(rule, sorted(set(period))):
            if day < first.date():
                continue
            if day > last or left == 0:
                return
            if rule.until is not None and dt.datetime.combine(day, first.time()) > rule.until:
                return
            left = None if left is None else left - 1
            yield day


def _chosen(rule: Rule, days: list[dt.date]) -> list[dt.date]:
    if not rule.positions:
        return days
    at = {one - 1 if one > 0 else len(days) + one for one in rule.positions}
    return [day for number, day in enumerate(days) if number in at]


def _periods(rule: Rule, first: dt.date, last: dt.date) -> Iterator[Iterable[dt.date]]:
    if rule.freq == "DAILY":
        for number in range(0, (last - first).days + 1, rule.interval):
            yield [day for day in [first + dt.timedelta(days=number)] if _allowed(rule, day, all_parts=True)]
    elif rule.freq == "WEEKLY":
        monday = first - dt.timedelta(days=(first.weekday() - rule.week_start) % 7)
        wanted = {day for _, day in rule.weekdays} or {first.weekday()}
        for number in range(0, (last - monday).days + 1, 7 * rule.interval):
            week = (monday + dt.timedelta(days=number + one) for one in range(7))
            yield [day for day in week if day.weekday() in wanted and _allowed(rule, day)]
    elif rule.freq == "MONTHLY":
        begin = first.year * 12 + first.month - 1
        for number in range(begin, last.year * 12 + last.month, rule.interval):
            year, month = divmod(number, 12)
            yield [day for day in _of_month(rule, year, month + 1, first) if _allowed(rule, day)]
    else:
        for year in range(first.year, last.year + 1, rule.interval):
            yield _of_year(rule, year, first)


def _allowed(rule: Rule, day: dt.date, *, all_parts: bool = False) -> bool:
    """Return whether the parts that only narrow a rule let a day through."""
    if rule.months and day.month not in rule.months:
        return False
    if not all_parts:
        return True
    if rule.weekdays and day.weekday() not in {one for _, one in rule.weekdays}:
        return False
    return not rule.month_days or day in _month_days(rule, day.year, day.month)


def _of_month(rule: Rule, year: int, month: int, first: dt.date) -> list[dt.date]:
    if rule.month_days:
        days = _month_days(rule, year, month)
        if not rule.weekdays:
            return days
        return [day for day in days if day in set(_weekdays(rule, _month(year, month)))]
    if rule.weekdays:
        return _weekdays(rule, _month(year, month))
    return [day for day in _month(year, month) if day.day == first.day]


def _of_year(rule: Rule, year: int, first: dt.date) -> list[dt.date]:
    if rule.weekdays and not rule.months and not rule.month_days:
        return _weekdays(rule, [day for month in range(1, 13) for day in _month(year, month)])
    months: Iterable[int] = rule.months or (range(1, 13) if rule.month_days else (first.month,))
    return [day for month in sorted(set(months)) for day in _of_month(rule, year, month, first)]


def _month(year: int, month: int) -> list[dt.date]:
    return [dt.date(year, month, day) for day in range(1, calendar.monthrange(year, month)[1] + 1)]


def _month_days(rule: Rule, year: int, month: int) -> list[dt.date]:
    days = _month(year, month)
    wanted = {one if one > 0 else len(days) + 1 + one for one in rule.month_days}
    return [day for day in days if day.day in wanted]


def _weekdays(rule: Rule, days: list[dt.date]) -> list[dt.date]:
    """Return the days of a month or year that a rule's weekdays name, all or the nth of them."""
    found = []
    for which, weekday in rule.weekdays:
        alike = [day for day in days if day.weekday() == weekday]
        if which == 0:
            found += alike
        elif abs(which) <= len(alike):
            found.append(alike[which - 1 if which > 0 else which])
    return found
