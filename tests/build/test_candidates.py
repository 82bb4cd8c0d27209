from __future__ import annotations

from typing import Any

import pytest

from planner.build.brief import Brief, GymWindow, Pin, Weight
from planner.build.candidates import (
    Candidate,
    find_candidates,
    freshness,
    halves_at,
    must_precede,
    stage_fit,
)
from planner.drills.card import Drill
from planner.drills.vocabulary import Stage
from planner.problem import Refusal
from tests.build import kit

CARD = kit.drill(1)
OPEN = {"box-out": Weight(3.0), "talk": Weight(1.0), "tag": Weight(2.0)}
"""Needs of a team without any stage on record."""


def only(drill: Drill, **fields: Any) -> Candidate:
    """Return the one candidate of a brief with one drill."""
    found, out = find_candidates(kit.brief((drill,), **{"weights": OPEN, **fields}))
    assert out == ()
    return found[0]


def why_not(drill: Drill, **fields: Any) -> str:
    """Return why the one drill of a brief cannot run."""
    found, out = find_candidates(kit.brief((drill,), **fields))
    assert found == ()
    assert out[0].drill == drill.id
    return out[0].why


def test_each_reason_names_its_number() -> None:
    """Too few, too many, no room, not ready, kept out: the reason says which, and how many."""
    half = (GymWindow(990, 1090, 1),)
    full = kit.drill(1, half_courts=2, layout="full")
    assert why_not(CARD, squad=kit.squad(3)) == "needs 4 players, 3 will be there"
    assert (
        why_not(kit.drill(1, players_max=5), squad=kit.squad(11))
        == "takes 5 players at most, 11 will be there"
    )
    assert why_not(full, gym=half) == "the gym never has enough room for it"
    assert why_not(CARD, keep_out=frozenset({CARD.id})) == "kept out"
    live = kit.drill(1, stage=Stage.LIVE)
    passed = {"box-out": Weight(3.0, passed=Stage.WALK)}
    assert why_not(live, weights=passed) == "not ready: box-out has passed walk, this is live"


def test_a_stage_is_open_once_the_one_before_is_passed() -> None:
    """A team that has passed 'guided' may contest, and one without a record may do anything."""
    for passed, stages in (
        (Stage.WALK, {Stage.WALK, Stage.GUIDED}),
        (Stage.GUIDED, {Stage.WALK, Stage.GUIDED, Stage.CONTESTED}),
        (Stage.LIVE, set(Stage)),
        (None, set(Stage)),
    ):
        drills = tuple(kit.drill(number, stage=stage) for number, stage in enumerate(Stage))
        found, _ = find_candidates(kit.brief(drills, weights={"box-out": Weight(3.0, passed=passed)}))
        assert {one.drill.stage for one in found} == stages


def test_a_large_squad_runs_two_groups_side_by_side() -> None:
    """Twelve players at a drill for eight run it twice, on both halves; it needs room for both."""
    drill = kit.drill(1, players_max=8)
    one = only(drill, squad=kit.squad(12))
    assert (one.groups, one.halves) == (2, 2)
    assert only(drill, squad=kit.squad(8)).groups == 1
    half = (GymWindow(990, 1090, 1),)
    assert "room" in why_not(drill, squad=kit.squad(12), gym=half)
    whole_court = kit.drill(1, players_max=8, half_courts=2, layout="full")
    assert "8 players at most" in why_not(whole_court, squad=kit.squad(12))
    assert "at most" in why_not(kit.drill(1, players_min=7, players_max=8), squad=kit.squad(13))


def test_the_gym_is_as_the_windows_say_and_ours_where_they_are_silent() -> None:
    """The least of all windows that hold counts; outside any, both halves are free."""
    brief = kit.brief((), gym=(GymWindow(990, 1020, 1), GymWindow(1010, 1030, 2)))
    assert [halves_at(brief, one) for one in (989, 990, 1015, 1020, 1029, 1030)] == [2, 1, 1, 2, 2, 2]


