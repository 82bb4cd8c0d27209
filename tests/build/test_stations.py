"""Stations: which pairs are offered, who begins where, what a block teaches, and what it is judged by."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.build.brief import Brief, GymWindow, Pin, Rules, SquadPlayer, StationPin, Weight
from planner.build.candidates import at_work, find_candidates, must_precede
from planner.build.check import check_plan
from planner.build.make import make_plan
from planner.build.plan import Plan, Segment
from planner.build.players import players_of
from planner.build.stations import MOST_PAIRS, split, station_blocks, why_no_pair, why_no_station
from planner.build.timetable import SWAP_TITLE, shared_out
from planner.drills.card import Drill, Minutes
from planner.drills.vocabulary import Stage
from planner.problem import Refusal
from tests.build import kit

GUIDED = kit.drill(1, stage=Stage.GUIDED, shares={"closeout": 13, "talk": 2}, players_max=8, effort=4)
LIVE = kit.drill(2, stage=Stage.LIVE, shares={"box-out": 15}, players_max=8, effort=7)
FREE = kit.drill(3, stage=Stage.GUIDED, shares={"tag": 14})
WEIGHTS = {one: Weight(3.0) for one in ("closeout", "box-out", "tag", "talk")}


def brief_of(*drills: Drill, **fields: Any) -> Brief:
    """Return a short practice of twelve."""
    given = {"minutes": 40, "weights": WEIGHTS, "squad": kit.squad(12), **fields}
    return kit.brief(drills, warm_up_minutes=0, cool_down_minutes=0, **given)


def blocks_in(plan: Plan) -> list[Segment]:
    """Return the segments in which different drills run at once."""
    return [plan.segments[number] for number in plan.turns]


def test_one_coach_gets_stations_where_a_live_drill_cannot_run_at_both_baskets() -> None:
    """With one coach a live drill for eight enters a plan for twelve beside a guided one, in two turns."""
    brief = brief_of(GUIDED, LIVE, coaches=1)
    plan = make_plan(brief)
    turns = blocks_in(plan)
    assert [one.drills for one in turns] == [{GUIDED.id, LIVE.id}] * 2
    assert turns[0].minutes == turns[1].minutes
    first, second = turns
    assert [set(one.players) for one in first.stations] != [set(one.players) for one in second.stations[::-1]]
    assert {one.drill: set(one.players) for one in first.stations}[GUIDED.id] == {
        one.drill: set(one.players) for one in second.stations
    }[LIVE.id]
    assert any(one.title == SWAP_TITLE and one.minutes == 1 for one in plan.segments)
    assert check_plan(plan, brief) == []
    assert LIVE.id not in {one.drill for one in plan.left_out}


def test_two_coaches_need_no_stations() -> None:
    """Where both drills can run at both baskets one after the other, no pair is offered."""
    brief = brief_of(GUIDED, LIVE, coaches=2)
    found, _ = find_candidates(brief)
    assert station_blocks(brief, found).candidates == ()
    assert blocks_in(make_plan(brief)) == []
    forced = make_plan(replace(brief, stations=True))
    assert len(blocks_in(forced)) == 2
    assert forced.objective <= make_plan(brief).objective + 1e-9


def test_no_stations_means_none() -> None:
    """A coach who wants no stations gets none, however much they would gain."""
    assert blocks_in(make_plan(brief_of(GUIDED, LIVE, coaches=1, stations=False))) == []


def test_a_named_pair_runs_for_the_minutes_asked() -> None:
    """A pair with minutes is in the plan, each turn of that length."""
    pin = StationPin(FREE.id, GUIDED.id, 7)
    brief = brief_of(GUIDED, LIVE, FREE, station_pins=(pin,))
    plan = make_plan(brief)
    assert [one.minutes for one in blocks_in(plan)] == [7, 7]
    assert check_plan(plan, brief) == []


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"station_pins": (StationPin("drill-001", "drill-001"),)}, "both stations"),
        ({"station_pins": (StationPin("drill-001", "drill-009"),)}, "no drill 'drill-009'"),
        ({"station_pins": (StationPin("drill-001", "drill-002"),), "coaches": 0}, "coach of its own"),
        ({"station_pins": (StationPin("drill-001", "drill-003", 40),)}, "takes 5 to 12 min, not 40"),
        ({"station_pins": (StationPin("drill-001", "drill-003"),), "stations": False}, "no stations are"),
        (
            {"station_pins": (StationPin("drill-001", "drill-003"),), "pins": (Pin("drill-003"),)},
            "whole team and as a station",
        ),
        ({"stations": True, "gym": (GymWindow(0, 1440, 1),)}, "never has both"),
        ({"stations": True, "squad": kit.squad(6)}, "groups of 3 and 3"),
    ],
)
def test_a_pair_that_cannot_run_is_refused_with_its_reason(fields: dict[str, Any], words: str) -> None:
    """A wish for stations that cannot be met is refused in one sentence that says why."""
    with pytest.raises(Refusal, match=words):
        make_plan(brief_of(GUIDED, LIVE, FREE, **fields))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"layout": "stations"}, "layouts differ"),
        ({"minutes": Minutes(20, 21, 22)}, "no length"),
        ({"minutes": Minutes(13, 13, 13)}, "without water"),
        ({"shares": {"closeout": 10}, "stage": Stage.WALK}, "different stages"),
    ],
)
def test_a_pair_keeps_the_rules_of_both_cards(change: dict[str, Any], words: str) -> None:
    """Layout, length, water and stage of both drills decide whether they are a pair."""
    other = replace(FREE, **change)
    brief = brief_of(GUIDED, other)
    assert words in why_no_pair(replace(GUIDED, minutes=Minutes(5, 8, 13)), other, brief)


def test_a_station_is_no_whole_court_drill_and_fits_its_group() -> None:
    """A drill that needs both halves, or more players than a group has, is no station."""
    brief = brief_of(FREE)
    assert "whole court" in why_no_station(replace(FREE, half_courts=2), brief)
    assert "a group has 6" in why_no_station(replace(FREE, players_min=7), brief)
    assert why_no_station(FREE, brief) == ""


def test_the_pairs_left_aside_are_told() -> None:
    """Where more pairs could run than are looked at, the plan says so."""
    drills = tuple(
        replace(kit.drill(n), stage=Stage.GUIDED, shares={p: 10}, effort=4)
        for n, p in enumerate(("closeout", "box-out", "tag", "talk") * 4)
    )
    plan = make_plan(brief_of(*drills, stations=True, minutes=25))
    assert len(blocks_in(plan)) >= 2
    aside = len(drills) * (len(drills) - 1) // 2 - MOST_PAIRS
    assert any(f"{MOST_PAIRS} most promising" in one and f"{aside} more" in one for one in plan.warnings)


def test_a_hard_drill_beside_an_easy_one_counts_as_a_hard_segment() -> None:
    """A block with one hard drill takes a place in a run of hard segments, for the solver and the checker."""
    hard = [kit.drill(n, effort=8, shares={"tag": 15}, minutes=Minutes(8, 8, 8)) for n in (4, 5)]
    pair = StationPin(GUIDED.id, LIVE.id)
    brief = brief_of(
        *hard,
        GUIDED,
        LIVE,
        station_pins=(pair,),
        pins=tuple(Pin(one.id) for one in hard),
        rules=Rules(high_in_a_row=2, water_every=60),
        minutes=45,
    )
    with pytest.raises(Refusal):
        make_plan(brief)
    loose = replace(brief, rules=replace(brief.rules, high_in_a_row=3))
    plan = make_plan(loose)
    assert check_plan(plan, loose) == []
    assert any("in a row" in one for one in check_plan(plan, brief))


# ---- who begins where ------------------------------------------------------------------------------------

positions = st.sampled_from(("", "guard", "wing", "big"))


@settings(deadline=None)
@given(st.lists(positions, min_size=8, max_size=15), st.sampled_from(("need", "position", "even")), st.data())
def test_the_squad_is_split_in_two_equal_groups(
    places: list[str], how: Literal["need", "position", "even"], data: st.DataObject
) -> None:
    """Every player is in one group, the groups differ by one at most, and the split is the same each time."""
    squad = tuple(SquadPlayer(str(number), place) for number, place in enumerate(places))
    jerseys = [one.jersey for one in squad]
    first = {
        one: tuple(data.draw(st.lists(st.sampled_from(jerseys), unique=True))) for one in ("closeout", "tag")
    }
    brief = brief_of(GUIDED, FREE, squad=squad, group_by=how, first_in=first)
    one, two = split(brief, GUIDED, FREE)
    assert sorted((*one, *two)) == sorted(jerseys)
    assert 0 <= len(one) - len(two) <= 1
    assert split(brief, GUIDED, FREE) == (one, two)


def test_who_is_charged_most_begins_at_that_drill() -> None:
    """By need, players who go first in a drill's principle begin there; the others are spread by position."""
    brief = brief_of(GUIDED, FREE, first_in={"closeout": ("9", "12"), "tag": ("4", "15")})
    one, two = split(brief, GUIDED, FREE)
    assert {"9", "12"} <= set(one)
    assert {"4", "15"} <= set(two)
    place = {player.jersey: player.position for player in brief.squad}
    for position in ("guard", "wing", "big"):
        apart = [sum(place[jersey] == position for jersey in group) for group in (one, two)]
        assert abs(apart[0] - apart[1]) <= 1


