"""Do games differ by more than chance? The index of dispersion and its test."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from numpy.typing import NDArray

METHOD = "index of dispersion test (Pearson chi-square against one common rate)"
MIN_GAMES = 4
MIN_EXPECTED = 1.0
"""Fewer games, or fewer than one expected per game on average, and the test says nothing."""
SIGNIFICANT = 0.05


@dataclass(frozen=True, slots=True)
class Dispersion:
    """``index`` is 1 when only chance moves the counts; ``p`` the chance of one as high by luck."""

    index: float
    statistic: float
    df: int
    p: float
    method: str = METHOD


def dispersion(counts: Sequence[float], exposures: Sequence[float] | None = None) -> Dispersion:
    """Return the index of dispersion of counts around one common rate.

    With equal exposures it is the sample variance over the mean. Index 1 and p 1 where there is nothing to
    compare (fewer than two games, or never seen).
    """
    import numpy as np

    seen = np.asarray(counts, dtype=float)[:, None]
    over = np.ones_like(seen) if exposures is None else np.asarray(exposures, dtype=float)[:, None]
    statistic, df = chi_squares(seen, over)
    if df[0] < 1 or seen.sum() == 0:
        return Dispersion(1.0, 0.0, max(int(df[0]), 0), 1.0)
    value = float(statistic[0])
    return Dispersion(value / int(df[0]), value, int(df[0]), chi_square_tail(value, int(df[0])))


def chi_square_tail(statistic: float, df: float) -> float:
    """Return the chance of a chi-square on ``df`` degrees at least as high."""
    from scipy.special import gammaincc

    return float(gammaincc(df / 2.0, statistic / 2.0))


def chi_squares(counts: NDArray[Any], exposures: NDArray[Any]) -> tuple[NDArray[Any], NDArray[Any]]:
    """Return Pearson's statistic and its degrees of freedom for each column (rows are games)."""
    import numpy as np

    rate = counts.sum(axis=0) / np.maximum(exposures.sum(axis=0), 1e-300)
    expected = rate * exposures
    told = expected > 0
    parts = np.where(told, (counts - expected) ** 2 / np.where(told, expected, 1.0), 0.0)
    return parts.sum(axis=0), (exposures > 0).sum(axis=0) - 1


def widening(counts: NDArray[Any], exposures: NDArray[Any]) -> tuple[NDArray[Any], NDArray[Any]]:
    """Return per column by how much the variance must grow (1: not at all) and whether it is flagged."""
    import numpy as np
    from scipy.special import gammaincc

    statistic, df = chi_squares(counts, exposures)
    games = df + 1
    enough = (games >= MIN_GAMES) & (counts.sum(axis=0) >= MIN_EXPECTED * games)
    safe = np.maximum(df, 1)
    flagged = enough & (gammaincc(safe / 2.0, statistic / 2.0) < SIGNIFICANT) & (statistic > safe)
    return np.where(flagged, statistic / safe, 1.0), flagged
