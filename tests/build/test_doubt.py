"""Where a plan hangs on a guess."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest

from planner.build.brief import Pin, Weight
from planner.build.doubt import GUESSED, MOST, doubts
from planner.build.make import make_plan
from planner.build.plan import Plan, Segment
from tests.build import kit

DRILLS = (
    kit.drill(1, shares={"box-out": 16}),
    kit.drill(2, shares={"box-out": 16}),
    kit.drill(3, shares={"closeout": 16}),
    kit.drill(4, shares={"closeout": 16}),
    kit.drill(5, shares={"talk": 16}),
)
WEIGHTS = {"box-out": Weight(2.0), "closeout": Weight(1.5), "talk": Weight(0.2)}
BRIEF = kit.brief(DRILLS, minutes=24, weights=WEIGHTS, fixed=(), warm_up=None, warm_up_minutes=0)
BRIEF = replace(BRIEF, cool_down=None, cool_down_minutes=0, pins=(), gym=())
PLAN = make_plan(BRIEF)


def test_a_guess_is_named_with_where_its_minutes_would_go() -> None:
    """Box-out leads on an unseen cost: at half of it, most of its minutes would go to closeouts."""
    found = doubts(BRIEF, PLAN, {"box-out": 0.1, "closeout": 0.9, "talk": 0.9})
    assert [one.principle for one in found] == ["box-out"]
    assert found[0].instead == "closeout"
    given = sum(one.minutes_per_principle.get("box-out", 0.0) for one in PLAN.segments)
    assert found[0].minutes == pytest.approx(given)
    assert 4 <= found[0].leaving <= given
    said = found[0].sentence({"box-out": "Box out", "closeout": "Closeouts"})
    assert "10% film" in said
    assert "to Closeouts." in said


def test_the_real_plan_would_move_too() -> None:
    """What is said of half the cost holds for the solver: with half the need it gives box-out far less."""
    halved = replace(BRIEF, weights={**WEIGHTS, "box-out": Weight(1.0)})
    given = [
        sum(one.minutes_per_principle.get("box-out", 0.0) for one in plan.segments)
        for plan in (PLAN, make_plan(halved))
    ]
    found = doubts(BRIEF, PLAN, {"box-out": 0.0})[0]
    assert given[0] - given[1] == pytest.approx(found.leaving, abs=5)


def test_what_film_has_told_is_no_guess() -> None:
    """A cost with enough film behind it is not doubted, whatever hangs on it."""
    assert doubts(BRIEF, PLAN, dict.fromkeys(WEIGHTS, GUESSED)) == ()
    assert doubts(BRIEF, PLAN, {}) == ()


def test_a_need_far_ahead_is_no_doubt() -> None:
    """Where half the cost would still lead by far, nothing hangs on the guess."""
    brief = replace(BRIEF, weights={"box-out": Weight(9.0), "talk": Weight(0.1)})
    assert doubts(brief, make_plan(brief), {"box-out": 0.0, "talk": 0.0}) == ()


def test_pinned_minutes_stay() -> None:
    """Minutes the coach has pinned would not go anywhere, so they are not doubted."""
    brief = replace(BRIEF, pins=(Pin("drill-001", 12), Pin("drill-002", 12)))
    assert doubts(brief, make_plan(brief), {"box-out": 0.0}) == ()


def test_a_plan_without_drills_has_no_doubts() -> None:
    """Open minutes rest on nothing."""
    empty = Plan(BRIEF.date, 0, 20, 0.0, 0.0, True, 0.0, (Segment(0, 20, "fixed", "Talk"),))
    assert doubts(BRIEF, empty, {"box-out": 0.0}) == ()


def test_it_is_quick_and_says_little() -> None:
    """Over a hundred drills and all principles guessed: a few lines, in well under a second."""
    drills = kit.random_drills(120, 3)
    brief = kit.brief(
        drills, minutes=95, weights={one: Weight(1.0 + n / 7) for n, one in enumerate(kit.PRINCIPLES)}
    )
    shares = dict.fromkeys(kit.PRINCIPLES[:5], 4)
    plan = Plan(brief.date, 0, 95, 0.0, 0.0, True, 0.0, (Segment(0, 60, "drill", "All", shares=shares),))
    began = time.process_time()
    found = doubts(brief, plan, dict.fromkeys(kit.PRINCIPLES, 0.0))
    assert time.process_time() - began < 0.6
    assert len(found) <= MOST
