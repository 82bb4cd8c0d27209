"""From brief to the best choice of drills: what the search found, in the words of the rest of the room."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.build.brief import Brief
from planner.build.candidates import Candidate
from planner.build.frame import Frame
from planner.build.known import EPSILON, Known
from planner.build.linear import INF, Effort
from planner.build.model import Model
from planner.build.near import Quick
from planner.build.order import Ordered
from planner.build.search import search


@dataclass(frozen=True, slots=True)
class Solution:
    """The best ordered choice with the model's own value of it, and the bound on every other.

    ``ceilings`` maps drill id to a worth that no plan with that drill in it can exceed.
    """

    model: Model
    ordered: Ordered
    value: float
    bound: float
    proven: bool
    ceilings: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class NoPlan:
    """No plan was found; ``proven`` says that there is none."""

    proven: bool


def solve(
    brief: Brief, frame: Frame, candidates: Sequence[Candidate], quick: Quick | None = None
) -> Solution | NoPlan:
    """Return the best plan, or that none was found; ``quick`` ends the search early."""
    known = Known(brief, frame, effort=Effort(quick.effort) if quick else None)
    search(known, tuple(candidates), quick.plan if quick else None)
    if known.best is None:
        return NoPlan(proven=known.bound == -INF)
    model, ordered = known.best
    bound = max(known.value, known.bound)
    proven = bound <= known.value + EPSILON
    return Solution(model, ordered, known.value, bound, proven, known.ceilings)


def feasible(brief: Brief, frame: Frame, candidates: Sequence[Candidate]) -> bool | None:
    """Return whether any plan meets the rules, or None where the search ended before it knew."""
    known = Known(brief, frame, any_plan=True)
    search(known, tuple(candidates))
    if known.best is not None:
        return True
    return False if known.bound == -INF else None
