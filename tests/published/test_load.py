"""Load, monotony and strain against worked figures."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np
import pytest

from planner.season.load import load_weeks, monotony, session_load, strain
from planner.season.record import DonePractice, DoneSegment

MONDAY = dt.date(2027, 1, 4)
MIXED = (0, 450, 450, 360, 180, 320, 0)
DULL = (420, 420, 420, 450, 450, 320, 0)


def session(day: int, minutes: float, rating: int | None) -> DonePractice:
    part = DoneSegment("drill", "D", round(minutes * 60))
    return DonePractice("", MONDAY + dt.timedelta(days=day), 600, (part,), (), rating)


def test_an_hour_at_five_is_three_hundred() -> None:
    """5 x 60 min = 300 AU, the worked session at aussiecoachabroad.com/blog/monitoring-put-simple (read)."""
    assert session_load(session(0, 60, 5)) == 300
    assert session_load(session(0, 60, None)) is None


def test_a_runner_s_week() -> None:
    """An hour at 9 and twice 11.7 minutes at 9: 540 + 210.6 = 750.6, as printed at active.com (read)."""
    week = [session(0, 60, 9), session(2, 11.7, 9), session(4, 11.7, 9)]
    assert load_weeks(week, (), MONDAY + dt.timedelta(days=6))[0].load == pytest.approx(750.6)


@pytest.mark.parametrize(
    ("loads", "total", "shape", "strained"),
    [(MIXED, 1760, 1.29296, 2275.618), (DULL, 2480, 2.18343, 5414.915)],
)
def test_weeks_worked_out_by_hand(
    loads: Sequence[float], total: float, shape: float, strained: float
) -> None:
    """Two invented weeks, worked out with numpy's sample deviation (n - 1): Foster's mean / SD and load x it.

    The sources do not say n or n - 1 (Foster 1998, from memory); with n the first would be 1.39656.
    """
    assert sum(loads) == total
    assert monotony(loads) == pytest.approx(shape, abs=1e-5)
    assert strain(loads) == pytest.approx(strained, abs=1e-3)
    assert monotony(loads) == pytest.approx(np.mean(loads) / np.std(loads, ddof=1))


@pytest.mark.parametrize("flat", [[300.0] * 7, [0.0] * 7, [0.1 + 0.2] * 7])
def test_a_flat_week_has_no_monotony(flat: list[float]) -> None:
    """Seven equal days have no deviation: not defined, never a number."""
    assert monotony(flat) is None
    assert strain(flat) is None


def test_a_week_of_practices_is_the_week_of_its_days() -> None:
    """Two sessions a day add up, days without are 0: the mixed week again, out of logged practices."""
    days = [(1, 45, 5), (1, 45, 5), (2, 90, 5), (3, 60, 6), (4, 45, 4), (5, 64, 5)]
    week = load_weeks([session(*one) for one in days], (), MONDAY + dt.timedelta(days=6))[0]
    assert week.daily == MIXED
    assert week.monotony == pytest.approx(1.29296, abs=1e-5)
    assert week.strain == pytest.approx(2275.618, abs=1e-3)


def test_what_is_not_known_is_said() -> None:
    """A session without a rating, a week that runs and a flat week have no monotony, and say why."""
    sunday = MONDAY + dt.timedelta(days=6)
    unrated = load_weeks([session(0, 60, 5), session(1, 60, None)], (), sunday)[0]
    assert (unrated.load, unrated.daily[1], unrated.monotony) == (300, None, None)
    assert unrated.why == "a session was not rated"
    assert load_weeks([session(0, 60, 5)], (), MONDAY)[0].why == "the week is not over"
    flat = load_weeks([session(day, 60, 5) for day in range(7)], (), sunday)[0]
    assert (flat.load, flat.monotony, flat.strain) == (2100, None, None)
    assert flat.why == "all seven days are equal"


def test_weeks_without_practice_are_there() -> None:
    """Between two weeks lies a third, empty; games are counted in the weeks they are played in."""
    weeks = load_weeks(
        [session(0, 60, 5), session(15, 60, 5)],
        [MONDAY + dt.timedelta(days=8), MONDAY + dt.timedelta(days=40)],
        MONDAY + dt.timedelta(days=30),
    )
    assert [(one.week, one.sessions, one.games) for one in weeks] == [
        ("2027-W01", 1, 0),
        ("2027-W02", 0, 1),
        ("2027-W03", 1, 0),
    ]
