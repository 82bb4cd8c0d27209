from __future__ import annotations

import re
from dataclasses import replace

import pytest

from planner.build.brief import Brief, Pin
from planner.build.candidates import find_candidates
from planner.build.make import make_plan
from planner.build.plan import Plan
from planner.problem import Refusal
from tests.build import kit

TITLES = {"box-out": "Box out and rebound"}


@pytest.fixture(scope="module")
def brief() -> Brief:
    drills = kit.random_drills(14, 5)
    unready = kit.drill(90, players_min=20, players_max=25)
    return kit.brief((*drills, unready), minutes=55, ran_last=frozenset({"drill-003", "drill-004"}))


@pytest.fixture(scope="module")
def plan(brief: Brief) -> Plan:
    return make_plan(brief, TITLES)


def chosen(plan: Plan) -> dict[str, str]:
    return {one.stations[0].drill: one.why for one in plan.segments if one.kind == "drill"}


def test_every_drill_is_in_the_plan_or_has_a_reason(brief: Brief, plan: Plan) -> None:
    """No drill of the library is passed over in silence, and none is both in and out."""
    out = [one.drill for one in plan.left_out]
    assert len(out) == len(set(out))
    assert set(out) | set(chosen(plan)) == {one.id for one in brief.drills}
    assert not set(out) & set(chosen(plan))
    assert all(one.why for one in plan.left_out)


def test_a_reason_names_principle_need_stage_and_worth(brief: Brief, plan: Plan) -> None:
    """The need is the principle's own, the stage the drill's, and worths in company are within the whole."""
    by_id = {one.id: one for one in brief.drills}
    worths = []
    for name, why in chosen(plan).items():
        found = re.fullmatch(r"(.+) costs ([\d.]+) per 100; (.+) \(worth ([\d.]+)\)\.", why)
        assert found, why
        drill = by_id[name]
        principle = next(one for one in drill.shares if TITLES.get(one, one) == found[1])
        assert float(found[2]) == pytest.approx(brief.weights[principle].need, abs=0.051)
        assert str(drill.stage) in found[3]
        worths.append(float(found[4]))
    assert all(one >= 0 for one in worths)
    assert sum(worths) <= plan.objective + 0.01 * len(worths), (
        "worths in company never sum to more than the whole"
    )


def test_pins_are_called_pins(brief: Brief) -> None:
    """A drill that is in because the coach wants it says so."""
    name = make_plan(brief).left_out[0].drill
    pinned = make_plan(replace(brief, pins=(Pin(name),)))
    assert chosen(pinned)[name].startswith("Pinned. ")


def test_the_cost_of_what_is_left_out_is_true(brief: Brief, plan: Plan) -> None:
    """Pinned, a drill costs at least what 'at least' says, and no more than the swap that is named."""
    ready = {one.drill.id for one in find_candidates(brief)[0]}
    checked = 0
    for one in plan.left_out:
        if one.drill not in ready or checked == 8:
            continue
        try:
            loss = plan.objective - make_plan(replace(brief, pins=(Pin(one.drill),))).objective
        except Refusal:
            continue
        checked += 1
        assert loss >= -1e-6
        least = re.search(r"costs at least ([\d.]+) per 100", one.why)
        swap = re.search(r"in place of (\S+) it costs (next to nothing|[\d.]+)", one.why)
        if least:
            assert loss >= float(least[1]) - 0.006, one
        if swap:
            assert swap[1] in chosen(plan)
            stated = 0.0 if swap[2].startswith("next") else float(swap[2])
            assert loss <= stated + 0.006, one
    assert checked >= 3


def test_the_nearest_come_first_and_those_that_cannot_run_last(brief: Brief, plan: Plan) -> None:
    """The list begins with what was nearly in and ends with what could not be."""
    assert plan.left_out[-1].why == "needs 20 players, 12 will be there"
    stated = [re.search(r"in place of \S+ it costs ([\d.]+)", one.why) for one in plan.left_out]
    costs = [float(one[1]) for one in stated if one]
    assert costs == sorted(costs)


def test_what_was_run_lately_is_said(brief: Brief, plan: Plan) -> None:
    """A drill worth less because it was run last time says so."""
    stale = [one for one in plan.left_out if one.drill in brief.ran_last and "not ready" not in one.why]
    assert stale
    assert all(one.why.endswith("(run lately)") for one in stale)
