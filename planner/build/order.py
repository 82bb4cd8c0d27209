"""Putting the drills of each stretch in order, exactly.

The model leaves the order inside a stretch open. An *order* of a stretch must teach before it competes
(within every principle two drills share); across the whole practice no third hard drill may follow two
others, and drills must lie where the gym has room for them.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.build.candidates import Candidate, must_precede
from planner.build.linear import INF, Answer
from planner.build.model import Choice, Model, Placed, blocks_before

MAX_ORDERS = 5_000
"""Orders of one stretch looked at before the search gives up its claim to be exact."""

MAX_COMBINATIONS = 400
"""Combinations of orders solved for one choice of drills before it does so."""


@dataclass(frozen=True, slots=True)
class Order:
    """One order of a stretch's drills and the changes of layout it takes."""

    drills: tuple[Candidate, ...]
    changes: int


@dataclass(frozen=True, slots=True)
class Ordered:
    """A choice in order: per stretch its drills, and the model's point behind it."""

    choice: Choice
    orders: tuple[Order, ...]


def in_order(model: Model, choice: Choice) -> Ordered | None:
    """Return the choice in order with the very minutes it has, or None where no order fits them."""
    options = [_orders(model, choice, one.number)[0] for one in model.stretches]
    for stretch, orders in zip(model.stretches, options, strict=True):
        k = stretch.number
        orders[:] = [
            one for one in orders if one.changes <= choice.set_ups[k] and _has_room(model, choice, k, one)
        ]
    found = next(_combinations(model, options), None)
    return Ordered(choice, found) if found is not None else None


def best_in_order(model: Model, choice: Choice, floor: float) -> tuple[tuple[Ordered, float] | None, bool]:
    """Solve for the minutes of this choice of drills in every order that can matter.

    Returns the best one better than ``floor`` with its value, and whether all orders were tried.
    """
    best: tuple[Ordered, float] | None = None
    exact = True
    options = []
    for stretch in model.stretches:
        orders, complete = _orders(model, choice, stretch.number)
        exact &= complete
        options.append(orders)
    for tried, chosen in enumerate(_combinations(model, options)):
        if tried >= MAX_COMBINATIONS:
            return best, False
        answer = _solve_fixed(model, choice, chosen)
        exact &= answer.solved
        if answer.values is not None and answer.objective > floor:
            floor = answer.objective
            best = Ordered(model.read(answer), chosen), floor
    return best, exact


def _orders(model: Model, choice: Choice, stretch: int) -> tuple[list[Order], bool]:
    """Return the orders of a stretch that teach before they compete, one per kind that can matter."""
    drills = [one.candidate for one in choice.placed if one.stretch == stretch]
    bound = [one for one in drills if _needs_watching(model, one)]
    seen: dict[object, Order] = {}
    for count, order in enumerate(_taught_orders(drills)):
        if count >= MAX_ORDERS:
            return list(seen.values()), False
        made = Order(order, _changes(order))
        mark = tuple(one.drill.id for one in order) if bound else _profile(model, order)
        seen.setdefault((made.changes, mark), made)
    return sorted(seen.values(), key=lambda one: one.changes), True


def _taught_orders(drills: Sequence[Candidate]) -> Iterator[tuple[Candidate, ...]]:
    if not drills:
        yield ()
        return
    for first in sorted(drills, key=lambda one: (one.rank, one.drill.id)):
        rest = [one for one in drills if one is not first]
        if any(must_precede(one, first) for one in rest):
            continue
        for tail in _taught_orders(rest):
            yield (first, *tail)


def _changes(order: Sequence[Candidate]) -> int:
    return sum(one.drill.layout != two.drill.layout for one, two in itertools.pairwise(order))


def _needs_watching(model: Model, one: Candidate) -> bool:
    return model.room(one) != [(0, model.brief.minutes)]


def _profile(model: Model, order: Sequence[Candidate]) -> tuple[bool, ...]:
    """Return what of an order matters to the rule on hard drills."""
    return tuple(one.drill.effort >= model.brief.rules.high_effort for one in order)


def _has_room(model: Model, choice: Choice, stretch: int, order: Order) -> bool:
    lengths = {one.candidate.drill.id: one.minutes for one in choice.placed}
    spare = choice.set_ups[stretch] - order.changes
    at = _begin(model, choice, stretch) + spare * model.brief.rules.set_up_minutes
    before: Candidate | None = None
    for one in order.drills:
        if before is not None and before.drill.layout != one.drill.layout:
            at += model.brief.rules.set_up_minutes
        end = at + lengths[one.drill.id]
        if not any(low <= at and end <= high for low, high in model.room(one)):
            return False
        at, before = end, one
    return True


