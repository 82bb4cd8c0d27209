"""The solver against every practice there is, on tiny briefs, and against the independent rule check."""

from __future__ import annotations

import os
import random
from dataclasses import replace

import pytest

from planner.build.brief import Brief, FixedBlock, GymWindow, Pin, Rules, Weight
from planner.build.candidates import find_candidates
from planner.build.check import check_plan
from planner.build.frame import build_frame
from planner.build.make import make_plan
from planner.build.stations import station_blocks
from planner.drills.card import Minutes
from planner.drills.vocabulary import Stage
from planner.problem import Refusal
from tests.build import kit
from tests.build.brute import best_worth

START = 990
BATCH = 20
BATCHES = max(1, int(os.environ.get("STOPSHEET_BRIEFS", "300")) // BATCH)
"""Tiny briefs compared, in batches; the environment can ask for thousands."""


def tiny_brief(seed: int) -> Brief:
    """Return a brief small enough to try every practice, with every rule in play."""
    dice = random.Random(seed)
    principles = ("box-out", "closeout", "talk")
    drills = []
    for number in range(dice.choice((2, 3, 3))):
        shares = {one: dice.choice((4, 6, 8)) for one in dice.sample(principles, dice.choice((1, 2)))}
        low = dice.choice((3, 4, 5))
        full = dice.random() < 0.3
        drills.append(
            kit.drill(
                number,
                shares=shares,
                stage=dice.choice(list(Stage)),
                minutes=Minutes(low, low + 1, low + dice.choice((1, 2, 3))),
                effort=dice.choice((3, 5, 7, 8)),
                layout="full" if full else dice.choice(("half", "stations")),
                half_courts=2 if full else 1,
                players_max=dice.choice((8, 12)),
            )
        )
    minutes = dice.choice((14, 16, 18, 20))
    fixed = (FixedBlock("Offence", 4, dice.choice((5, 7, 8)), dice.choice((3, 8))),)
    change = START + dice.choice((6, 9, 12))
    windows = (
        (),
        (GymWindow(START, change, 1),),
        (GymWindow(change, START + minutes, 1),),
        (GymWindow(change, change + 3, 0),),
    )
    return Brief(
        date=kit.brief(()).date,
        start=START,
        minutes=minutes,
        squad=kit.squad(8),
        drills=tuple(drills),
        weights={
            one: Weight(dice.choice((100.0, 300.0, 700.0)), dice.choice((0.0, 10.0))) for one in principles
        },
        warm_up_minutes=dice.choice((0, 3)),
        cool_down_minutes=dice.choice((0, 2)),
        gym=dice.choice(windows),
        fixed=fixed if dice.random() < 0.5 else (),
        pins=(Pin("drill-000"),) if dice.random() < 0.3 else (),
        ran_last=frozenset({"drill-001"}) if dice.random() < 0.3 else frozenset(),
        rules=Rules(
            water_every=dice.choice((8, 10, 25, 25)),
            water_minutes=dice.choice((1, 2)),
            set_up_minutes=dice.choice((1, 1, 2)),
            high_in_a_row=dice.choice((1, 2)),
            load_ceiling=dice.choice((None, None, 90.0, 70.0)),
        ),
    )


@pytest.mark.parametrize("batch", range(BATCHES))
def test_no_practice_beats_the_plan_and_the_plan_is_one(batch: int) -> None:
    """On hundreds of tiny briefs the plan is worth what the best of all practices is, and keeps the rules."""
    compared = 0
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        brief = tiny_brief(seed)
        frame = build_frame(brief)
        candidates, _ = find_candidates(brief)
        best = best_worth(brief, frame, candidates)
        try:
            plan = make_plan(brief)
        except Refusal:
            assert best is None or _refused_early(brief), f"seed {seed}: refused, yet a practice exists"
            continue
        assert best is not None, f"seed {seed}: planned, yet no practice exists"
        assert plan.proven, f"seed {seed}"
        assert plan.objective == pytest.approx(best, abs=0.05), f"seed {seed}"
        assert check_plan(plan, brief) == [], f"seed {seed}"
        compared += 1
    assert compared >= 8, "too few briefs could be compared for the claim to mean anything"


def station_brief(seed: int) -> Brief:
    """Return a tiny brief in which two baskets may be worth more than one."""
    dice = random.Random(1000 + seed)
    brief = tiny_brief(seed)
    drills = tuple(
        replace(
            one,
            half_courts=1,
            layout="half",
            effort=dice.choice((3, 5, 7)),
            players_min=dice.choice((3, 4)),
            players_max=dice.choice((6, 12)),
            stage=dice.choice((Stage.GUIDED, Stage.CONTESTED)),
        )
        for one in brief.drills
    )
    return replace(
        brief,
        drills=drills,
        fixed=(),
        pins=(),
        coaches=dice.choice((1, 1, 2)),
        stations=dice.choice((None, True)),
        rules=replace(
            brief.rules,
            water_every=25,
            waiting=dice.choice((0.0, 0.4, 0.8)),
            rotation_minutes=dice.choice((0, 1)),
        ),
    )


@pytest.mark.parametrize("batch", range(4))
def test_no_practice_with_stations_beats_the_plan(batch: int) -> None:
    """On 60 tiny briefs with station blocks the plan's worth is the best of all, and it keeps every rule."""
    compared = with_stations = 0
    for seed in range(batch * 15, batch * 15 + 15):
        brief = station_brief(seed)
        frame = build_frame(brief)
        found, _ = find_candidates(brief)
        try:
            candidates = (*found, *station_blocks(brief, found).candidates)
        except Refusal:
            continue
        best = best_worth(brief, frame, candidates)
        try:
            plan = make_plan(brief)
        except Refusal:
            assert best is None or _refused_early(brief), f"seed {seed}: refused, yet a practice exists"
            continue
        assert best is not None, f"seed {seed}: planned, yet no practice exists"
        assert plan.proven, f"seed {seed}"
        assert plan.objective == pytest.approx(best, abs=0.05), f"seed {seed}"
        assert check_plan(plan, brief) == [], f"seed {seed}"
        compared += 1
        drills = [{each.drill for each in one.stations} for one in plan.segments]
        with_stations += any(len(each) > 1 for each in drills)
    assert compared >= 5, "too few briefs for the claim to mean anything"
    assert with_stations >= 1, "no station block in any of them"


def late_brief(seed: int) -> Brief:
    """Return a tiny brief in which some come late and drills depend on how many are there."""
    dice = random.Random(2000 + seed)
    brief = tiny_brief(seed)
    drills = tuple(
        replace(one, players_min=dice.choice((3, 4, 8)), players_max=dice.choice((6, 8)))
        for one in brief.drills
    )
    comes = START + dice.choice((6, 8, 10))
    squad = tuple(
        replace(one, arrives=comes if number >= dice.choice((5, 6)) else 0)
        for number, one in enumerate(brief.squad)
    )
    rules = replace(brief.rules, water_every=25, water_minutes=2)
    return replace(brief, drills=drills[:2], squad=squad, pins=(), gym=(), minutes=14, fixed=(), rules=rules)


@pytest.mark.parametrize("batch", range(2))
def test_no_practice_with_late_players_beats_the_plan(batch: int) -> None:
    """On 40 tiny briefs with players who come late the plan is the best of all and keeps the rules."""
    compared = 0
    for seed in range(batch * 20, batch * 20 + 20):
        brief = late_brief(seed)
        frame = build_frame(brief)
        candidates, _ = find_candidates(brief)
        best = best_worth(brief, frame, candidates)
        try:
            plan = make_plan(brief)
        except Refusal:
            assert best is None or _refused_early(brief), f"seed {seed}: refused, yet a practice exists"
            continue
        assert best is not None, f"seed {seed}: planned, yet no practice exists"
        assert plan.proven, f"seed {seed}"
        assert plan.objective == pytest.approx(best, abs=0.05), f"seed {seed}"
        assert check_plan(plan, brief) == [], f"seed {seed}"
        compared += any(one.room for one in candidates)
    assert compared >= 5, "too few briefs for the claim to mean anything"


def _refused_early(brief: Brief) -> bool:
    """Return whether the decided blocks alone break the load ceiling (refused before any search)."""
    bare = replace(brief, pins=())
    try:
        make_plan(bare)
    except Refusal:
        return True
    return False
