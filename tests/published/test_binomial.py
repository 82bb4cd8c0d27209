"""Stops out of tries against published limits and posteriors."""

from __future__ import annotations

import pytest

from planner.problem import Refusal
from planner.season.binomial import Beta, belief, binomial_limits

NEWCOMBE = [
    (81, 263, 0.2527, 0.3676),
    (15, 148, 0.0578, 0.1617),
    (0, 20, 0.0000, 0.1684),
    (1, 29, 0.0009, 0.1776),
]
"""Newcombe, Statistics in Medicine 17:857-872, 1998, table I, method 5 (exact), 95 %: from memory."""


@pytest.mark.parametrize(("stops", "tries", "low", "high"), NEWCOMBE)
def test_exact_limits_are_newcombe_s(stops: int, tries: int, low: float, high: float) -> None:
    """The four proportions of the comparison of seven methods have their printed Clopper-Pearson limits."""
    found = binomial_limits(stops, tries, 0.95)
    assert found == (pytest.approx(low, abs=5e-5), pytest.approx(high, abs=5e-5))


def test_mendel_s_peas() -> None:
    """682 of 925: 0.7076683 to 0.7654066, the example of R's binom.test (values from memory)."""
    low, high = binomial_limits(682, 925, 0.95)
    assert (low, high) == (pytest.approx(0.7076683, abs=1e-7), pytest.approx(0.7654066, abs=1e-7))


@pytest.mark.parametrize("tries", [1, 7, 20, 400])
def test_none_and_all_have_a_closed_form(tries: int) -> None:
    """With no stop the upper limit is 1 - (a/2)^(1/n), with all stops the lower is (a/2)^(1/n).

    Formula read in the function clopperPearson of the R package biostatUZH.
    """
    edge = 0.05 ** (1 / tries)
    assert binomial_limits(0, tries) == (0.0, pytest.approx(1 - edge))
    assert binomial_limits(tries, tries) == (pytest.approx(edge), 1.0)


def test_limits_leave_the_tails_they_promise() -> None:
    """At its limits 7 of 10 has 5 % in each tail, by summing the binomial itself (computed)."""
    from math import comb

    low, high = binomial_limits(7, 10)
    at_least = sum(comb(10, k) * low**k * (1 - low) ** (10 - k) for k in range(7, 11))
    at_most = sum(comb(10, k) * high**k * (1 - high) ** (10 - k) for k in range(8))
    assert at_least == pytest.approx(0.05)
    assert at_most == pytest.approx(0.05)


def test_the_placenta_praevia_births() -> None:
    """437 girls of 980 and a uniform prior: mean 0.446, 95 % 0.415 to 0.477.

    Gelman et al., Bayesian Data Analysis, section 2.4: from memory.
    """
    found = belief(437, 980)
    assert found == Beta(438, 544)
    low, high = found.limits(0.95)
    assert (round(found.mean, 3), round(low, 3), round(high, 3)) == (0.446, 0.415, 0.477)


def test_laplace_s_rule_of_succession() -> None:
    """With a uniform prior, s of n gives (s + 1) / (n + 2) (Laplace; textbook, from memory)."""
    assert belief(7, 10).mean == pytest.approx(8 / 12)
    assert belief(0, 0).above(0.25) == pytest.approx(0.75)


def test_counts_that_cannot_be_are_refused() -> None:
    """More stops than tries, no tries, or a level that is none."""
    for stops, tries, level in ((8, 7, 0.9), (0, 0, 0.9), (-1, 5, 0.9), (3, 5, 1.0)):
        with pytest.raises(Refusal):
            binomial_limits(stops, tries, level)
