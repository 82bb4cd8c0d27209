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
from planner.build.model import Model, lay_out
from planner.build.order import Ordered, best_in_order, in_order
from planner.build.rules import add_rules

FIRST_DRILLS = 22
"""Drills in the first, restricted search."""

FIRST_GAP = 0.03
"""How near to its own bound the first search must come."""

ANY_GAP = 1e6
"""How near where any plan at all will do."""

PROVEN_GAP = 1e-9
"""How near the last one must."""

COARSE_ROUNDS = 2
"""Rounds with the coarse model before the fine one takes over."""

MAX_ROUNDS = 40
"""Choices put in order before the search stops with a gap."""

MAX_NODES = 60_000
"""Branching nodes of one run: a limit that is the same on every machine."""

EPSILON = 1e-6
"""Worth below which two plans count as equal."""


Pair = tuple[str, int]
"""A drill's id and the number of a stretch."""


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


def solve(brief: Brief, frame: Frame, candidates: Sequence[Candidate]) -> Solution | None:
    """Return the best plan, or None where no plan meets the rules at all."""
    everything = build_model(brief, frame, candidates, fine=False)
    relaxed = everything.problem.solve(relaxed=True)
    if relaxed.values is None:
        return None
    search = _Search(brief, frame)
    search.run(_most_promising(everything, relaxed), None, FIRST_GAP)
    kept = _worth_keeping(everything, relaxed, search.value)
    left = [one for one in everything.candidates if any(name == one.drill.id for name, _ in kept)]
    bound = search.run(left, kept, PROVEN_GAP)
    if search.best is None:
        return None
    bound = max(search.value, bound)
    proven = search.exact and bound <= search.value + EPSILON
    model, ordered = search.best
    return Solution(model, ordered, search.value, bound, proven, _ceilings(everything, relaxed))


def feasible(brief: Brief, frame: Frame, candidates: Sequence[Candidate]) -> bool:
    """Return whether any plan meets the rules, without looking for the best one."""
    everything = build_model(brief, frame, candidates, fine=False)
    relaxed = everything.problem.solve(relaxed=True)
    if relaxed.values is None:
        return False
    search = _Search(brief, frame)
    for some in (_most_promising(everything, relaxed), everything.candidates):
        search.run(some, None, ANY_GAP)
        if search.best is not None:
            return True
    return False


def build_model(brief: Brief, frame: Frame, candidates: Sequence[Candidate], fine: bool) -> Model:
    """Return the whole model; the coarse form is quicker and may choose drills that no order suits."""
    model = lay_out(brief, frame, tuple(candidates))
    add_rules(model, fine)
    return model


@dataclass(slots=True)
class _Search:
    """The best plan so far, and whether every doubt on the way was settled."""

    brief: Brief
    frame: Frame
    best: tuple[Model, Ordered] | None = None
    value: float = -INF
    exact: bool = True

    def run(self, candidates: Sequence[Candidate], kept: set[Pair] | None, gap: float) -> float:
        """Search these drills (only the ``kept`` pairs if given) and return the bound on their plans.

        The first rounds use the coarse model; when its choices cannot be ordered the fine one takes over.
        """
        model = build_model(self.brief, self.frame, candidates, fine=False)
        forbidden: list[frozenset[Pair]] = []
        bound = INF
        for turn in range(MAX_ROUNDS):
            if turn in (0, COARSE_ROUNDS):
                model = build_model(self.brief, self.frame, candidates, fine=turn > 0)
                _restrict(model, kept, forbidden)
            answer = model.problem.solve(gap=gap, nodes=MAX_NODES)
            if answer.values is None:
                return -INF if answer.solved else bound
            bound = min(bound, answer.bound)
            if bound <= self.value + EPSILON or self._offer(model, answer) or not answer.solved:
                break
            forbidden.append(model.read(answer).key())
            _forbid(model, forbidden[-1])
        return bound

    def _offer(self, model: Model, answer: Answer) -> bool:
        """Take the answer's choice in if it can be put in order; return whether it could as it stands."""
        choice = model.read(answer)
        ordered = in_order(model, choice)
        if ordered is not None:
            if answer.objective > self.value:
                self.best, self.value = (model, ordered), answer.objective
            return True
        found, exact = best_in_order(model, choice, self.value)
        self.exact &= exact
        if found is not None:
            self.best, self.value = (model, found[0]), found[1]
        return False


def _most_promising(model: Model, relaxed: Answer) -> list[Candidate]:
    """Return the drills that the relaxed model prices best, pinned ones first, in their usual order."""
    prices = _prices(model, relaxed)
    numbers = range(len(model.candidates))
    by_price = sorted(numbers, key=lambda c: (not model.candidates[c].pinned, -prices[c], c))
    return [model.candidates[c] for c in sorted(by_price[:FIRST_DRILLS])]


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


def _worth_keeping(model: Model, relaxed: Answer, value: float) -> set[Pair]:
    """Return the (drill, stretch) pairs that could still be part of a plan better than ``value``."""
    values = relaxed.values or []
    return {
        (model.candidates[c].drill.id, k)
        for (c, k), column in model.x.items()
        if values[column] > 1e-7
        or model.candidates[c].pinned
        or relaxed.objective + min(0.0, relaxed.reduced[column]) > value - EPSILON
    }


def _restrict(model: Model, kept: set[Pair] | None, forbidden: Sequence[frozenset[Pair]]) -> None:
    """Hold the pairs that are not kept at zero and cut off what was forbidden before."""
    for (c, k), column in model.x.items():
        if kept is not None and (model.candidates[c].drill.id, k) not in kept:
            model.problem.upper[column] = 0.0
    for one in forbidden:
        _forbid(model, one)


def _forbid(model: Model, chosen: frozenset[Pair]) -> None:
    """Cut off exactly this assignment of drills to stretches."""
    terms = {
        column: 1.0 if (model.candidates[c].drill.id, k) in chosen else -1.0
        for (c, k), column in model.x.items()
    }
    model.problem.row(-INF, terms, len(chosen) - 1)
