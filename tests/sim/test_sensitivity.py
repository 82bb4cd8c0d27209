"""Which parameters move a plan."""

from __future__ import annotations

import numpy as np
import pytest

from tests.sim.sensitivity import DEFAULTS, RANGES, minutes_of, moved, one_at_a_time, past, screening


def test_r_moves_nothing_and_tau_does() -> None:
    """The factor r is the same for all principles, so no minute hangs on it; tau moves some."""
    ends = one_at_a_time(past(3, 2))
    assert ends["r"] == pytest.approx((0.0, 0.0), abs=1e-9)
    assert max(ends["tau"]) > 1.0


def test_screening_agrees_that_r_is_idle() -> None:
    """Together with all others moving, r has no elementary effect and the rest have some."""
    effects = screening(past(2, 3), paths=2)
    assert effects["r"] == pytest.approx(0.0, abs=1e-9)
    assert all(effects[name] >= 0 for name in RANGES)
    assert effects["tau"] > 0


def test_minutes_moved_are_counted_once() -> None:
    """Five minutes from one principle to another are five moved, and the plan gives all its minutes."""
    one, other = np.array([[10.0, 5.0]]), np.array([[5.0, 10.0]])
    assert moved(one, other) == 5.0
    given = minutes_of(past(1, 2), DEFAULTS)
    assert 40 < given.sum() <= 58
