from __future__ import annotations

import datetime as dt

import pytest

from planner.season.targets import against_targets, all_weeks, behind
from tests.season.kit import MONDAY, practice


def test_a_week_without_practice_counts_as_missed() -> None:
    """Weeks without practice lie between the others; met is met to the minute, and one minute less is not."""
    practices = [practice(0, tag=20), practice(8, tag=19), practice(22, tag=30)]
    rows = against_targets({"tag": 20}, practices, MONDAY + dt.timedelta(days=22))
    assert [(one.week, one.minutes, one.running) for one in rows[0].weeks] == [
        ("2027-W01", 20, False),
        ("2027-W02", 19, False),
        ("2027-W03", 0, False),
        ("2027-W04", 30, True),
    ]
    assert (rows[0].met, len(rows[0].over)) == (1, 3)


def test_weeks_run_over_the_turn_of_the_year() -> None:
    """2026 has a week 53 that ends in 2027 (ISO 8601, computed with the calendar of the standard library)."""
    assert all_weeks(dt.date(2026, 12, 24), dt.date(2027, 1, 4)) == ["2026-W52", "2026-W53", "2027-W01"]


def test_the_one_furthest_behind_comes_first() -> None:
    """Behind are those that have not met the running week's target yet."""
    rows = against_targets({"tag": 20, "talk": 60, "post": 5}, [practice(0, tag=15, post=9)], MONDAY)
    assert [one.principle for one in behind(rows)] == ["talk", "tag"]


def test_no_target_no_row_and_no_practice_this_week() -> None:
    """Without targets there is nothing; without practice there is this week, empty."""
    assert against_targets({}, [practice(0, tag=1)], MONDAY) == ()
    row = against_targets({"tag": 20}, [], MONDAY)[0]
    assert [one.minutes for one in row.weeks] == [0]
    assert row.as_json()["weeks_over"] == 0
    assert row.as_json()["target"] == pytest.approx(20)
