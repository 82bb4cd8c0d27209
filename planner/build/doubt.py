"""Where a plan hangs on a guess: whose minutes would go elsewhere if a cost nobody has seen were half.

A quick greedy choice over the same drills stands in for the solver on both sides of the comparison, so the
minutes named are about right, not exact.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from planner.build.brief import Brief, Weight
from planner.build.candidates import Candidate, find_candidates
from planner.build.plan import Plan
from planner.build.worth import Curve, curves
from planner.drills.card import SHARE_UNIT

GUESSED = 0.5
"""A cost with less film behind it than this counts as a guess (our choice)."""
LEAST_MINUTES = 4.0
"""Fewer minutes of a principle, or fewer that would move, are not worth a line (our choice)."""
MOST = 2
"""Lines at most."""
LONGER = 2


@dataclass(frozen=True, slots=True)
class Doubt:
    """A principle whose minutes rest on a guessed cost: how many there are, how many would go, and where to.

    ``told`` is the part of its cost that film has told (0 to 1).
    """

    principle: str
    minutes: float
    leaving: float
    instead: str
    told: float

    def sentence(self, titles: Mapping[str, str]) -> str:
        """Return it in plain words."""
        title, other = titles.get(self.principle, self.principle), titles.get(self.instead, self.instead)
        return (
            f"{title} has {self.minutes:.0f} minutes on a cost that is mostly a guess ({self.told:.0%} film):"
            f" at half that cost about {self.leaving:.0f} would go, most to {other}."
        )


def doubts(brief: Brief, plan: Plan, told: Mapping[str, float]) -> tuple[Doubt, ...]:
    """Return where the plan hangs on a guessed cost, most minutes first.

    ``told`` maps principle id to the part of its cost that film has told; what is not in it is known.
    """
    given = _minutes(plan)
    suspects = [
        one
        for one, part in sorted(told.items())
        if part < GUESSED and given.get(one, 0.0) >= LEAST_MINUTES and one in brief.weights
    ]
    if not suspects:
        return ()
    candidates = find_candidates(brief)[0]
    budget = sum(one.minutes for one in plan.segments if one.kind == "drill")
    before = _filled(candidates, curves(brief), budget)
    found = []
    for one in suspects:
        after = _filled(candidates, curves(_at_half(brief, one)), budget)
        moved = {p: after.get(p, 0.0) - before.get(p, 0.0) for p in {*before, *after} - {one}}
        part = 1.0 - after.get(one, 0.0) / before[one] if before.get(one) else 0.0
        leaving = part * given[one]
        if leaving >= LEAST_MINUTES and moved:
            instead = max(sorted(moved), key=lambda p: moved[p])
            found.append(Doubt(one, given[one], leaving, instead, told[one]))
    return tuple(sorted(found, key=lambda one: (-one.leaving, one.principle))[:MOST])


def _minutes(plan: Plan) -> dict[str, float]:
    found: dict[str, float] = {}
    for segment in plan.segments:
        if segment.kind == "drill":
            for principle, minutes in segment.minutes_per_principle.items():
                found[principle] = found.get(principle, 0.0) + minutes
    return found


def _at_half(brief: Brief, principle: str) -> Brief:
    halved: Weight = replace(brief.weights[principle], need=brief.weights[principle].need / 2.0)
    return replace(brief, weights={**brief.weights, principle: halved})


def _filled(candidates: Sequence[Candidate], known: Mapping[str, Curve], budget: int) -> dict[str, float]:
    """Return minutes per principle of a greedy choice: pinned drills, then the best block each time."""
    taught: dict[str, float] = {}
    run: dict[int, int] = {}
    for number, one in enumerate(candidates):
        if one.pinned:
            budget = _run(number, one.low, candidates, run, taught) + budget
    while budget > 0:
        best, length = max(
            (
                (_gain(one, size, known, taught), -n, size)
                for n, one, size in _blocks(candidates, run, budget)
            ),
            default=(0.0, 0, 0),
        )[1:]
        if length == 0:
            break
        budget += _run(-best, length, candidates, run, taught)
    minutes: dict[str, float] = {}
    for number, length in run.items():
        for principle, units in candidates[number].drill.shares.items():
            minutes[principle] = minutes.get(principle, 0.0) + units / SHARE_UNIT * length
    return minutes


def _blocks(
    candidates: Sequence[Candidate], run: Mapping[int, int], budget: int
) -> list[tuple[int, Candidate, int]]:
    found = []
    for number, one in enumerate(candidates):
        length = min(LONGER, one.high - run[number]) if number in run else one.low
        if 0 < length <= budget:
            found.append((number, one, length))
    return found


def _gain(one: Candidate, length: int, known: Mapping[str, Curve], taught: Mapping[str, float]) -> float:
    """Return the worth per minute of running a drill ``length`` minutes more."""
    gain = 0.0
    for principle, per_minute in one.worths.items():
        bend, so_far = known[principle], taught.get(principle, 0.0)
        gain += bend.at_mark(so_far + per_minute * length) - bend.at_mark(so_far)
    return gain / length


def _run(
    number: int, length: int, candidates: Sequence[Candidate], run: dict[int, int], taught: dict[str, float]
) -> int:
    """Take a block in; return what it does to the minutes left."""
    run[number] = run.get(number, 0) + length
    for principle, per_minute in candidates[number].worths.items():
        taught[principle] = taught.get(principle, 0.0) + per_minute * length
    return -length
