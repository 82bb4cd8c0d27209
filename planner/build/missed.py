"""Why each drill that is not in the plan is not: one line each, with its number."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from planner.build.brief import Brief
from planner.build.candidates import Candidate, freshness
from planner.build.plan import LeftOut, Plan
from planner.build.solve import Solution
from planner.build.swaps import best_swap

NEAREST = 20
"""Drills for which the best swap is worked out."""

NOTHING = 0.005
"""Worth below which a difference is not shown as one."""


def left_out(
    brief: Brief,
    solution: Solution,
    plan: Plan,
    candidates: Sequence[Candidate],
    refused: Iterable[LeftOut],
) -> tuple[LeftOut, ...]:
    """Return every drill that is not in the plan: the nearest first, then those that cannot run."""
    chosen = {card.id for one in solution.ordered.choice.placed for card in one.candidate.drills}
    missed = [one for one in candidates if not one.cards and one.drill.id not in chosen]
    ceilings = _ceilings(solution, candidates)
    missed.sort(key=lambda one: (-ceilings[one.drill.id], one.drill.id))
    rows = []
    for number, one in enumerate(missed):
        swap = best_swap(brief, solution, plan, one) if number < NEAREST else None
        loss = swap.loss if swap else float("inf")
        if swap is not None:
            why = f"in place of {swap.instead_of} it costs {_points(swap.loss)}"
        else:
            why = _at_least(solution, ceilings[one.drill.id])
        rows.append((loss, number, LeftOut(one.drill.id, why + _stale(one, brief))))
    rows.sort(key=lambda row: row[:2])
    cannot = (one for one in refused if one.drill not in chosen)
    return tuple(row[2] for row in rows) + tuple(cannot)


def _ceilings(solution: Solution, candidates: Sequence[Candidate]) -> dict[str, float]:
    """Return drill id -> a worth that no plan with the drill in any form can exceed."""
    best: dict[str, float] = {}
    for one in candidates:
        for card in one.drills:
            ceiling = solution.ceilings[one.drill.id]
            best[card.id] = max(ceiling, best.get(card.id, ceiling))
    return best


def _points(loss: float) -> str:
    return "next to nothing" if loss < NOTHING else f"{loss:.2f} per 100"


def _at_least(solution: Solution, ceiling: float) -> str:
    cost = solution.value - ceiling
    if cost >= NOTHING:
        return f"putting it in costs at least {cost:.2f} per 100"
    return "fits in no drill's place; pin it to see what it costs"


def _stale(one: Candidate, brief: Brief) -> str:
    return " (run lately)" if freshness(one.drill.id, brief) < 1 else ""
