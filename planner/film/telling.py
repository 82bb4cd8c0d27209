"""A breakdown told in talk over film."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(slots=True)
class Telling:
    """A breakdown told once, in words ``start`` up to ``end`` of its stretch; ``odds`` are log odds."""

    breakdown: str
    start: int
    end: int
    odds: float
    collective: bool = False
    """Told of nobody in particular: ``nobody boxed out``."""
    own: bool = False
    """Told in the team's own words, which no example foresees."""
    stances: dict[str, float] = field(default_factory=dict)
