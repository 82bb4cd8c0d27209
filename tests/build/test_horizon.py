"""The days until the game: a need is spread, the load falls, and together is never worse than alone."""

from __future__ import annotations

import datetime as dt
import itertools
from dataclasses import replace

import pytest

from planner.build.brief import Brief, Rules, Weight
from planner.build.check import check_plan
from planner.build.horizon import TAPER, Days, plan_days
from planner.build.make import solve_brief
from planner.build.reasons import effective_minutes
from planner.build.worth import total_worth
from tests.build import kit

GAME = dt.date(2026, 12, 4)


def three_days() -> list[Brief]:
    """Return briefs for the three days before the game."""
    drills = kit.random_drills(28, 5)
    weights = {one: Weight(2.0 + number % 5) for number, one in enumerate(kit.PRINCIPLES)}
    day = kit.brief(drills, minutes=60, weights=weights, rules=Rules(load_ceiling=320.0))
    return [replace(day, date=GAME - dt.timedelta(days=before)) for before in (4, 2, 1)]


@pytest.fixture(scope="module")
def days() -> Days:
    """Return the three days planned together."""
    return plan_days(three_days(), GAME, 14.0, {})


def test_every_day_is_a_sound_plan(days: Days) -> None:
    """Each day's plan keeps every rule of its own brief, the tapered load included."""
    for plan, brief in zip(days.plans, three_days(), strict=True):
        part = TAPER.get((GAME - brief.date).days, 1.0)
        ceiling = brief.rules.load_ceiling
        assert ceiling is not None
        tapered = replace(brief, rules=replace(brief.rules, load_ceiling=ceiling * part))

        assert check_plan(plan, tapered) == []
        assert plan.date == brief.date


def test_load_falls_towards_the_game(days: Days) -> None:
    """The day before the game is lighter than the others."""
    assert days.plans[-1].load < min(one.load for one in days.plans[:-1])


def test_together_is_worth_more_than_each_day_for_itself(days: Days) -> None:
    """Planning the days together is worth at least as much as repeating the best single day's thinking."""
    alone = []
    for brief in three_days():
        before = (GAME - brief.date).days
        ceiling = (brief.rules.load_ceiling or 0.0) * TAPER.get(before, 1.0)
        rules = replace(brief.rules, load_ceiling=ceiling)
        _, solution = solve_brief(replace(brief, lasting=2.0 ** (-before / 14.0), rules=rules), {})
        alone.append((effective_minutes(solution), 1.0))

    assert days.worth >= total_worth(three_days()[0], alone) - 1e-6


def test_a_drill_is_not_run_two_days_running_where_another_does_as_well(days: Days) -> None:
    """Freshness is carried from day to day: no plan consists mostly of the day before's drills."""
    names = [{s.drill for one in plan.segments for s in one.stations} for plan in days.plans]
    for before, after in itertools.pairwise(names):
        assert len(before & after) <= len(after) / 2
