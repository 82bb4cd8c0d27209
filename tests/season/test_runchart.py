from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from planner.season.runchart import crossings_limit, longest_limit, run_chart

LONGEST = {10: 6, 11: 6, 12: 7, 22: 7, 23: 8, 30: 8, 45: 8, 46: 9, 59: 9, 90: 9, 91: 10, 100: 10}
"""Useful points -> upper limit of the longest run: the table at unaettie.com/en-us/faq.php (read)."""


@pytest.mark.parametrize(("useful", "limit"), LONGEST.items())
def test_the_longest_run_s_limit_is_the_tabled_one(useful: int, limit: int) -> None:
    """log2(n) + 3, rounded, gives the published table."""
    assert longest_limit(useful) == limit


@pytest.mark.parametrize("useful", [10, 11, 14, 20, 24, 37, 60, 150])
def test_the_crossings_limit_is_the_binomial_s_five_per_cent_point(useful: int) -> None:
    """qbinom(0.05, n - 1, 0.5), the formula of qicharts2's vignette (read); the quantile is scipy's."""
    assert crossings_limit(useful) == binom.ppf(0.05, useful - 1, 0.5)


def test_a_shift_is_a_signal_and_noise_is_not() -> None:
    """Ten games above and ten below signal; the same games in turn do not."""
    shifted = run_chart([9.0, 8.0] * 5 + [3.0, 2.0] * 5)
    assert shifted.signal is True
    assert (shifted.longest, shifted.crossings, shifted.median) == (10, 1, 5.5)
    mixed = run_chart([9.0, 9.0, 2.0, 3.0, 8.0] * 4)
    assert mixed.signal is False


def test_few_games_say_nothing() -> None:
    """Nine useful games are too few for the rule; points on the median are no help."""
    found = run_chart([5.0] * 20 + [1.0] * 4 + [9.0] * 4)
    assert (found.useful, found.signal) == (8, None)
    assert "too few" in found.words
    assert run_chart([]).signal is None


@given(st.lists(st.integers(0, 9).map(float), max_size=40))
def test_runs_and_crossings_agree(points: list[float]) -> None:
    """Runs are one more than crossings, and the letters show every point once."""
    found = run_chart(points)
    assert len(found.sides) == len(points)
    assert found.useful == found.sides.count("+") + found.sides.count("-")
    letters = found.sides.replace(".", "")
    assert found.crossings == sum(one != two for one, two in itertools.pairwise(letters))
    assert found.longest <= found.useful
