"""The days until the next game, planned together.

Minutes of each day count by what is left of them on the day of the game (halved every half-life), and all
days share one concave curve per principle, so a need is spread rather than met twice. The load ceiling falls
towards the game. Days are planned in order, then each again with the others held, until none can be bettered
alone; that is a good arrangement, not a proven one, and it is said so.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from planner.build.brief import Brief
from planner.build.known import EPSILON
from planner.build.make import solve_brief
from planner.build.plan import Plan
from planner.build.reasons import effective_minutes
from planner.build.solve import Solution
from planner.build.worth import total_worth

TAPER = {1: 0.6, 2: 0.85}
"""Part of the load ceiling by days before the game: common practice, no source; our numbers."""

MOST_PASSES = 3
"""Times every day is looked at again."""


@dataclass(frozen=True, slots=True)
class Days:
    """Plans by date, their worth together on the day of the game, and whether another pass would change them.

    ``settled`` says that no single day can be bettered while the others stay as they are.
    """

    plans: tuple[Plan, ...]
    worth: float
    settled: bool


@dataclass(frozen=True, slots=True)
class Step:
    """How far the planning is: the day that is next (from 1, of ``days``), and in which look (from 1)."""

    day: int
    days: int
    look: int


Tell = Callable[[Step], object]


def plan_days(
    briefs: Sequence[Brief],
    game: dt.date,
    half_life_days: float,
    titles: Mapping[str, str],
    tell: Tell | None = None,
) -> Days:
    """Return plans for the briefs (one a day, oldest first) that serve the game best together.

    ``tell`` is called before each day is planned.

    Raises:
        Refusal: a day's wishes cannot be met.

    """
    days = [_towards(one, game, half_life_days) for one in briefs]
    found: list[tuple[Plan, Solution]] = []
    told = tell or (lambda _: None)
    for number, day in enumerate(days):
        told(Step(number + 1, len(days), 1))
        found.append(solve_brief(_beside(day, number, found), titles))
    settled = len(days) < 2
    for look in range(MOST_PASSES if not settled else 0):
        changed = False
        for number, day in enumerate(days):
            told(Step(number + 1, len(days), look + 2))
            changed |= _better(day, number, found, titles)
        if not changed:
            settled = True
            break
    return Days(tuple(plan for plan, _ in found), _together(days[0], found), settled)


def ceiling_before(game: dt.date, day: dt.date, ceiling: float | None) -> float | None:
    """Return what is left of the load ceiling so many days before the game; None where there is none."""
    return ceiling * TAPER.get((game - day).days, 1.0) if ceiling is not None else None


def _towards(brief: Brief, game: dt.date, half_life_days: float) -> Brief:
    """Return the brief with what is left of its minutes at the game and its part of the load ceiling."""
    before = (game - brief.date).days
    rules = replace(brief.rules, load_ceiling=ceiling_before(game, brief.date, brief.rules.load_ceiling))
    return replace(brief, lasting=2.0 ** (-before / half_life_days), rules=rules)


def _beside(brief: Brief, number: int, found: Sequence[tuple[Plan, Solution]]) -> Brief:
    """Return the brief with the other days' minutes, and with the days before it as its last practices."""
    elsewhere: dict[str, float] = {}
    for other, (_, solution) in enumerate(found):
        if other != number:
            for principle, minutes in effective_minutes(solution).items():
                elsewhere[principle] = elsewhere.get(principle, 0.0) + minutes
    earlier = [_drills(plan) for plan, _ in found[:number]]
    ran = [*reversed(earlier), brief.ran_last, brief.ran_before]
    return replace(brief, elsewhere=elsewhere, ran_last=ran[0], ran_before=ran[1])


def _drills(plan: Plan) -> frozenset[str]:
    return frozenset(station.drill for one in plan.segments for station in one.stations)


def _better(day: Brief, number: int, found: list[tuple[Plan, Solution]], titles: Mapping[str, str]) -> bool:
    """Plan one day again beside the others; keep it where all days together gain."""
    before = _together(day, found)
    trial = list(found)
    trial[number] = solve_brief(_beside(day, number, found), titles)
    if _together(day, trial) <= before + EPSILON:
        return False
    found[number] = trial[number]
    return True


def _together(day: Brief, found: Sequence[tuple[Plan, Solution]]) -> float:
    """Return the worth of all days together."""
    return total_worth(day, [(effective_minutes(solution), 1.0) for _, solution in found])
