"""What the estimates assume; every number here is our choice and can be set."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from planner.problem import Refusal

LEVEL = 0.90
"""Intervals hold the truth nine times in ten."""
TAIL = (1.0 - LEVEL) / 2.0
Z90 = 1.6448536269514722
"""Standard normal quantile at 0.95."""


@dataclass(frozen=True, slots=True)
class NeedSettings:
    """How film becomes need.

    ``half_life_games``: a game counts half as much that many games later (inf: all games alike).
    ``prior_possessions``: the library's usual rate weighs as much as that many possessions of film (about
    one game). ``season_games``: from that many games on, the team's own season is believed before the
    library. ``cost_sd``: how far a team's cost of a breakdown may lie from the usual one, in points.
    ``base`` and ``base_sd``: points on a clean possession; a usual defence gives 0.93, of which about 0.25
    go through breakdowns. ``noise_variance``: of the points on one possession, with the weight of
    ``noise_possessions``. ``off``: breakdowns that contribute nothing. ``emphasis`` (the coach's) and
    ``exposure`` (the next opponent's) are factors by principle, 1 where absent. ``carried``: minutes still
    carried over, by principle. ``blame``: every breakdown of a possession counts, or the first alone.
    """

    half_life_games: float = 6.0
    prior_possessions: float = 60.0
    season_games: int = 6
    cost_sd: float = 0.25
    base: float = 0.68
    base_sd: float = 0.2
    noise_variance: float = 1.2
    noise_possessions: float = 50.0
    off: frozenset[str] = frozenset()
    emphasis: Mapping[str, float] = field(default_factory=dict)
    exposure: Mapping[str, float] = field(default_factory=dict)
    carried: Mapping[str, float] = field(default_factory=dict)
    blame: Literal["all", "first"] = "all"
    recent_games: int = 6
    draws: int = 4000
    seed: int = 1936

    def __post_init__(self) -> None:
        """Refuse numbers that mean nothing."""
        for name in ("half_life_games", "prior_possessions", "cost_sd", "base_sd", "noise_variance"):
            if not getattr(self, name) > 0:
                raise Refusal(f"The setting '{name}' must be above 0, not {getattr(self, name)}.")
        for name in ("emphasis", "exposure"):
            for principle, factor in getattr(self, name).items():
                if not (math.isfinite(factor) and factor >= 0):
                    raise Refusal(f"The {name} of '{principle}' must be a number of 0 or more, not {factor}.")
        if self.blame not in ("all", "first"):
            raise Refusal(f"Blame goes to 'all' or to 'first', not to '{self.blame}'.")
