"""The days until the game: what is known of them at a glance, planned together, and kept one by one."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.build.horizon import TAPER, Step
from planner.desk.changes import change_plan, pin
from planner.desk.desk import Desk
from planner.desk.hand import lock
from planner.desk.horizon import ahead_in_words, days_ahead, in_words, keep_days, most_minutes, until_game
from planner.desk.house import remove_game
from planner.desk.practice import Wishes, build_plan, find_plan
from planner.desk.team import add_game, set_setting
from planner.desk.undo import undo_last
from planner.desk.versions import Overtaken, versions
from planner.problem import Refusal
from planner.store import queries
from tests.running import PRACTICE_DAY, TODAY, Stopsheet, assert_refused

FRIDAY = PRACTICE_DAY + dt.timedelta(days=1)


def test_every_day_of_the_calendar_stands_with_what_is_known(quick_desk: Desk) -> None:
    """A planned day has its load and its needs, an open one the ceiling so near to the game."""
    set_setting(quick_desk, "load-ceiling", 300)
    plan = find_plan(quick_desk)
    found = days_ahead(quick_desk)
    assert [(one.date, one.state) for one in found.days] == [(PRACTICE_DAY, "planned"), (FRIDAY, "open")]
    planned, free = found.days
    assert (planned.load, planned.minutes, planned.start) == (plan.load, 40, plan.start)
    assert planned.minutes_for == most_minutes(plan)
    assert planned.ceiling == 300 * TAPER[2]
    assert (free.load, free.ceiling, free.start) == (None, 300 * TAPER[1], 17 * 60)
    assert found.game is not None
    assert found.game.date == FRIDAY + dt.timedelta(days=1)


def test_a_later_day_has_the_days_before_its_own_game(quick_desk: Desk) -> None:
    """Asked from beyond the next game, the practices between that game and the one after are told."""
    first = days_ahead(quick_desk).game
    assert first is not None
    later = days_ahead(quick_desk, first.date + dt.timedelta(days=1))
    assert later.game is None or later.game.date > first.date
    assert all(one.date >= first.date for one in later.days)


def test_without_a_game_a_week_is_told(quick_desk: Desk) -> None:
    """The days are told all the same; together they are not planned."""
    with quick_desk.reading() as session:
        games = [one.id for one in queries.games(session) if one.date > TODAY]
    for one in games:
        remove_game(quick_desk, one)
    found = days_ahead(quick_desk)
    assert found.game is None
    assert PRACTICE_DAY in [one.date for one in found.days]
    assert "No game is ahead" in ahead_in_words(found)[0]
    with pytest.raises(Refusal, match="No game is ahead"):
        until_game(quick_desk, Wishes(TODAY))


def test_together_keeps_what_each_day_was_asked_for(quick_desk: Desk) -> None:
    """Begun from the stored wishes, pins and locked stretches of each day stay."""
    plan = find_plan(quick_desk)
    drill = next(one.drill for one in plan.left_out if one.why.startswith("in place of"))
    changed = change_plan(quick_desk, plan, pin(drill)).built.plan
    number = next(n for n, one in enumerate(changed.segments) if one.drills and drill not in one.drills)
    lock(quick_desk, changed, number)
    steps: list[Step] = []
    found = until_game(quick_desk, Wishes(PRACTICE_DAY), again=True, tell=steps.append)
    together = found.plan_of(PRACTICE_DAY)
    assert together is not None
    assert drill in {name for one in together.segments for name in one.drills}
    assert changed.segments[number] in together.segments
    assert [(one.day, one.days, one.look) for one in steps[:3]] == [(1, 2, 1), (2, 2, 1), (1, 2, 2)]
    assert find_plan(quick_desk) == changed, "nothing is kept unasked"
    assert f"{len(found.days.plans)} practices until" in in_words(found)[0]


def test_days_are_kept_one_by_one_and_undone(quick_desk: Desk) -> None:
    """Of the days planned together the chosen one alone is stored; undo takes it back."""
    before = find_plan(quick_desk)
    found = until_game(quick_desk, Wishes(PRACTICE_DAY), again=True)
    (number,) = keep_days(quick_desk, found, {FRIDAY})
    with quick_desk.reading() as session:
        assert queries.plan_of(session, number) == found.plan_of(FRIDAY)
    assert find_plan(quick_desk) == before
    undo_last(quick_desk)
    assert [one.state for one in days_ahead(quick_desk).days] == ["planned", "open"]
    with pytest.raises(Refusal, match="not among the days"):
        keep_days(quick_desk, found, {FRIDAY + dt.timedelta(days=9)})


def test_a_day_changed_meanwhile_is_not_covered(quick_desk: Desk) -> None:
    """Who changed a day after it was planned together is heard: what was planned stands beside."""
    found = until_game(quick_desk, Wishes(PRACTICE_DAY), again=True)
    theirs = build_plan(replace(quick_desk, coach="Vermilion"), Wishes(PRACTICE_DAY, minutes=30)).plan
    with pytest.raises(Overtaken, match="Vermilion"):
        keep_days(quick_desk, found, {PRACTICE_DAY})
    assert find_plan(quick_desk) == theirs
    assert len(versions(quick_desk, PRACTICE_DAY)) == 2


def test_a_game_before_any_practice_leaves_nothing_to_plan(quick_desk: Desk) -> None:
    """Where the game comes before the next practice of the calendar, that is said."""
    add_game(quick_desk, PRACTICE_DAY, "Harbour Point")
    with pytest.raises(Refusal, match="no practice before"):
        until_game(quick_desk, Wishes(TODAY))


def test_the_command_line_does_the_same(quick_desk: Desk, stopsheet: Stopsheet) -> None:
    """--ahead shows the days, --take keeps the named ones alone, --show the stored plan with what to mind."""
    stopsheet.home = quick_desk.home
    before = find_plan(quick_desk)
    shown = stopsheet("plan", "--ahead")
    assert "not planned" in shown.out
    assert f"load {before.load:.0f}" in shown.out
    assert [one["state"] for one in stopsheet("plan", "--ahead", "--json").json["days"]] == [
        "planned",
        "open",
    ]
    ran = stopsheet("plan", "--until-game", "--again", "--take", FRIDAY.isoformat())
    assert "1 of 2 stored" in ran.out
    assert find_plan(quick_desk) == before
    assert find_plan(quick_desk, FRIDAY).start == 17 * 60
    told = stopsheet("plan", "--show")
    assert before.segments[1].title in told.out
    assert stopsheet("plan", "--show", "--json").json["film_is_newer"] is False
    assert_refused(stopsheet("plan", "--take", "tomorrow"), "--until-game")
    assert_refused(stopsheet("plan", "--until-game", "--take", "2027-03-03"), "no practice before")
    assert_refused(stopsheet("plan", "--until-game", "--what-if", "--take", "tomorrow"), "--what-if")
