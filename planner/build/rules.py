"""The rows that make a practice sound: teaching order, hard runs, gym, load, and what minutes are worth.

What hard drills and stages make necessary together inside a stretch is found later (``planner.build.cuts``).
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass, field

from planner.build.candidates import must_precede
from planner.build.frame import Block, Frame
from planner.build.linear import INF
from planner.build.model import Model, blocks_before
from planner.build.worth import STEP, Curve, curves
from planner.drills.card import SHARE_UNIT


@dataclass(slots=True)
class Cell:
    """A place in the order of the practice; ``z`` maps candidate number to the column that puts it here."""

    stretch: int
    z: dict[int, int] = field(default_factory=dict)


def add_rules(model: Model) -> None:
    """Add all rows of this module to a model that has its columns."""
    _stage_rows(model, _cells(model))
    _effort_rows(model)
    if model.begin:
        _gym_rows(model)
        _room_rows(model)
    _load_row(model)
    _worth_rows(model)


def _cells(model: Model) -> list[Cell]:
    numbers = range(len(model.candidates))
    return [Cell(one.number, {c: model.x[c, one.number] for c in numbers}) for one in model.stretches]


def _hard(model: Model) -> list[int]:
    high = model.brief.rules.high_effort
    return [c for c, one in enumerate(model.candidates) if one.drill.effort >= high]


def _stage_rows(model: Model, cells: list[Cell]) -> None:
    """Within a principle no lower stage follows a higher one: ``begun`` never falls along the clock."""
    principles = sorted({p for one in model.candidates for p in one.drill.shares})
    for principle in principles:
        own = [c for c, one in enumerate(model.candidates) if principle in one.drill.shares]
        rank = {c: model.candidates[c].rank_in(principle) for c in own}
        ranks = sorted(set(rank.values()) - {0})
        for lower, higher in itertools.pairwise(ranks):
            below = {c for c in own if 0 < rank[c] <= lower}
            above = {c for c in own if rank[c] >= higher}
            _stage_chain(model, cells, below, above)


def _stage_chain(model: Model, cells: list[Cell], below: set[int], above: set[int]) -> None:
    problem = model.problem
    before: int | None = None
    for cell in cells:
        begun = problem.column(0, 1)
        if before is not None:
            problem.row(0, {begun: 1.0, before: -1.0}, INF)
        for c, column in cell.z.items():
            if c in below and before is not None:
                problem.row(-INF, {column: 1.0, before: 1.0}, 1)
            elif c in above:
                problem.row(0, {begun: 1.0, column: -1.0}, INF)
        before = begun


def _effort_rows(model: Model) -> None:
    """Between the easier segments of any run of stretches only so many hard drills fit.

    The blocks before the first and after the last stretch of the run count where they are hard.
    """
    rules = model.brief.rules
    hard = _hard(model)
    if not hard:
        return
    easy = [c for c in range(len(model.candidates)) if c not in set(hard)]
    limit = rules.high_in_a_row
    for first in range(len(model.stretches)):
        hard_blocks = _hard_at_end(model, blocks_before(model, first))
        for last in range(first, len(model.stretches)):
            terms = {model.x[c, k]: 1.0 for c in hard for k in range(first, last + 1)}
            terms |= {model.x[c, k]: -float(limit) for c in easy for k in range(first, last + 1)}
            after = blocks_before(model, last + 1)
            count = hard_blocks + _hard_at_end(model, after[::-1])
            model.problem.row(-INF, terms, max(0, limit - count))
            if any(one.effort < rules.high_effort for one in after):
                break
            hard_blocks += len(after)


def _hard_at_end(model: Model, blocks: list[Block]) -> int:
    """Return how many blocks at the end of the list are hard without a break."""
    hard = [one.effort >= model.brief.rules.high_effort for one in blocks]
    return next((n for n, one in enumerate(reversed(hard)) if not one), len(hard))


def _gym_rows(model: Model) -> None:
    """Keep drills that need more room than the gym always has together in one free span per stretch."""
    for halves in (1, 2):
        spans = model.spans[halves]
        if spans == [(0, model.brief.minutes)]:
            continue
        bound = [c for c, one in enumerate(model.candidates) if one.halves >= halves]
        for stretch in model.stretches if bound else ():
            k = stretch.number
            inside = [model.problem.column(0, 1, whole=True) for _ in spans]
            model.problem.row(0, dict.fromkeys(inside, 1.0), 1)
            for c in bound:
                model.problem.row(0, {**dict.fromkeys(inside, 1.0), model.x[c, k]: -1.0}, INF)
            for span, column in zip(spans, inside, strict=True):
                _span_rows(model, k, span, column, bound)


def _span_rows(model: Model, k: int, span: tuple[int, int], inside: int, bound: list[int]) -> None:
    """Demand that the ``bound`` drills of stretch ``k`` fit between the span's and the stretch's ends.

    A drill that must follow (or precede) one of them for its stage takes its minutes from the span too.
    """
    problem, far = model.problem, model.brief.minutes
    run = [term for c in bound for term in model.minutes(c, k)]
    less = [(column, -factor) for column, factor in run]
    start, end = span
    late = [(model.end[k], 1.0), *less, (inside, -float(start + far))]
    early = [(model.begin[k], 1.0), *run, (inside, float(2 * far - end))]
    problem.row(-far, late, INF)
    problem.row(-INF, early, 2 * far)
    free = [c for c in range(len(model.candidates)) if c not in set(bound)]
    slack = float(model.brief.rules.water_every)
    for c in bound:
        one = model.candidates[c]
        after = [e for e in free if must_precede(one, model.candidates[e])]
        if start and after:
            pushed = [(column, -factor) for e in after for column, factor in model.minutes(e, k)]
            problem.row(-far - slack, [*late, *pushed, (model.x[c, k], -slack)], INF)
        before = [e for e in free if must_precede(model.candidates[e], one)]
        if end < far and before:
            pushed = [term for e in before for term in model.minutes(e, k)]
            problem.row(-INF, [*early, *pushed, (model.x[c, k], slack)], 2 * far + slack)


def _room_rows(model: Model) -> None:
    """Let a stretch with a drill that waits for players last beyond their coming, or begin before it."""
    problem, far = model.problem, float(model.brief.minutes)
    for c, one in enumerate(model.candidates):
        if not one.room:
            continue
        first, last = one.room[0][0] + one.low, one.room[-1][1] - one.low
        for stretch in model.stretches:
            x = model.x[c, stretch.number]
            if first > one.low:
                problem.row(0, {model.end[stretch.number]: 1.0, x: -float(first)}, INF)
            if last < model.brief.minutes - one.low:
                problem.row(-INF, {model.begin[stretch.number]: 1.0, x: far - last}, far)


def _load_row(model: Model) -> None:
    ceiling = model.brief.rules.load_ceiling
    if ceiling is None:
        return
    spent = sum(one.effort * one.minutes for one in model.frame.blocks)
    terms = [
        (column, factor * one.effort)
        for c, one in enumerate(model.candidates)
        for stretch in model.stretches
        for column, factor in model.taught(c, stretch.number)
    ]
    model.problem.row(-INF, terms, ceiling - spent)


def _worth_rows(model: Model) -> None:
    for principle, curve in curves(model.brief).items():
        given = given_minutes(model.frame).get(principle, 0.0) * model.brief.lasting
        _worth_row(model, principle, curve, given + model.brief.elsewhere.get(principle, 0.0))


def given_minutes(frame: Frame) -> Mapping[str, float]:
    """Return the effective minutes per principle that the decided blocks bring along."""
    given: dict[str, float] = {}
    for block in frame.blocks:
        for principle, units in block.shares.items():
            given[principle] = given.get(principle, 0.0) + block.minutes * units / SHARE_UNIT
    return given


def _worth_row(model: Model, principle: str, curve: Curve, given: float) -> None:
    problem = model.problem
    terms = [
        (column, factor * model.form(one, stretch.number).worths[principle])
        for c, one in enumerate(model.candidates)
        if one.worths.get(principle)
        for stretch in model.stretches
        for column, factor in model.taught(c, stretch.number)
    ]
    if not terms:
        return
    limit = given + sum(one.minutes for one in model.sections)
    pieces = [(problem.column(0, STEP, slope), -1.0) for slope in curve.slopes(limit)]
    problem.row(-given, [*terms, *pieces], -given)
