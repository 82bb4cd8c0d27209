"""The practice in outline: which drill begins in which zone and for how many minutes, before any clock.

A *zone* is a section, or a part of one during which the room in the gym stays the same. Zones take the place
of the stretches between two breaks, so the model is small and has next to no equal copies of one plan. Breaks
and set-ups enter as totals, and what begins in one zone may reach into the next. Each row is a necessary
condition on every practice, so the outline's optimum is a bound, and its drills are worth a close look.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from planner.build.brief import Brief
from planner.build.candidates import Candidate, halves_at, must_precede
from planner.build.frame import Block, Frame, Section
from planner.build.linear import INF
from planner.build.model import (
    EXTRA_WATER,
    MAX_SET_UPS,
    OPEN_COST,
    TIE,
    Model,
    Stretch,
    drill_columns,
    free_spans,
    layout_columns,
)
from planner.build.rules import add_rules


@dataclass(frozen=True, slots=True)
class Zone:
    """From ``start`` to ``end`` (minutes after the practice begins) there are ``halves`` half courts."""

    section: int
    start: int
    end: int
    halves: int


def build_outline(brief: Brief, frame: Frame, candidates: tuple[Candidate, ...]) -> Model:
    """Return the outline; its stretches are the zones."""
    sections = frame.sections
    zones = [zone for number, one in enumerate(sections) for zone in _zones(brief, number, one)]
    stretches = tuple(
        Stretch(
            number,
            one.section,
            first=one.start == sections[one.section].start,
            last=one.end == sections[one.section].end,
        )
        for number, one in enumerate(zones)
    )
    spans = {halves: free_spans(brief, halves) for halves in (1, 2)}
    model = Model(brief, frame, candidates, stretches, sections, spans)
    drill_columns(model)
    idle = [_idle_columns(model) for _ in sections]
    for number in range(len(zones)):
        own = idle[zones[number].section]
        ends = (stretches[number].first, stretches[number].last)
        _time_columns(
            model, number, zones[number], [one for one, here in zip(own, ends, strict=True) if here]
        )
    for number, section in enumerate(sections):
        breaks = {model.water[k]: 1.0 for k, one in enumerate(zones) if one.section == number}
        model.problem.row(0, breaks, section.waters)
    _fill_rows(model, zones)
    _room_rows(model, zones)
    _break_rows(model, zones)
    _rest_rows(model, zones, idle)
    add_rules(model)
    return model


def _zones(brief: Brief, number: int, section: Section) -> list[Zone]:
    minutes = range(section.start, section.end)
    groups = itertools.groupby(minutes, key=lambda minute: halves_at(brief, brief.start + minute))
    made = []
    for halves, group in groups:
        own = list(group)
        made.append(Zone(number, own[0], own[-1] + 1, halves))
    return made


def _idle_columns(model: Model) -> tuple[int, int]:
    """Add whether a section's first break comes before its first drill, and its last one after the last."""
    return model.problem.column(0, 1, whole=True), model.problem.column(0, 1, whole=True)


def _time_columns(model: Model, k: int, zone: Zone, idle: list[int]) -> None:
    """Add a zone's breaks, their minutes, set-ups and open minutes; a break saves a change of layout."""
    problem, rules = model.problem, model.brief.rules
    waters = model.sections[zone.section].waters
    breaks = problem.column(0, waters, whole=True)
    least, most = float(rules.water_minutes), float(rules.water_minutes + EXTRA_WATER)
    length = problem.column(0, most * waters, -TIE, whole=True)
    problem.row(0, {length: 1.0, breaks: -least}, INF)
    problem.row(-INF, {length: 1.0, breaks: -most}, 0)
    model.water[k], model.water_length[k] = breaks, length
    set_up = problem.column(0, MAX_SET_UPS * (waters + 1), -2 * OPEN_COST, whole=True)
    model.set_ups.append(set_up)
    model.open.append(problem.column(0, model.sections[zone.section].minutes, -OPEN_COST, whole=True))
    parting = {set_up: -1.0, breaks: -1.0, **dict.fromkeys(idle, 1.0)}
    problem.row(-INF, layout_columns(model, k) | parting, 1)