def test_by_position_like_begins_with_like() -> None:
    """By position, players of one position are together as far as equal groups allow."""
    squad = tuple(SquadPlayer(str(n), "big" if n % 2 else "guard") for n in range(10))
    one, two = split(brief_of(GUIDED, FREE, squad=squad, group_by="position"), GUIDED, FREE)
    assert set(one) == {"1", "3", "5", "7", "9"}
    assert set(two) == {"0", "2", "4", "6", "8"}


# ---- accounting ------------------------------------------------------------------------------------------

principles = ("on-ball", "closeout", "tag", "talk", "vision")


@st.composite
def shares(draw: st.DrawFn) -> dict[str, int]:
    """Return shares of a card: whole twentieths that sum to at most twenty."""
    left, given = 20, {}
    for one in draw(st.permutations(principles)):
        units = draw(st.integers(0, left))
        if units:
            given[one] = units
        left -= units
    return given


@given(shares(), shares())
def test_two_turns_teach_exactly_a_turn_of_each_drill(one: dict[str, int], two: dict[str, int]) -> None:
    """The shares of both turns are within a minute each and add up to those of the two drills."""
    turns = shared_out(one, two)
    assert all(0 <= sum(turn.values()) <= 20 for turn in turns)
    for principle in principles:
        both = sum(turn.get(principle, 0) for turn in turns)
        assert both == one.get(principle, 0) + two.get(principle, 0)
        assert abs(turns[0].get(principle, 0) - turns[1].get(principle, 0)) <= 1


