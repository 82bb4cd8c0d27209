"""From brief to the best choice of drills, proven or with what may be missing.

1. The relaxed model bounds every plan and prices each drill in each stretch.
2. The most promising drills alone give a first plan.
3. What cannot beat that plan, by its price, leaves the model; the rest is solved to the end.
4. The choice is put in order. One that cannot be is solved in all its orders, then forbidden, and the model
   is solved again, until its bound is no better than the best plan in hand.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.build.brief import Brief
from planner.build.candidates import Candidate
from planner.build.frame import Frame
from planner.build.linear import INF, Answer
from planner.build.model import Choice, Model, build_model
from planner.build.order import Ordered, best_in_order, in_order

FIRST_DRILLS = 22
"""Drills in the first, restricted search."""

FIRST_GAP = 0.03
"""How near to its own bound the first search must come."""

MAX_ROUNDS = 60
"""Choices put in order before the search stops with a gap."""

MAX_NODES = 60_000
"""Branching nodes of one run: a limit that is the same on every machine."""

EPSILON = 1e-6
"""Worth below which two plans count as equal."""


@dataclass(frozen=True, slots=True)
class Solution:
    """The best ordered choice with the model's own value of it, and the bound on every other.

    ``ceilings`` maps drill id to a worth that no plan with that drill in it can exceed.
    """

    model: Model
    ordered: Ordered
    value: float
    bound: float
    proven: bool
    ceilings: Mapping[str, float]


@dataclass(slots=True)
class _Search:
    """The best plan so far while a model is solved again and again."""

    model: Model
    best: Ordered | None = None
    value: float = -INF
    exact: bool = True

    def offer(self, answer: Answer) -> bool:
        """Take the answer's choice in if it can be put in order; return whether it could as it stands."""
        choice = self.model.read(answer)
        ordered = in_order(self.model, choice)
        if ordered is not None:
            if answer.objective > self.value:
                self.best, self.value = ordered, answer.objective
            return True
        found, exact = best_in_order(self.model, choice, self.value)
        self.exact &= exact
        if found is not None:
            self.best, self.value = found
        return False


def solve(brief: Brief, frame: Frame, candidates: Sequence[Candidate]) -> Solution | None:
    """Return the best plan, or None where no plan meets the rules at all."""
    everything = build_model(brief, frame, tuple(candidates))
    relaxed = everything.problem.solve(relaxed=True)
    if relaxed.values is None:
        return None
    first = _first_plan(brief, frame, everything, relaxed)
    kept = _worth_keeping(everything, relaxed, first.value if first.best else -INF)
    model = build_model(brief, frame, tuple(everything.candidates[c] for c in sorted({c for c, _ in kept})))
    _close(model, everything, kept)
    return _finish(model, first, _ceilings(everything, relaxed))


def _first_plan(brief: Brief, frame: Frame, everything: Model, relaxed: Answer) -> _Search:
    """Solve for the drills that the relaxed model prices best."""
    prices = _prices(everything, relaxed)
    by_price = sorted(
        range(len(everything.candidates)),
        key=lambda c: (not everything.candidates[c].pinned, -prices[c], c),
    )
    chosen = sorted(by_price[:FIRST_DRILLS])
    search = _Search(build_model(brief, frame, tuple(everything.candidates[c] for c in chosen)))
    answer = search.model.problem.solve(gap=FIRST_GAP, nodes=MAX_NODES)
    if answer.values is not None:
        search.offer(answer)
    return search


def _prices(model: Model, relaxed: Answer) -> list[float]:
    """Return per drill its best reduced cost, or how much of it the relaxed model uses where it does."""
    values = relaxed.values or []
    prices = []
    for c in range(len(model.candidates)):
        columns = [model.x[c, one.number] for one in model.stretches]
        used = sum(values[one] for one in columns)
        prices.append(used if used > 1e-7 else max((relaxed.reduced[one] for one in columns), default=-INF))
    return prices


def _ceilings(model: Model, relaxed: Answer) -> dict[str, float]:
    return {
        one.drill.id: relaxed.objective
        + min(0.0, max(relaxed.reduced[model.x[c, k.number]] for k in model.stretches))
        for c, one in enumerate(model.candidates)
        if model.stretches
    }


def _worth_keeping(model: Model, relaxed: Answer, value: float) -> set[tuple[int, int]]:
    """Return the (drill, stretch) pairs that could still be part of a plan better than ``value``."""
    values = relaxed.values or []
    return {
        pair
        for pair, column in model.x.items()
        if values[column] > 1e-7
        or model.candidates[pair[0]].pinned
        or relaxed.objective + min(0.0, relaxed.reduced[column]) > value - EPSILON
    }


def _close(model: Model, everything: Model, kept: set[tuple[int, int]]) -> None:
    """Hold the pairs that cannot be part of a better plan at zero."""
    original = {one.drill.id: c for c, one in enumerate(everything.candidates)}
    for (c, k), column in model.x.items():
        if (original[model.candidates[c].drill.id], k) not in kept:
            model.problem.upper[column] = 0.0


def _finish(model: Model, first: _Search, ceilings: Mapping[str, float]) -> Solution | None:
    search = _Search(model, exact=first.exact)
    bound = INF
    for _ in range(MAX_ROUNDS):
        answer = model.problem.solve(nodes=MAX_NODES)
        bound = min(bound, answer.bound) if answer.values is not None else -INF
        if answer.values is None or bound <= max(search.value, first.value) + EPSILON:
            break
        if search.offer(answer) or not answer.solved:
            break
        _forbid(model, search.model.read(answer))
    winner = search if search.value >= first.value else first
    if winner.best is None:
        return None
    bound = max(winner.value, bound)
    proven = search.exact and bound <= winner.value + EPSILON
    return Solution(winner.model, winner.best, winner.value, bound, proven, ceilings)


def _forbid(model: Model, choice: Choice) -> None:
    """Cut off exactly this assignment of drills to stretches."""
    chosen = choice.key()
    terms = {
        column: 1.0 if (model.candidates[c].drill.id, k) in chosen else -1.0
        for (c, k), column in model.x.items()
    }
    model.problem.row(-INF, terms, len(chosen) - 1)
