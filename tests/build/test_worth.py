from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.build.brief import Rules, Weight
from planner.build.worth import STEP, Curve, curve, curves, total_worth
from tests.build import kit

CURVES = st.builds(Curve, scale=st.floats(0.01, 10), tau=st.floats(5, 300), carried=st.floats(0, 200))
MINUTES = st.floats(0, 120)


@given(CURVES, st.integers(0, 60))
def test_the_joined_curve_meets_the_exponential_at_its_marks(one: Curve, mark: int) -> None:
    """At every mark the worth is need x r x (exp(-S/tau) - exp(-(S + m)/tau)); between, never more."""
    minutes = mark * STEP
    exact = one.scale * (math.exp(-one.carried / one.tau) - math.exp(-(one.carried + minutes) / one.tau))
    assert one.worth(minutes) == pytest.approx(exact, abs=1e-12)
    between = minutes + STEP / 3
    assert one.worth(between) <= one.at_mark(between) + 1e-12


@given(CURVES, MINUTES, MINUTES)
def test_more_minutes_are_worth_more_and_each_less_than_the_one_before(
    one: Curve, a: float, b: float
) -> None:
    """Worth grows with minutes up to its ceiling; half-way between two lengths it is at least average."""
    low, high = sorted((a, b))
    assert 0 <= one.worth(low) <= one.worth(high) + 1e-12 <= one.scale + 1e-9
    assert one.worth((a + b) / 2) >= (one.worth(a) + one.worth(b)) / 2 - 1e-9


@given(CURVES, st.floats(1, 120))
def test_slopes_fall_and_sum_to_the_worth(one: Curve, limit: float) -> None:
    """The slopes that the solver is given are those of the curve that judges the plan."""
    slopes = one.slopes(limit)
    assert all(first >= second - 1e-12 for first, second in itertools.pairwise(slopes))
    assert sum(slopes) * STEP == pytest.approx(one.worth(len(slopes) * STEP))
    assert len(slopes) * STEP >= limit


def test_a_curve_by_hand() -> None:
    """Ten points of need, 35 % of it within reach, 30 minutes: 10 x 0.35 x (1 - exp(-1)) = 2.2124."""
    made = curve(Weight(10.0), Rules())
    assert made.worth(30) == pytest.approx(2.21242, abs=1e-5)
    assert curve(Weight(10.0, 30.0), Rules()).worth(30) == pytest.approx(2.21242 * math.exp(-1), abs=1e-5)


def test_nothing_is_worth_nothing() -> None:
    """No minutes, or no need, is no worth."""
    assert curve(Weight(10.0), Rules()).worth(0) == 0.0
    brief = kit.brief((), weights={"tag": Weight(0.0), "talk": Weight(1.0)})
    assert set(curves(brief)) == {"talk"}
    assert total_worth(brief, [({"tag": 1.0}, 20.0)]) == 0.0


def test_minutes_of_several_drills_share_one_curve() -> None:
    """Two drills of ten minutes at the same principle are worth one of twenty, not twice one of ten."""
    brief = kit.brief((), weights={"talk": Weight(5.0)})
    one, both = [({"talk": 0.5}, 20.0)], [({"talk": 0.5}, 10.0), ({"talk": 0.5}, 10.0)]
    assert total_worth(brief, both) == pytest.approx(total_worth(brief, one))
    assert total_worth(brief, both) < 2 * total_worth(brief, both[:1])
