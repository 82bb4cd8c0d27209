"""The practice as a mixed-integer model: which drill in which stretch for how many minutes.

A *stretch* is what lies between two water breaks (or blocks). The model decides the drills of each stretch,
their minutes, the layouts used (hence the set-ups), the breaks and the clock; only the order inside a
stretch is left open, and every row is a necessary condition on it. So the model's optimum is a bound on every
real plan, and it is reached when its choice can be put in order (``planner.build.order``).
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass, field

from planner.build.brief import Brief
from planner.build.candidates import Candidate, halves_at, must_precede
from planner.build.frame import Block, Frame, Section
from planner.build.linear import INF, Answer, Linear

OPEN_COST = 1e-3
"""Worth lost per open minute, so that open time is used only where nothing fits."""

TIE = 1e-6
"""Worth that separates equal plans: the drill that comes first by id wins."""

MAX_SET_UPS = 8
"""Most changes of layout in one stretch."""

EXTRA_WATER = 2
"""Minutes by which a break may be stretched so that the clock adds up."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch: its number, its section's number, and whether it is the first or last in it."""

    number: int
    section: int
    first: bool
    last: bool


@dataclass(frozen=True, slots=True)
class Placed:
    """A drill in a stretch for whole minutes."""

    candidate: Candidate
    stretch: int
    minutes: int


@dataclass(frozen=True, slots=True)
class Choice:
    """What the model chose: drills per stretch, set-up minutes per stretch, breaks after it, open minutes.

    ``water[k]`` is the length of the break after stretch k (0: none); ``open[k]`` the open minutes at
    its end, before that break.
    """

    placed: tuple[Placed, ...]
    set_ups: tuple[int, ...]
    water: tuple[int, ...]
    open: tuple[int, ...]

    def key(self) -> frozenset[tuple[str, int]]:
        """Return which drill is in which stretch."""
        return frozenset((one.candidate.drill.id, one.stretch) for one in self.placed)


@dataclass(slots=True)
class Model:
    """The model and the names of its columns."""

    brief: Brief
    frame: Frame
    candidates: tuple[Candidate, ...]
    stretches: tuple[Stretch, ...]
    sections: tuple[Section, ...]
    spans: Mapping[int, list[tuple[int, int]]]
    problem: Linear = field(default_factory=Linear)
    x: dict[tuple[int, int], int] = field(default_factory=dict)
    extra: dict[tuple[int, int], int] = field(default_factory=dict)
    set_ups: list[int] = field(default_factory=list)
    layout: dict[tuple[int, str], int] = field(default_factory=dict)
    begin: list[int] = field(default_factory=list)
    end: list[int] = field(default_factory=list)
    water: dict[int, int] = field(default_factory=dict)
    water_length: dict[int, int] = field(default_factory=dict)
    open: list[int] = field(default_factory=list)

    def minutes(self, candidate: int, stretch: int) -> list[tuple[int, float]]:
        """Return the terms that make up a drill's minutes in a stretch."""
        one = self.candidates[candidate]
        return [(self.x[candidate, stretch], one.low), (self.extra[candidate, stretch], float(one.step))]

    def taught(self, candidate: int, stretch: int) -> list[tuple[int, float]]:
        """Return the terms that make up the minutes of them that teach."""
        one = self.candidates[candidate]
        least = float(one.low - one.idle)
        return [(self.x[candidate, stretch], least), (self.extra[candidate, stretch], float(one.step))]

    def room(self, one: Candidate) -> list[tuple[int, int]]:
        """Return the spans in which a drill may lie: baskets are open and the players there suit it."""
        spans = self.spans[one.halves]
        if not one.room:
            return spans
        both = ((max(a, c), min(b, d)) for a, b in spans for c, d in one.room)
        return [(low, high) for low, high in both if low < high]

    def form(self, one: Candidate, stretch: int) -> Candidate:
        """Return the form in which a drill runs in a stretch: in two groups where both baskets stay open."""
        section = self.sections[self.stretches[stretch].section]
        if one.twin and any(low <= section.start and section.end <= high for low, high in self.spans[2]):
            return one.twin
        return one

    def read(self, answer: Answer) -> Choice:
        """Return the solver's point as a choice, rounded to the whole numbers it stands for."""
        values = answer.values
        assert values is not None
        placed = []
        for (c, k), column in self.x.items():
            if values[column] > 0.5:
                one = self.candidates[c]
                minutes = one.low + one.step * round(values[self.extra[c, k]])
                placed.append(Placed(self.form(one, k), k, minutes))
        return Choice(
            tuple(placed),
            tuple(round(values[one]) for one in self.set_ups),
            tuple(
                round(values[self.water_length[one.number]]) if one.number in self.water_length else 0
                for one in self.stretches
            ),
            tuple(round(values[one]) for one in self.open),
        )


