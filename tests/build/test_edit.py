"""Plans changed by hand: the clock adds up after every edit, locks hold, and what an edit brings is told."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.build.advice import BY_HAND, consequences, judged, worth_of
from planner.build.brief import Brief, FixedBlock, Rules, StationPin
from planner.build.check import check_plan
from planner.build.edit import HAND_WHY, Edit, Hand, plain, unit_at, units_of
from planner.build.make import make_plan
from planner.build.plan import Plan
from planner.build.timetable import OPEN_TITLE
from planner.drills.card import Minutes
from planner.drills.vocabulary import Stage
from planner.problem import Refusal
from tests.build import kit

GUIDED = {"stage": Stage.GUIDED, "effort": 4}
CARDS = (
    kit.drill(1, shares={"closeout": 14}, **GUIDED),
    kit.drill(2, shares={"box-out": 13, "talk": 3}, **GUIDED),
    kit.drill(3, shares={"tag": 12}, **GUIDED),
    kit.drill(4, shares={"vision": 12}, stage=Stage.LIVE, effort=8),
    kit.drill(5, shares={"post": 12}, players_max=6, **GUIDED),
)


@cache
def brief() -> Brief:
    """Return a practice with a pair of stations, a fixed block in the middle, and waiting that counts."""
    return kit.brief(
        CARDS,
        minutes=70,
        fixed=(FixedBlock("Offence", 10, 40),),
        station_pins=(StationPin("drill-001", "drill-002", 6),),
        rules=Rules(waiting=0.3),
    )


@cache
def built() -> Plan:
    """Return the best plan for the brief."""
    return make_plan(brief())


def place(plan: Plan, title: str) -> int:
    """Return the number of the first segment with this title."""
    return next(number for number, one in enumerate(plan.segments) if one.title.startswith(title))


def adds_up(plan: Plan) -> None:
    """Check that the segments follow on each other and are as long as the practice."""
    at = plan.start
    for one in plan.segments:
        assert one.start == at
        assert one.minutes >= 1
        at += one.minutes
    assert at == plan.start + plan.minutes


@st.composite
def edits(draw: st.DrawFn) -> list[tuple[str, int, int]]:
    """Return edits in plain words: what, where (taken modulo the plan), and by how much."""
    kinds = st.sampled_from(("resize", "move", "remove", "swap", "insert", "water"))
    one = st.tuples(kinds, st.integers(0, 30), st.integers(-4, 4))
    return draw(st.lists(one, min_size=1, max_size=8))


def made(hand: Hand, plan: Plan, edit: tuple[str, int, int]) -> Edit:
    """Return the edit in words as one."""
    kind, where, by = edit
    number = where % len(plan.segments)
    if kind == "resize":
        return hand.resize(number, by)
    if kind == "move":
        return hand.move(number, 1 if by > 0 else -1)
    if kind == "remove":
        return hand.remove(number)
    if kind == "swap":
        return hand.swap(number, CARDS[by % len(CARDS)])
    what = plain("water", 2) if kind == "water" else hand.drill(CARDS[by % len(CARDS)], 1 + abs(by))
    return hand.insert(number, what)


@settings(max_examples=60, deadline=None)
@given(edits(), st.sets(st.integers(0, 12), max_size=2))
def test_the_clock_adds_up_after_every_edit(steps: list[tuple[str, int, int]], locks: set[int]) -> None:
    """Whatever is edited, minutes sum to the practice, it is never shorter than planned, and locks hold."""
    plan = built()
    starts = frozenset(plan.segments[n].start for n in locks if n < len(plan.segments))
    hand = Hand(brief(), starts)
    kept = {one.start: one.title for one in plan.segments if one.start in starts}
    for step in steps:
        before = plan
        try:
            plan = made(hand, plan, step)(plan)
        except Refusal:
            assert plan is before
            continue
        adds_up(plan)
        assert plan.minutes >= brief().minutes
        now = {one.start: one.title for one in plan.segments}
        swapped = {one.title for one in plan.segments if one.why == HAND_WHY}
        assert all(now.get(start) == title or now.get(start) in swapped for start, title in kept.items())
        kept = {start: now[start] for start in kept}
        units = units_of(plan)
        assert [n for one in units for n in range(one.first, one.last + 1)] == list(range(len(plan.segments)))
        told = consequences(before, plan, brief())
        assert told.over == plan.minutes - brief().minutes
        assert set(told.broken) <= set(told.standing)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 12), st.integers(1, 3))
def test_longer_and_shorter_again_is_nothing(number: int, by: int) -> None:
    """A stretch made longer and then shorter by as much leaves the very plan there was."""
    hand, plan = Hand(brief()), replace(built(), proven=False)
    if number >= len(plan.segments) or plan.segments[number].title == OPEN_TITLE:
        return
    after = hand.resize(number, by)(plan)
    longer = sum(one.minutes for one in plan.segments if one.title == OPEN_TITLE)
    assert after.minutes == plan.minutes + max(0, _grown(plan, number, by) - longer)
    if not longer:
        assert hand.resize(number, -by)(after) == plan


def _grown(plan: Plan, number: int, by: int) -> int:
    unit = unit_at(plan, number)
    turns = sum(plan.segments[n].kind == "drill" for n in range(unit.first, unit.last + 1))
    return by * (turns if unit.length > 1 else 1)


def test_earlier_and_later_again_is_nothing() -> None:
    """A stretch moved past its neighbour and back leaves the very plan there was."""
    hand, plan = Hand(brief()), replace(built(), proven=False)
    for before, unit in itertools.pairwise(units_of(plan)):
        earlier = hand.move(unit.first, -1)(plan)
        assert earlier.segments[before.first].title == plan.segments[unit.first].title
        assert hand.move(before.first, 1)(earlier) == plan


def test_turns_of_a_station_block_go_together() -> None:
    """A station block is lengthened, moved and taken out whole; a drill of it is swapped in both turns."""
    hand, plan = Hand(brief()), built()
    first = min(plan.turns)
    longer = hand.resize(first, 1)(plan)
    assert [longer.segments[n].minutes for n in sorted(longer.turns)] == [7, 7]
    other = hand.swap(first, CARDS[2], "drill-002")(plan)
    for number in other.turns:
        assert other.segments[number].drills == {"drill-001", "drill-003"}
    total = dict.fromkeys(("closeout", "tag"), 0)
    for number in other.turns:
        for one in total:
            total[one] += other.segments[number].shares.get(one, 0)
    assert total == {"closeout": 14, "tag": 12}
    assert not hand.remove(first)(plan).turns
    with pytest.raises(Refusal, match="already"):
        hand.swap(first, CARDS[0], "drill-002")(plan)
    with pytest.raises(Refusal, match="does not run"):
        hand.swap(first, CARDS[2], "drill-004")(plan)


def test_freed_minutes_stay_open_and_are_used_first() -> None:
    """What is taken out leaves open minutes in its section; the next drill put in takes from them."""
    hand, plan = Hand(brief()), built()
    number = next(n for n, one in enumerate(plan.segments) if len(one.drills) == 1)
    gone = hand.remove(number)(plan)
    opened = [one for one in gone.segments if one.title == OPEN_TITLE]
    assert sum(one.minutes for one in opened) >= plan.segments[number].minutes
    assert gone.minutes == plan.minutes
    back = hand.insert(number, hand.drill(CARDS[2], 2))(gone)
    assert back.minutes == plan.minutes
    assert (
        sum(one.minutes for one in back.segments if one.title == OPEN_TITLE)
        == sum(one.minutes for one in opened) - 2
    )
    with pytest.raises(Refusal, match="left over"):
        hand.resize(place(gone, OPEN_TITLE), 1)(gone)


def test_a_locked_block_keeps_its_time() -> None:
    """Minutes taken out before a locked block stay open before it; what would push it is refused."""
    plan = built()
    offence = plan.segments[place(plan, "Offence")]
    hand = Hand(brief(), frozenset({offence.start}))
    first = next(n for n, one in enumerate(plan.segments) if one.drills)
    assert plan.segments[first].start < offence.start
    shorter = hand.remove(first)(plan)
    assert shorter.segments[place(shorter, "Offence")].start == offence.start
    with pytest.raises(Refusal, match="locked at"):
        hand.resize(first, 30)(plan)
    with pytest.raises(Refusal, match="unlock"):
        hand.remove(place(plan, "Offence"))(plan)


def test_worth_is_read_off_the_segments() -> None:
    """The worth of a plan as it stands is what the solver said it is worth, stations and waiting included."""
    assert worth_of(built(), brief()) == pytest.approx(built().objective, abs=1e-9)
    assert check_plan(built(), brief()) == []


def test_what_an_edit_brings_is_told() -> None:
    """Clock times moved, load, worth lost against the best plan and the rules now broken are all said."""
    hand, plan = Hand(brief()), built()
    number = next(n for n, one in enumerate(plan.segments) if len(one.drills) == 1)
    hard = judged(plan, hand.swap(number, CARDS[3])(plan), brief())
    told = consequences(plan, hard, brief())
    assert told.load[1] > told.load[0]
    assert told.lost == pytest.approx(plan.bound - worth_of(hard, brief()))
    assert hard.objective == pytest.approx(plan.objective - told.lost)
    assert any(one.why == BY_HAND for one in hard.left_out)
    assert not hard.proven
    long = hand.resize(number, 9)(plan)
    told = consequences(plan, long, brief())
    assert told.over == 9 - sum(one.minutes for one in plan.segments if one.title == OPEN_TITLE)
    words = told.in_words()
    assert any("over." in one for one in words)
    assert any("its card says" in one for one in words)
    assert any(one.startswith("Moved: ") for one in words)
    assert "less than the best plan" in " ".join(words) or "than the best plan" in " ".join(words)
    assert any("over." in one for one in judged(plan, long, brief()).warnings)


@pytest.mark.parametrize(
    ("number", "minutes", "words"),
    [(99, 5, "no number 100"), (0, 999, "cannot be"), (0, 0, "cannot be")],
)
def test_what_cannot_be_put_in_is_refused(number: int, minutes: int, words: str) -> None:
    """A place that is not there and minutes that are none are refused in words."""
    with pytest.raises(Refusal, match=words):
        Hand(brief()).insert(number, replace(plain("water", 2), minutes=minutes))(built())


def test_a_drill_for_few_is_put_in_for_two_groups() -> None:
    """A drill that takes six is run in two groups by eleven, for its usual minutes."""
    plan = Hand(brief()).insert(1, Hand(brief()).drill(CARDS[4]))(built())
    assert [one.half for one in plan.segments[1].stations] == ["A", "B"]
    assert plan.segments[1].minutes == CARDS[4].minutes.usual == Minutes(5, 8, 12).usual


def test_a_swap_keeps_two_groups_where_the_card_allows() -> None:
    """A drill swapped in for one run at both baskets is run at both too, unless its card is for more."""
    hand, plan = Hand(brief()), built()
    number = next(n for n, one in enumerate(plan.segments) if len(one.drills) == 1 and len(one.stations) == 2)
    assert len(hand.swap(number, CARDS[3])(plan).segments[number].stations) == 2
    many = replace(CARDS[3], players_min=8)
    assert len(hand.swap(number, many)(plan).segments[number].stations) == 1
