from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.build.plan import Plan
from planner.problem import Refusal
from planner.season.record import DonePractice, DoneSegment
from planner.store import backup, queries
from planner.store.engine import Store
from tests.store.making import DAY, a_plan, a_practice

START = 16 * 60 + 10
WISHES = {"minutes": 30, "pins": [["shell-four", 12]], "squad": None}


def _save(store: Store, plan: Plan | None = None) -> int:
    with store.session() as session:
        return queries.save_plan(session, plan or a_plan(), WISHES)


def _log(store: Store, practice_id: int | None, done: DonePractice) -> int:
    with store.session() as session:
        return queries.log_done(session, practice_id, done)


def test_a_saved_plan_reads_back_equal(store: Store) -> None:
    """Segments, stations, shares, reasons, what was left out, warnings and figures are the very same."""
    number = _save(store)
    with store.reading() as session:
        assert queries.plan_on(session, DAY) == a_plan()
        assert queries.plan_of(session, number) == a_plan()
        assert queries.latest_plan(session) == a_plan()
        assert queries.next_plan(session, DAY) == a_plan()
        found = queries.plan_of(session, number)
        assert found is not None
        assert [list(one.shares) for one in found.segments] == [list(one.shares) for one in a_plan().segments]


def test_a_practice_is_told_without_its_segments(store: Store) -> None:
    """The list tells state, figures, load and the wishes the plan was built from."""
    number = _save(store)
    with store.reading() as session:
        told = queries.practice(session, number)
        assert told is not None
        assert queries.find_practice(session, DAY) == told
        assert queries.practices(session, since=DAY, until=DAY, state="planned") == (told,)
        assert queries.practices(session, state="done") == ()
        assert queries.practice(session, 9) is None
    assert (told.state, told.has_plan, told.minutes, told.start) == ("planned", True, 30, START)
    assert (told.objective, told.bound, told.proven) == (1.234567890123, 1.3, False)
    assert told.load == a_plan().load
    assert told.wishes == WISHES
    assert (told.rating, told.absent, told.done_seconds) == (None, (), None)


def test_a_plan_of_the_same_hour_replaces_the_one_before(store: Store) -> None:
    """Planning again keeps the practice's number and no old segment; other hours stand beside."""
    shorter = replace(a_plan(), minutes=8, segments=a_plan().segments[:1], left_out=(), warnings=())
    number = _save(store)
    assert _save(store, shorter) == number
    evening = a_plan(start=19 * 60)
    assert _save(store, evening) != number
    with store.reading() as session:
        assert queries.plans_on(session, DAY) == (shorter, evening)
        assert queries.plan_on(session, DAY) == shorter
        assert queries.plan_on(session, DAY, 19 * 60) == evening
        assert queries.plan_on(session, DAY, 18 * 60) is None
    rows = backup.dump(store)
    assert len(rows["segment"]) == 1 + 4
    assert len(rows["station"]) == 2


def test_latest_is_the_plan_saved_last_and_next_the_first_to_come(store: Store) -> None:
    """After building several days, "latest" is the last built and "next" the first still to be run."""
    days = [DAY + dt.timedelta(days=step) for step in (1, 2, 0)]
    for day in days:
        _save(store, a_plan(day))
    with store.reading() as session:
        latest, coming = queries.latest_plan(session), queries.next_plan(session, days[0])
        assert latest is not None
        assert coming is not None
        assert (latest.date, coming.date) == (DAY, days[0])
    _save(store, a_plan(days[1]))
    with store.reading() as session:
        latest = queries.latest_plan(session)
        assert latest is not None
        assert latest.date == days[1]


def test_without_plans_there_is_none(store: Store) -> None:
    """Asking an empty store gives nothing rather than an error."""
    with store.reading() as session:
        assert queries.plan_on(session, DAY) is None
        assert queries.latest_plan(session) is None
        assert queries.next_plan(session, DAY) is None
        assert queries.plan_of(session, 1) is None
        assert queries.find_practice(session, DAY) is None
        assert queries.done_of(session, 1) is None


def test_removing_a_plan_leaves_nothing(store: Store) -> None:
    """A plan taken away is told whole, and every table is as before."""
    before = backup.dump(store)
    number = _save(store)
    with store.session() as session:
        assert queries.remove_plan(session, number) == a_plan()
    assert backup.dump(store) == before


def test_a_plan_that_breaks_a_rule_is_not_half_saved(store: Store) -> None:
    """A segment of no length is refused, and the plan that stood there stands."""
    number = _save(store)
    bad = replace(a_plan(), segments=(*a_plan().segments, replace(a_plan().segments[0], minutes=0)))
    with pytest.raises(Refusal, match="segment must last"):
        _save(store, bad)
    with store.reading() as session:
        assert queries.plan_of(session, number) == a_plan()


def test_a_logged_practice_reads_back_equal(store: Store) -> None:
    """What was done is kept to the second, scores and absences and all, beside the plan as it was."""
    number = _save(store)
    assert _log(store, number, a_practice()) == number
    with store.reading() as session:
        assert queries.done_of(session, number) == replace(a_practice(), practice=str(number))
        assert queries.plan_of(session, number) == a_plan()
        told = queries.practice(session, number)
        assert told is not None
        assert (told.state, told.rating, told.absent) == ("done", 6, ("12", "00"))
        assert told.done_seconds == a_practice().seconds == 1550
        assert queries.next_plan(session, DAY) is None


