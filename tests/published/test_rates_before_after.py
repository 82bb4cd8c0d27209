"""Before and after against published comparisons of two rates."""

from __future__ import annotations

import datetime as dt

import pytest

from planner.season.evidence import Counted, compare, holm

DAY = dt.date(2027, 1, 4)


def halves(count: int, exposure: int) -> list[Counted]:
    """Return a rate as two games that differ as little as they can."""
    return [
        Counted(DAY, count // 2, exposure // 2),
        Counted(DAY, count - count // 2, exposure - exposure // 2),
    ]


@pytest.mark.parametrize(
    ("after", "before", "ratio", "p"),
    [
        # Fay's rateratio.test vignette (read): ratio 0.2070941557, p 0.05011
        ((2, 17877), (9, 16660), 0.2070941557, 0.05011),
        # Boice and Monson: ratio 1.855 (read in episheet's tests); the central exact p is computed
        ((41, 28010), (15, 19017), 1.855, 0.04766),
        # Przyborowski and Wilenski's dodder seed, 0 v 3 in 100 each: conditional 0.25 (computed)
        ((0, 100), (3, 100), 0.0, 0.25),
        # Krishnamoorthy and Thomson 2004, 2 v 6 in 100 each: conditional 2 x 37/256 (computed)
        ((2, 100), (6, 100), 1 / 3, 0.2890625),
    ],
)
def test_the_test_is_the_exact_conditional_one(
    after: tuple[int, int], before: tuple[int, int], ratio: float, p: float
) -> None:
    """Published pairs, each side told as two games alike, give the published ratio and central p-value."""
    found, thin = compare([halves(*before), halves(*after)])
    assert thin == 1.0
    assert found is not None
    assert found.ratio == pytest.approx(ratio, abs=1e-3)
    assert found.p == pytest.approx(p, abs=5e-6)
    assert "exact conditional" in found.method


def test_games_that_swing_thin_the_evidence() -> None:
    """The same totals from games far apart say less: the p-value grows."""
    calm, _ = compare([halves(30, 600), halves(12, 600)])
    wild, thin = compare(
        [[Counted(DAY, 28, 300), Counted(DAY, 2, 300)], [Counted(DAY, 11, 300), Counted(DAY, 1, 300)]]
    )
    assert thin == pytest.approx((2 * 13**2 / 15 + 2 * 5**2 / 6) / 2)
    assert calm is not None
    assert wild is not None
    assert calm.p < 0.01
    assert wild.p > 0.05


def test_one_game_a_side_is_no_comparison() -> None:
    """Fewer than two games on a side are not tested at all."""
    assert compare([halves(3, 100), [Counted(DAY, 9, 100)]])[0] is None


def test_holm_s_steps() -> None:
    """0.01, 0.04, 0.03, 0.005 become 0.03, 0.06, 0.06, 0.02: the usual textbook example (from memory)."""
    found = holm(dict(enumerate((0.01, 0.04, 0.03, 0.005))), 4)
    assert [round(found[at], 10) for at in range(4)] == [0.03, 0.06, 0.06, 0.02]


def test_looks_not_taken_count_too() -> None:
    """With more looks than p-values the rest are taken to be 1; nothing passes 1."""
    assert holm({0: 0.004, 1: 0.5}, 14) == {0: pytest.approx(0.056), 1: 1.0}
