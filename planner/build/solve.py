"""From brief to the best choice of drills: what the search found, in the words of the rest of the room."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.build.brief import Brief
from planner.build.candidates import Candidate
from planner.build.frame import Frame
from planner.build.linear import INF
from planner.build.model import Model
from planner.build.order import Ordered
from planner.build.search import EPSILON, Search


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


def solve(brief: Brief, frame: Frame, candidates: Sequence[Candidate]) -> Solution | NoPlan:
    """Return the best plan, or that none was found."""
    search = Search(brief, frame)
    search.solve(tuple(candidates))
    if search.best is None:
        return NoPlan(proven=search.bound == -INF)
    model, ordered = search.best
    bound = max(search.value, search.bound)
    proven = bound <= search.value + EPSILON
    return Solution(model, ordered, search.value, bound, proven, search.ceilings)


def feasible(brief: Brief, frame: Frame, candidates: Sequence[Candidate]) -> bool | None:
    """Return whether any plan meets the rules, or None where the search ended before it knew."""
    search = Search(brief, frame, any_plan=True)
    search.solve(tuple(candidates))
    if search.best is not None:
        return True
    return False if search.bound == -INF else None
