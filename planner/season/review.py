"""The season in one table: minutes per week, and each principle's minutes beside its need."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from planner.drills.vocabulary import Stage
from planner.need.estimate import Needs
from planner.season.minutes import BESIDES, Week, practice_seconds, weeks_of
from planner.season.record import DonePractice


@dataclass(frozen=True, slots=True)
class PrincipleSeason:
    """One principle over the period: minutes, its share of all principle minutes, its share of the need.

    ``last`` is the day it was last worked on. ``trend`` is the change of its minutes from the first half of
    the period's weeks to the second, in minutes per week.
    """

    principle: str
    minutes: float
    minutes_share: float
    need_share: float
    stage: Stage | None
    last: dt.date | None
    trend: float

    def as_json(self) -> dict[str, Any]:
        """Return the row in the words of the JSON contract."""
        return {
            "principle": self.principle,
            "minutes": self.minutes,
            "minutes_share": self.minutes_share,
            "need_share": self.need_share,
            "stage": self.stage.value if self.stage else None,
            "last": self.last.isoformat() if self.last else None,
            "trend": self.trend,
        }


@dataclass(frozen=True, slots=True)
class Review:
    """Weeks (oldest first) and principles (by falling need)."""

    weeks: tuple[Week, ...]
    principles: tuple[PrincipleSeason, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the review in the words of the JSON contract."""
        return {
            "weeks": [
                {
                    "week": one.week,
                    "practices": one.practices,
                    "minutes": one.minutes(),
                    "total": one.total / 60,
                }
                for one in self.weeks
            ],
            "principles": [one.as_json() for one in self.principles],
        }


def review(practices: Iterable[DonePractice], needs: Needs, passed: Mapping[str, Stage]) -> Review:
    """Return the review of the practices done beside the needs of today."""
    return review_accounts([(one.date, practice_seconds(one)) for one in practices], needs, passed)


def review_accounts(
    accounts: Sequence[tuple[dt.date, Mapping[str, int]]], needs: Needs, passed: Mapping[str, Stage]
) -> Review:
    """Return the review of practices already accounted for, given as (date, seconds)."""
    found = weeks_of(accounts)
    minutes = _principle_minutes(found)
    total = sum(minutes.values())
    last = _last_days(accounts)
    half = len(found) // 2
    rows = [
        PrincipleSeason(
            principle=one.principle,
            minutes=minutes.get(one.principle, 0.0),
            minutes_share=minutes.get(one.principle, 0.0) / total if total else 0.0,
            need_share=one.share,
            stage=passed.get(one.principle),
            last=last.get(one.principle),
            trend=_mean(found[half:], one.principle) - _mean(found[:half], one.principle) if half else 0.0,
        )
        for one in needs.principles
    ]
    return Review(found, tuple(rows))


def _principle_minutes(found: Iterable[Week]) -> dict[str, float]:
    seconds: dict[str, int] = {}
    for week in found:
        for key, value in week.seconds.items():
            if key not in BESIDES:
                seconds[key] = seconds.get(key, 0) + value
    return {one: value / 60 for one, value in seconds.items()}


def _last_days(accounts: Iterable[tuple[dt.date, Mapping[str, int]]]) -> dict[str, dt.date]:
    last: dict[str, dt.date] = {}
    for date, seconds in accounts:
        for principle in seconds:
            last[principle] = max(date, last.get(principle, date))
    return last


def _mean(found: Sequence[Week], principle: str) -> float:
    return sum(one.seconds.get(principle, 0) for one in found) / 60 / len(found) if found else 0.0


def mismatches(found: Review, titles: Mapping[str, str], most: int = 3) -> list[str]:
    """Return the largest gaps between share of minutes and share of need, in words."""
    rows = sorted(found.principles, key=lambda one: (-abs(one.minutes_share - one.need_share), one.principle))
    sentences = []
    for one in rows[:most]:
        gap = one.minutes_share - one.need_share
        if abs(gap) < 0.02:
            continue
        word = "more" if gap > 0 else "less"
        sentences.append(
            f"{titles.get(one.principle, one.principle)}: {one.minutes_share:.0%} of the minutes,"
            f" {one.need_share:.0%} of the need: {word} time than it asks for."
        )
    return sentences
