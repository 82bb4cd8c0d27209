"""Minutes a coach wants for a principle each week, beside the minutes it got."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from planner.season.minutes import Week, iso_week, monday_of, weeks
from planner.season.record import DonePractice


@dataclass(frozen=True, slots=True)
class TargetWeek:
    """What a principle got in one ISO week; ``running`` says that the week is not over."""

    week: str
    minutes: float
    running: bool


@dataclass(frozen=True, slots=True)
class TargetRow:
    """A principle's weekly target and its weeks, oldest first, those without a practice included."""

    principle: str
    target: float
    weeks: tuple[TargetWeek, ...]

    @property
    def over(self) -> tuple[TargetWeek, ...]:
        """Return the weeks that are over."""
        return tuple(one for one in self.weeks if not one.running)

    @property
    def met(self) -> int:
        """Return in how many weeks that are over the target was met."""
        return sum(one.minutes >= self.target for one in self.over)

    def as_json(self) -> dict[str, Any]:
        """Return the row as plain values."""
        return {
            "principle": self.principle,
            "target": self.target,
            "met": self.met,
            "weeks_over": len(self.over),
            "weeks": [
                {"week": one.week, "minutes": one.minutes, "running": one.running} for one in self.weeks
            ],
        }


def all_weeks(first: dt.date, last: dt.date) -> list[str]:
    """Return every ISO week from the one of ``first`` to the one of ``last``, empty ones included."""
    monday, found = monday_of(first), []
    while monday <= last:
        found.append(iso_week(monday))
        monday += dt.timedelta(days=7)
    return found


def against_targets(
    targets: Mapping[str, float], practices: Sequence[DonePractice], today: dt.date
) -> tuple[TargetRow, ...]:
    """Return target and actual per principle, from the first practice's week to this one."""
    if not targets:
        return ()
    days = [one.date for one in practices]
    labels = all_weeks(min(days, default=today), max([today, *days]))
    found: dict[str, Week] = {one.week: one for one in weeks(practices)}
    this = iso_week(today)
    return tuple(
        TargetRow(
            principle,
            target,
            tuple(
                TargetWeek(label, _minutes(found.get(label), principle), label >= this) for label in labels
            ),
        )
        for principle, target in sorted(targets.items(), key=lambda one: (-one[1], one[0]))
    )


def _minutes(week: Week | None, principle: str) -> float:
    return week.seconds.get(principle, 0) / 60 if week else 0.0


def behind(rows: Iterable[TargetRow]) -> list[TargetRow]:
    """Return the rows whose running week has not met its target yet, the furthest behind first."""
    late = [one for one in rows if one.weeks and one.weeks[-1].minutes < one.target]
    return sorted(late, key=lambda one: (one.weeks[-1].minutes - one.target, one.principle))
