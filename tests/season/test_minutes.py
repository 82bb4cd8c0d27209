from __future__ import annotations

import datetime as dt
from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from planner.drills.card import SHARE_UNIT
from planner.season.minutes import (
    BESIDES,
    FIXED,
    OTHER,
    SET_UP,
    WATER,
    minutes_by_practice,
    practice_seconds,
    split_seconds,
    weeks,
)
from planner.season.record import DonePractice, DoneSegment
from tests.running import Planted

KINDS = ("drill", "warm-up", "water", "fixed", "set-up", "cool-down")
NAMES = ("box-out", "closeout", "tag", "talk", "vision")


@st.composite
def shares(draw: st.DrawFn) -> dict[str, int]:
    """Return shares in twentieths that sum to at most a whole."""
    left, made = SHARE_UNIT, {}
    for name in draw(st.lists(st.sampled_from(NAMES), unique=True)):
        made[name] = draw(st.integers(0, left))
        left -= made[name]
    return made


SEGMENTS = st.builds(
    DoneSegment,
    kind=st.sampled_from(KINDS),
    title=st.just("Something"),
    seconds=st.integers(0, 20_000),
    shares=shares(),
)
PRACTICES = st.builds(
    DonePractice,
    practice=st.just("1"),
    date=st.dates(dt.date(2026, 10, 1), dt.date(2027, 4, 1)),
    start=st.just(1095),
    segments=st.lists(SEGMENTS, max_size=12).map(tuple),
)


@given(SEGMENTS)
def test_a_segment_s_parts_are_its_seconds(segment: DoneSegment) -> None:
    """The parts of a segment are whole seconds and sum to its length, to the second."""
    parts = split_seconds(segment)
    assert sum(parts.values()) == segment.seconds
    assert all(isinstance(one, int) and one >= 0 for one in parts.values())


@given(SEGMENTS)
def test_no_part_is_a_second_off_its_share(segment: DoneSegment) -> None:
    """A principle's part differs from share x length by less than a second."""
    parts = split_seconds(segment)
    if segment.kind in {WATER, SET_UP}:
        assert set(parts) <= {segment.kind}
        return
    for name, units in segment.shares.items():
        assert abs(parts.get(name, 0) - segment.seconds * units / SHARE_UNIT) < 1


@given(PRACTICES)
def test_a_practice_adds_up(practice: DonePractice) -> None:
    """Principles, other, water, set-ups and fixed blocks together are the whole practice."""
    parts = practice_seconds(practice)
    assert sum(parts.values()) == practice.seconds
    of_kind = Counter[str]()
    for one in practice.segments:
        of_kind[one.kind] += one.seconds
    assert parts.get(WATER, 0) == of_kind[WATER]
    assert parts.get(SET_UP, 0) == of_kind[SET_UP]
    assert parts.get(FIXED, 0) <= of_kind[FIXED]
    assert parts.get(OTHER, 0) <= of_kind["drill"] + of_kind["warm-up"] + of_kind["cool-down"]


@given(st.lists(PRACTICES, max_size=10))
def test_weeks_sum_to_their_practices(practices: list[DonePractice]) -> None:
    """No second and no practice is lost or counted twice between practices and weeks."""
    found = weeks(practices)
    assert sum(one.total for one in found) == sum(one.seconds for one in practices)
    assert sum(one.practices for one in found) == len(practices)
    assert [one.week for one in found] == sorted({one.week for one in found})
    summed = Counter[str]()
    for one in practices:
        summed.update(practice_seconds(one))
    for week in found:
        summed.subtract(week.seconds)
    assert not any(summed.values())


@given(st.lists(PRACTICES, max_size=5))
def test_what_no_principle_owns_is_left_out_of_the_carry_over(practices: list[DonePractice]) -> None:
    """Only principles have minutes that a team carries over to another day."""
    for practice, (day, minutes) in zip(practices, minutes_by_practice(practices), strict=True):
        assert day == practice.date
        assert not set(minutes) & set(BESIDES)
        owned = sum(s for name, s in practice_seconds(practice).items() if name not in BESIDES)
        assert abs(sum(minutes.values()) * 60 - owned) < 1e-6


def test_a_drill_a_block_and_a_break_by_hand() -> None:
    """Ten minutes at 0.65, 0.15 and 0.1 are 6:30, 1:30 and 1:00, and a minute of nothing in particular."""
    drill = DoneSegment("drill", "Crash", 600, shares={"box-out": 13, "help-side": 3, "vision": 2})
    assert split_seconds(drill) == {"box-out": 390, "help-side": 90, "vision": 60, OTHER: 60}
    block = DoneSegment("fixed", "Press break", 480, shares={"transition": 5})
    assert split_seconds(block) == {"transition": 120, FIXED: 360}
    assert split_seconds(DoneSegment("water", "Water", 130, shares={"talk": 20})) == {WATER: 130}
    assert split_seconds(DoneSegment("warm-up", "Loosen up", 7, shares={"talk": 7, "tag": 7})) == {
        "talk": 2,
        "tag": 3,
        OTHER: 2,
    }


def test_an_empty_week_still_shows_its_four_remainders() -> None:
    """A week's table has a column for each remainder, whether or not there was any."""
    practice = DonePractice(
        "1", dt.date(2027, 1, 13), 1095, (DoneSegment("drill", "D", 600, shares={"tag": 20}),)
    )
    assert weeks([practice])[0].minutes() == {
        "other": 0.0,
        "water": 0.0,
        "set-up": 0.0,
        "fixed": 0.0,
        "tag": 10.0,
    }


def test_a_plan_adds_up_like_a_practice(planted: Planted) -> None:
    """Run as planned, the demo's practice is accounted for to the second."""
    segments = tuple(
        DoneSegment(one.kind, one.title, one.minutes * 60, shares=one.shares) for one in planted.plan.segments
    )
    practice = DonePractice("", planted.plan.date, planted.plan.start, segments)
    parts = practice_seconds(practice)
    assert sum(parts.values()) == planted.plan.minutes * 60 == practice.seconds
    for name in set(parts) - set(BESIDES):
        by_segment = sum(one.minutes_per_principle.get(name, 0.0) for one in planted.plan.segments)
        assert abs(parts[name] / 60 - by_segment) < 1e-9
