"""Rows that hard drills and stages make necessary together, found where a choice breaks them.

Only so many hard drills may follow one another, and an easier drill parts them only where it may stand
between them: one that must come before all of them (or after all) for its stage does not. Taking a hard
drill out of a sound order, or putting an easier one in, leaves it sound. So where a group of hard drills
finds no order among some easier ones, fewer of the group may run, or others that can part it must.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
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


def broken_cuts(model: Model, choice: Choice) -> list[Cut]:
    """Return cuts that the choice breaks; none where hard drills and stages leave it an order."""
    return Finder(model).broken(choice)


class Finder:
    """Looks for the cuts of one model; remembers which drill must precede which."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.numbers = {one.drill.id: c for c, one in enumerate(model.candidates)}
        self.later = _later(model)
        self.places: dict[tuple[int, int, bool], _Place] = {}

    def broken(self, choice: Choice) -> list[Cut]:
        """Return the cuts that a choice of this model's drills breaks."""
        placed = sorted((one.stretch, self.numbers[one.candidate.drill.id]) for one in choice.placed)
        found: dict[Cut, None] = {}
        for exact in (False, True):
            for first in range(len(self.model.stretches)):
                for last in range(first, len(self.model.stretches)):
                    if last > first and _parted(self.model, last):
                        break
                    place = self._place(first, last, exact)
                    here = [place.at(c, k) for k, c in placed if first <= k <= last]
                    cut = place.cut(here)
                    if cut is not None:
                        found[cut] = None
            if found:
                break
        return list(found)

    def _place(self, first: int, last: int, exact: bool) -> _Place:
        key = first, last, exact
        if key not in self.places:
            self.places[key] = _Place(self.model, self.later, first, last, exact)
        return self.places[key]


def _later(model: Model) -> list[int]:
    """Return for each drill the mask of those that it must precede."""
    cards = model.candidates
    return [sum(1 << d for d, other in enumerate(cards) if must_precede(one, other)) for one in cards]


def _parted(model: Model, stretch: int) -> bool:
    """Return whether an easier block lies just before the stretch."""
    high = model.brief.rules.high_effort
    return any(one.effort < high for one in blocks_before(model, stretch))


def _bits(mask: int) -> Iterator[int]:
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


class _Place:
    """A run of stretches, and every drill that may stand somewhere in it.

    Each such item has a number; sets of them are masks with a bit for each.
    """

    def __init__(self, model: Model, later: Sequence[int], first: int, last: int, exact: bool) -> None:
        self.model, self.first = model, first
        self.limit = model.brief.rules.high_in_a_row
        cards = model.candidates
        spans = [(k, k) for k in range(first, last + 1)] if exact else [(first, last)]
        self.width = len(cards) if exact else 0
        self.items = [Item(c, *span) for span in spans for c in range(len(cards))]
        high = model.brief.rules.high_effort
        self.hard = sum(1 << i for i, one in enumerate(self.items) if cards[one.number].drill.effort >= high)
        everyone = (1 << len(cards)) - 1
        self.after = []
        for at in range(len(spans)):
            rest = sum(everyone << len(cards) * other for other in range(at + 1, len(spans)))
            self.after += [own << len(cards) * at | rest for own in later]
        self.before = [0] * len(self.items)
        for i, mask in enumerate(self.after):
            for j in _bits(mask):
                self.before[j] |= 1 << i

    def at(self, number: int, stretch: int) -> int:
        """Return the item of a drill in a stretch of this run."""
        return number + self.width * (stretch - self.first)

    def sound(self, items: int) -> bool:
        """Return whether the items have an order without too many hard ones in a row.

        What stages alone leave no order is not found fault with here.
        """
        return self._ordered(items, self.limit) or not self._ordered(items, len(self.items))

    def _ordered(self, items: int, limit: int) -> bool:
        own = [(1 << i, self.before[i] & items, bool(self.hard >> i & 1)) for i in _bits(items)]
        seen: set[tuple[int, int]] = set()
        stack = [(0, 0)]
        while stack:
            state = stack.pop()
            if state in seen:
                continue
            seen.add(state)
            done, run = state
            if done == items:
                return True
            for bit, needs, hard in own:
                if not done & bit and not needs & ~done:
                    if not hard:
                        stack.append((done | bit, 0))
                    elif run < limit:
                        stack.append((done | bit, run + 1))
        return False

    def aside(self, one: int, group: int) -> bool:
        """Return whether an item must come before all of a group, or after all of it."""
        return (
            self._reached(one, group, self.after) == group or self._reached(one, group, self.before) == group
        )

    def _reached(self, one: int, group: int, onward: Sequence[int]) -> int:
        """Return those of a group that must come after (or before) an item, some by way of others."""
        found = onward[one] & group
        front = found
        while front:
            low = front & -front
            front ^= low
            new = onward[low.bit_length() - 1] & group & ~found
            found |= new
            front |= new
        return found

    def cut(self, here: Sequence[int]) -> Cut | None:
        """Return a cut that some items break, or None where they have an order."""
        chosen = sum(1 << i for i in here)
        easy, group = chosen & ~self.hard, chosen & self.hard
        if group.bit_count() <= self.limit or len(here) > MOST_ITEMS or self.sound(chosen):
            return None
        for one in _bits(group):
            fewer = group & ~(1 << one)
            if not self.sound(fewer | easy):
                group = fewer
        parting = sum(1 << e for e in self._others(easy | self.hard) if not self.aside(e, group))
        for one in sorted(_bits(parting), key=lambda i: (self.items[i].number, self.items[i].first)):
            few = group.bit_count() + easy.bit_count() < MOST_ITEMS - 2
            if few and not self.sound(group | easy | 1 << one):
                easy |= 1 << one
        parting &= ~easy
        size = group.bit_count()
        for one in self._others(~self.hard | group):
            group = self._widened(group, size, one, easy, parting)
        return self._written(group, parting, size)

    def _others(self, known: int) -> list[int]:
        return [i for i in range(len(self.items)) if not known >> i & 1]

    def _widened(self, group: int, size: int, one: int, easy: int, parting: int) -> int:
        """Add a hard item to the group where every ``size`` of it are as unsound with the same easy ones."""
        number = self.items[one].number
        if any(self.items[other].number == number for other in _bits(group)):
            return group
        aside = self._others(self.hard | parting | easy)
        for tried, some in enumerate(itertools.combinations(list(_bits(group)), size - 1)):
            whole = sum(1 << i for i in some) | 1 << one
            if tried > MOST_GROUPS or self.sound(whole | easy):
                return group
            if not all(self.aside(e, whole) for e in aside):
                return group
        return group | 1 << one

    def _written(self, group: int, parting: int, size: int) -> Cut:
        def named(items: int) -> frozenset[tuple[str, int, int]]:
            return frozenset(
                (self._name(one), one.first, one.last) for one in map(self.items.__getitem__, _bits(items))
            )

        each = min(self.limit, group.bit_count() - size + 1)
        return Cut(named(group), named(parting), size - 1, each)

    def _name(self, one: Item) -> str:
        return self.model.candidates[one.number].drill.id
