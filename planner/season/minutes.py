"""Where the minutes went: one accounting rule for every practice, to the second.

A segment's time is split over principles by its shares; what is left of a drill, warm-up or cool-down is
``other``, of a fixed block ``fixed``; water and set-ups count as themselves. The parts of a practice always
add up to its length.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
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
    rest = FIXED if segment.kind == "fixed" else OTHER
    units = {one: share for one, share in segment.shares.items() if share > 0}
    units[rest] = SHARE_UNIT - sum(units.values())
    parts = {one: segment.seconds * share // SHARE_UNIT for one, share in units.items()}
    missing = segment.seconds - sum(parts.values())
    by_remainder = sorted(units, key=lambda one: (-(segment.seconds * units[one] % SHARE_UNIT), one))
    for one in by_remainder[:missing]:
        parts[one] += 1
    return {one: seconds for one, seconds in parts.items() if seconds}


def practice_seconds(practice: DonePractice) -> dict[str, int]:
    """Return seconds per principle and remainder of one practice."""
    return _summed(split_seconds(one) for one in practice.segments)


def _summed(parts: Iterable[Mapping[str, int]]) -> dict[str, int]:
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


@dataclass(frozen=True, slots=True)
class Week:
    """One ISO week's seconds per principle and remainder, and how many practices it had."""

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


def weeks(practices: Iterable[DonePractice]) -> tuple[Week, ...]:
    """Return the weeks that had practices, oldest first."""
    by_week: dict[str, list[DonePractice]] = {}
    for one in practices:
        by_week.setdefault(iso_week(one.date), []).append(one)
    return tuple(
        Week(week, len(done), _summed(practice_seconds(one) for one in done))
        for week, done in sorted(by_week.items())
    )
