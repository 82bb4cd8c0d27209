from __future__ import annotations

import json
import random
import re
from dataclasses import replace

import pytest

from planner.build.brief import Brief, FixedBlock, GymWindow, Pin, Rules, Weight
from planner.build.check import check_plan
from planner.build.make import make_plan
from planner.build.timetable import OPEN_TITLE
from planner.drills.card import Minutes
from planner.drills.vocabulary import Stage
from planner.problem import Refusal
from tests.build import kit


def mid_size(seed: int) -> Brief:
    """Return a brief of an hour with thirty drills and every rule in play."""
    dice = random.Random(seed)
    drills = kit.random_drills(30, seed)
    start = 990
    return kit.brief(
        drills,
        minutes=dice.choice((55, 60, 70)),
        squad=kit.squad(dice.choice((8, 10, 12, 13))),
        weights=kit.weights(seed),
        warm_up_minutes=dice.choice((8, 10)),
        fixed=(FixedBlock("Offence", 10, 22), FixedBlock("Free throws", 5, "last", 2)),
        gym=(GymWindow(start, start + dice.choice((15, 25)), 1),),
        pins=(Pin(dice.choice(drills).id, 6),) if seed % 2 else (),
        ran_last=frozenset(one.id for one in dice.sample(drills, 4)),
        rules=Rules(load_ceiling=dice.choice((None, 260.0)), set_up_minutes=dice.choice((1, 2))),
    )


@pytest.mark.parametrize("seed", range(8))
def test_model_and_check_agree(seed: int) -> None:
    """What the model calls a practice the independent check has nothing against, and it is proven."""
    brief = mid_size(seed)
    try:
        plan = make_plan(brief)
    except Refusal as refusal:
        assert brief.pins, refusal  # noqa: PT017  without a pin there is always a practice
        return
    assert check_plan(plan, brief) == []
    assert plan.proven
    assert plan.bound == plan.objective > 0
    assert sum(one.minutes for one in plan.segments) == brief.minutes
    assert plan.warnings == ()


@pytest.mark.parametrize("seed", [2, 4])
def test_the_same_brief_is_the_same_plan(seed: int) -> None:
    """Twice the same, and the same when drills and weights come in another order."""
    brief = mid_size(seed)
    first = json.dumps(make_plan(brief).as_json())
    assert json.dumps(make_plan(brief).as_json()) == first
    turned = replace(brief, drills=brief.drills[::-1], weights=dict(reversed(brief.weights.items())))
    assert make_plan(turned).segments == make_plan(brief).segments


def test_more_freedom_is_never_worth_less() -> None:
    """Without its pin, its load ceiling or its narrow gym a practice is worth at least as much."""
    brief = replace(mid_size(1), rules=Rules(load_ceiling=260.0))
    worth = make_plan(brief).objective
    for freer in (
        replace(brief, pins=()),
        replace(brief, gym=()),
        replace(brief, rules=Rules()),
        replace(brief, ran_last=frozenset()),
    ):
        assert make_plan(freer).objective >= worth - 1e-6


WHOLE = {"half_courts": 2, "layout": "full", "minutes": Minutes(8, 10, 12)}


def crowded(**fields: object) -> Brief:
    """Return a brief whose gym is whole for twelve minutes only."""
    drills = (
        kit.drill(1, shares={"transition": 12}, **WHOLE),
        kit.drill(2, shares={"closeout": 12}, **WHOLE),
        kit.drill(3, shares={"tag": 12}),
        kit.drill(4, shares={"talk": 12}),
    )
    weights = {one: Weight(3.0) for one in ("transition", "closeout", "tag", "talk")}
    gym = (GymWindow(990, 1020, 1), GymWindow(1032, 1085, 1))
    return kit.brief(drills, gym=gym, weights=weights, **fields)


def named(sentence: str) -> set[str]:
    return set(re.findall(r"'(drill-\d+)'", sentence))


def test_a_conflict_names_the_fewest_pins() -> None:
    """Two whole-court drills do not fit into twelve minutes of whole gym; the third pin is not to blame."""
    pins = tuple(Pin(f"drill-{number:03d}") for number in (3, 1, 2))
    brief = crowded(pins=pins, minutes=60)
    with pytest.raises(Refusal) as refused:
        make_plan(brief)
    said = str(refused.value)
    assert named(said) == {"drill-001", "drill-002"}
    assert said.startswith(
        "Pinned together, 'drill-001' (8 min) and 'drill-002' (8 min) do not fit into the 43 free"
    )
    assert said.endswith("drop or shorten one.")
    for gone in named(said):
        fewer = replace(brief, pins=tuple(one for one in pins if one.drill != gone))
        assert check_plan(make_plan(fewer), fewer) == []


