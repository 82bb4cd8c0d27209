"""Has it moved lately? Said only when it is more than noise."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.need.dispersion import chi_squares
from planner.need.poisson import TwoRates, two_rates

if TYPE_CHECKING:
    from numpy.typing import NDArray

MIN_GAMES = 4
LAST = 3
MORE_THAN_NOISE = 0.01
"""Strict on purpose: some three dozen breakdowns are looked at side by side."""


def trend(counts: NDArray[Any], exposures: NDArray[Any]) -> tuple[int, TwoRates] | None:
    """Compare the last games (up to three, at most half) with those before; None when it may be noise.

    Counts and exposures are one entry a game, oldest first. Where games differ by more than chance within
    the two groups, the evidence is thinned by as much before the exact test.
    """
    games = len(counts)
    last = min(LAST, games // 2)
    if games < MIN_GAMES or exposures[:-last].sum() <= 0 or exposures[-last:].sum() <= 0:
        return None
    thin = _within(counts, exposures, last)
    found = two_rates(
        float(int(counts[-last:].sum() / thin)),
        float(exposures[-last:].sum() / thin),
        float(int(counts[:-last].sum() / thin)),
        float(exposures[:-last].sum() / thin),
    )
    return (last, found) if found.p < MORE_THAN_NOISE else None


def _within(counts: NDArray[Any], exposures: NDArray[Any], last: int) -> float:
    statistic = degrees = 0.0
    for group in (slice(None, -last), slice(-last, None)):
        value, df = chi_squares(counts[group, None], exposures[group, None])
        statistic += float(value[0])
        degrees += max(float(df[0]), 0.0)
    return max(1.0, statistic / degrees) if degrees else 1.0
