"""The search for the best choice of drills, proven or with what may be missing.

1. The outline (one bin a section, no clock) bounds every plan and prices every drill.
2. The most promising drills alone give a first plan: their best outline is put on the clock as it stands.
3. What cannot beat the plan in hand, by its price, leaves; the best outline of the rest is sought. One whose
   drills have no order is cut off with all that fail for the same reason. One that goes on the clock as it
   stands is the best plan. Else its drills and the most promising others are planned to the end by the clock
   (the stretches between two breaks), and from then on an outline must use a drill beside these.
4. Where outlines stay too good to be true, all drills left are planned by the clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from planner.build.brief import Brief
from planner.build.candidates import Candidate
from planner.build.cuts import Cut, add_cut, broken_cuts
from planner.build.fitting import fit
from planner.build.frame import Frame
from planner.build.linear import INF, Answer
from planner.build.model import Choice, Model, Stretch, lay_out
from planner.build.order import Ordered, best_in_order, in_order
from planner.build.outline import build_outline
from planner.build.rules import add_rules

FIRST_DRILLS = 25
"""Drills in the first, restricted search."""

FIRST_GAP = 0.01
"""How near to its own bound the first search must come."""

FIRST_OUTLINES = 12
"""Outlines looked at in the first search."""

CLOSE_DRILLS = 12
"""Drills planned by the clock when an outline does not fit as it stands."""

OUTLINES = 40
"""Outlines looked at before the clock takes over."""

CLOSE_LOOKS = 1
"""Outlines planned by the clock before it takes over."""

FEW_LOOKS = 1
FAR = 0.02
"""After so many of them, how far beyond the plan in hand outlines may promise before it does."""

EARLY_GAP = 3e-3
"""How near to its bound an outline must come while more is still learnt from each."""

MAX_ROUNDS = 60
"""Choices put in order before the search stops with a gap."""

MAX_NODES = 20_000
CLOSE_NODES = 3_000
"""Branching nodes of one run, and of one close look: limits that are the same on every machine."""

NEAR = 1e-3
"""How near to its bound a plan may be left where a close look was broken off."""

EPSILON = 1e-6
"""Worth below which two plans count as equal."""


def build_model(brief: Brief, frame: Frame, candidates: Sequence[Candidate]) -> Model:
    """Return the model by the clock; it may choose drills that no order suits."""
    model = lay_out(brief, frame, tuple(candidates))
    add_rules(model)
    return model


@dataclass(slots=True)
class Search:
    """The best plan so far, the bound on every plan, and what was learnt on the way.

    With ``any_plan`` the search ends at its first plan.
    """

    brief: Brief
    frame: Frame
    any_plan: bool = False
    best: tuple[Model, Ordered] | None = None
    value: float = -INF
    bound: float = INF
    ceilings: dict[str, float] = field(default_factory=dict)
    cuts: dict[Cut, None] = field(default_factory=dict)
    closed: list[frozenset[str]] = field(default_factory=list)
    zones: Sequence[Stretch] = ()

    def solve(self, candidates: tuple[Candidate, ...]) -> None:
        """Search all candidates."""
        outline = build_outline(self.brief, self.frame, candidates)
        relaxed = outline.problem.solve(relaxed=True)
        if relaxed.values is None:
            self.bound = -INF
            return
        self.bound = relaxed.objective
        self.zones = outline.stretches
        self.ceilings = _ceilings(outline, relaxed)
        first = _most_promising(outline, relaxed)
        self._outlines(first, FIRST_GAP, FIRST_OUTLINES, 1)
        if self._enough():
            return
        left = self._reprice(candidates)
        settled, bound = self._outlines(left, 0.0, OUTLINES, CLOSE_LOOKS)
        self.bound = min(self.bound, bound)
        if not settled and not self._enough():
            left = self._reprice(left)
            self.bound = min(self.bound, self._by_clock(left, MAX_NODES))

    def _enough(self) -> bool:
        return self.any_plan and self.best is not None

    def _reprice(self, candidates: Sequence[Candidate]) -> tuple[Candidate, ...]:
        """Price the drills again with all that was learnt and return those still worth keeping."""
        left = self._worth_keeping(candidates)
        outline = self._outline(left)
        relaxed = outline.problem.solve(relaxed=True)
        if relaxed.values is None:
            return left
        for name, ceiling in _ceilings(outline, relaxed).items():
            self.ceilings[name] = max(self.value, min(self.ceilings[name], ceiling))
        return self._worth_keeping(left)

    def _worth_keeping(self, candidates: Sequence[Candidate]) -> tuple[Candidate, ...]:
        """Return the candidates that could still be part of a plan better than the one in hand."""
        return tuple(
            one for one in candidates if one.pinned or self.ceilings[one.drill.id] > self.value + EPSILON
        )

    def _outlines(
        self, candidates: Sequence[Candidate], gap: float, most: int, looks: int
    ) -> tuple[bool, float]:
        """Seek the best plan of these drills by outlines.

        Returns whether the search may end here, and a bound on all their plans.
        """
        outline = self._outline(candidates)
        bound = INF
        near = max(gap, EARLY_GAP)
        looked = 0
        for _ in range(most):
            if self._enough():
                break
            answer = outline.problem.solve(gap=near, nodes=MAX_NODES, floor=self.value)
            bound = min(bound, answer.bound)
            if self._beaten(answer, bound):
                if bound <= self.value + EPSILON or near == gap:
                    return bound <= self.value + EPSILON, bound
                near = gap
                continue
            choice = outline.read(answer)
            if self._learn(outline, choice):
                continue
            if self._fits(outline, choice, candidates, answer.objective):
                near = gap
                continue
            if looked == looks or (looked >= FEW_LOOKS and self.value < bound * (1 - FAR)):
                return False, bound
            looked += 1
            close = self._close(candidates, choice)
            if self._by_clock(close, CLOSE_NODES) > self.value + EPSILON:
                return self.value >= bound * (1 - max(gap, NEAR)), bound
            self.closed.append(frozenset(one.drill.id for one in close))
            _beside(outline, self.closed[-1])
        return False, bound

    def _fits(self, outline: Model, choice: Choice, candidates: Sequence[Candidate], value: float) -> bool:
        """Put an outline on the clock as it stands, as the best plan; return whether it could be."""
        names = {one.candidate.drill.id for one in choice.placed}
        used = [one for one in candidates if one.drill.id in names]
        model = build_model(self.brief, self.frame, used)
        ordered = fit(model, outline, choice)
        if ordered is not None:
            self.best, self.value = (model, ordered), value
        return ordered is not None

    def _outline(self, candidates: Sequence[Candidate]) -> Model:
        """Return the outline of these drills with all that was learnt so far."""
        outline = build_outline(self.brief, self.frame, tuple(candidates))
        for cut in self.cuts:
            add_cut(outline, cut)
        for one in self.closed:
            _beside(outline, one)
        return outline

    def _learn(self, outline: Model, choice: Choice) -> bool:
        """Cut off a choice whose drills have no order; return whether it had none."""
        found = broken_cuts(outline, choice)
        for cut in found:
            self.cuts[cut] = None
            add_cut(outline, cut)
        return bool(found)

    def _close(self, candidates: Sequence[Candidate], choice: Choice) -> list[Candidate]:
        """Return the drills chosen and the most promising others, in their usual order."""
        names = {one.candidate.drill.id for one in choice.placed}
        ranked = sorted(
            candidates,
            key=lambda one: (one.drill.id not in names, -self.ceilings[one.drill.id], one.drill.id),
        )
        return sorted(ranked[: max(CLOSE_DRILLS, len(names))], key=lambda one: one.drill.id)

    def _by_clock(self, candidates: Sequence[Candidate], nodes: int) -> float:
        """Plan these drills by the clock and return the bound on their plans."""
        model = build_model(self.brief, self.frame, candidates)
        for cut in self.cuts:
            wide = _by_stretches(self.zones, model, cut)
            if wide is not None:
                add_cut(model, wide)
        bound = INF
        for _ in range(MAX_ROUNDS):
            if self._enough():
                break
            answer = model.problem.solve(gap=0.0, nodes=nodes, floor=self.value)
            bound = min(bound, answer.bound)
            if self._beaten(answer, bound) or not self._by_order(model, answer):
                break
            if bound <= self.value + EPSILON:
                break
        return bound

    def _beaten(self, answer: Answer, bound: float) -> bool:
        """Return whether an answer holds nothing better than the plan in hand."""
        return answer.values is None or answer.objective <= self.value or bound <= self.value + EPSILON

    def _by_order(self, model: Model, answer: Answer) -> bool:
        """Put a choice in order, or learn why it has none; return whether another may be sought."""
        choice = model.read(answer)
        ordered = in_order(model, choice)
        if ordered is not None:
            self.best, self.value = (model, ordered), answer.objective
            return True
        found = broken_cuts(model, choice)
        for cut in found:
            add_cut(model, cut)
        if found:
            return True
        best, exact = best_in_order(model, choice, self.value)
        if best is not None:
            self.best, self.value = (model, best[0]), best[1]
        _forbid(model, choice)
        return exact


def _by_stretches(zones: Sequence[Stretch], model: Model, cut: Cut) -> Cut | None:
    """Return a cut over zones as one over the stretches of their sections; None where zones matter to it."""
    places = {(first, last) for _, first, last in cut.hard | cut.easy}
    if len(places) != 1:
        return None
    first, last = next(iter(places))
    begin = min(k.number for k in model.stretches if k.section == zones[first].section)
    end = max(k.number for k in model.stretches if k.section == zones[last].section)
    hard, easy = (frozenset((name, begin, end) for name, _, _ in items) for items in (cut.hard, cut.easy))
    return Cut(hard, easy, cut.limit, cut.each)


def _beside(outline: Model, closed: frozenset[str]) -> None:
    """Demand a drill that is not among those planned to the end already."""
    terms = {
        column: 1.0 for (c, _), column in outline.x.items() if outline.candidates[c].drill.id not in closed
    }
    outline.problem.row(1, terms, INF)


def _most_promising(outline: Model, relaxed: Answer) -> list[Candidate]:
    """Return the drills that the relaxed outline prices best, pinned ones first, in their usual order."""
    prices = _prices(outline, relaxed)
    numbers = range(len(outline.candidates))
    by_price = sorted(numbers, key=lambda c: (not outline.candidates[c].pinned, -prices[c], c))
    return [outline.candidates[c] for c in sorted(by_price[:FIRST_DRILLS])]


def _prices(model: Model, relaxed: Answer) -> list[float]:
    """Return per drill its best reduced cost, or how much of it the relaxed model uses where it does."""
    values = relaxed.values or []
    prices = []
    for c in range(len(model.candidates)):
        columns = [model.x[c, one.number] for one in model.stretches]
        used = sum(values[one] for one in columns)
        prices.append(used if used > 1e-7 else max((relaxed.reduced[one] for one in columns), default=-INF))
    return prices


def _ceilings(outline: Model, relaxed: Answer) -> dict[str, float]:
    values = relaxed.values or []
    ceilings = {}
    for c, one in enumerate(outline.candidates):
        columns = [outline.x[c, k.number] for k in outline.stretches]
        price = max((0.0 if values[x] > 1e-7 else min(0.0, relaxed.reduced[x]) for x in columns), default=0.0)
        ceilings[one.drill.id] = relaxed.objective + price
    return ceilings


def _forbid(model: Model, choice: Choice) -> None:
    """Cut off exactly this assignment of drills to stretches."""
    chosen = choice.key()
    terms = {
        column: 1.0 if (model.candidates[c].drill.id, k) in chosen else -1.0
        for (c, k), column in model.x.items()
    }
    model.problem.row(-INF, terms, len(chosen) - 1)
