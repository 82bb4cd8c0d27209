"""Putting an outline on the clock just as it stands: its drills, minutes, breaks and set-ups."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from planner.build.candidates import Candidate, must_precede
from planner.build.frame import Block
from planner.build.model import EXTRA_WATER, Choice, Model, Placed
from planner.build.order import Order, Ordered, Run

MOST_STATES = 4_000
"""Half-filled practices looked at before the search gives up."""


@dataclass(frozen=True, slots=True)
class _State:
    """A practice filled up to minute ``at``: what the open section still owes, and what happened so far.

    ``laid`` holds (stretch, drill number, changes of layout before it), ``drunk`` (stretch, open, water).
    """

    part: int = 0
    at: int = 0
    rested: int = 0
    run: Run = field(default_factory=Run)
    stretch: int = 0
    layout: str | None = None
    left: frozenset[int] = frozenset()
    set_ups: int = 0
    water: int = 0
    open: int = 0
    laid: tuple[tuple[int, int, int], ...] = ()
    drunk: tuple[tuple[int, int, int], ...] = ()

    def mark(self) -> tuple[object, ...]:
        """Return what decides whether the rest can be filled."""
        return self.part, self.at, self.rested, self.run, self.stretch, self.layout, self.left


def fit(model: Model, outline: Model, choice: Choice) -> Ordered | None:
    """Return a choice of the outline in the stretches of ``model``, in order, or None where no way was found.

    None is no proof that there is no way.
    """
    return _Fitter(model, _by_section(outline, choice)).search()


def _by_section(outline: Model, choice: Choice) -> Choice:
    """Return the choice with the totals of whole sections in place of zones."""
    section = [one.section for one in outline.stretches]

    def summed(values: Sequence[int]) -> tuple[int, ...]:
        totals = [0] * len(outline.sections)
        for number, value in enumerate(values):
            totals[section[number]] += value
        return tuple(totals)

    placed = tuple(replace(one, stretch=section[one.stretch]) for one in choice.placed)
    return Choice(placed, summed(choice.set_ups), summed(choice.water), summed(choice.open))


class _Fitter:
    """A depth-first search through the minutes of the practice."""

    def __init__(self, model: Model, outline: Choice) -> None:
        self.model, self.outline = model, outline
        self.placed = sorted(outline.placed, key=lambda one: (one.candidate.rank, one.candidate.drill.id))
        numbers = range(len(self.placed))
        self.needs = [
            frozenset(j for j in numbers if must_precede(self._card(j), self._card(i))) for i in numbers
        ]

    def _card(self, number: int) -> Candidate:
        return self.placed[number].candidate

    def search(self) -> Ordered | None:
        """Return the first way found."""
        seen: set[tuple[object, ...]] = set()
        entered = self._enter(_State())
        stack = [entered] if entered else []
        while stack and len(seen) < MOST_STATES:
            state = stack.pop()
            if state.mark() in seen:
                continue
            seen.add(state.mark())
            if state.part == len(self.model.frame.parts):
                return self._written(state)
            stack.extend(reversed([*self._steps(state)]))
        return None

    def _enter(self, state: _State) -> _State | None:
        """Return the state at the next section (or the end), through the blocks before it."""
        rules = self.model.brief.rules
        parts = self.model.frame.parts
        while state.part < len(parts):
            part = parts[state.part]
            if not isinstance(part, Block):
                return self._owing(state, self.model.sections.index(part))
            if not part.own_water and part.end - state.rested > rules.water_every:
                return None
            rested = part.end if part.own_water else state.rested
            run = state.run.then(part.effort, False, rules.high_in_a_row, rules.high_effort)
            if run is None:
                return None
            state = replace(state, part=state.part + 1, at=part.end, rested=rested, run=run)
        return state if self.model.brief.minutes - state.rested <= rules.water_every else None

    def _owing(self, state: _State, section: int) -> _State:
        own = [one.number for one in self.model.stretches if one.section == section]
        return replace(
            state,
            stretch=own[0],
            layout=None,
            left=frozenset(i for i, one in enumerate(self.placed) if one.stretch == section),
            set_ups=self.outline.set_ups[section],
            water=self.outline.water[section],
            open=self.outline.open[section],
        )

    def _steps(self, state: _State) -> Iterator[_State]:
        rules = self.model.brief.rules
        end = self.model.frame.parts[state.part].end
        if not (state.left or state.water or state.set_ups) and state.at + state.open == end:
            if end - state.rested <= rules.water_every:
                drunk = (*state.drunk, (state.stretch, state.open, 0))
                through = self._enter(replace(state, part=state.part + 1, at=end, drunk=drunk))
                if through is not None:
                    yield through
            return
        for number in sorted(state.left):
            if not self._unmet(state, number):
                yield from self._run(state, number)
        yield from self._drink(state)

    def _unmet(self, state: _State, number: int) -> bool:
        done = {one for _, one, _ in state.laid}
        return not self.needs[number] <= done

    def _run(self, state: _State, number: int) -> Iterator[_State]:
        rules, one = self.model.brief.rules, self._card(number)
        change = int(state.layout is not None and state.layout != one.drill.layout)
        begin = state.at + change * rules.set_up_minutes
        end = begin + self.placed[number].minutes
        run = state.run.then(one.drill.effort, True, rules.high_in_a_row, rules.high_effort)
        if run is None or change > state.set_ups or end - state.rested > rules.water_every:
            return
        if not any(low <= begin and end <= high for low, high in self.model.room(one)):
            return
        yield replace(
            state,
            at=end,
            run=run,
            layout=one.drill.layout,
            left=state.left - {number},
            set_ups=state.set_ups - change,
            laid=(*state.laid, (state.stretch, number, change)),
        )

    def _drink(self, state: _State) -> Iterator[_State]:
        rules = self.model.brief.rules
        if self.model.stretches[state.stretch].last or not state.water:
            return
        for rest in sorted({0, state.open}):
            at = state.at + rest
            if at - state.rested > rules.water_every:
                continue
            for length in range(rules.water_minutes, rules.water_minutes + EXTRA_WATER + 1):
                left = state.water - length
                if left < 0 or 0 < left < rules.water_minutes:
                    continue
                yield replace(
                    state,
                    at=at + length,
                    rested=at + length,
                    stretch=state.stretch + 1,
                    layout=None,
                    water=left,
                    open=state.open - rest,
                    drunk=(*state.drunk, (state.stretch, rest, length)),
                )

    def _written(self, state: _State) -> Ordered:
        stretches = range(len(self.model.stretches))
        rests = {k: (spare, length) for k, spare, length in state.drunk}
        orders = []
        for k in stretches:
            own = [(number, change) for stretch, number, change in state.laid if stretch == k]
            orders.append(
                Order(tuple(self._card(number) for number, _ in own), sum(change for _, change in own))
            )
        choice = Choice(
            tuple(Placed(self._card(n), k, self.placed[n].minutes) for k, n, _ in state.laid),
            tuple(one.changes for one in orders),
            tuple(rests.get(k, (0, 0))[1] for k in stretches),
            tuple(rests.get(k, (0, 0))[0] for k in stretches),
        )
        return Ordered(choice, tuple(orders))
