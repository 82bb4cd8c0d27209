"""Where the minutes went: one accounting rule for every practice, to the second.

A segment's time is split over principles by its shares; what is left of a drill, warm-up or cool-down is
``other``, of a fixed block ``fixed``; water and set-ups count as themselves. The parts of a practice always
add up to its length.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from planner.drills.card import SHARE_UNIT
from planner.season.record import DonePractice, DoneSegment

OTHER, WATER, SET_UP, FIXED = "other", "water", "set-up", "fixed"
BESIDES = (OTHER, WATER, SET_UP, FIXED)
"""What a minute can be that no principle owns."""


def split_seconds(segment: DoneSegment) -> dict[str, int]:
    """Return whole seconds per principle and per remainder; they sum to the segment's seconds.

    Fractions of a second go to the largest remainders, ties to the first by name.
    """
    if segment.kind in {WATER, SET_UP}:
        return {segment.kind: segment.seconds}
    parts: dict[str, int] = {}
    remainders: list[tuple[int, str]] = []
    left = SHARE_UNIT
    for one, share in segment.shares.items():
        if share > 0:
            left -= share
            _give(one, share, segment.seconds, parts, remainders)
    _give(FIXED if segment.kind == "fixed" else OTHER, left, segment.seconds, parts, remainders)
    missing = segment.seconds - sum(parts.values())
    if missing:
        for _, one in sorted(remainders)[:missing]:
            parts[one] += 1
    return {one: seconds for one, seconds in parts.items() if seconds}


def _give(
    one: str, share: int, seconds: int, parts: dict[str, int], remainders: list[tuple[int, str]]
) -> None:
    parts[one], rest = divmod(seconds * share, SHARE_UNIT)
    if rest:
        remainders.append((-rest, one))


def practice_seconds(practice: DonePractice) -> dict[str, int]:
    """Return seconds per principle and remainder of one practice."""
    return summed(split_seconds(one) for one in practice.segments)


def summed(parts: Iterable[Mapping[str, int]]) -> dict[str, int]:
    """Return the sum of several accounts."""
    total: dict[str, int] = {}
    for part in parts:
        for key, seconds in part.items():
            total[key] = total.get(key, 0) + seconds
    return total


def minutes_by_practice(practices: Iterable[DonePractice]) -> list[tuple[dt.date, dict[str, float]]]:
    """Return (date, minutes per principle) per practice; remainders are left out."""
    return [
        (one.date, {k: s / 60 for k, s in practice_seconds(one).items() if k not in BESIDES})
        for one in practices
    ]


def iso_week(date: dt.date) -> str:
    """Return the ISO 8601 week as ``2026-W48``."""
    year, week, _ = date.isocalendar()
    return f"{year}-W{week:02d}"


def month_of(date: dt.date) -> str:
    """Return the month as ``2026-11``."""
    return f"{date.year}-{date.month:02d}"


def monday_of(date: dt.date) -> dt.date:
    """Return the first day of the date's ISO week."""
    return date - dt.timedelta(days=date.weekday())


@dataclass(frozen=True, slots=True)
class Week:
    """One ISO week's (or month's) seconds per principle and remainder, and how many practices it had."""

    week: str
    practices: int
    seconds: Mapping[str, int]

    @property
    def total(self) -> int:
        """Return all seconds of the week."""
        return sum(self.seconds.values())

    def minutes(self) -> dict[str, float]:
        """Return minutes per principle and remainder; the four remainders are always there."""
        found = dict.fromkeys(BESIDES, 0.0)
        return {**found, **{one: seconds / 60 for one, seconds in self.seconds.items()}}


def weeks(practices: Iterable[DonePractice], label: Callable[[dt.date], str] = iso_week) -> tuple[Week, ...]:
    """Return the weeks (by another ``label``: the months) that had practices, oldest first."""
    return weeks_of([(one.date, practice_seconds(one)) for one in practices], label)


def weeks_of(
    accounts: Iterable[tuple[dt.date, Mapping[str, int]]], label: Callable[[dt.date], str] = iso_week
) -> tuple[Week, ...]:
    """Return the weeks of practices already accounted for, given as (date, seconds)."""
    by_week: dict[str, list[Mapping[str, int]]] = {}
    for date, seconds in accounts:
        by_week.setdefault(label(date), []).append(seconds)
    return tuple(Week(week, len(parts), summed(parts)) for week, parts in sorted(by_week.items()))


def principle_minutes(practices: Iterable[DonePractice]) -> dict[str, float]:
    """Return minutes per principle over all the practices; remainders are left out."""
    seconds = summed(practice_seconds(one) for one in practices)
    return {one: value / 60 for one, value in seconds.items() if one not in BESIDES}