def lay_out(brief: Brief, frame: Frame, candidates: tuple[Candidate, ...]) -> Model:
    """Return columns, clock, breaks and layouts for the given candidates (rules.py adds the rest)."""
    sections = frame.sections
    spans = {halves: free_spans(brief, halves) for halves in (1, 2)}
    model = Model(brief, frame, candidates, _stretches(sections), sections, spans)
    drill_columns(model)
    _layout_rows(model)
    _clock_rows(model)
    _water_rows(model)
    _break_count_rows(model)
    return model


def _stretches(sections: tuple[Section, ...]) -> tuple[Stretch, ...]:
    made: list[Stretch] = []
    for number, section in enumerate(sections):
        for one in range(section.waters + 1):
            made.append(Stretch(len(made), number, first=one == 0, last=one == section.waters))
    return tuple(made)


def drill_columns(model: Model) -> None:
    """Add the columns that say which drill is in which stretch and for how long."""
    problem = model.problem
    for c, one in enumerate(model.candidates):
        for stretch in model.stretches:
            k = stretch.number
            x = problem.column(0, 1, -TIE * one.tie, whole=True)
            steps = (one.high - one.low) // one.step
            extra = problem.column(0, steps, whole=True)
            model.x[c, k], model.extra[c, k] = x, extra
            problem.row(-INF, {extra: 1.0, x: -float(steps)}, 0)
        terms = {model.x[c, stretch.number]: 1.0 for stretch in model.stretches}
        problem.row(1 if one.pinned else 0, terms, 1)
    _once_rows(model)


def _once_rows(model: Model) -> None:
    """Let a drill run in one form only, and where stations are wanted demand a block of them."""
    forms: dict[str, list[int]] = {}
    for c, one in enumerate(model.candidates):
        for card in one.drills:
            forms.setdefault(card.id, []).append(c)
    for own in forms.values():
        if len(own) > 1:
            once = {model.x[c, one.number]: 1.0 for c in own for one in model.stretches}
            model.problem.row(0, once, 1)
    _contrary_rows(model)
    if model.brief.stations:
        pairs = [c for c, one in enumerate(model.candidates) if len(one.drills) > 1]
        model.problem.row(1, {model.x[c, k.number]: 1.0 for c in pairs for k in model.stretches}, INF)


def _contrary_rows(model: Model) -> None:
    """Keep apart a station block and a drill that would each have to come before the other."""
    for c, one in enumerate(model.candidates):
        if len(one.drills) < 2:
            continue
        for e, other in enumerate(model.candidates):
            if e != c and must_precede(one, other) and must_precede(other, one):
                both = {model.x[n, k.number]: 1.0 for n in (c, e) for k in model.stretches}
                model.problem.row(-INF, both, 1)


def _layout_rows(model: Model) -> None:
    """Demand at least as many changes of layout as layouts used, less one."""
    problem = model.problem
    for stretch in model.stretches:
        k = stretch.number
        set_up = problem.column(0, MAX_SET_UPS, -2 * OPEN_COST, whole=True)
        model.set_ups.append(set_up)
        problem.row(-INF, {**layout_columns(model, k), set_up: -1.0}, 1)


def layout_columns(model: Model, k: int) -> dict[int, float]:
    """Add a column per layout that says whether bin ``k`` uses it; return them as terms of their number."""
    used: dict[int, float] = {}
    for layout in sorted({one.drill.layout for one in model.candidates}):
        column = model.problem.column(0, 1)
        model.layout[k, layout] = column
        used[column] = 1.0
        for c, one in enumerate(model.candidates):
            if one.drill.layout == layout:
                model.problem.row(0, {column: 1.0, model.x[c, k]: -1.0}, INF)
    return used


