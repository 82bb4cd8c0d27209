from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.build.plan import Plan
from planner.desk.desk import Desk
from planner.desk.practice import find_plan
from planner.desk.season import Changes, done_from_plan, log_practice, season_review
from planner.problem import Refusal
from planner.season.minutes import practice_seconds
from planner.store import queries
from tests.running import TODAY, everything

TOMORROW = TODAY + dt.timedelta(days=1)


@pytest.fixture
def plan(desk: Desk) -> Plan:
    """Return the plan of the practice that was run tonight."""
    found = find_plan(desk)
    desk.today = TOMORROW
    return found


def drill_number(plan: Plan) -> int:
    return next(n for n, one in enumerate(plan.segments, 1) if one.kind == "drill")


def test_run_as_planned(desk: Desk, plan: Plan) -> None:
    """Without changes the practice lasted as long as planned, segment by segment."""
    done = done_from_plan(plan, desk.library, Changes({}, {}))
    assert [one.seconds for one in done.segments] == [one.minutes * 60 for one in plan.segments]
    assert done.seconds == plan.minutes * 60
    assert [one.drill for one in done.segments if one.kind == "drill"] == [
        one.stations[0].drill for one in plan.segments if one.kind == "drill"
    ]


def test_changes_are_to_the_second(desk: Desk, plan: Plan) -> None:
    """Nine and a half minutes are 570 seconds; what was not run is not there; the rest is as planned."""
    number = drill_number(plan)
    gone = next(n for n, one in enumerate(plan.segments, 1) if one.kind == "drill" and n > number)
    changes = Changes({number: 9.5, gone: 0}, {number: (7, 10)}, ("7",), 6)
    done = done_from_plan(plan, desk.library, changes)
    assert len(done.segments) == len(plan.segments) - 1
    scored = done.segments[number - 1]
    assert (scored.seconds, scored.stops, scored.tries) == (570, 7, 10)
    lost = plan.segments[number - 1].minutes * 60 - 570 + plan.segments[gone - 1].minutes * 60
    assert done.seconds == plan.minutes * 60 - lost == sum(practice_seconds(done).values())
    assert (done.absent, done.rating) == (("7",), 6)


WATER = "water"
BAD = [
    (Changes({99: 5.0}, {}), "there is no segment 99"),
    (Changes({0: 5.0}, {}), "there is no segment 0"),
    (Changes({}, {-1: (1, 2)}), "there is no segment -1"),
    (Changes({1: -1.0}, {}), "cannot have taken -1 minutes"),
    (Changes({1: 301.0}, {}), "cannot have taken 301 minutes"),
    (Changes({1: float("nan")}, {}), "cannot have taken nan minutes"),
    (Changes({1: float("inf")}, {}), "cannot have taken inf minutes"),
    (Changes({}, {2: (8, 7)}), "8 of 7 cannot be; write it as 7/10"),
    (Changes({}, {2: (-1, 7)}), "-1 of 7 cannot be"),
    (Changes({}, {1: (1, 2)}), "is no drill and has no score"),
    (Changes({}, {}, rating=11), "An effort rating of 11 is off the scale; give 0 to 10"),
    (Changes({}, {}, rating=-1), "An effort rating of -1 is off the scale"),
    (Changes({}, {}, ("99",)), "No player wears 99"),
    (Changes({}, {}, ("no jersey",)), "is not a jersey"),
    (Changes(dict.fromkeys(range(1, 60), 0.0), {}), "there is no segment"),
]


@pytest.mark.parametrize(("changes", "words"), BAD, ids=[one[1] for one in BAD])
def test_numbers_that_cannot_be_are_not_logged(desk: Desk, plan: Plan, changes: Changes, words: str) -> None:
    """The sentence names the segment and the number; nothing is stored."""
    before = everything(desk.home)
    with pytest.raises(Refusal, match=words):
        log_practice(desk, TOMORROW, changes)
    assert everything(desk.home) == before


def test_a_practice_of_nothing_is_not_logged(desk: Desk, plan: Plan) -> None:
    """If no segment was run, there was no practice."""
    nothing = Changes(dict.fromkeys(range(1, len(plan.segments) + 1), 0.0), {})
    with pytest.raises(Refusal, match="nothing was run"):
        log_practice(desk, TOMORROW, nothing)


def test_only_what_is_over_and_planned_is_logged(desk: Desk) -> None:
    """A practice ahead, a day without one, and an evening with nothing waiting are each refused."""
    for day, words in (
        (TOMORROW, "2027-01-14 is still ahead; log it when it is over"),
        (TODAY, "There is no plan for 2027-01-13"),
        (dt.date(1999, 1, 1), "There is no plan for 1999-01-01"),
        (None, "No planned practice up to today waits to be logged"),
    ):
        with pytest.raises(Refusal, match=words):
            log_practice(desk, day, Changes({}, {}))


def test_the_latest_planned_practice_is_meant(desk: Desk, plan: Plan) -> None:
    """Without a day, the practice that waits is logged; a second log then needs its day."""
    done, words = log_practice(desk, None, Changes({}, {}, rating=5))
    assert (done.date, words) == (TOMORROW, "log of 2027-01-14 18:15")
    with pytest.raises(Refusal, match="waits to be logged"):
        log_practice(desk, None, Changes({}, {}))
    log_practice(desk, TOMORROW, Changes({}, {}, rating=7))
    with desk.reading() as session:
        info = queries.find_practice(session, TOMORROW)
    assert info is not None
    assert info.rating == 7


def test_of_two_practices_on_a_day_the_waiting_one_is_logged(desk: Desk, plan: Plan) -> None:
    """Logging the evening does not overwrite the log of the morning."""
    early = replace(plan, start=600, segments=tuple(replace(s, start=s.start - 495) for s in plan.segments))
    with desk.writing() as session:
        queries.save_plan(session, early, {})
    assert log_practice(desk, None, Changes({}, {}, rating=3))[1].endswith("10:00")
    assert find_plan(desk, TOMORROW).start == plan.start
    assert log_practice(desk, None, Changes({}, {}, rating=8))[1].endswith("18:15")
    with desk.reading() as session:
        assert [one.rating for one in queries.practices(session, since=TOMORROW, until=TOMORROW)] == [3, 8]


def test_a_logged_practice_is_in_the_season(desk: Desk, plan: Plan) -> None:
    """The season's minutes grow by exactly what was logged."""
    before, earlier = season_review(desk)
    done, _ = log_practice(desk, None, Changes({1: 12.25}, {}))
    after, all_done = season_review(desk)
    assert len(all_done) == len(earlier) + 1
    grown = sum(one.total for one in after.weeks) - sum(one.total for one in before.weeks)
    assert grown == done.seconds == (plan.minutes - plan.segments[0].minutes) * 60 + 735


def test_a_period_counts_its_own_practices(desk: Desk) -> None:
    """Over a period the weeks sum to the practices in it; a period turned round is refused."""
    since, until = dt.date(2026, 11, 2), dt.date(2026, 11, 29)
    found, done = season_review(desk, since, until)
    assert done
    assert all(since <= one.date <= until for one in done)
    assert sum(one.total for one in found.weeks) == sum(one.seconds for one in done)
    assert sum(one.practices for one in found.weeks) == len(done)
    with pytest.raises(Refusal, match="would end on 2026-11-02 before it starts on 2026-11-29"):
        season_review(desk, until, since)
