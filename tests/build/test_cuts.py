from __future__ import annotations

import itertools
import random
from dataclasses import replace

import pytest

from planner.build.brief import Brief, FixedBlock, Rules, Weight
from planner.build.candidates import Candidate, find_candidates, must_precede
from planner.build.cuts import Cut, add_cut, broken_cuts
from planner.build.frame import build_frame
from planner.build.linear import INF
from planner.build.model import Choice, Model, Placed
from planner.build.outline import build_outline
from planner.drills.vocabulary import Stage
from tests.build import kit

HIGH = 7


def crowd(seed: int) -> Brief:
    """Return a brief with seven drills of two principles, most of them hard, and perhaps a block between."""
    dice = random.Random(seed)
    drills = tuple(
        kit.drill(
            number,
            shares=dict.fromkeys(dice.sample(("tag", "talk", "post"), dice.choice((1, 2))), 6),
            stage=dice.choice(list(Stage)),
            effort=dice.choice((5, 8, 8)),
        )
        for number in range(7)
    )
    fixed = (FixedBlock("Offence", 10, 50, effort=dice.choice((3, 8))),) if seed % 3 == 0 else ()
    return kit.brief(
        drills,
        weights={one: Weight(need=3.0) for one in ("tag", "talk", "post")},
        fixed=fixed,
        rules=Rules(high_in_a_row=dice.choice((1, 2))),
    )


def in_some_order(drills: tuple[Candidate, ...], limit: int) -> bool:
    """Return whether any order at all teaches before it competes and never has too many hard ones in a row.

    Every permutation is tried; shares no code with the cuts.
    """
    for order in itertools.permutations(drills):
        if any(must_precede(late, early) for early, late in itertools.combinations(order, 2)):
            continue
        runs = (
            len(list(run)) for hard, run in itertools.groupby(order, lambda d: d.drill.effort >= HIGH) if hard
        )
        if max(runs, default=0) <= limit:
            return True
    return False


def whole(model: Model, drills: tuple[Candidate, ...], zone: int) -> Choice:
    nothing = (0,) * len(model.stretches)
    return Choice(tuple(Placed(one, zone, one.low) for one in drills), nothing, nothing, nothing)


def keeps(cut: Cut, names: set[tuple[str, int]]) -> bool:
    """Return whether drills in zones keep a cut."""

    def count(items: frozenset[tuple[str, int, int]]) -> int:
        return sum((name, k) in names for name, first, last in items for k in range(first, last + 1))

    return count(cut.hard) <= cut.limit + cut.each * count(cut.easy)


@pytest.mark.parametrize("seed", range(12))
def test_a_cut_removes_only_what_has_no_order(seed: int) -> None:
    """Choices without an order break a cut of their own, and no choice with an order breaks any of them."""
    brief = replace(crowd(seed), fixed=())
    candidates, _ = find_candidates(brief)
    model = build_outline(brief, build_frame(brief), candidates)
    sound, cuts = [], set()
    for size in range(1, len(candidates) + 1):
        for drills in itertools.combinations(candidates, size):
            names = {(one.drill.id, 0) for one in drills}
            found = broken_cuts(model, whole(model, drills, 0))
            if in_some_order(drills, brief.rules.high_in_a_row):
                assert found == []
                sound.append(names)
            else:
                assert found
                assert not any(keeps(cut, names) for cut in found)
                cuts.update(found)
    assert cuts
    assert all(keeps(cut, names) for cut in cuts for names in sound)


def test_zones_before_and_after_bind_the_order() -> None:
    """Two hard drills before the block and one after it are one too many, unless the block is easy."""
    drills = tuple(kit.drill(number, shares={"tag": 6}, effort=8) for number in range(3))
    for effort, broken in ((8, True), (3, False)):
        brief = kit.brief(
            drills,
            weights={"tag": Weight(need=3.0)},
            fixed=(FixedBlock("Offence", 10, 50, effort=effort),),
        )
        candidates, _ = find_candidates(brief)
        model = build_outline(brief, build_frame(brief), candidates)
        nothing = (0,) * len(model.stretches)
        placed = tuple(Placed(one, int(number > 1), 5) for number, one in enumerate(candidates))
        assert bool(broken_cuts(model, Choice(placed, nothing, nothing, nothing))) is broken


def test_a_cut_becomes_a_row() -> None:
    """The row holds hard drills at one and the parting ones at minus their weight, over all its zones."""
    brief = crowd(1)
    candidates, _ = find_candidates(brief)
    model = build_outline(brief, build_frame(brief), candidates)
    before = len(model.problem.row_lower)
    add_cut(
        model, Cut(frozenset({("drill-001", 0, 0)}), frozenset({("drill-002", 0, 0), ("gone", 0, 0)}), 1, 2)
    )
    assert len(model.problem.row_lower) == before + 1
    start, end = model.problem.starts[-2:]
    row = dict(zip(model.problem.index[start:end], model.problem.value[start:end], strict=True))
    assert row == {model.x[1, 0]: 1.0, model.x[2, 0]: -2.0}
    assert (model.problem.row_lower[-1], model.problem.row_upper[-1]) == (-INF, 1)
