"""Stops out of tries: exact limits, and a belief about the rate behind them."""

from __future__ import annotations

from dataclasses import dataclass

from planner.problem import Refusal

CLOPPER_PEARSON = "exact limits for a proportion (Clopper and Pearson, Biometrika 26, 1934)"
PRIOR = (1.0, 1.0)
"""Beta(1, 1): before any try every rate is as likely as any other; it weighs as much as two tries."""


def binomial_limits(stops: float, tries: float, level: float = 0.90) -> tuple[float, float]:
    """Return the exact central limits of the rate (see ``CLOPPER_PEARSON``).

    Raises:
        Refusal: there are more stops than tries, or none of either makes sense.

    """
    from scipy.special import betaincinv

    if not 0 <= stops <= tries or tries <= 0:
        raise Refusal(f"{stops:g} of {tries:g} cannot be; give stops out of tries, such as 7 of 10.")
    if not 0.0 < level < 1.0:
        raise Refusal(f"A level cannot be {level}: give a part between 0 and 1, such as 0.90.")
    tail = (1.0 - level) / 2.0
    low = float(betaincinv(stops, tries - stops + 1.0, tail)) if stops > 0 else 0.0
    high = float(betaincinv(stops + 1.0, tries - stops, 1.0 - tail)) if stops < tries else 1.0
    return low, high


@dataclass(frozen=True, slots=True)
class Beta:
    """A belief about a success rate: ``hits`` and ``misses`` seen or believed (conjugate to the binomial)."""

    hits: float
    misses: float

    @property
    def mean(self) -> float:
        """Return the mean rate."""
        return self.hits / (self.hits + self.misses)

    def above(self, rate: float) -> float:
        """Return the belief that the true rate is above ``rate``."""
        from scipy.special import betainc

        return float(betainc(self.misses, self.hits, 1.0 - min(max(rate, 0.0), 1.0)))

    def limits(self, level: float = 0.90) -> tuple[float, float]:
        """Return the equal-tailed interval of the belief."""
        from scipy.special import betaincinv

        tail = (1.0 - level) / 2.0
        return (
            float(betaincinv(self.hits, self.misses, tail)),
            float(betaincinv(self.hits, self.misses, 1.0 - tail)),
        )


def belief(stops: float, tries: float, prior: tuple[float, float] = PRIOR) -> Beta:
    """Return the belief after so many stops out of tries (both may be weighted, so need not be whole)."""
    return Beta(prior[0] + stops, prior[1] + tries - stops)
