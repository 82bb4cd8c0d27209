from __future__ import annotations

import datetime as dt

import pytest

from planner import data
from planner.season.limits import FILE, Limits, hours_weeks, limits_from, read_presets
from planner.season.record import DonePractice
from tests.season.kit import MONDAY, practice

SHIPPED = (data.drill_library() / FILE).read_text("utf-8")


def hours(
    practices: list[DonePractice],
    games: tuple[int, ...],
    limits: Limits,
    planned: tuple[DonePractice, ...] = (),
) -> list[str]:
    """Return what is over a limit in the first week."""
    days = [MONDAY + dt.timedelta(days=one) for one in games]
    return list(hours_weeks(practices, planned, days, limits)[0].findings)


def test_the_shipped_presets_are_the_texts_they_name() -> None:
    """Hours as read: college 20 a week, 4 a day, one day off, a game counts 3; California 18 and 4.

    NCAA Bylaw 17.1.7 and CIF Bylaw 506 as posted by schools (read); the other two likewise.
    """
    presets, problems = read_presets(SHIPPED)
    assert problems == []
    found = {one.id: one.limits for one in presets}
    college = found["us-college-in-season"]
    assert (college.week_hours, college.day_hours, college.days, college.contest_hours) == (20, 4, 6, 3)
    assert found["us-college-out-of-season"].week_hours == 8
    assert (found["us-school-california"].week_hours, found["us-school-california"].day_hours) == (18, 4)
    assert found["us-school-los-angeles"].session_hours == 2.5
    assert (found["us-middle-school"].session_hours, found["us-middle-school"].days) == (2, 4)
    assert all(one.limits.source and one.limits.year for one in presets)


def test_a_game_day_counts_what_the_limits_say() -> None:
    """Three hours of game and two of practice are five: over four a day; the week is seven, over six."""
    limits = Limits(week_hours=6, day_hours=4, contest_hours=3)
    found = hours([practice(0, tag=120), practice(1, tag=120)], (1,), limits)
    assert found == ["7.0 h in the week, the limit is 6", "5.0 h on 2027-01-05, the limit is 4"]


def test_at_the_limit_is_within_it() -> None:
    """Exactly the hours, days and length allowed are no finding."""
    limits = Limits(week_hours=4, day_hours=2, session_hours=2, days=2)
    assert hours([practice(0, tag=120), practice(1, tag=120)], (), limits) == []


def test_days_and_sessions_and_games_are_held_against_their_limits() -> None:
    """Too many days, too long a session, and practice on a game day are each said."""
    limits = Limits(session_hours=1.5, days=2, none_after_contest=True)
    found = hours([practice(0, tag=120), practice(1, tag=60)], (1, 2), limits)
    assert found == [
        "3 days with practice or a game, the limit is 2",
        "a session of 2.0 h on 2027-01-04, the limit is 1.5",
        "practice on 2027-01-05, a game day: none after the game",
    ]


def test_plans_count_before_they_are_run() -> None:
    """A planned practice is in the hours of its week, and said to be planned."""
    week = hours_weeks([practice(0, tag=60)], [practice(3, tag=90)], (), Limits(week_hours=2))[0]
    assert (week.hours, week.planned_hours) == (2.5, 1.5)
    assert len(week.findings) == 1


def test_without_limits_nothing_is_over() -> None:
    """No limit, no finding; what was stored by a later program is passed over."""
    assert hours([practice(0, tag=900)], (0,), Limits()) == []
    assert limits_from({"week_hours": 9, "moon": 1}) == Limits(week_hours=9)
    assert limits_from(Limits(days=3).as_json()) == Limits(days=3)


@pytest.mark.parametrize(
    "text",
    [
        "[[limits]]\nid='x'\ntitle='x'\nsource='s'\n",
        "[[limits]]\nid='x'\ntitle='x'\nsource='s'\nyear='y'\ndays=9\n",
    ],
)
def test_a_preset_without_source_or_sense_is_a_problem(text: str) -> None:
    """What lacks its year, or allows nine days a week, is not read but told."""
    presets, problems = read_presets(text)
    assert presets == ()
    assert len(problems) == 1