def _clock_rows(model: Model) -> None:
    problem, rules = model.problem, model.brief.rules
    for number, section in enumerate(model.sections):
        own = [one for one in model.stretches if one.section == number]
        for stretch in own:
            k = stretch.number
            low, high = section.start, section.end
            model.begin.append(problem.column(low, low if stretch.first else high))
            model.end.append(problem.column(low, high))
            terms = [(model.end[k], -1.0), (model.begin[k], 1.0)]
            model.open.append(problem.column(0, section.minutes, -OPEN_COST, whole=True))
            terms += [(model.set_ups[k], float(rules.set_up_minutes)), (model.open[k], 1.0)]
            for c in range(len(model.candidates)):
                terms += model.minutes(c, k)
            problem.row(0, terms, 0)
            if not stretch.last:
                model.water[k] = problem.column(0, 1, whole=True)
                model.water_length[k] = problem.column(0, rules.water_minutes + EXTRA_WATER, -TIE, whole=True)
        for before, after in itertools.pairwise(own):
            k = before.number
            chain = {model.begin[after.number]: 1.0, model.end[k]: -1.0, model.water_length[k]: -1.0}
            problem.row(0, chain, 0)
        problem.row(section.end, {model.end[own[-1].number]: 1.0}, section.end)


def _water_rows(model: Model) -> None:
    """``rested`` is when the last break ended; it needs no lower bound."""
    problem, rules = model.problem, model.brief.rules
    reach = rules.water_every + rules.water_minutes + EXTRA_WATER
    rested = problem.column(0, 0)
    for part in model.frame.parts:
        if isinstance(part, Block):
            if part.own_water:
                rested = problem.column(part.end, part.end)
            else:
                problem.row(part.end - rules.water_every, {rested: 1.0}, INF)
            continue
        number = model.sections.index(part)
        for stretch in (one for one in model.stretches if one.section == number):
            k = stretch.number
            problem.row(-INF, {model.end[k]: 1.0, rested: -1.0}, rules.water_every)
            if stretch.last:
                continue
            used, length = model.water[k], model.water_length[k]
            problem.row(0, {length: 1.0, used: -float(rules.water_minutes)}, INF)
            problem.row(-INF, {length: 1.0, used: -float(rules.water_minutes + EXTRA_WATER)}, 0)
            if not stretch.first:
                problem.row(0, {model.water[k - 1]: 1.0, used: -1.0}, INF)
            for c in range(len(model.candidates)):
                problem.row(-INF, {model.x[c, k + 1]: 1.0, used: -1.0}, 0)
            later = problem.column(0, model.brief.minutes)
            problem.row(-INF, {later: 1.0, rested: -1.0, used: -float(reach)}, 0)
            problem.row(-INF, {later: 1.0, model.begin[k + 1]: -1.0}, 0)
            rested = later
        problem.row(part.end - rules.water_every, {rested: 1.0}, INF)


def _break_count_rows(model: Model) -> None:
    """Demand, for every run of parts, the breaks that its length alone makes necessary."""
    rules = model.brief.rules
    parts = model.frame.parts
    reach = rules.water_every + rules.water_minutes + EXTRA_WATER
    for first, one in enumerate(parts):
        breaks: dict[int, float] = {}
        for last in parts[first:]:
            if isinstance(last, Block) and last.own_water:
                break
            if isinstance(last, Section):
                number = model.sections.index(last)
                breaks |= {
                    model.water[k.number]: 1.0 for k in model.stretches if k.section == number and not k.last
                }
            needed = -((last.end - one.start - rules.water_every) // -reach)
            if needed > 0 and breaks:
                model.problem.row(needed, breaks, INF)


def free_spans(brief: Brief, halves: int) -> list[tuple[int, int]]:
    """Return the spans (minutes after the start) in which at least ``halves`` half courts are free."""
    spans: list[tuple[int, int]] = []
    for minute in range(brief.minutes):
        if halves_at(brief, brief.start + minute) < halves:
            continue
        if spans and spans[-1][1] == minute:
            spans[-1] = (spans[-1][0], minute + 1)
        else:
            spans.append((minute, minute + 1))
    return spans


def blocks_before(model: Model, stretch: int) -> list[Block]:
    """Return the blocks just before a stretch; after the last one for its number plus one."""
    sections, stretches = model.sections, model.stretches
    if stretch == len(stretches):
        start, end = (sections[-1].end if sections else 0), model.brief.minutes
    elif stretches[stretch].first:
        number = stretches[stretch].section
        start, end = (sections[number - 1].end if number else 0), sections[number].start
    else:
        return []
    return [block for block in model.frame.blocks if start <= block.start < end]
