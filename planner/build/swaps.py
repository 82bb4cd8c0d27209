"""What another drill would cost: the best one-for-one swap that keeps the clock and every rule."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from planner.build.brief import Brief
from planner.build.candidates import Candidate
from planner.build.check import check_plan
from planner.build.model import Placed
from planner.build.plan import Plan, Segment
from planner.build.reasons import plan_worth
from planner.build.solve import Solution
from planner.build.timetable import drill_segment

TRIES = 6
"""Places looked at for one drill before it counts as not fitting."""


@dataclass(frozen=True, slots=True)
class Swap:
    """``drill`` in place of ``instead_of``, at the same time and length; ``loss`` in points per 100."""

    drill: str
    instead_of: str
    loss: float
    segments: tuple[Segment, ...]


def best_swap(brief: Brief, solution: Solution, plan: Plan, one: Candidate) -> Swap | None:
    """Return the swap that costs least, or None where the drill fits in no drill's place."""
    worth = plan_worth(brief, solution)
    options: list[tuple[float, str, Placed]] = []
    for placed in solution.ordered.choice.placed:
        out = placed.candidate
        if out.pinned or len(out.drills) > 1 or not one.low <= placed.minutes <= one.high:
            continue
        loss = worth - _worth_with(brief, solution, placed, _form(solution, placed, one))
        options.append((loss, out.drill.id, placed))
    for loss, _, placed in sorted(options, key=lambda option: option[:2])[:TRIES]:
        segments = _swapped(brief, plan.segments, placed, _form(solution, placed, one))
        if not check_plan(replace(plan, segments=segments), brief):
            return Swap(one.drill.id, placed.candidate.drills[0].id, loss, segments)
    return None


def _form(solution: Solution, out: Placed, one: Candidate) -> Candidate:
    return solution.model.form(one, out.stretch)


def _worth_with(brief: Brief, solution: Solution, out: Placed, one: Candidate) -> float:
    placed = tuple(replace(p, candidate=one) if p is out else p for p in solution.ordered.choice.placed)
    choice = replace(solution.ordered.choice, placed=placed)
    return plan_worth(brief, replace(solution, ordered=replace(solution.ordered, choice=choice)))


def _swapped(brief: Brief, segments: Sequence[Segment], out: Placed, one: Candidate) -> tuple[Segment, ...]:
    """Return the segments with one drill changed and nothing moved."""
    out_id = out.candidate.drills[0].id
    return tuple(
        drill_segment(brief, one, segment.start, segment.minutes, segment.why)
        if any(station.drill == out_id for station in segment.stations)
        else segment
        for segment in segments
    )
