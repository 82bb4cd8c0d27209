"""The search for the best choice of drills, proven or with what may be missing.

1. The outline (one bin a section, no clock) bounds every plan and prices every drill.
2. Dives give a first plan, and show early which drills leave each other no order.
3. What cannot beat the plan in hand, by its price, leaves; the best outline of the rest is sought. One whose
   drills have no order is cut off. One that goes on the clock as it stands is the best plan. Else its drills
   and the most promising others are planned to the end by the clock, and from then on an outline must use a
   drill beside these.
4. Where outlines stay too good to be true, all drills left are planned by the clock.
"""

from __future__ import annotations

from collections.abc import Sequence

from planner.build.candidates import Candidate
from planner.build.cuts import Finder
from planner.build.dive import first_plans
from planner.build.known import MAX_NODES, Known, beside, ceilings_of
from planner.build.linear import INF, Relaxed
from planner.build.near import look_near
from planner.build.outline import build_outline
from planner.build.plan import Plan

OUTLINES = 40
"""Outlines looked at before the clock takes over."""

CLOSE_LOOKS = 6
"""Outlines planned by the clock before it takes over."""

FAR = 0.01
"""After one of them, how far beyond the plan in hand outlines may promise before it does."""

EARLY_GAP = 1e-3
"""How near to its bound an outline must come while more is still learnt from each."""

NEAR = 1e-3
"""How near to its bound a plan may be left where a close look was broken off."""


def search(known: Known, candidates: tuple[Candidate, ...], plan: Plan | None = None) -> None:
    """Search all candidates; what was found is in ``known`` afterwards.

    Where little may be spent the search begins near a ``plan`` that stands.
    """
    outline = build_outline(known.brief, known.frame, candidates)
    known.finder = Finder(outline)
    relaxed = Relaxed(outline.problem)
    answer = relaxed.solve()
    if answer.values is None:
        known.bound = -INF
        return
    known.bound = answer.objective
    known.ceilings = ceilings_of(outline, answer)
    if plan is not None and known.effort is not None:
        look_near(known, plan, known.effort)
    first_plans(known, outline, relaxed)
    if known.enough:
        return
    left = known.reprice(candidates)
    settled, bound = _outlines(known, left)
    known.bound = min(known.bound, bound)
    if not settled and not known.enough:
        left = known.reprice_by_clock(known.reprice(left))
        known.bound = min(known.bound, known.by_clock(left, MAX_NODES))


def _outlines(known: Known, candidates: Sequence[Candidate]) -> tuple[bool, float]:
    """Seek the best plan of these drills by outlines.

    Returns whether the search may end here, and a bound on all their plans.
    """
    outline = known.outline(candidates)
    bound = INF
    near = EARLY_GAP
    looked = 0
    for _ in range(OUTLINES):
        if known.enough:
            break
        answer = outline.problem.solve(gap=near, nodes=MAX_NODES, floor=known.floor, effort=known.limit())
        bound = min(bound, answer.bound)
        if known.beaten(answer, bound):
            if bound <= known.floor or not near:
                return bound <= known.floor, bound
            near = 0.0
            continue
        choice = outline.read(answer)
        if known.learn(outline, choice):
            continue
        if known.fits(outline, choice, candidates, answer.objective):
            near = 0.0
            continue
        if looked == CLOSE_LOOKS or (looked and known.value < bound * (1 - FAR)):
            return False, bound
        looked += 1
        if not known.look(candidates, choice):
            return known.value >= bound * (1 - NEAR), bound
        beside(outline, known.closed[-1])
    return False, bound