@settings(deadline=None, max_examples=40)
@given(shares(), shares(), st.integers(8, 12), st.integers(5, 10))
def test_every_player_gets_the_minutes_of_both_stations(
    one: dict[str, int], two: dict[str, int], size: int, minutes: int
) -> None:
    """Each player's minutes add up to the practice, and are those the team is credited with for the block."""
    first, second = replace(GUIDED, shares=one), replace(FREE, shares=two)
    brief = brief_of(first, second, squad=kit.squad(size), minutes=2 * minutes + 1)
    brief = replace(brief, station_pins=(StationPin(first.id, second.id, minutes),))
    plan = make_plan(brief)
    team: dict[str, float] = {}
    for segment in plan.segments:
        for principle, length in segment.minutes_per_principle.items():
            team[principle] = team.get(principle, 0.0) + length
    cards = {card.id: card for card in brief.drills}
    told = players_of(plan, cards)
    assert len(told) == size
    for player in told:
        assert sum(player.units.values()) == 20 * brief.minutes
        mine = {key: value for key, value in player.minutes.items() if key in principles}
        assert mine == pytest.approx({key: value for key, value in team.items() if value})


def test_waiting_counts_who_stands() -> None:
    """Of six in a drill for four, two wait: a third of the players lose the part that waiting costs."""
    assert at_work(replace(FREE, players_min=4), (6, 6), Rules(waiting=0.3)) == pytest.approx(0.9)
    assert at_work(FREE, (4,), Rules(waiting=0.3)) == 1.0
    assert at_work(FREE, (12,), Rules()) == 1.0


def test_two_groups_where_both_baskets_stay_open() -> None:
    """A drill runs in two groups where that leaves fewer waiting and the section has both baskets."""
    brief = brief_of(FREE, rules=Rules(waiting=0.3))
    assert [len(one.stations) for one in make_plan(brief).segments if one.drills] == [2]
    narrow = replace(brief, gym=(GymWindow(0, 1440, 1),))
    assert [len(one.stations) for one in make_plan(narrow).segments if one.drills] == [1]
    assert make_plan(narrow).objective < make_plan(brief).objective


def test_order_is_asked_principle_by_principle() -> None:
    """A block goes before a drill only for what both teach, at the stage at which each teaches it."""
    block = station_blocks(brief_of(GUIDED, LIVE, coaches=1), ()).candidates[0]
    found, _ = find_candidates(brief_of(kit.drill(7, stage=Stage.CONTESTED, shares={"closeout": 9})))
    assert must_precede(block, found[0])
    assert not must_precede(found[0], block)
    found, _ = find_candidates(brief_of(kit.drill(7, stage=Stage.CONTESTED, shares={"box-out": 9})))
    assert must_precede(found[0], block)


# ---- the checker -----------------------------------------------------------------------------------------


def test_the_checker_sees_groups_that_do_not_swap() -> None:
    """A second turn with the same groups at the same baskets is found out, and so is a pair pulled apart."""
    brief = brief_of(GUIDED, LIVE, coaches=1)
    plan = make_plan(brief)
    places = sorted(plan.turns)
    lazy = replace(plan.segments[places[1]], stations=plan.segments[places[0]].stations)
    broken = replace(
        plan, segments=tuple(lazy if n == places[1] else one for n, one in enumerate(plan.segments))
    )
    assert any("never get to both baskets" in one for one in check_plan(broken, brief))
    assert any("wants 1 coach," in one for one in check_plan(plan, replace(brief, coaches=0)))
    assert any("No stations are wanted" in one for one in check_plan(plan, replace(brief, stations=False)))
    alone = make_plan(brief_of(FREE))
    assert any("there are none" in one for one in check_plan(alone, brief_of(FREE, stations=True)))
