"""The gamma fitted to many counts, and more spread than chance, against published tables."""

from __future__ import annotations

import math
import statistics

import pytest

from planner.need.dispersion import chi_square_tail, dispersion
from planner.need.gamma import Gamma, gamma_fit
from planner.need.shrink import shrink
from planner.problem import Refusal

# Auto claims a policy, Efron and Hastie, Computer Age Statistical Inference, table 6.1 (read in public code).
CLAIMS = (7840, 1317, 239, 42, 14, 4, 4, 1)
# Deaths by horse kick, Bortkiewicz 1898, 10 corps by 20 years (read in the vcd data).
KICKS = (109, 65, 22, 3, 1)
# Flying bombs on squares of London, Clarke, J. Inst. Actuaries 72, 1946 (read); the last square held 7.
BOMBS = {0: 229, 1: 211, 2: 93, 3: 35, 4: 7, 7: 1}
# "may" in blocks of the Federalist papers (read in the vcd data).
MAY = (156, 63, 29, 8, 4, 1, 1)
# Great discoveries a year, 1860 to 1959 (the R data set; typed from memory, its sum and variance read).
DISCOVERIES = [
    *(5, 3, 0, 2, 0, 3, 2, 3, 6, 1, 2, 1, 2, 1, 3, 3, 3, 5, 2, 4, 4, 0, 2, 3, 7),
    *(12, 3, 10, 9, 2, 3, 7, 7, 2, 3, 3, 6, 2, 4, 3, 5, 2, 2, 4, 0, 4, 2, 5, 2, 3),
    *(3, 6, 5, 8, 3, 6, 6, 0, 5, 2, 2, 2, 6, 3, 4, 4, 2, 2, 4, 7, 5, 3, 3, 0, 2),
    *(2, 2, 1, 3, 4, 2, 2, 1, 1, 1, 2, 1, 4, 4, 3, 2, 1, 4, 1, 1, 1, 0, 0, 2, 0),
]


def spelled_out(table: dict[int, int]) -> list[int]:
    return [count for count, times in table.items() for _ in range(times)]


def test_claims_fit() -> None:
    """The gamma behind the claims: nu 0.7015, sigma 0.3056, minus log likelihood 5348.04 (computed).

    The negative binomial of statsmodels gives size 0.70104 and the same likelihood (computed).
    """
    fit = gamma_fit(range(8), times=CLAIMS)
    assert fit.shape == pytest.approx(0.701512, abs=5e-7)
    assert fit.scale == pytest.approx(0.305559, abs=5e-7)
    assert fit.log_likelihood == pytest.approx(-5348.03996, abs=5e-6)
    assert fit.mean == pytest.approx(2028 / 9461)


def test_claims_posterior_means() -> None:
    """Expected claims next year after x this year: .164 .398 .633 .87 1.10 1.34 1.57 (book, from memory)."""
    fit = gamma_fit(range(8), times=CLAIMS)
    found = [Gamma(fit.shape, fit.weight).updated([seen], [1.0]).mean for seen in range(7)]
    computed = [0.16419, 0.39823, 0.63227, 0.86632, 1.10036, 1.33441, 1.56845]
    assert found == pytest.approx(computed, abs=6e-6)
    assert found == pytest.approx([0.164, 0.398, 0.633, 0.87, 1.10, 1.34, 1.57], abs=0.006)


def test_claims_fitted_counts() -> None:
    """The negative binomial of the fit foretells 7847.01, 1288.36, 256.53 ... policies (computed)."""
    fit = gamma_fit(range(8), times=CLAIMS)
    part = fit.weight / (fit.weight + 1.0)
    expected = [
        9461 * math.exp(math.lgamma(fit.shape + x) - math.lgamma(fit.shape) - math.lgamma(x + 1))
        * part**fit.shape * (1.0 - part) ** x
        for x in range(8)
    ]  # fmt: skip
    computed = [7847.01, 1288.36, 256.53, 54.07, 11.71, 2.58, 0.57, 0.13]
    assert expected == pytest.approx(computed, abs=0.0051)


def test_claims_in_closed_form() -> None:
    """The moment fit, for which no search is needed: nu 0.61635, sigma 0.34778 (computed)."""
    policies = [count for count, times in enumerate(CLAIMS) for _ in range(times)]
    belief = shrink(policies, [1.0] * len(policies), lost=0).belief(0.0, math.inf)
    assert (belief.shape, 1 / belief.weight) == pytest.approx((0.61635, 0.34778), abs=2e-4)


