"""The app over a copy of the demo season, on the demo's evening, with a clock that stands still."""

from __future__ import annotations

import datetime as dt

import pytest

from planner.desk.desk import Desk
from planner.desk.house import remove_fixed
from planner.desk.practice import Wishes, build_plan
from planner.desk.team import add_gym_rule, set_setting
from planner.store import queries
from planner.store.values import GymRule
from tests.running import PRACTICE_DAY


@pytest.fixture
def demo_desk(desk: Desk) -> Desk:
    """Return a desk at a copy of the demo season that the test may change."""
    return desk


@pytest.fixture
def quick_desk(desk: Desk) -> Desk:
    """Return a desk whose practices are built in a moment: 40 minutes each, without fixed blocks.

    Thursday is planned, on Friday the gym is open too, on Saturday there is a game.
    """
    with desk.reading() as session:
        fixed = queries.fixed_rules(session)
    for one in fixed:
        assert one.id is not None
        remove_fixed(desk, one.id)
    set_setting(desk, "minutes", 40)
    add_gym_rule(desk, GymRule(17 * 60, 19 * 60, 2, date=PRACTICE_DAY + dt.timedelta(days=1)))
    build_plan(desk, Wishes(PRACTICE_DAY))
    return desk
