"""A quick answer near a plan that stands: the search begins with its drills, and may spend only so much."""

from __future__ import annotations

from dataclasses import dataclass

from planner.build.known import CLOSE_NODES, Known
from planner.build.linear import Effort
from planner.build.plan import Plan

EFFORT = 100_000
"""What a quick answer may spend (see ``Effort``): under a second on two shared cores of 2026."""

STANDING = 0.4
"""Part of it that goes to the drills of the plan that stands."""


@dataclass(frozen=True, slots=True)
class Quick:
    """An answer is wanted at once, near a plan that stands; the whole search may spend ``effort``."""

    plan: Plan
    effort: int = EFFORT


def look_near(known: Known, plan: Plan, effort: Effort) -> None:
    """Plan the drills of a plan that stands, and what is pinned, by the clock."""
    stand = {drill for one in plan.segments for drill in one.drills}
    model = known.finder.model
    kept = [one for one in model.candidates if one.pinned or all(card.id in stand for card in one.drills)]
    part = effort.part(STANDING)
    known.by_clock(kept, CLOSE_NODES, part)
    effort.left += part.left
