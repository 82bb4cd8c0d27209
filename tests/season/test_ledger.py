from __future__ import annotations

import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from planner.season.ledger import NO_STAGE, by_player, planned_beside_done, stage_seconds
from planner.season.minutes import month_of, weeks
from planner.season.record import DonePractice, DoneSegment
from tests.season.kit import practice

JERSEYS = ("0", "00", "4", "12")
SEGMENTS = st.builds(
    DoneSegment,
    kind=st.sampled_from(("drill", "warm-up", "water", "fixed", "set-up", "cool-down")),
    title=st.just("Something"),
    seconds=st.integers(0, 9_000),
    stage=st.sampled_from((None, "walk", "guided", "contested", "live")),
    shares=st.dictionaries(st.sampled_from(("tag", "talk", "box-out")), st.integers(0, 6)),
)
PRACTICES = st.lists(
    st.builds(
        DonePractice,
        practice=st.integers(1, 9).map(str),
        date=st.dates(dt.date(2026, 10, 1), dt.date(2027, 4, 1)),
        start=st.just(1095),
        segments=st.lists(SEGMENTS, max_size=8).map(tuple),
        absent=st.lists(st.sampled_from(JERSEYS), unique=True).map(tuple),
    ),
    max_size=8,
    unique_by=lambda one: one.practice,
)


@given(PRACTICES)
def test_stages_hold_every_second(practices: list[DonePractice]) -> None:
    """Told by stage, not a second is lost or counted twice."""
    told = stage_seconds(practices)
    assert sum(sum(part.values()) for part in told.values()) == sum(one.seconds for one in practices)
    for stage, part in told.items():
        of_it = [s for one in practices for s in one.segments if (s.stage or NO_STAGE) == stage]
        assert sum(part.values()) == sum(one.seconds for one in of_it)


@given(PRACTICES)
def test_a_player_has_what_he_was_there_for_and_missed_the_rest(practices: list[DonePractice]) -> None:
    """A player's seconds and those of the practices missed are the whole; an absence has none."""
    for one in by_player(practices, JERSEYS):
        missed = [done for done in practices if one.jersey in done.absent]
        assert one.total + sum(done.seconds for done in missed) == sum(done.seconds for done in practices)
        assert (one.practices, one.missed) == (len(practices) - len(missed), len(missed))


@given(PRACTICES)
def test_months_hold_every_second(practices: list[DonePractice]) -> None:
    """Months are weeks by another name: they sum to the practices, each under its own month."""
    found = weeks(practices, month_of)
    assert sum(one.total for one in found) == sum(one.seconds for one in practices)
    assert [one.week for one in found] == sorted({f"{one.date:%Y-%m}" for one in practices})


@given(PRACTICES, PRACTICES)
def test_planned_and_done_are_kept_apart_to_the_second(
    planned: list[DonePractice], done: list[DonePractice]
) -> None:
    """Planned minutes count only practices that were run; done ones with and without a plan are the whole."""
    kept = planned_beside_done(planned, done)
    numbers = {one.practice for one in done}
    wanted = sum(one.seconds for one in planned if one.practice in numbers)
    assert round(sum(one.planned for one in kept.rows) * 60) == wanted
    assert round(sum(one.done + one.unplanned for one in kept.rows) * 60) == sum(one.seconds for one in done)
    assert kept.with_plan + kept.without_plan == len(done)
    assert len(kept.not_logged) == len(planned) - kept.with_plan


def test_planned_beside_done_by_hand() -> None:
    """Of 10 planned 14 were run: 4 more; what had no plan stands by itself; what was not run is named."""
    planned = [practice(0, number="1", tag=10, talk=5), practice(2, number="2", tag=30)]
    done = [practice(0, number="1", tag=14), practice(1, number="9", tag=7)]
    kept = planned_beside_done(planned, done)
    assert [(one.key, one.planned, one.done, one.unplanned, one.apart) for one in kept.rows] == [
        ("tag", 10, 14, 7, 4),
        ("talk", 5, 0, 0, -5),
    ]
    assert kept.not_logged == (planned[1].date,)