def _fill_rows(model: Model, zones: list[Zone]) -> None:
    """Fill every zone to the minute, with what reaches over from the zone before and into the next one."""
    problem, rules = model.problem, model.brief.rules
    over: int | None = None
    for k, zone in enumerate(zones):
        stretch = model.stretches[k]
        own = [
            (model.set_ups[k], float(rules.set_up_minutes)),
            (model.open[k], 1.0),
            (model.water_length[k], 1.0),
        ]
        before = [(over, 1.0)] if over is not None and not stretch.first else []
        drills = [term for c in range(len(model.candidates)) for term in model.minutes(c, k)]
        length = zone.end - zone.start
        if stretch.last:
            problem.row(length, [*own, *before, *drills], length)
            over = None
        else:
            through = [
                c
                for c, one in enumerate(model.candidates)
                if one.halves <= min(zone.halves, zones[k + 1].halves)
            ]
            after = _reach_column(model, k, length, through, over if before else None)
            problem.row(length, [*own, *before, *drills, (after, -1.0)], length)
            reaching = [term for c in through for term in model.minutes(c, k)]
            problem.row(0, [*own, *before, *reaching, (after, -1.0)], INF)
            over = after
        _bound_row(model, zones, k, before)


def _reach_column(model: Model, k: int, length: int, through: list[int], before: int | None) -> int:
    """Add the minutes that reach into the next zone: of one drill, a break, a set-up or what came in."""
    problem, rules = model.problem, model.brief.rules
    rest = max(rules.set_up_minutes, rules.water_minutes + EXTRA_WATER) - 1
    most = max([rest, *(model.candidates[c].high - 1 for c in through)])
    came = problem.upper[before] if before is not None else 0.0
    after = problem.column(0, max(most, came - length))
    terms = {after: 1.0}
    last: dict[int, int] = {}
    for c in through:
        one = model.candidates[c]
        if one.high - 1 <= rest:
            continue
        last[c] = problem.column(0, 1)
        longer = problem.column(0, (one.high - one.low) // one.step)
        problem.row(0, {model.x[c, k]: 1.0, last[c]: -1.0}, INF)
        problem.row(0, {model.extra[c, k]: 1.0, longer: -1.0}, INF)
        problem.row(0, {last[c]: float((one.high - one.low) // one.step), longer: -1.0}, INF)
        terms |= {last[c]: float(rest + 1 - one.low), longer: -float(one.step)}
    if before is not None and came > length:
        terms[before] = -(came - length) / came
    problem.row(-INF, dict.fromkeys(last.values(), 1.0), 1)
    problem.row(-INF, terms, rest)
    for d, other in enumerate(model.candidates):
        earlier = [column for c, column in last.items() if must_precede(model.candidates[c], other)]
        if earlier:
            problem.row(-INF, {**dict.fromkeys(earlier, 1.0), model.x[d, k]: 1.0}, 1)
    return after


def _bound_row(model: Model, zones: list[Zone], k: int, before: list[tuple[int, float]]) -> None:
    """Keep what the next zone has no room for within this one."""
    stretch = model.stretches[k]
    if stretch.last or zones[k + 1].halves >= zones[k].halves:
        return
    inside = [
        term
        for c, one in enumerate(model.candidates)
        if one.halves > zones[k + 1].halves
        for term in model.minutes(c, k)
    ]
    model.problem.row(-INF, [*inside, *before], zones[k].end - zones[k].start)


def _room_rows(model: Model, zones: list[Zone]) -> None:
    """Let no drill begin where the gym has no room for it, or not for as long as it lasts."""
    for k, zone in enumerate(zones):
        for c, one in enumerate(model.candidates):
            last = model.sections[zone.section].end
            fits = (
                low < zone.end and min(high, last) - max(low, zone.start) >= one.low
                for low, high in model.room(one)
            )
            if not any(fits):
                model.problem.upper[model.x[c, k]] = 0.0


def _break_rows(model: Model, zones: list[Zone]) -> None:
    """Demand, for every run of blocks and zones, the breaks and their minutes that its length asks for.

    Between two breaks lie ``water_every`` minutes at most, so a run is no longer than one more such stretch
    than it has breaks, and the breaks. One of them may reach into the run from the zone before.
    """
    rules = model.brief.rules
    most = rules.water_minutes + EXTRA_WATER
    parts: list[tuple[int, int, int | None]] = []
    ends: set[int] = set()
    for part in model.frame.parts:
        if isinstance(part, Block):
            parts.append((part.start, part.end, None))
            if part.own_water:
                ends.add(len(parts) - 1)
        else:
            number = model.sections.index(part)
            parts += [(one.start, one.end, k) for k, one in enumerate(zones) if one.section == number]
    for first, (start, _, zone) in enumerate(parts):
        reached = most - 1 if zone is not None and not model.stretches[zone].first else 0
        breaks: dict[int, float] = {}
        lengths: dict[int, float] = {}
        for number in range(first, len(parts)):
            _, end, k = parts[number]
            if number in ends:
                break
            if k is not None:
                breaks[model.water[k]] = float(rules.water_every)
                lengths[model.water_length[k]] = 1.0
            dry = end - start - reached - rules.water_every
            if dry > 0 and breaks:
                least = -(dry // -(rules.water_every + most))
                model.problem.row(least, dict.fromkeys(breaks, 1.0), INF)
                model.problem.row(dry, breaks | lengths, INF)


def _rest_rows(model: Model, zones: list[Zone], idle: list[tuple[int, int]]) -> None:
    """Follow when the last break ended at the latest (``rested``): it needs no lower bound.

    A break with a drill before it in its section begins no sooner than the shortest drill allows, one with a
    drill after it ends no later; a break at either end parts no two layouts.
    """
    problem, rules = model.problem, model.brief.rules
    every = float(rules.water_every)
    far = model.brief.minutes + every
    rested = problem.column(0, 0)
    for part in model.frame.parts:
        if isinstance(part, Block):
            if part.own_water:
                rested = problem.column(part.end, part.end)
            else:
                problem.row(part.end - every, {rested: 1.0}, INF)
            continue
        number = model.sections.index(part)
        own = [k for k, one in enumerate(zones) if one.section == number]
        before, after = idle[number]
        least = min(_shortest(model, own), float(part.minutes))
        breaks = {model.water[k]: every for k in own}
        lengths = {model.water_length[k]: 1.0 for k in own}
        spare = {model.open[k]: 1.0 for k in own}
        problem.row(part.start + least - every, {rested: 1.0, before: least}, INF)
        later = problem.column(0, part.end)
        terms = {one: -factor for one, factor in (breaks | lengths).items()}
        problem.row(-INF, {later: 1.0, rested: -1.0} | terms, 0)
        begun = {one: -factor for one, factor in (breaks | lengths | spare).items()}
        problem.row(-INF, {later: 1.0, before: far} | begun, part.start - every + far)
        problem.row(-INF, {later: 1.0, after: -least}, part.end - least)
        problem.row(part.end - every, {later: 1.0}, INF)
        for one in idle[number]:
            problem.row(0, {**dict.fromkeys(breaks, 1.0), one: -1.0}, INF)
        rested = later


def _shortest(model: Model, own: list[int]) -> float:
    """Return the fewest minutes of a drill that may begin in some zones (0 where none may)."""
    allowed = {c for (c, k), x in model.x.items() if k in own and model.problem.upper[x] > 0}
    return float(min((model.candidates[c].low for c in allowed), default=0))
