"""Swaps keep the clock and every rule, and never gain on a proven plan."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.build.brief import Brief, GymWindow, Pin, Rules
from planner.build.candidates import find_candidates
from planner.build.check import check_plan
from planner.build.make import solve_brief
from planner.build.plan import Plan
from planner.build.solve import Solution
from planner.build.swaps import best_swap
from tests.build import kit

Solved = tuple[Brief, Plan, Solution]


@pytest.fixture(scope="module")
def solved() -> Solved:
    """Return a mid-size practice with its solution."""
    brief = kit.brief(
        kit.random_drills(36, 11),
        minutes=80,
        gym=(GymWindow(990, 1010, 1),),
        pins=(Pin("drill-009"),),
        rules=Rules(load_ceiling=420.0),
    )
    return brief, *solve_brief(brief, {})


def test_a_swapped_plan_is_sound_and_no_better(solved: Solved) -> None:
    """Every swap offered keeps all rules and the clock, and costs nothing less than nothing."""
    brief, plan, solution = solved
    assert plan.proven
    offered = 0
    for one in find_candidates(brief)[0]:
        swap = best_swap(brief, solution, plan, one)
        if swap is None or any(one is p.candidate for p in solution.ordered.choice.placed):
            continue
        offered += 1
        assert swap.loss >= -1e-3
        assert check_plan(replace(plan, segments=swap.segments), brief) == []
        assert [s.start for s in swap.segments] == [s.start for s in plan.segments]
    assert offered >= 3


def test_a_pinned_drill_is_never_swapped_out(solved: Solved) -> None:
    """The coach's own wish stays."""
    brief, plan, solution = solved
    swaps = [best_swap(brief, solution, plan, one) for one in find_candidates(brief)[0]]

    assert all(one.instead_of != "drill-009" for one in swaps if one is not None)


def test_left_out_names_each_drill_once_with_a_reason(solved: Solved) -> None:
    """Every drill is either in the plan or left out with a sentence."""
    brief, plan, _ = solved
    inside = {s.drill for one in plan.segments for s in one.stations}
    outside = [one.drill for one in plan.left_out]

    assert sorted(outside) == sorted({one.id for one in brief.drills} - inside)
    assert all(one.why for one in plan.left_out)
