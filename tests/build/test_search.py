"""A search that may spend little: its answer is a plan, its bound is one, the same every time."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.build.brief import Pin
from planner.build.candidates import find_candidates
from planner.build.check import check_plan
from planner.build.frame import build_frame
from planner.build.make import make_plan
from planner.build.near import Quick
from planner.build.plan import Plan
from planner.problem import Refusal
from tests.bench.instances import practice, varied
from tests.build import kit
from tests.build.brute import best_worth
from tests.build.test_brute import tiny_brief

ROUNDING = 0.05
"""What whole minutes and rounded worths may differ by (as in ``test_brute``)."""


def drills_of(plan: Plan) -> frozenset[str]:
    """Return the drills of a plan."""
    return frozenset(drill for one in plan.segments for drill in one.drills)


@pytest.mark.parametrize("effort", [1, 400, 4000])
def test_a_quick_answer_lies_between_its_worth_and_its_bound(effort: int) -> None:
    """On tiny briefs with a drill less, the best of all practices lies between a quick plan and its bound."""
    compared = unproven = 0
    for seed in range(30):
        brief = tiny_brief(seed)
        try:
            before = make_plan(brief)
        except Refusal:
            continue
        pinned = {one.drill for one in brief.pins}
        out = sorted(drills_of(before) - pinned - {"drill-000"})
        changed = replace(brief, keep_out=brief.keep_out | set(out[:1]))
        best = best_worth(changed, build_frame(changed), find_candidates(changed)[0])
        if best is None:
            with pytest.raises(Refusal):
                make_plan(changed, quick=Quick(before, effort))
            continue
        plan = make_plan(changed, quick=Quick(before, effort))
        assert plan.objective <= best + ROUNDING, seed
        assert best <= plan.bound + ROUNDING, seed
        assert check_plan(plan, changed) == [], seed
        unproven += not plan.proven
        compared += 1
    assert compared >= 10
    assert effort > 1 or unproven, "so little effort must leave something unproven"


def test_a_quick_answer_is_near_and_the_same_every_time() -> None:
    """With a drill pinned that was left out, a quick plan keeps the rules and comes near the best one."""
    brief = practice(3, varied(60), 75)
    before = make_plan(brief)
    pinned = replace(brief, pins=(*brief.pins, Pin(before.left_out[0].drill)))
    quick = Quick(before)
    plan, again = make_plan(pinned, quick=quick), make_plan(pinned, quick=quick)
    best = make_plan(pinned)
    assert plan == again
    assert check_plan(plan, pinned) == []
    assert 0.95 * best.objective <= plan.objective <= best.objective + 1e-6
    assert plan.bound >= best.objective - 1e-6


def test_wishes_that_cannot_be_met_are_refused_at_once_too() -> None:
    """Twenty-six minutes without water cannot be: a quick answer says so in the same words."""
    brief = kit.brief(kit.random_drills(14, 5), minutes=70)
    before = make_plan(brief)
    first = next(one.stations[0].drill for one in before.segments if one.kind == "drill")
    impossible = replace(brief, pins=(Pin(first, 26),))
    with pytest.raises(Refusal) as exact:
        make_plan(impossible)
    with pytest.raises(Refusal) as quick:
        make_plan(impossible, quick=Quick(before, 1))
    assert str(exact.value) == str(quick.value)
