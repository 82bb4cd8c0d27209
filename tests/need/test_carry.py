"""Minutes carried over, and what more of them are worth."""

from __future__ import annotations

import datetime as dt
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.need.carry import carry_over, oldest_carried, worth
from planner.problem import Refusal

TODAY = dt.date(2031, 12, 1)


def ago(days: int) -> dt.date:
    return TODAY - dt.timedelta(days=days)


# 2^(-days / half-life): half-life regression, Settles and Meeder 2016 (formula read; values computed).
@pytest.mark.parametrize(
    ("half_life", "parts"),
    [
        (14.0, (0.9517, 0.8620, 0.7071, 0.5, 0.3536, 0.25)),
        (7.0, (0.9057, 0.7430, 0.5, 0.25, 0.125, 0.0625)),
        (21.0, (0.9675, 0.9057, 0.7937, 0.6300, 0.5, 0.3969)),
    ],
)
def test_half_lives(half_life: float, parts: tuple[float, ...]) -> None:
    """After 1, 3, 7, 14, 21 and 28 days the minutes have faded as printed."""
    for days, part in zip((1, 3, 7, 14, 21, 28), parts, strict=True):
        found = carry_over([(ago(days), {"talk": 10.0})], TODAY, half_life)
        assert found["talk"] == pytest.approx(10 * part, abs=6e-4)


def test_adds_up_over_days() -> None:
    """Practices add up; one after the day asked for does not count."""
    done = [(ago(14), {"talk": 8.0, "box-out": 4.0}), (ago(0), {"talk": 5.0}), (ago(-1), {"talk": 99.0})]
    assert carry_over(done, TODAY) == {"box-out": 2.0, "talk": 9.0}


@given(st.floats(0, 100), st.floats(0, 100), st.floats(0, 100))
def test_worth_adds_up(carried: float, first: float, second: float) -> None:
    """Minutes in two goes are worth what they are in one, and never more than need x r."""
    whole = worth(5.0, 0.35, 30.0, carried, first + second)
    parts = worth(5.0, 0.35, 30.0, carried, first) + worth(5.0, 0.35, 30.0, carried + first, second)
    assert parts == pytest.approx(whole, abs=1e-12)
    assert 0 <= whole <= 5.0 * 0.35


def test_worth_by_hand() -> None:
    """The worth is need r (exp(-S/tau) - exp(-(S+m)/tau)) for need 4, r 0.5, tau 20, S 10, m 10."""
    assert worth(4, 0.5, 20, 10, 10) == pytest.approx(2 * (math.exp(-0.5) - math.exp(-1.0)))


def test_nonsense_is_refused() -> None:
    """A half-life or tau of nothing, and minutes below 0, are refused."""
    with pytest.raises(Refusal):
        carry_over([], TODAY, 0.0)
    with pytest.raises(Refusal):
        worth(1, 0.35, 0, 0, 10)
    with pytest.raises(Refusal):
        worth(1, 0.35, 30, 0, -1)


def test_minutes_too_old_to_show_need_not_be_read() -> None:
    """Leaving out days before the oldest carried changes no sum by more than a billionth of a minute."""
    day = dt.date(2027, 1, 13)
    done = [(day - dt.timedelta(days=ago), {"tag": 20.0}) for ago in range(0, 2000, 3)]
    first = oldest_carried(day, 14.0)
    kept = [one for one in done if one[0] >= first]
    assert len(kept) < len(done)
    assert carry_over(kept, day)["tag"] == pytest.approx(carry_over(done, day)["tag"], abs=1e-9)


def test_a_half_life_beyond_the_calendar_reads_everything() -> None:
    """With a half-life of centuries the oldest day is the calendar's first."""
    assert oldest_carried(dt.date(2027, 1, 13), 1e6) == dt.date.min