def test_a_pin_that_fits_nowhere_is_blamed_alone() -> None:
    """Twenty-six minutes without water cannot be; the other pin is not to blame."""
    brief = kit.brief(kit.random_drills(14, 5), minutes=70)
    plan = make_plan(brief)
    first, second = [one.stations[0].drill for one in plan.segments if one.kind == "drill"][:2]
    with pytest.raises(Refusal) as refused:
        make_plan(replace(brief, pins=(Pin(first, 26), Pin(second))))
    assert str(refused.value).startswith(f"Pinned, '{first}' (26 min) does not fit into the 53 free minutes")
    assert check_plan(make_plan(replace(brief, pins=(Pin(second),))), brief) == []


@pytest.mark.parametrize(
    "fields",
    [
        {"squad": kit.squad(2)},
        {"gym": (GymWindow(0, 1440, 0),)},
        {"rules": Rules(load_ceiling=60.0)},
    ],
)
def test_time_that_nothing_can_fill_stays_open_and_is_said(fields: dict[str, object]) -> None:
    """Without enough drills the practice is still planned, water in time, and the open minutes are named."""
    brief = kit.brief(kit.random_drills(20, 1), **fields)

    plan = make_plan(brief)

    empty = sum(one.minutes for one in plan.segments if one.title == OPEN_TITLE)
    assert empty >= 40
    assert any(f"{empty} minutes stay open" in one for one in plan.warnings)
    assert sum(one.kind == "water" for one in plan.segments) >= 2
    assert [one for one in check_plan(plan, brief) if "water" in one.lower()] == []


def test_a_conflict_with_the_load_names_the_ceiling() -> None:
    """Two hard drills that fit by the clock but not under the ceiling: the sentence says which ceiling."""
    drills = tuple(kit.drill(n, shares={p: 12}, effort=8) for n, p in enumerate(("tag", "talk", "post")))
    brief = kit.brief(
        drills,
        minutes=60,
        weights={one: Weight(3.0) for one in ("tag", "talk", "post")},
        pins=(Pin("drill-000", 12), Pin("drill-001", 12), Pin("drill-002", 5)),
        rules=Rules(load_ceiling=200.0),
    )
    with pytest.raises(Refusal, match="under a load ceiling of 200") as refused:
        make_plan(brief)
    assert named(str(refused.value)) == {"drill-000", "drill-001"}


def test_stages_pinned_against_each_other_still_find_an_order() -> None:
    """Pinned in any order, teaching comes before competing."""
    drills = (
        kit.drill(1, stage=Stage.LIVE, shares={"tag": 10}),
        kit.drill(2, stage=Stage.WALK, shares={"tag": 10}),
    )
    plan = make_plan(
        kit.brief(drills, weights={"tag": Weight(3.0)}, pins=(Pin("drill-001"), Pin("drill-002")), minutes=60)
    )
    order = [one.stations[0].drill for one in plan.segments if one.kind == "drill"]
    assert order == ["drill-002", "drill-001"]


def test_sums_that_cannot_be_are_refused_before_any_search() -> None:
    """What a sum can tell is told with the numbers."""
    with pytest.raises(Refusal) as refused:
        make_plan(crowded(pins=(Pin("drill-003", 60), Pin("drill-004", 30))))
    assert str(refused.value) == (
        "Pinned drills need 90 min and fixed blocks, warm-up and cool-down 17 min: 107 min, practice has 100."
    )
    with pytest.raises(Refusal) as refused:
        make_plan(crowded(rules=Rules(load_ceiling=30.0)))
    assert str(refused.value) == (
        "Warm-up, fixed blocks and cool-down alone load 41, the ceiling is 30; raise it or shorten a block."
    )


def test_a_block_without_its_floor_is_told() -> None:
    """A fixed block stays where the coach put it; that the gym is closed then is a warning."""
    brief = crowded(fixed=(FixedBlock("Film", 10, 40, halves=1),))
    closed = replace(brief, gym=(GymWindow(1020, 1050, 0),))
    found = make_plan(closed).warnings
    assert any("17:10 'Film' needs 1 half courts, there is 0." in one for one in found)
