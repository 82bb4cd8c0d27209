"""A breakdown told in talk over film."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

_BREATH = 10
"""Words within which something told goes on."""
_MOST_ABOUT = 3


@dataclass(slots=True)
class Telling:
    """A breakdown told once, in words ``start`` up to ``end`` of its stretch; ``odds`` are log odds."""

    breakdown: str
    start: int
    end: int
    odds: float
    size: int = 0
    collective: bool = False
    """Told of nobody in particular: ``nobody boxed out``."""
    own: bool = False
    """Told in the team's own words, which no example foresees."""
    about: int = 0
    stances: dict[str, float] = field(default_factory=dict)

    def rank(self) -> tuple[float, float, int, str]:
        """Return what decides between breakdowns that the same words could tell, the best first."""
        return -(self.size + min(_MOST_ABOUT, self.about)), -self.odds, self.start, self.breakdown


def overshadowed(weak: Telling, told: Sequence[Telling]) -> bool:
    """Say whether a weak sign stands beside a plain telling, which it only goes on with."""
    return any(
        one.size > 1 and one.start - _BREATH <= weak.end and weak.start <= one.end + _BREATH for one in told
    )
