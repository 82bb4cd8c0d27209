"""The season on two pages: where the minutes went, what they were needed for, what came of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from planner.drills.vocabulary import Stage, Vocabulary
from planner.need.estimate import BreakdownEstimate, Needs
from planner.paper import review_words as words
from planner.paper.charts import columns, darkness, interval, pair_of_bars, ticks
from planner.paper.files import MADE_BY
from planner.paper.printable import day_in_words, paper_size, printable
from planner.paper.sheet import Printed
from planner.paper.typesetter import Typeset, typeset
from planner.problem import Refusal
from planner.season.load import CAUTIONS, LoadWeek
from planner.season.minutes import BESIDES, Week
from planner.season.review import Review
from planner.text import plural

MOST_WEEKS = 26
"""Columns of the heat table; earlier weeks share one."""

SIZES = (10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5)
_BAR = (76.0, 3.8)
_RATE = (56.0, 3.2)
_LOAD = (82.0, 24.0)
_REST = "Everything else"
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_WORDS = {
    "review": "Season review",
    "minutes": "Minutes taught, week by week",
    "balance": "Time beside need",
    "rates": "What was seen on film, per 100 possessions",
    "passed": "What was passed",
    "load": "Load per week",
    "principle": "Principle",
    "breakdown": "Breakdown",
    "seen": "Seen",
    "rate": "Per 100 (90 %)",
    "each": "Each",
    "lost": "Lost",
    "sum": "Sum",
    "earlier": "Before",
    "taught": "Taught",
    "need": "Need",
    "stage": "Passed",
    "last": "Last",
    "key": "black: share of the taught minutes; white: share of the points lost",
    "columns": "each: points each time; lost: points per 100 possessions; disc and line: rate, 90 % interval",
    "week": "Week of",
}


@dataclass(frozen=True, slots=True)
class Passed:
    """A stage passed on a day; ``stage`` None says that the team was taken back to nothing."""

    date: dt.date
    principle: str
    stage: Stage | None
    how: str = ""


@dataclass(frozen=True, slots=True)
class SeasonPaper:
    """Everything the review prints; ``since`` and ``until`` are its first and last day."""

    team: str
    since: dt.date
    until: dt.date
    review: Review
    needs: Needs
    vocabulary: Vocabulary
    passed: tuple[Passed, ...] = ()
    loads: tuple[LoadWeek, ...] = ()

    @property
    def titles(self) -> dict[str, str]:
        """Return principle id -> title."""
        return {one.id: one.title for one in self.vocabulary.principles}


def season_pdf(paper: SeasonPaper, page: Literal["letter", "a4"] = "letter", large: bool = False) -> Printed:
    """Return the review as a tagged PDF (PDF/UA-1) of two pages, more only where two cannot hold it.

    The same arguments give the same bytes. ``large`` prints at 12 points and more, on as many pages as
    that takes.

    Raises:
        Refusal: no practice was logged in the period, the paper is unknown, or the typesetter missing.

    """
    named = paper_size(page)
    if not paper.review.weeks:
        raise Refusal("No practice is logged in that time; log one with 'stopsheet log'.")
    inputs = _inputs(paper, named)
    done, size = _fitted(inputs, paper.until, (12.0,) if large else SIZES)
    dropped = (f"The review runs over {done.pages} pages.",) if done.pages > 2 else ()
    return Printed(done.data, done.pages, dropped, done.notes, size)


def _fitted(inputs: dict[str, Any], day: dt.date, sizes: Sequence[float]) -> tuple[Typeset, float]:
    """Set the review in the largest text that keeps it on two pages, else in the smallest."""
    for size in sizes:
        done = typeset("review.typ", {**inputs, "size": size}, day)
        if done.pages <= 2:
            break
    return done, size


def _inputs(paper: SeasonPaper, named: str) -> dict[str, Any]:
    until = paper.until
    team = printable(paper.team, 60) or "Practice"
    total = sum(one.total for one in paper.review.weeks) / 60
    practices = sum(one.practices for one in paper.review.weeks)
    return {
        "words": _WORDS,
        "title": f"{team}: season review, {day_in_words(paper.since)} to {day_in_words(until)}",
        "mark": MADE_BY,
        "date": {"year": until.year, "month": until.month, "day": until.day},
        "paper": named,
        "team": team,
        "period": f"{day_in_words(paper.since)} to {day_in_words(until)}",
        "facts": f"{plural(practices, 'practice')}, {total:,.0f} minutes · {_film(paper.needs)}",
        "heat": _heat(paper),
        "balance": _balance(paper),
        "rates": _rates(paper),
        "passed": _passed(paper),
        "load": _load(paper),
        "care": " ".join(CAUTIONS),
    }


def _film(needs: Needs) -> str:
    return f"{plural(needs.games, 'game')} watched, {needs.possessions:,} possessions"


# ---- minutes by week -------------------------------------------------------------------------------------


def _weeks(review: Review) -> tuple[list[str], list[list[Week]]]:
    """Return the labels and weeks of the columns, weeks without practice included, early ones together."""
    by_monday = {monday_of(one.week): one for one in review.weeks}
    first, last = min(by_monday), max(by_monday)
    mondays = [first + dt.timedelta(days=7 * n) for n in range((last - first).days // 7 + 1)]
    early, late = mondays[: -MOST_WEEKS or None], mondays[-MOST_WEEKS:]
    if len(mondays) <= MOST_WEEKS:
        early, late = [], mondays
    labels = [_WORDS["earlier"]] if early else []
    cells = [[by_monday[one] for one in early if one in by_monday]] if early else []
    labels += [f"{one.day} {_MONTHS[one.month - 1]}" for one in late]
    cells += [[by_monday[one]] if one in by_monday else [] for one in late]
    return labels, cells


def monday_of(week: str) -> dt.date:
    """Return the Monday of an ISO week such as ``2026-W48``."""
    year, number = week.split("-W")
    return dt.date.fromisocalendar(int(year), int(number), 1)


def _heat(paper: SeasonPaper) -> dict[str, Any]:
    labels, cells = _weeks(paper.review)
    minutes = {one.principle: _minutes(cells, [one.principle]) for one in paper.review.principles}
    # A column of several weeks is not compared with those of one.
    compared = [value for row in minutes.values() for value in row[labels[0] == _WORDS["earlier"] :]]
    top = max(compared, default=0.0)
    rows = [
        {
            "title": printable(paper.titles.get(key, key), 40),
            "cells": [{"text": _whole(one), "dark": darkness(one, top)} for one in row],
            "sum": _whole(sum(row)),
        }
        for key, row in minutes.items()
    ]
    rest = _minutes(cells, list(BESIDES))
    whole = [sum(week.total for week in column) / 60 for column in cells]
    plain = [
        {"title": title, "cells": [{"text": _whole(one), "dark": 0} for one in row], "sum": _whole(sum(row))}
        for title, row in ((_REST, rest), ("All minutes", whole))
    ]
    return {"weeks": labels, "rows": rows + plain, "plain": len(plain), "told": words.minutes(paper)}


def _minutes(cells: Sequence[Sequence[Week]], keys: Sequence[str]) -> list[float]:
    return [sum(week.seconds.get(key, 0) for week in column for key in keys) / 60 for column in cells]


def _whole(minutes: float) -> str:
    return f"{minutes:.0f}" if minutes >= 0.5 else "–"


# ---- time beside need ------------------------------------------------------------------------------------


def _balance(paper: SeasonPaper) -> dict[str, Any]:
    found = paper.review.principles
    top = max((max(one.minutes_share, one.need_share) for one in found), default=0.0)
    at = ticks(top, 4)
    rows = [
        {
            "title": printable(paper.titles.get(one.principle, one.principle), 40),
            "taught": f"{one.minutes_share:.0%}".replace("%", " %"),
            "need": f"{one.need_share:.0%}".replace("%", " %"),
            "svg": pair_of_bars(one.minutes_share, one.need_share, top, _BAR, at),
            "stage": one.stage.value if one.stage else "–",
            "last": _short(one.last) if one.last else "–",
        }
        for one in found
    ]
    axis = [{"at": one / top if top else 0.0, "text": f"{one:.0%}".replace("%", " %")} for one in at]
    return {"rows": rows, "axis": axis, "wide": _BAR[0], "high": _BAR[1], "told": words.balance(paper)}


def _short(day: dt.date) -> str:
    return f"{day.day} {_MONTHS[day.month - 1]}"


# ---- rates -----------------------------------------------------------------------------------------------


def _rates(paper: SeasonPaper) -> dict[str, Any]:
    groups = grouped(paper)
    top = max((one.high for _, rows in groups for one in rows), default=0.0)
    at = ticks(top, 5)
    titles = {one.id: one.title for one in paper.vocabulary.breakdowns}
    rows = [
        {
            "group": printable(paper.titles.get(group, group), 40) if number == 0 else "",
            "title": printable(titles.get(one.breakdown, one.breakdown), 50),
            "seen": str(one.count),
            "rate": f"{one.rate_per_100:.1f} ({one.low:.1f}–{one.high:.1f})",
            "svg": interval(one.low, one.rate_per_100, one.high, top, _RATE, at),
            "each": f"{one.cost:.2f}",
            "lost": f"{one.points_per_100:.1f}",
        }
        for group, found in groups
        for number, one in enumerate(found)
    ]
    axis = [{"at": one / top if top else 0.0, "text": f"{one:g}"} for one in at]
    return {"rows": rows, "axis": axis, "wide": _RATE[0], "high": _RATE[1], "told": words.rates(paper)}


def grouped(paper: SeasonPaper) -> list[tuple[str, list[BreakdownEstimate]]]:
    """Return the breakdowns by the principle they fail, both the costliest first."""
    home = {one.id: one.principle for one in paper.vocabulary.breakdowns}
    groups: dict[str, list[BreakdownEstimate]] = {one.principle: [] for one in paper.needs.principles}
    for one in paper.needs.breakdowns:
        groups.setdefault(home.get(one.breakdown, ""), []).append(one)
    return [(key, rows) for key, rows in groups.items() if rows]


# ---- what was passed, and load ---------------------------------------------------------------------------


def passed_days(found: Sequence[Passed], until: dt.date) -> dict[str, dict[Stage, dt.date]]:
    """Return principle -> stage -> the day since which it counts as passed; what was taken back is gone."""
    days: dict[str, dict[Stage, dt.date]] = {}
    for one in found:
        if one.date > until:
            continue
        reached = one.stage.rank if one.stage else 0
        row = {stage: day for stage, day in days.get(one.principle, {}).items() if stage.rank <= reached}
        for stage in Stage:
            if stage.rank <= reached:
                row.setdefault(stage, one.date)
        days[one.principle] = row
    return days


def _passed(paper: SeasonPaper) -> dict[str, Any]:
    days = passed_days(paper.passed, paper.until)
    rows = [
        {
            "title": printable(paper.titles.get(one.principle, one.principle), 40),
            "stages": [
                _short(days[one.principle][stage]) if stage in days.get(one.principle, {}) else ""
                for stage in Stage
            ],
        }
        for one in paper.review.principles
    ]
    return {"stages": [one.value for one in Stage], "rows": rows, "told": words.passed(paper, days)}


def _load(paper: SeasonPaper) -> dict[str, Any]:
    loads = paper.loads[-MOST_WEEKS:]
    top = max((one.load for one in loads), default=0.0)
    at = ticks(top, 4)
    mondays = [monday_of(one.week) for one in loads]
    every = max(1, -(-len(mondays) // 9))
    return {
        "svg": columns([one.load for one in loads], top, _LOAD, at, [one.unrated > 0 for one in loads]),
        "wide": _LOAD[0],
        "high": _LOAD[1],
        "labels": [_short(day) if n % every == 0 else "" for n, day in enumerate(mondays)],
        "axis": [{"at": one / top if top else 0.0, "text": f"{one:,.0f}"} for one in at],
        "alt": words.load_alt(loads),
        "told": words.load(paper),
    }
