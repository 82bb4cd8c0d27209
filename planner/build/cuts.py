"""Rows that hard drills and stages make necessary together, found where a choice breaks them.

Only so many hard drills may follow one another, and an easier drill parts them only where it may stand
between them: one that must come before all of them (or after all) for its stage does not. Taking a hard
drill out of a sound order, or putting an easier one in, leaves it sound. So where a group of hard drills
finds no order among some easier ones, fewer of the group may run, or others that can part it must.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planner.build.candidates import must_precede
from planner.build.linear import INF
from planner.build.model import Choice, Model, blocks_before

MOST_ITEMS = 12
"""Drills whose orders are looked at together."""

MOST_GROUPS = 60
"""Groups tried to widen one row."""


@dataclass(frozen=True, slots=True)
class Item:
    """A drill (by its number) somewhere in stretches ``first`` to ``last``."""

    number: int
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Cut:
    """Of the ``hard`` at most ``limit`` run, and ``each`` more for every one of the ``easy`` that does.

    Both hold (drill id, first stretch, last stretch).
    """

    hard: frozenset[tuple[str, int, int]]
    easy: frozenset[tuple[str, int, int]]
    limit: int
    each: int


def add_cut(model: Model, cut: Cut) -> None:
    """Add the cut to a model with the same stretches as the one in which it was found."""
    numbers = {one.drill.id: c for c, one in enumerate(model.candidates)}
    terms: dict[int, float] = {}
    for factor, items in ((1.0, cut.hard), (-float(cut.each), cut.easy)):
        for name, first, last in items:
            if name in numbers:
                terms |= {model.x[numbers[name], k]: factor for k in range(first, last + 1)}
    model.problem.row(-INF, terms, cut.limit)


def broken_cuts(model: Model, choice: Choice, usable: Iterable[int] | None = None) -> list[Cut]:
    """Return cuts that the choice breaks; none where hard drills and stages leave it an order.

    ``usable`` are the numbers of the candidates that still count (None: all).
    """
    finder = _Finder(model, sorted(usable) if usable is not None else list(range(len(model.candidates))))
    numbers = {one.drill.id: c for c, one in enumerate(model.candidates)}
    placed = sorted((one.stretch, numbers[one.candidate.drill.id]) for one in choice.placed)
    found: dict[Cut, None] = {}
    for exact in (False, True):
        for first in range(len(model.stretches)):
            for last in range(first, len(model.stretches)):
                if last > first and _parted(model, last):
                    break
                here = [
                    Item(c, k, k) if exact else Item(c, first, last) for k, c in placed if first <= k <= last
                ]
                cut = finder.cut(here, first, last, exact)
                if cut is not None:
                    found[cut] = None
        if found:
            break
    return list(found)


def _parted(model: Model, stretch: int) -> bool:
    """Return whether an easier block lies just before the stretch."""
    high = model.brief.rules.high_effort
    return any(one.effort < high for one in blocks_before(model, stretch))


class _Finder:
    """Looks for cuts in one model; remembers which drill must precede which."""

    def __init__(self, model: Model, usable: Sequence[int]) -> None:
        self.model = model
        self.usable = usable
        self.limit = model.brief.rules.high_in_a_row
        high = model.brief.rules.high_effort
        self.hard = [one.drill.effort >= high for one in model.candidates]
        self.known: dict[tuple[int, int], bool] = {}

    def before(self, one: Item, other: Item) -> bool:
        """Return whether one item must come before another."""
        if one.last < other.first:
            return True
        if other.last < one.first:
            return False
        key = one.number, other.number
        if key not in self.known:
            cards = self.model.candidates
            self.known[key] = must_precede(cards[one.number], cards[other.number])
        return self.known[key]

    def sound(self, items: Sequence[Item]) -> bool:
        """Return whether the items have an order without too many hard ones in a row.

        What stages alone leave no order is not found fault with here.
        """
        return self._ordered(items, self.limit) or not self._ordered(items, len(items))

    def _ordered(self, items: Sequence[Item], limit: int) -> bool:
        count = len(items)
        needs = [sum(1 << j for j in range(count) if self.before(items[j], items[i])) for i in range(count)]
        hard = [self.hard[one.number] for one in items]
        seen: set[tuple[int, int]] = set()
        stack = [(0, 0)]
        while stack:
            state = stack.pop()
            if state in seen:
                continue
            seen.add(state)
            done, run = state
            if done == (1 << count) - 1:
                return True
            for i in range(count):
                if not done >> i & 1 and not needs[i] & ~done:
                    if not hard[i]:
                        stack.append((done | 1 << i, 0))
                    elif run < limit:
                        stack.append((done | 1 << i, run + 1))
        return False

    def aside(self, one: Item, group: Sequence[Item]) -> bool:
        """Return whether an item must come before all of a group, or after all of it."""
        return any(self._reached(one, group, later) == len(group) for later in (True, False))

    def _reached(self, one: Item, group: Sequence[Item], later: bool) -> int:
        """Return how many of a group must come after (or before) an item, some by way of others."""
        found: set[Item] = set()
        front = [one]
        while front:
            here = front.pop()
            for other in group:
                if other not in found and (self.before(here, other) if later else self.before(other, here)):
                    found.add(other)
                    front.append(other)
        return len(found)

    def cut(self, here: Sequence[Item], first: int, last: int, exact: bool) -> Cut | None:
        """Return a cut that the items of a run of stretches break, or None where they have an order."""
        easy = [one for one in here if not self.hard[one.number]]
        group = [one for one in here if self.hard[one.number]]
        if len(group) <= self.limit or len(here) > MOST_ITEMS or self.sound(here):
            return None
        for one in list(group):
            fewer = [other for other in group if other is not one]
            if not self.sound([*fewer, *easy]):
                group = fewer
        places = [(k, k) for k in range(first, last + 1)] if exact else [(first, last)]
        others = [Item(c, *place) for place in places for c in self.usable]
        parting = {
            one
            for one in others
            if not self.hard[one.number] and one not in easy and not self.aside(one, group)
        }
        for one in sorted(parting, key=lambda one: (one.number, one.first)):
            if len(group) + len(easy) < MOST_ITEMS - 2 and not self.sound([*group, *easy, one]):
                easy.append(one)
        parting.difference_update(easy)
        size = len(group)
        for one in others:
            if self.hard[one.number] and one not in group:
                self._widen(group, size, one, easy, parting, others)
        return self._written(group, parting, size)

    def _widen(
        self,
        group: list[Item],
        size: int,
        one: Item,
        easy: Sequence[Item],
        parting: set[Item],
        others: Sequence[Item],
    ) -> None:
        """Add a hard item to the group where every ``size`` of it are as unsound with the same easy ones."""
        if any(one.number == other.number for other in group):
            return
        aside = [e for e in others if not self.hard[e.number] and e not in parting and e not in easy]
        for tried, some in enumerate(itertools.combinations(group, size - 1)):
            whole = (*some, one)
            if tried > MOST_GROUPS or self.sound([*whole, *easy]):
                return
            if not all(self.aside(e, whole) for e in aside):
                return
        group.append(one)

    def _written(self, group: Sequence[Item], parting: Iterable[Item], size: int) -> Cut:
        def named(items: Iterable[Item]) -> frozenset[tuple[str, int, int]]:
            return frozenset((self._name(one), one.first, one.last) for one in items)

        each = min(self.limit, len(group) - size + 1)
        return Cut(named(group), named(parting), size - 1, each)

    def _name(self, one: Item) -> str:
        return self.model.candidates[one.number].drill.id
