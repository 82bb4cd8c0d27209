from __future__ import annotations

from dataclasses import replace

import pytest

from planner.build.brief import GymWindow, Weight
from planner.build.candidates import find_candidates
from planner.build.fitting import fit
from planner.build.frame import build_frame
from planner.build.known import build_model
from planner.build.outline import build_outline
from planner.build.solve import NoPlan, Solution, feasible, solve
from tests.build import kit
from tests.build.test_brute import tiny_brief
from tests.build.test_make import mid_size


@pytest.mark.parametrize("seed", range(1000, 1030))
def test_no_plan_is_worth_more_than_its_outline(seed: int) -> None:
    """The outline's whole-number optimum and its relaxed one bound the plan by the clock."""
    brief = tiny_brief(seed)
    frame = build_frame(brief)
    candidates, _ = find_candidates(brief)
    outline = build_outline(brief, frame, candidates)
    best = outline.problem.solve()
    found = solve(brief, frame, candidates)
    if isinstance(found, NoPlan):
        assert found.proven
        return
    assert best.objective >= found.value - 1e-6
    assert outline.problem.solve(relaxed=True).objective >= best.objective - 1e-6


@pytest.mark.parametrize("seed", range(6))
def test_ceilings_hold_what_a_drill_can_bring(seed: int) -> None:
    """No plan with a given drill pinned is worth more than the ceiling that the free search put on it."""
    brief = mid_size(2 * seed)
    frame = build_frame(brief)
    candidates, _ = find_candidates(brief)
    free = solve(brief, frame, candidates)
    assert isinstance(free, Solution)
    for number in (seed, seed + 9):
        one = candidates[number % len(candidates)]
        pinned = tuple(replace(other, pinned=True) if other is one else other for other in candidates)
        found = solve(brief, frame, pinned)
        if isinstance(found, Solution):
            assert found.value <= max(free.value, free.ceilings[one.drill.id]) + 1e-6


def test_the_gym_parts_a_section_into_zones() -> None:
    """Where a basket closes and opens again there are three zones, the middle one for half-court drills."""
    drills = (kit.drill(1, half_courts=2, layout="full"), kit.drill(2))
    brief = kit.brief(drills, gym=(GymWindow(990 + 30, 990 + 50, 1),), weights={"box-out": Weight(3.0)})
    candidates, _ = find_candidates(brief)
    outline = build_outline(brief, build_frame(brief), candidates)
    assert [(one.first, one.last) for one in outline.stretches] == [
        (True, False),
        (False, False),
        (False, True),
    ]
    upper = outline.problem.upper
    assert [upper[outline.x[0, k]] for k in range(3)] == [1, 0, 1]
    assert [upper[outline.x[1, k]] for k in range(3)] == [1, 1, 1]


def test_an_outline_that_fits_goes_on_the_clock_unchanged() -> None:
    """Drills, minutes, water, set-ups and open minutes of the outline are those of the fitted choice."""
    fitted = 0
    for seed in range(10):
        brief = kit.brief(kit.random_drills(40, seed), weights=kit.weights(seed))
        frame = build_frame(brief)
        candidates, _ = find_candidates(brief)
        outline = build_outline(brief, frame, candidates)
        choice = outline.read(outline.problem.solve(gap=0.003))
        ordered = fit(build_model(brief, frame, candidates), outline, choice)
        if ordered is None:
            continue
        fitted += 1
        got = {one.candidate.drill.id: one.minutes for one in ordered.choice.placed}
        assert got == {one.candidate.drill.id: one.minutes for one in choice.placed}
        for name in ("water", "set_ups", "open"):
            assert sum(getattr(ordered.choice, name)) == sum(getattr(choice, name))
    assert fitted >= 2


def test_what_cannot_be_is_told_from_what_was_not_found() -> None:
    """Pins that do not fit are proven not to; without them there is a practice."""
    drills = tuple(kit.drill(number, half_courts=2, layout="full") for number in range(2))
    brief = kit.brief(
        drills, gym=(GymWindow(0, 1010, 1), GymWindow(1018, 1440, 1)), weights={"box-out": Weight(3.0)}
    )
    frame = build_frame(brief)
    candidates, _ = find_candidates(brief)
    assert feasible(brief, frame, candidates) is True
    pinned = tuple(replace(one, pinned=True) for one in candidates)
    assert feasible(brief, frame, pinned) is False
    assert solve(brief, frame, pinned) == NoPlan(proven=True)
