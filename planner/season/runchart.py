"""A run chart: game after game beside the median, with one published rule for what is more than chance.

Rule: Anhoej and Olesen, "Run charts revisited", PLoS ONE 9(11) e113825, 2014: with n useful points (those
not on the median), a run on one side longer than log2(n) + 3, rounded, or fewer crossings of the median
than the 5 % point of Binomial(n - 1, 1/2), is a signal. The limits for n from 10 on are tabled there.
"""

from __future__ import annotations

import itertools
import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

RULE = "longest run and crossings about the median (Anhoej and Olesen 2014)"
LEAST = 10
"""Useful points below which the rule says nothing."""


@dataclass(frozen=True, slots=True)
class RunChart:
    """Points (oldest first) about their ``median``; ``signal`` is None where there are too few to tell."""

    points: tuple[float, ...]
    median: float
    useful: int
    longest: int
    crossings: int
    longest_limit: int | None
    crossings_limit: int | None
    signal: bool | None
    rule: str = RULE

    @property
    def sides(self) -> str:
        """Return the chart in letters: ``+`` above the median, ``-`` below, ``.`` on it."""
        return "".join("+" if one > self.median else "-" if one < self.median else "." for one in self.points)

    @property
    def words(self) -> str:
        """Return what the chart says, in one sentence."""
        if self.signal is None:
            return f"{self.useful} useful games; the rule needs {LEAST}: too few to tell a shift from chance."
        counts = (
            f"longest run {self.longest} (limit {self.longest_limit}), {self.crossings} crossings"
            f" (at least {self.crossings_limit})"
        )
        if self.signal:
            return f"More than chance by the rule: {counts}. Look for what changed; it need not be practice."
        return f"Nothing beyond chance: {counts}."

    def as_json(self) -> dict[str, Any]:
        """Return the chart as plain values."""
        return {
            "points": list(self.points),
            "median": self.median,
            "useful": self.useful,
            "longest_run": self.longest,
            "longest_run_limit": self.longest_limit,
            "crossings": self.crossings,
            "crossings_limit": self.crossings_limit,
            "signal": self.signal,
            "rule": self.rule,
        }


def run_chart(points: Sequence[float]) -> RunChart:
    """Return the run chart of rates game by game, oldest first."""
    median = statistics.median(points) if points else 0.0
    sides = [one > median for one in points if one != median]
    runs = [len(list(group)) for _, group in itertools.groupby(sides)]
    useful, longest, crossings = len(sides), max(runs, default=0), max(len(runs) - 1, 0)
    if useful < LEAST:
        return RunChart(tuple(points), median, useful, longest, crossings, None, None, None)
    most, least = longest_limit(useful), crossings_limit(useful)
    signal = longest > most or crossings < least
    return RunChart(tuple(points), median, useful, longest, crossings, most, least, signal)


def longest_limit(useful: int) -> int:
    """Return the longest run that chance is granted."""
    return round(math.log2(useful) + 3)


def crossings_limit(useful: int) -> int:
    """Return the fewest crossings that chance is granted: the 5 % point of Binomial(n - 1, 1/2)."""
    flips, reached = useful - 1, 0
    for count in range(useful):
        reached += math.comb(flips, count)
        if reached >= 0.05 * 2**flips:
            return count
    return flips
