"""What minutes are worth: a concave curve per principle, straight between marks so that a solver can use it.

worth(m) = need x r x (exp(-S / tau) - exp(-(S + m) / tau)), S the minutes carried over. The curve is taken
at marks every ``STEP`` effective minutes and joined by straight lines; that joined curve is the worth.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from planner.build.brief import Brief, Rules, Weight

STEP = 2.0
"""Effective minutes between two marks of the curve."""


@dataclass(frozen=True, slots=True)
class Curve:
    """One principle's worth of minutes, in points per 100 possessions."""

    scale: float
    tau: float
    carried: float

    def at_mark(self, minutes: float) -> float:
        """Return the exact exponential worth of ``minutes``."""
        lost = math.exp(-self.carried / self.tau)
        return self.scale * lost * -math.expm1(-minutes / self.tau)

    def worth(self, minutes: float) -> float:
        """Return the worth of effective ``minutes`` along the joined curve."""
        if minutes <= 0:
            return 0.0
        mark = math.floor(minutes / STEP) * STEP
        low, high = self.at_mark(mark), self.at_mark(mark + STEP)
        return low + (high - low) * (minutes - mark) / STEP

    def slopes(self, limit: float) -> list[float]:
        """Return worth per effective minute between marks, from 0 up to ``limit`` (falling)."""
        marks = math.ceil(limit / STEP)
        values = [self.at_mark(one * STEP) for one in range(marks + 1)]
        return [(high - low) / STEP for low, high in itertools.pairwise(values)]


def curves(brief: Brief) -> dict[str, Curve]:
    """Return principle id -> curve, for the principles that have a need."""
    return {
        one: curve(weight, brief.rules) for one, weight in sorted(brief.weights.items()) if weight.need > 0
    }


def curve(weight: Weight, rules: Rules) -> Curve:
    """Return the curve of one principle."""
    return Curve(weight.need * rules.r, rules.tau, weight.carry_over)


def total_worth(brief: Brief, parts: Iterable[tuple[Mapping[str, float], float]]) -> float:
    """Return the worth of a plan given as (effective minutes per minute by principle, minutes) pairs."""
    minutes: dict[str, float] = {}
    for worths, length in parts:
        for principle, per_minute in worths.items():
            minutes[principle] = minutes.get(principle, 0.0) + per_minute * length
    known = curves(brief)
    return math.fsum(known[one].worth(length) for one, length in sorted(minutes.items()) if one in known)