def test_fit_with_exposures() -> None:
    """Where every policy is held for three years, the weight is in years: three times as much."""
    one = gamma_fit(range(8), times=CLAIMS)
    three = gamma_fit(range(8), exposures=[3.0] * 8, times=CLAIMS)
    assert (three.shape, three.weight) == pytest.approx((one.shape, 3 * one.weight), rel=1e-9)


def test_unequal_exposures_solve_both_equations() -> None:
    """At the fit the likelihood falls whichever way shape and mean are moved (its own definition)."""
    counts, exposures = [0, 9, 2, 14, 1, 3, 0, 7], [40, 60, 55, 70, 35, 60, 50, 65]

    def likelihood(shape: float, mean: float) -> float:
        total = 0.0
        for count, over in zip(counts, exposures, strict=True):
            part = shape / (shape + mean * over)
            total += math.lgamma(shape + count) - math.lgamma(shape) - math.lgamma(count + 1)
            total += shape * math.log(part) + count * math.log1p(-part)
        return total

    fit = gamma_fit(counts, exposures)
    best = likelihood(fit.shape, fit.mean)
    assert fit.log_likelihood == pytest.approx(best, rel=1e-12)
    for shape, mean in ((1.02, 1.0), (0.98, 1.0), (1.0, 1.02), (1.0, 0.98)):
        assert likelihood(fit.shape * shape, fit.mean * mean) < best


def test_nothing_to_fit() -> None:
    """An empty list, or an exposure of nothing, is refused."""
    for counts, exposures in (([], []), ([1, 2], [10, 0])):
        with pytest.raises(Refusal):
            gamma_fit(counts, exposures)


def test_horse_kicks_are_chance() -> None:
    """Horse kicks scatter as chance does: mean 0.61, index of dispersion about 1 (read)."""
    counts = spelled_out(dict(enumerate(KICKS)))
    found = dispersion(counts)
    assert (len(counts), sum(counts)) == (200, 122)
    assert found.index == pytest.approx(statistics.variance(counts) / 0.61, rel=1e-12)
    assert found.index == pytest.approx(1.0, abs=0.01)
    assert found.p > 0.4


def test_flying_bombs_are_chance() -> None:
    """Flying bombs too: 537 on 576 squares, and the printed fit, chi-square 1.17 on 4, p 0.88 (Clarke)."""
    counts = spelled_out(BOMBS)
    assert (len(counts), sum(counts)) == (576, 537)
    found = dispersion(counts)
    assert found.index == pytest.approx(1.04, abs=0.005)  # computed
    assert found.p > 0.2
    mean = 537 / 576
    expected = [576 * math.exp(-mean) * mean**hits / math.factorial(hits) for hits in range(5)]
    expected.append(576 - sum(expected))
    printed = [226.74, 211.39, 98.54, 30.62, 7.14, 1.57]
    assert expected == pytest.approx(printed, abs=0.005)
    fit = sum((seen - e) ** 2 / e for seen, e in zip(BOMBS.values(), expected, strict=True))
    assert round(fit, 2) == 1.17
    assert chi_square_tail(fit, 4) == pytest.approx(0.88315, abs=5e-6)


def test_discoveries_are_not() -> None:
    """Discoveries come in bursts: 310 in 100 years, variance 5.0808, index 1.639 (read)."""
    assert sum(DISCOVERIES) == 310
    found = dispersion(DISCOVERIES)
    assert found.index == pytest.approx(5.0808 / 3.1, abs=2e-5)
    assert found.p < 0.001
    assert math.isfinite(gamma_fit(DISCOVERIES).shape)


def test_may_is_not() -> None:
    """The word 'may' clusters by paper: 262 blocks, more spread than chance (read)."""
    counts = spelled_out(dict(enumerate(MAY)))
    assert len(counts) == 262
    assert dispersion(counts).p < 0.001


def test_steady_counts_fit_no_gamma() -> None:
    """Counts as even as chance or evener are fitted by one rate: the shape is infinite."""
    fit = gamma_fit([4, 5, 5, 6, 5, 5])
    assert (fit.shape, fit.weight, fit.mean) == (math.inf, math.inf, 5.0)
    assert fit.log_likelihood == pytest.approx(
        sum(c * math.log(5) - 5 - math.lgamma(c + 1) for c in (4, 5, 5, 6, 5, 5))
    )