def test_worth_is_share_times_stage_times_freshness() -> None:
    """16 of 20 minutes, at the next stage, run last time: 0.8 x 1.0 x 0.6."""
    weights = {"box-out": Weight(3.0, passed=Stage.GUIDED), "talk": Weight(0.0)}
    drill = kit.drill(1, shares={"box-out": 16, "talk": 4})
    one = only(drill, weights=weights, ran_last=frozenset({drill.id}))
    assert one.worths == {"box-out": pytest.approx(0.8 * 1.0 * 0.6)}
    assert freshness(drill.id, kit.brief((drill,), ran_before=frozenset({drill.id}))) == 0.8
    assert freshness(drill.id, kit.brief((drill,))) == 1.0


def test_the_next_stage_is_worth_most() -> None:
    """From the next stage down each step is worth less; without a record 'contested' is."""
    for passed in Stage:
        open_stages = [one for one in Stage if one.rank <= passed.rank + 1]
        fits = [stage_fit(one, passed) for one in open_stages]
        assert fits == sorted(fits)
        assert fits[-1] == 1.0
    assert max(Stage, key=lambda one: stage_fit(one, None)) is Stage.CONTESTED
    assert stage_fit(None, Stage.WALK) == min(stage_fit(one, Stage.LIVE) for one in Stage)


def test_pins_hold_their_minutes_even_beyond_the_card() -> None:
    """A pin's minutes are the coach's; a pinned drill may be of a stage that is not open yet."""
    one = only(CARD, pins=(Pin(CARD.id, 20),))
    assert (one.low, one.high, one.pinned) == (20, 20, True)
    live = kit.drill(1, stage=Stage.LIVE)
    passed = {"box-out": Weight(3.0, passed=Stage.WALK)}
    assert only(live, weights=passed, pins=(Pin(live.id),)).pinned


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        (
            {"pins": (Pin("nothing"),)},
            "There is no drill 'nothing'; 'stopsheet drills list' shows their ids.",
        ),
        (
            {"keep_out": frozenset({"nothing"})},
            "There is no drill 'nothing'; 'stopsheet drills list' shows their ids.",
        ),
        (
            {"pins": (Pin(CARD.id),), "keep_out": frozenset({CARD.id})},
            f"'{CARD.id}' is both pinned and kept out; drop one of the two wishes.",
        ),
        (
            {"pins": (Pin(CARD.id),), "squad": kit.squad(3)},
            f"'{CARD.id}' is pinned but cannot run: needs 4 players, 3 will be there.",
        ),
        ({"pins": (Pin(CARD.id, 0),)}, f"'{CARD.id}' is pinned for 0 min; give at least 1."),
    ],
)
def test_pins_that_cannot_be_are_refused(fields: dict[str, Any], sentence: str) -> None:
    """The sentence names the drill and the reason."""
    brief: Brief = kit.brief((CARD,), **fields)
    with pytest.raises(Refusal) as refused:
        find_candidates(brief)
    assert str(refused.value) == sentence


def test_teaching_goes_before_competing_within_a_principle() -> None:
    """A lower stage precedes a higher one where both teach a principle; apart from that order is free."""
    walk = only(kit.drill(1, stage=Stage.WALK))
    live = only(kit.drill(2, stage=Stage.LIVE, shares={"box-out": 2, "talk": 8}))
    other = only(kit.drill(3, stage=Stage.LIVE, shares={"tag": 10}))
    assert must_precede(walk, live)
    assert not must_precede(live, walk)
    assert not must_precede(walk, other)
    assert not must_precede(walk, walk)


def test_only_drills_are_candidates_unless_pinned() -> None:
    """Warm-ups and cool-downs are not chosen as drills, and are not listed as left out either."""
    card = kit.drill(1, kind="warm-up", stage=None)
    assert find_candidates(kit.brief((card,))) == ((), ())
