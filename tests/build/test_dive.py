"""Quick plans: what dives find, against the proven optimum and the rules."""

from __future__ import annotations

import pytest

from planner.build.candidates import find_candidates
from planner.build.cuts import Finder
from planner.build.dive import dive, drills_of, first_plans
from planner.build.frame import build_frame
from planner.build.known import Known, ceilings_of
from planner.build.linear import INF, Relaxed
from planner.build.outline import build_outline
from planner.build.solve import Solution, solve
from tests.bench.instances import practice, varied

SEEDS = (1, 3, 5, 6, 8)


def started(seed: int) -> tuple[Known, Relaxed]:
    """Return a search of a practice of 75 minutes with 60 drills, just before its dives."""
    brief = practice(seed, varied(60), 75)
    frame = build_frame(brief)
    known = Known(brief, frame)
    candidates, _ = find_candidates(brief)
    outline = build_outline(brief, frame, candidates)
    known.finder = Finder(outline)
    relaxed = Relaxed(outline.problem)
    known.ceilings = ceilings_of(outline, relaxed.solve())
    return known, relaxed


def test_dives_come_near_the_best_plan_and_never_beyond_it() -> None:
    """Dives find a plan in every practice, mostly worth nine tenths of the best and never more than it."""
    shares = []
    for seed in SEEDS:
        known, relaxed = started(seed)
        first_plans(known, known.finder.model, relaxed)
        best = solve(known.brief, known.frame, known.finder.model.candidates)
        assert isinstance(best, Solution)
        assert known.best is not None, seed
        assert known.value <= best.bound + 1e-6, seed
        shares.append(known.value / best.value)
    assert sorted(shares)[len(SEEDS) // 2] >= 0.9, shares


def test_a_dive_is_an_outline_that_keeps_its_rows() -> None:
    """The drills of a dive, held in the outline, leave it minutes."""
    known, relaxed = started(1)
    outline = known.finder.model
    held = dive(outline, relaxed, 0, -INF)
    assert held is not None
    assert outline.problem.solve(fixed=held).values is not None
    assert {one.candidate.drill.id for one in drills_of(outline, held).placed}


@pytest.mark.parametrize("seed", [0, 4])
def test_a_dive_is_given_up_below_the_floor(seed: int) -> None:
    """Where nothing can be better than the plan in hand, a dive brings nothing up."""
    known, relaxed = started(2)
    assert dive(known.finder.model, relaxed, seed, 1e9) is None


def test_the_same_seed_dives_the_same_way() -> None:
    """Two dives of one seed choose the same drills, whatever was tried between."""
    known, relaxed = started(3)
    outline = known.finder.model
    first = dive(outline, relaxed, 7, -INF)
    dive(outline, relaxed, 8, -INF)
    assert dive(outline, relaxed, 7, -INF) == first is not None