def test_a_practice_that_began_late_keeps_both_hours(store: Store) -> None:
    """The plan keeps its hour and the log its own."""
    number = _save(store)
    _log(store, number, a_practice(start=START + 15))
    with store.reading() as session:
        found = queries.done_of(session, number)
        assert found is not None
        assert found.start == START + 15
        assert queries.plan_on(session, DAY, START) == a_plan()
    with pytest.raises(Refusal, match="was planned for 2027-01-13 16:10"):
        _log(store, number, a_practice(DAY + dt.timedelta(days=1)))


def test_without_a_number_the_practice_of_that_hour_is_meant(store: Store) -> None:
    """A log finds its plan by date and start, and makes a practice when there is none."""
    number = _save(store)
    assert _log(store, None, a_practice()) == number
    other = _log(store, None, a_practice(start=19 * 60))
    assert other != number
    with store.reading() as session:
        told = queries.practice(session, other)
        assert told is not None
        assert (told.has_plan, told.objective, told.minutes) == (False, None, 26)
        assert queries.plan_of(session, other) is None
        assert queries.plans_on(session, DAY) == (a_plan(),)


def test_logging_again_replaces_the_log(store: Store) -> None:
    """A corrected log stands alone."""
    number = _save(store)
    _log(store, number, a_practice())
    corrected = a_practice(
        segments=(DoneSegment("drill", "Two ends", 900, "shell-four"),), rating=None, absent=()
    )
    _log(store, number, corrected)
    with store.reading() as session:
        assert queries.done_of(session, number) == replace(corrected, practice=str(number))
    assert backup.dump(store)["drill_result"] == []


def test_a_log_can_be_taken_back(store: Store) -> None:
    """A planned practice is then only planned again, to the last row; one without a plan disappears."""
    empty = backup.dump(store)
    number = _save(store)
    planned = backup.dump(store)
    _log(store, number, a_practice())
    with store.session() as session:
        assert queries.undo_log(session, number) == replace(a_practice(), practice=str(number))
    assert backup.dump(store) == planned
    with pytest.raises(Refusal, match="is not logged"), store.session() as session:
        queries.undo_log(session, number)
    with store.session() as session:
        queries.remove_plan(session, number)
    number = _log(store, None, a_practice())
    with store.session() as session:
        queries.undo_log(session, number)
    assert backup.dump(store) == empty


def test_a_logged_practice_is_neither_replanned_nor_removed(store: Store) -> None:
    """What has been run is history until its log is undone."""
    number = _save(store)
    _log(store, number, a_practice())
    with pytest.raises(Refusal, match="16:10 has been logged; undo the log before planning"):
        _save(store)
    with pytest.raises(Refusal, match="has been logged; undo the log first"), store.session() as session:
        queries.remove_plan(session, number)


def test_nothing_done_is_no_practice(store: Store) -> None:
    """A log without a second of practice is refused, as are more stops than tries."""
    with pytest.raises(Refusal, match="lasted no time"):
        _log(store, None, a_practice(segments=()))
    odd = DoneSegment("drill", "Two ends", 60, "shell-four", stops=11, tries=10)
    with pytest.raises(Refusal, match="more stops than tries"):
        _log(store, None, a_practice(segments=(odd,)))
    with pytest.raises(Refusal, match="no practice 5"):
        _log(store, 5, a_practice())


def test_done_practices_are_those_between_two_dates(store: Store) -> None:
    """Both ends count, plans that were not run do not, and the order is that of the days."""
    for step in (2, 0, 1):
        _log(store, None, a_practice(DAY + dt.timedelta(days=step)))
    _save(store, a_plan(DAY, 9 * 60))
    with store.reading() as session:
        found = queries.done_practices(session, DAY, DAY + dt.timedelta(days=1))
        assert [(one.date - DAY).days for one in found] == [0, 1]
        assert found[0] == replace(a_practice(), practice=found[0].practice)
        assert queries.done_practices(session, DAY + dt.timedelta(days=3), DAY + dt.timedelta(days=9)) == ()


def test_recent_drills_are_those_really_run_before_a_date(store: Store) -> None:
    """Newest first; the day itself, plans not run, cut drills and warm-ups do not count."""

    def done(step: int, drill: str) -> None:
        parts = (
            DoneSegment("warm-up", "Loosen up", 300, "jog"),
            DoneSegment("drill", drill, 600, drill),
            DoneSegment("drill", "cut", 0, "cut"),
        )
        _log(store, None, a_practice(DAY + dt.timedelta(days=step), segments=parts))

    for step, drill in ((-3, "oldest"), (-1, "newest"), (-2, "middle"), (0, "today")):
        done(step, drill)
    _save(store, a_plan(DAY - dt.timedelta(days=1), 7 * 60))
    with store.reading() as session:
        assert queries.recent_drills(session, DAY) == ({"newest"}, {"middle"})
        assert queries.recent_drills(session, DAY, 5) == ({"newest"}, {"middle"}, {"oldest"})
        assert queries.recent_drills(session, DAY - dt.timedelta(days=9)) == ()
