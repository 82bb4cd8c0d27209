"""The season's review as data: one long table (CSV, RFC 4180), or JSON."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from planner.drills.vocabulary import Stage
from planner.paper.files import MADE_BY
from planner.text import clean_line

if TYPE_CHECKING:
    from planner.paper.review import SeasonPaper

HEAD = ("table", "row", "column", "value", "low", "high")
Row = tuple[Any, ...]
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def review_csv(paper: SeasonPaper) -> str:
    """Return the review as one table: which table and row and column, the value, its interval if it has one.

    Text that a spreadsheet would run as a formula gets a quote before it; numbers are left as they are.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEAD)
    for row in _rows(paper):
        writer.writerow([_cell(one) for one in row] + [""] * (len(HEAD) - len(row)))
    return out.getvalue()


def _cell(value: Any) -> str:
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, int):
        return str(value)
    text = clean_line(str(value), 300)
    return f"'{text}" if text.startswith(_FORMULA) else text


def _rows(paper: SeasonPaper) -> Iterator[Row]:
    yield "about", "file", "made", MADE_BY
    yield "about", "team", "name", paper.team
    yield "about", "period", "since", paper.since.isoformat()
    yield "about", "period", "until", paper.until.isoformat()
    yield from _time(paper)
    yield from _need(paper)
    yield from _progress(paper)
    for load in paper.loads:
        yield "load", load.week, "load", load.load
        yield "load", load.week, "sessions", load.sessions
        yield "load", load.week, "not rated", load.unrated


def _time(paper: SeasonPaper) -> Iterator[Row]:
    for week in paper.review.weeks:
        for key, minutes in sorted(week.minutes().items()):
            yield "minutes", key, week.week, float(minutes)
        yield "minutes", "all", week.week, week.total / 60
    for one in paper.review.principles:
        yield "balance", one.principle, "minutes", one.minutes
        yield "balance", one.principle, "share of taught minutes", one.minutes_share
        yield "balance", one.principle, "share of need", one.need_share


def _need(paper: SeasonPaper) -> Iterator[Row]:
    from planner.paper.review import grouped

    for need in paper.needs.principles:
        yield "need", need.principle, "points per 100", need.points_per_100, need.low, need.high
    for group, found in grouped(paper):
        for rate in found:
            yield "rates", rate.breakdown, "principle", group
            yield "rates", rate.breakdown, "seen", rate.count
            yield "rates", rate.breakdown, "per 100", rate.rate_per_100, rate.low, rate.high
            yield "rates", rate.breakdown, "points each", rate.cost, rate.cost_low, rate.cost_high


def _progress(paper: SeasonPaper) -> Iterator[Row]:
    from planner.paper.review import passed_days

    for principle, row in sorted(passed_days(paper.passed, paper.until).items()):
        for stage in Stage:
            if stage in row:
                yield "passed", principle, stage.value, row[stage].isoformat()


def review_json(paper: SeasonPaper) -> str:
    """Return the review as JSON: the period, the review, the needs, what was passed, the loads."""
    from planner.paper.review import passed_days

    days = passed_days(paper.passed, paper.until)
    value = {
        "made": MADE_BY,
        "team": clean_line(paper.team, 80),
        "since": paper.since.isoformat(),
        "until": paper.until.isoformat(),
        "review": paper.review.as_json(),
        "needs": paper.needs.as_json(),
        "passed": {
            principle: {stage.value: day.isoformat() for stage, day in row.items()}
            for principle, row in sorted(days.items())
        },
        "load": [one.as_json() for one in paper.loads],
    }
    return json.dumps(value, indent=2, ensure_ascii=False) + "\n"
