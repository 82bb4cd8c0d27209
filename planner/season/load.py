"""Session load and its shape over a week. Figures for a coach to think with; no medical decision.

Session load = CR-10 rating x minutes, in arbitrary units (Foster et al., J Strength Cond Res 15(1):109-115,
2001; the rating is asked about half an hour afterwards). Monotony = mean / standard deviation of the seven
daily loads, strain = weekly load x monotony (Foster, Med Sci Sports Exerc 30:1164-1168, 1998, from memory).
The sources do not say which standard deviation; this one divides by n - 1. A week of seven equal days has
none, and its monotony is not defined.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from planner.season.minutes import iso_week, monday_of
from planner.season.record import DonePractice

DAYS = 7
HIGH_MONOTONY = 2.0
"""Above this, practical guides call a week monotonous; a guide line, not a limit (no primary source)."""

CAUTIONS = (
    "Loads are a coach's figures, not a diagnosis: games and what players do elsewhere are not in them.",
    "Follow your local rules on hours and rest; ask a licensed professional about pain, illness or injury.",
)
CONTACT = (
    "Contact: a player with any sign of concussion is taken out at once and returns only when cleared by a"
    " licensed health-care professional."
)


def session_load(practice: DonePractice) -> float | None:
    """Return rating x minutes, None where nobody asked for the rating."""
    return None if practice.rating is None else practice.rating * practice.seconds / 60


def monotony(loads: Sequence[float]) -> float | None:
    """Return mean / standard deviation (n - 1) of the daily loads; None where all days are equal."""
    mean = math.fsum(loads) / len(loads)
    if len(loads) < 2 or max(loads) == min(loads):
        return None
    variance = math.fsum((one - mean) ** 2 for one in loads) / (len(loads) - 1)
    return mean / math.sqrt(variance)


def strain(loads: Sequence[float]) -> float | None:
    """Return the sum of the daily loads x their monotony; None where that is not defined."""
    found = monotony(loads)
    return None if found is None else math.fsum(loads) * found


@dataclass(frozen=True, slots=True)
class LoadWeek:
    """One ISO week: daily loads from Monday (None: a session of that day was not rated).

    ``load`` sums what was rated. ``monotony`` and ``strain`` are None where ``why`` says so.
    """

    week: str
    daily: tuple[float | None, ...]
    sessions: int
    unrated: int
    minutes: float
    games: int
    load: float
    monotony: float | None
    strain: float | None
    why: str = ""

    def as_json(self) -> dict[str, Any]:
        """Return the week as plain values."""
        return {
            "week": self.week,
            "daily": list(self.daily),
            "sessions": self.sessions,
            "unrated": self.unrated,
            "minutes": self.minutes,
            "games": self.games,
            "load": self.load,
            "monotony": self.monotony,
            "strain": self.strain,
            "not_defined_because": self.why,
        }


def load_weeks(
    practices: Sequence[DonePractice], games: Iterable[dt.date], today: dt.date
) -> tuple[LoadWeek, ...]:
    """Return every week from the first practice's to the last's, in order, those without practice too."""
    if not practices:
        return ()
    by_day: dict[dt.date, list[DonePractice]] = {}
    for one in practices:
        by_day.setdefault(one.date, []).append(one)
    played = set(games)
    monday, last, found = monday_of(min(by_day)), max(by_day), []
    while monday <= last:
        days = [monday + dt.timedelta(days=number) for number in range(DAYS)]
        found.append(_week([by_day.get(day, []) for day in days], len(played & set(days)), days, today))
        monday += dt.timedelta(days=DAYS)
    return tuple(found)


def _week(
    days: Sequence[Sequence[DonePractice]], games: int, dates: Sequence[dt.date], today: dt.date
) -> LoadWeek:
    sessions = [one for day in days for one in day]
    daily = tuple(_day(day) for day in days)
    known = [one for one in daily if one is not None]
    unrated = sum(one.rating is None for one in sessions)
    rated = math.fsum(load for one in sessions if (load := session_load(one)) is not None)
    why = ""
    if unrated:
        why = "a session was not rated"
    elif dates[-1] > today:
        why = "the week is not over"
    elif max(known) == min(known):
        why = "all seven days are equal"
    defined = not why
    return LoadWeek(
        week=iso_week(dates[0]),
        daily=daily,
        sessions=len(sessions),
        unrated=unrated,
        minutes=sum(one.seconds for one in sessions) / 60,
        games=games,
        load=rated,
        monotony=monotony(known) if defined else None,
        strain=strain(known) if defined else None,
        why=why,
    )


def _day(day: Sequence[DonePractice]) -> float | None:
    loads = [session_load(one) for one in day]
    return None if any(one is None for one in loads) else math.fsum(one for one in loads if one is not None)


def has_contact(practices: Iterable[DonePractice]) -> bool:
    """Return whether any drill was run against opposition (contested or live)."""
    return any(
        part.kind == "drill" and part.stage in {"contested", "live"}
        for one in practices
        for part in one.segments
    )
