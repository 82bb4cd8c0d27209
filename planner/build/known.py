"""What a search holds: the plan in hand, the bound on every plan, and what it learnt on the way.

An outline may be put on the clock as it stands; drills may be planned by the clock to the end (the stretches
between two breaks). Drills that leave each other no order are cut off from every later outline, with all that
fail for the same reason.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from planner.build.brief import Brief
from planner.build.candidates import Candidate
from planner.build.cuts import Cut, Finder, add_cut
from planner.build.fitting import fit
from planner.build.frame import Frame
from planner.build.linear import INF, Answer, Effort
from planner.build.model import Choice, Model, Stretch, lay_out
from planner.build.order import Ordered, best_in_order, in_order
from planner.build.outline import build_outline
from planner.build.rules import add_rules

CLOSE_DRILLS = 12
"""Drills planned by the clock when an outline does not fit as it stands."""

MAX_ROUNDS = 60
"""Choices put in order before the search stops with a gap."""

MAX_NODES = 20_000
CLOSE_NODES = 2_000
"""Branching nodes of one run, and of one close look: limits that are the same on every machine."""

EPSILON = 1e-6
"""Worth below which two plans count as equal."""


def build_model(brief: Brief, frame: Frame, candidates: Sequence[Candidate]) -> Model:
    """Return the model by the clock; it may choose drills that no order suits."""
    model = lay_out(brief, frame, tuple(candidates))
    add_rules(model)
    return model


@dataclass(slots=True)
class Known:
    """The best plan so far with its worth, and what is known of all others.

    ``ceilings`` maps drill id to a worth that no plan with that drill exceeds; ``closed`` are sets of drills
    whose plans are all known to be no better than the one in hand. With ``any_plan`` one plan is enough; with
    an ``effort`` the one in hand is, once that is spent.
    """

    brief: Brief
    frame: Frame
    any_plan: bool = False
    effort: Effort | None = None
    best: tuple[Model, Ordered] | None = None
    value: float = -INF
    bound: float = INF
    ceilings: dict[str, float] = field(default_factory=dict)
    cuts: dict[Cut, None] = field(default_factory=dict)
    closed: list[frozenset[str]] = field(default_factory=list)
    finder: Finder = field(init=False)

    @property
    def enough(self) -> bool:
        """Return whether the search has what it was sent for."""
        spent = self.effort is not None and self.effort.spent
        return (self.any_plan or spent) and self.best is not None

    def limit(self) -> Effort | None:
        """Return what the next run of the solver may spend; the first plan is sought whatever it takes."""
        return self.effort if self.best is not None else None

    @property
    def floor(self) -> float:
        """Return the worth that a plan must exceed to be better than the one in hand."""
        return self.value + EPSILON

    def take(self, model: Model, ordered: Ordered, value: float) -> None:
        """Take a plan as the best in hand."""
        self.best, self.value = (model, ordered), value

    def outline(self, candidates: Sequence[Candidate]) -> Model:
        """Return the outline of these drills with all that was learnt so far."""
        outline = build_outline(self.brief, self.frame, tuple(candidates))
        for cut in self.cuts:
            add_cut(outline, cut)
        for one in self.closed:
            beside(outline, one)
        return outline

    def learn(self, outline: Model, choice: Choice) -> bool:
        """Cut off a choice whose drills have no order, here and from now on; return whether it had none."""
        found = self.finder.broken(choice)
        self.cuts |= dict.fromkeys(found)
        for cut in found:
            add_cut(outline, cut)
        return bool(found)

    def reprice(self, candidates: Sequence[Candidate]) -> tuple[Candidate, ...]:
        """Price the drills again with all that was learnt and return those still worth keeping."""
        left = self._worth_keeping(candidates)
        return self._priced(self.outline(left), left)

    def reprice_by_clock(self, candidates: Sequence[Candidate]) -> tuple[Candidate, ...]:
        """Return the drills still worth keeping by their price on the clock."""
        return self._priced(build_model(self.brief, self.frame, candidates), candidates)

    def _priced(self, model: Model, candidates: Sequence[Candidate]) -> tuple[Candidate, ...]:
        relaxed = model.problem.solve(relaxed=True)
        if relaxed.values is None:
            return tuple(candidates)
        for name, ceiling in ceilings_of(model, relaxed).items():
            self.ceilings[name] = max(self.value, min(self.ceilings[name], ceiling))
        return self._worth_keeping(candidates)

    def _worth_keeping(self, candidates: Sequence[Candidate]) -> tuple[Candidate, ...]:
        """Return the candidates that could still be part of a plan better than the one in hand."""
        return tuple(one for one in candidates if one.pinned or self.ceilings[one.drill.id] > self.floor)

    def fits(self, outline: Model, choice: Choice, candidates: Sequence[Candidate], value: float) -> bool:
        """Put an outline on the clock as it stands, as the best plan; return whether it could be."""
        names = {one.candidate.drill.id for one in choice.placed}
        used = [one for one in candidates if one.drill.id in names]
        model = build_model(self.brief, self.frame, used)
        ordered = fit(model, outline, choice)
        if ordered is not None:
            self.take(model, ordered, value)
        return ordered is not None

    def look(self, candidates: Sequence[Candidate], choice: Choice) -> bool:
        """Plan the drills chosen and a few more by the clock; return whether that was done to the end."""
        close = self._close(candidates, choice)
        if self.by_clock(close, CLOSE_NODES) > self.floor:
            return False
        self.closed.append(frozenset(one.drill.id for one in close))
        return True

    def _close(self, candidates: Sequence[Candidate], choice: Choice) -> list[Candidate]:
        """Return the drills chosen and the most promising others, in their usual order."""
        names = {one.candidate.drill.id for one in choice.placed}
        ranked = sorted(
            candidates,
            key=lambda one: (one.drill.id not in names, -self.ceilings[one.drill.id], one.drill.id),
        )
        return sorted(ranked[: max(CLOSE_DRILLS, len(names))], key=lambda one: one.drill.id)

    def by_clock(self, candidates: Sequence[Candidate], nodes: int, effort: Effort | None = None) -> float:
        """Plan these drills by the clock, for an effort if given, and return the bound on their plans."""
        model = build_model(self.brief, self.frame, candidates)
        for cut in self.cuts:
            wide = _by_stretches(self.finder.model.stretches, model, cut)
            if wide is not None:
                add_cut(model, wide)
        finder = Finder(model)
        bound = INF
        for _ in range(MAX_ROUNDS):
            if self.enough:
                break
            answer = model.problem.solve(
                gap=0.0, nodes=nodes, floor=self.floor, effort=effort or self.limit()
            )
            bound = min(bound, answer.bound)
            if self.beaten(answer, bound) or not self._by_order(finder, answer):
                break
            if bound <= self.floor or not answer.solved:
                break
        return bound

    def beaten(self, answer: Answer, bound: float) -> bool:
        """Return whether an answer holds nothing better than the plan in hand."""
        return answer.values is None or answer.objective <= self.value or bound <= self.floor

    def _by_order(self, finder: Finder, answer: Answer) -> bool:
        """Put a choice in order, or learn why it has none; return whether another may be sought."""
        model = finder.model
        choice = model.read(answer)
        ordered = in_order(model, choice)
        if ordered is not None:
            self.take(model, ordered, answer.objective)
            return True
        found = finder.broken(choice)
        for cut in found:
            add_cut(model, cut)
        if found:
            return True
        best, exact = best_in_order(model, choice, self.value)
        if best is not None:
            self.take(model, *best)
        _forbid(model, choice)
        return exact


def ceilings_of(outline: Model, relaxed: Answer) -> dict[str, float]:
    """Return drill id -> the most that a plan with it can be worth, by its price in the relaxed outline."""
    values = relaxed.values or []
    ceilings = {}
    for c, one in enumerate(outline.candidates):
        columns = [outline.x[c, k.number] for k in outline.stretches]
        price = max((0.0 if values[x] > 1e-7 else min(0.0, relaxed.reduced[x]) for x in columns), default=0.0)
        ceilings[one.drill.id] = relaxed.objective + price
    return ceilings


def beside(outline: Model, closed: frozenset[str]) -> None:
    """Demand a drill that is not among those planned to the end already."""
    terms = {
        column: 1.0 for (c, _), column in outline.x.items() if outline.candidates[c].drill.id not in closed
    }
    outline.problem.row(1, terms, INF)


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


def _forbid(model: Model, choice: Choice) -> None:
    """Cut off exactly this assignment of drills to stretches."""
    chosen = choice.key()
    terms = {
        column: 1.0 if (model.candidates[c].drill.id, k) in chosen else -1.0
        for (c, k), column in model.x.items()
    }
    model.problem.row(-INF, terms, len(chosen) - 1)
