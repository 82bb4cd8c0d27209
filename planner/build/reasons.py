"""Why each drill is in the plan: one line each, with its number."""

from __future__ import annotations

from collections.abc import Mapping

from planner.build.brief import Brief
from planner.build.candidates import Candidate
from planner.build.model import Placed
from planner.build.solve import Solution
from planner.build.worth import curves, total_worth
from planner.drills.card import SHARE_UNIT
from planner.drills.vocabulary import Stage

Parts = list[tuple[Mapping[str, float], float]]


def given_parts(solution: Solution) -> Parts:
    """Return the decided blocks as (effective minutes per minute, minutes)."""
    lasting = solution.model.brief.lasting
    return [
        ({one: units / SHARE_UNIT * lasting for one, units in block.shares.items()}, block.minutes)
        for block in solution.model.frame.blocks
        if block.shares
    ]


def plan_worth(brief: Brief, solution: Solution, without: str | None = None) -> float:
    """Return the worth of the solution in points per 100 possessions, ``without`` a drill if one is named."""
    elsewhere: Parts = [(brief.elsewhere, 1.0)]
    parts = [*elsewhere, *given_parts(solution), *drill_parts(solution, without)]
    return total_worth(brief, parts) - total_worth(brief, elsewhere)


def drill_parts(solution: Solution, without: str | None = None) -> Parts:
    """Return the chosen drills as (effective minutes per minute, minutes)."""
    placed = solution.ordered.choice.placed
    return [
        (p.candidate.worths, p.minutes - p.candidate.idle) for p in placed if p.candidate.drill.id != without
    ]


def effective_minutes(solution: Solution) -> dict[str, float]:
    """Return the effective minutes per principle that this day brings along."""
    minutes: dict[str, float] = {}
    for worths, length in [*given_parts(solution), *drill_parts(solution)]:
        for principle, per_minute in worths.items():
            minutes[principle] = minutes.get(principle, 0.0) + per_minute * length
    return minutes


def reasons(brief: Brief, solution: Solution, titles: Mapping[str, str]) -> dict[str, str]:
    """Return drill id -> why it is in the plan."""
    worth = plan_worth(brief, solution)
    found = {}
    for placed in solution.ordered.choice.placed:
        drill = placed.candidate.drill
        lost = worth - plan_worth(brief, solution, without=drill.id)
        found[drill.id] = _reason(brief, placed, lost, titles)
    return found


def _reason(brief: Brief, placed: Placed, lost: float, titles: Mapping[str, str]) -> str:
    one = placed.candidate
    if len(one.drills) > 1:
        return _block_reason(brief, one, lost, titles)
    principle = _strongest(brief, one)
    pinned = "Pinned. " if one.pinned else ""
    if principle is None:
        return pinned.strip() or "It fills time that nothing else can use."
    weight = brief.weights[principle]
    title = titles.get(principle, principle)
    step = _step(one.drill.stage, weight.passed)
    return f"{pinned}{title} costs {weight.need:.1f} per 100; {step} (worth {lost:.2f})."


def _block_reason(brief: Brief, block: Candidate, lost: float, titles: Mapping[str, str]) -> str:
    parts = []
    for one in block.drills:
        principle = one.main_principle
        weight = brief.weights.get(principle or "")
        if principle and weight:
            step = _step(one.stage, weight.passed)
            parts.append(f"{titles.get(principle, principle)} {weight.need:.1f} per 100, {step}")
    asked = "Asked for. " if block.pinned else ""
    return f"{asked}Two baskets: {'; '.join(parts) or 'nothing film asks for'} (worth {lost:.2f} together)."


def _step(stage: Stage | None, passed: Stage | None) -> str:
    if stage is None:
        return "no stage"
    if passed is None:
        return f"{stage}, nothing recorded as passed"
    ahead = stage.rank - passed.rank
    return f"{stage}, the next step" if ahead > 0 else f"{stage} again" if ahead == 0 else f"back to {stage}"


def _strongest(brief: Brief, one: Candidate) -> str | None:
    """Return the principle through which the drill is worth most."""
    known = curves(brief)
    scored = {p: share * known[p].at_mark(1.0) for p, share in one.worths.items() if p in known}
    return max(sorted(scored), key=lambda p: scored[p], default=None)
