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
from planner.drills.card import Minutes
from planner.drills.vocabulary import Stage
from planner.problem import Refusal
from tests.build import kit
from tests.build.brute import best_worth

START = 930
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


def _refused_early(brief: Brief) -> bool:
    """Return whether the decided blocks alone break the load ceiling (refused before any search)."""
    bare = replace(brief, pins=())
    try:
        make_plan(bare)
    except Refusal:
        return True
    return False
