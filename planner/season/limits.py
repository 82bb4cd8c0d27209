"""Hours against the limits a coach has set; presets are data with their source, never law."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from typing import Any

from planner.drills.fields import parse_toml
from planner.problem import Problem
from planner.season.minutes import iso_week
from planner.season.record import DonePractice
from planner.text import clean_line, plural

FILE = "limits.toml"
HOURS = ("week_hours", "day_hours", "session_hours", "contest_hours")
MOST = {"week_hours": 60.0, "day_hours": 12.0, "session_hours": 6.0, "contest_hours": 6.0, "days": 7.0}
"""The most that a limit may be set to."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits in hours (None: none set); ``days`` is how many days of a week may have practice or a game."""

    week_hours: float | None = None
    day_hours: float | None = None
    session_hours: float | None = None
    days: int | None = None
    contest_hours: float = 0.0
    none_after_contest: bool = False
    source: str = "the coach"
    year: str = ""

    def as_json(self) -> dict[str, Any]:
        """Return the limits as plain values, for the store too."""
        return asdict(self)


@dataclass(frozen=True, slots=True)
class Preset:
    """Limits that some body sets, to start from."""

    id: str
    title: str
    limits: Limits
    note: str

    def as_json(self) -> dict[str, Any]:
        """Return the preset as plain values."""
        return {"id": self.id, "title": self.title, "note": self.note, **self.limits.as_json()}


def limits_from(stored: Mapping[str, Any]) -> Limits:
    """Return limits from plain values; what is not known is passed over."""
    known = {one.name for one in fields(Limits)}
    return Limits(**{key: value for key, value in stored.items() if key in known})


def read_presets(text: str) -> tuple[tuple[Preset, ...], list[Problem]]:
    """Read ``limits.toml`` (its text): the presets in its order, and what is wrong in it."""
    table, problems = parse_toml(FILE, text)
    found = []
    for row in table.get("limits", []):
        fault = _fault(row)
        if fault:
            problems.append(Problem(FILE, None, fault))
            continue
        limits = limits_from({**row, "source": clean_line(row["source"]), "year": clean_line(row["year"])})
        note = clean_line(row.get("note", ""))
        found.append(Preset(clean_line(row["id"], 40), clean_line(row["title"], 80), limits, note))
    return tuple(found), problems


def _fault(row: Mapping[str, Any]) -> str:
    name = row.get("id", "?")
    for key in ("id", "title", "source", "year"):
        if not isinstance(row.get(key), str) or not row[key].strip():
            return f"limits '{name}' lack '{key}'"
    for key, most in MOST.items():
        value = row.get(key)
        if value is not None and not (isinstance(value, int | float) and 0 < value <= most):
            return f"limits '{name}': '{key}' must be above 0 and at most {most:g}"
    return ""


@dataclass(frozen=True, slots=True)
class HoursWeek:
    """One ISO week's hours, game days counted as the limits say, and what is over a limit."""

    week: str
    hours: float
    days: int
    findings: tuple[str, ...]
    planned_hours: float = 0.0

    def as_json(self) -> dict[str, Any]:
        """Return the week as plain values."""
        return {
            "week": self.week,
            "hours": self.hours,
            "of_which_planned": self.planned_hours,
            "days": self.days,
            "over": list(self.findings),
        }


def hours_weeks(
    done: Sequence[DonePractice], planned: Sequence[DonePractice], games: Iterable[dt.date], limits: Limits
) -> tuple[HoursWeek, ...]:
    """Return the hours of each week that had practice, a plan or a game, oldest first.

    ``planned`` are plans not run yet, given as practices run to the letter.
    """
    played = set(games)
    by_week: dict[str, list[DonePractice]] = {}
    for one in (*done, *planned):
        by_week.setdefault(iso_week(one.date), []).append(one)
    game_days: dict[str, set[dt.date]] = {}
    for day in played:
        game_days.setdefault(iso_week(day), set()).add(day)
        by_week.setdefault(iso_week(day), [])
    ahead = {(one.date, one.start) for one in planned}
    return tuple(
        _week(
            week,
            sorted(sessions, key=lambda one: (one.date, one.start)),
            game_days.get(week, set()),
            limits,
            ahead,
        )
        for week, sessions in sorted(by_week.items())
    )


def _week(
    week: str,
    sessions: Sequence[DonePractice],
    games: set[dt.date],
    limits: Limits,
    ahead: set[tuple[dt.date, int]],
) -> HoursWeek:
    by_day = dict.fromkeys(sorted({*games, *(one.date for one in sessions)}), 0.0)
    for day in games:
        by_day[day] += limits.contest_hours
    for one in sessions:
        by_day[one.date] += one.seconds / 3600
    hours = sum(by_day.values())
    findings = []
    if limits.week_hours is not None and hours > limits.week_hours + 1e-9:
        findings.append(f"{hours:.1f} h in the week, the limit is {limits.week_hours:g}")
    if limits.days is not None and len(by_day) > limits.days:
        findings.append(f"{plural(len(by_day), 'day')} with practice or a game, the limit is {limits.days}")
    findings += _day_findings(by_day, sessions, games, limits)
    planned = sum(one.seconds for one in sessions if (one.date, one.start) in ahead) / 3600
    return HoursWeek(week, hours, len(by_day), tuple(findings), planned)


def _day_findings(
    by_day: Mapping[dt.date, float], sessions: Sequence[DonePractice], games: set[dt.date], limits: Limits
) -> list[str]:
    found = []
    for day, hours in by_day.items():
        if limits.day_hours is not None and hours > limits.day_hours + 1e-9:
            found.append(f"{hours:.1f} h on {day.isoformat()}, the limit is {limits.day_hours:g}")
    for one in sessions:
        length = one.seconds / 3600
        if limits.session_hours is not None and length > limits.session_hours + 1e-9:
            when = one.date.isoformat()
            found.append(f"a session of {length:.1f} h on {when}, the limit is {limits.session_hours:g}")
        if limits.none_after_contest and one.date in games:
            found.append(f"practice on {one.date.isoformat()}, a game day: none after the game")
    return found
