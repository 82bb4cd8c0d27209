"""Weeks of the season against ISO 8601."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.season.minutes import iso_week


@pytest.mark.parametrize(
    ("day", "week"),
    [
        ("2024-12-30", "2025-W01"),
        ("2021-01-01", "2020-W53"),
        ("2015-12-31", "2015-W53"),
        ("2027-01-03", "2026-W53"),
        ("2027-01-04", "2027-W01"),
        ("2008-12-29", "2009-W01"),
        ("2010-01-03", "2009-W53"),
    ],
)
def test_weeks_at_the_turn_of_the_year(day: str, week: str) -> None:
    """A week belongs to the year of its Thursday (ISO 8601; the days are from memory)."""
    assert iso_week(dt.date.fromisoformat(day)) == week


@given(st.dates(dt.date(1900, 1, 1), dt.date(2200, 1, 1)))
def test_the_week_is_counted_from_its_thursday(day: dt.date) -> None:
    """ISO 8601 (from memory): the year is the Thursday's, the week how many Thursdays that year has had."""
    thursday = day + dt.timedelta(days=3 - day.weekday())
    count = 1 + (thursday - dt.date(thursday.year, 1, 1)).days // 7
    assert iso_week(day) == f"{thursday.year}-W{count:02d}"
