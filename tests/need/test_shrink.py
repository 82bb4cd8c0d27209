"""Small counts drawn towards their mean: what must hold whatever the counts."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.need.shrink import shrink
from planner.problem import Refusal

pairs = st.lists(st.tuples(st.integers(0, 40), st.integers(1, 400)), min_size=1, max_size=15)


@given(pairs)
def test_a_rate_is_drawn_in_and_never_past_the_mean(rows: list[tuple[int, int]]) -> None:
    """Every rate ends between where it was and the mean, and one with less exposure is drawn in further."""
    counts, exposures = zip(*rows, strict=True)
    found = shrink(counts, exposures)
    kept = []
    for count, over, rate in zip(counts, exposures, found.rates, strict=True):
        low, high = sorted((count / over, found.mean))
        assert low - 1e-12 <= rate <= high + 1e-12
        gap = count / over - found.mean
        if abs(gap) > 1e-9:
            kept.append((over, (rate - found.mean) / gap))
    kept.sort()
    parts = [part for _, part in kept]
    assert all(before <= after + 1e-9 for before, after in itertools.pairwise(parts))


def test_like_counts_are_one_rate() -> None:
    """Where counts differ no more than by chance there is no spread, and everybody has the mean."""
    found = shrink([5, 6, 4, 5, 5, 6], [50] * 6)
    assert found.spread == 0.0
    assert set(found.rates) == {found.mean}


def test_drawn_rates_are_the_gamma_posterior() -> None:
    """The closed form is the mean of the gamma belief of that mean and spread after the count."""
    counts, exposures = [1, 9, 2, 14, 3, 0], [40.0, 70.0, 55.0, 80.0, 30.0, 60.0]
    found = shrink(counts, exposures)
    assert found.spread > 0
    belief = found.belief(0.0, 1e9)
    after = [belief.updated([c], [e]).mean for c, e in zip(counts, exposures, strict=True)]
    assert after == pytest.approx(list(found.rates))


def test_belief_keeps_its_weight_within_limits() -> None:
    """No spread would be an endless weight: it stops at the heaviest, and never falls below the lightest."""
    steady = shrink([5, 5, 5, 5], [50] * 4)
    assert steady.belief(1.0, 200.0).weight == 200.0
    wild = shrink([0, 50, 0, 50, 0], [50] * 5)
    assert wild.belief(7.0, 200.0).weight == 7.0


@pytest.mark.parametrize(("counts", "exposures"), [([], []), ([1], [0]), ([-1], [3])])
def test_nothing_to_draw_in(counts: list[int], exposures: list[int]) -> None:
    """No counts, an exposure of nothing, or a count below 0 are refused."""
    with pytest.raises(Refusal):
        shrink(counts, exposures)