def _begin(model: Model, choice: Choice, stretch: int) -> int:
    """Return when a stretch begins, in minutes after the start of practice."""
    own = model.stretches[stretch]
    at = model.sections[own.section].start
    for one in model.stretches[:stretch]:
        if one.section == own.section:
            k = one.number
            at += sum(p.minutes for p in choice.placed if p.stretch == k)
            at += choice.set_ups[k] * model.brief.rules.set_up_minutes
            at += choice.open[k] + choice.water[k]
    return at


def _combinations(model: Model, options: Sequence[Sequence[Order]]) -> Iterator[tuple[Order, ...]]:
    """Yield one order per stretch such that no run of hard drills grows too long."""

    def extend(k: int, run: Run, chosen: tuple[Order, ...]) -> Iterator[tuple[Order, ...]]:
        if k == len(options):
            if not model.stretches or _through_blocks(model, run, len(options)) is not None:
                yield chosen
            return
        entered = _through_blocks(model, run, k)
        if entered is None:
            return
        for order in options[k]:
            after = _through_drills(model, order, entered)
            if after is not None:
                yield from extend(k + 1, after, (*chosen, order))

    yield from extend(0, Run(), ())


@dataclass(frozen=True, slots=True)
class Run:
    """Hard segments in a row so far, and whether a drill is among them (blocks alone are the coach's)."""

    length: int = 0
    drill: bool = False

    def then(self, effort: int, drill: bool, limit: int, high: int) -> Run | None:
        """Return the run after one more segment, or None where a drill makes it too long."""
        if effort < high:
            return Run()
        longer = Run(self.length + 1, self.drill or drill)
        return None if longer.drill and longer.length > limit else longer


def _through_blocks(model: Model, run: Run, k: int) -> Run | None:
    """Return the run after the blocks before stretch ``k`` (after the last stretch: those at the end)."""
    rules = model.brief.rules
    for block in blocks_before(model, k):
        after = run.then(block.effort, False, rules.high_in_a_row, rules.high_effort)
        if after is None:
            return None
        run = after
    return run


def _through_drills(model: Model, order: Order, run: Run) -> Run | None:
    rules = model.brief.rules
    for one in order.drills:
        after = run.then(one.drill.effort, True, rules.high_in_a_row, rules.high_effort)
        if after is None:
            return None
        run = after
    return run


def _solve_fixed(model: Model, choice: Choice, orders: Sequence[Order]) -> Answer:
    """Return the best minutes for these drills in these stretches and orders."""
    problem = model.problem
    mark = problem.mark()
    chosen = {(one.candidate.drill.id, one.stretch) for one in choice.placed}
    position = {one.drill.id: c for c, one in enumerate(model.candidates)}
    fixed = {column: float((model.candidates[c].drill.id, k) in chosen) for (c, k), column in model.x.items()}
    for k, order in enumerate(orders):
        problem.row(order.changes, {model.set_ups[k]: 1.0}, INF)
        _order_rows(model, k, order, position)
    answer = problem.solve(fixed=fixed)
    problem.reset(mark)
    return answer


def _order_rows(model: Model, k: int, order: Order, position: dict[str, int]) -> None:
    """Demand that each drill lie in the (only) free span that can hold it; set-up slack goes first."""
    set_up = model.brief.rules.set_up_minutes
    elapsed: list[tuple[int, float]] = [(model.begin[k], 1.0), (model.set_ups[k], float(set_up))]
    changes = 0
    for before, one in zip((None, *order.drills), order.drills, strict=False):
        changes += before is not None and before.drill.layout != one.drill.layout
        spare = float((order.changes - changes) * set_up)
        spans = model.room(one)
        length = model.minutes(position[one.drill.id], k)
        if spans != [(0, model.brief.minutes)]:
            inside = [model.problem.column(0, 1, whole=True) for _ in spans]
            model.problem.row(1, dict.fromkeys(inside, 1.0), 1)
            far = float(model.brief.minutes)
            for (low, high), column in zip(spans, inside, strict=True):
                late = [*elapsed, *length, (column, far - high)]
                model.problem.row(-INF, late, far + spare)
                if low:
                    model.problem.row(spare - far, [*elapsed, (column, -low - far)], INF)
        elapsed += length


def placed_minutes(ordered: Ordered, stretch: int) -> list[Placed]:
    """Return a stretch's drills in order with their minutes."""
    lengths = {one.candidate.drill.id: one for one in ordered.choice.placed if one.stretch == stretch}
    return [lengths[one.drill.id] for one in ordered.orders[stretch].drills]
