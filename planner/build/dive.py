"""Quick plans from the relaxed outline: drills are rounded up one by one, and what has no order is cut off.

A dive costs a few relaxed solves where a whole search costs hundreds. It proves nothing; it finds plans, and
above all it learns early which drills leave each other no order.
"""

from __future__ import annotations

import random
from collections.abc import Sequence

from planner.build.candidates import Candidate
from planner.build.known import CLOSE_NODES, Known, build_model
from planner.build.linear import INF, Relaxed
from planner.build.model import Choice, Model, Placed
from planner.build.order import best_in_order

WHOLE = 1e-6
"""How far from a whole number still counts as one."""

MOST_STEPS = 40
"""Relaxed solves of one dive."""

DIVES = 12
"""Most dives for a first plan."""

VAIN_DIVES = 3
"""Dives of which none fits the clock before they end."""

STALE_DIVES = 4
"""Dives in a row that find nothing new before they end."""

CLOCK_DIVES = 2
"""Dives to put a few drills on the clock."""

FAR = 0.01
"""How far below what its outline promised a plan may stay before its drills are looked at closely."""


def dive(outline: Model, relaxed: Relaxed, seed: int, floor: float) -> dict[int, float] | None:
    """Return drills (column -> 0 or 1) that the outline allows together, or None where the dive ends early.

    ``floor`` is the worth below which a dive is given up; ``seed`` makes dives differ (0: the plainest).
    """
    dice = random.Random(f"dive {seed}")
    columns = sorted(outline.x.values())
    relaxed.free()
    chosen: int | None = None
    for _ in range(MOST_STEPS):
        answer = relaxed.solve()
        values = answer.values
        if values is None or answer.objective <= floor:
            if chosen is None:
                return None
            relaxed.hold(chosen, 0.0)
            chosen = None
            continue
        part = [one for one in columns if WHOLE < values[one] < 1 - WHOLE]
        if not part:
            return {one: float(round(values[one])) for one in columns}
        share = {one: values[one] * (1.0 if seed == 0 else dice.uniform(0.3, 1.0)) for one in part}
        chosen = max(part, key=lambda one: (share[one], -one))
        relaxed.hold(chosen, 1.0)
    return None


def drills_of(outline: Model, held: dict[int, float]) -> Choice:
    """Return which drills a dive chose, without minutes."""
    placed = tuple(
        Placed(outline.candidates[c], k, outline.candidates[c].low)
        for (c, k), column in outline.x.items()
        if held[column] > 0.5
    )
    nothing = (0,) * len(outline.stretches)
    return Choice(placed, nothing, nothing, nothing)


def first_plans(known: Known, outline: Model, relaxed: Relaxed) -> None:
    """Find plans quickly, and which drills leave each other no order; ``outline`` holds every drill."""
    stale = 0
    promising, promised = None, -INF
    tried: set[frozenset[str]] = set()
    for seed in range(DIVES):
        vain = known.best is None and len(tried) >= VAIN_DIVES
        if known.enough or vain or stale >= STALE_DIVES:
            break
        held = dive(outline, relaxed, seed, known.value)
        stale += 1
        if held is None:
            continue
        choice = drills_of(outline, held)
        names = frozenset(one.candidate.drill.id for one in choice.placed)
        if known.learn(outline, choice):
            stale -= 1
        elif names not in tried:
            tried.add(names)
            before = known.value
            promise = _plan_of(known, [one for one in outline.candidates if one.drill.id in names])
            stale = 0 if known.value > before else stale
            if promise > promised:
                promised, promising = promise, choice
    if promising is not None and known.value < promised * (1 - FAR) and known.limit() is None:
        known.look(outline.candidates, promising)


def _plan_of(known: Known, candidates: Sequence[Candidate]) -> float:
    """Plan a few drills and return what their best outline promised."""
    small = known.outline(candidates)
    answer = small.problem.solve(floor=known.floor, nodes=CLOSE_NODES, effort=known.limit())
    if known.beaten(answer, INF):
        return -INF
    if not known.fits(small, small.read(answer), candidates, answer.objective):
        _dive_by_clock(known, candidates)
    return answer.objective


def _dive_by_clock(known: Known, candidates: Sequence[Candidate]) -> None:
    """Plan a few drills by the clock, without claim to the best plan of them."""
    model = build_model(known.brief, known.frame, candidates)
    relaxed = Relaxed(model.problem)
    for seed in range(CLOCK_DIVES):
        held = dive(model, relaxed, seed, known.value)
        if held is not None:
            best, _ = best_in_order(model, drills_of(model, held), known.value)
            if best is not None:
                known.take(model, *best)
