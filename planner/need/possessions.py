"""Possessions and pace from a box score, for a coach who has nothing else.

A possession ends when the other team gets the ball: an offensive rebound keeps it alive.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from planner.problem import Refusal

K_USUAL = 0.44
"""Share of free throws that end a possession, as most often printed."""
K_COLLEGE = 0.475
"""The same as used for college games."""
DEFINITION = "an offensive rebound continues the possession"


@dataclass(frozen=True, slots=True)
class BoxScore:
    """One team's totals: field goals tried, offensive rebounds, turnovers, free throws tried."""

    field_goals_tried: int
    offensive_rebounds: int
    turnovers: int
    free_throws_tried: int


@dataclass(frozen=True, slots=True)
class Possessions:
    """An estimate of possessions, with the ``k`` it rests on and what it calls a possession."""

    value: float
    k: float
    definition: str = DEFINITION

    @property
    def whole(self) -> int:
        """Return the nearest whole number."""
        return math.floor(self.value + 0.5)


def possessions(team: BoxScore, other: BoxScore | None = None, k: float = K_USUAL) -> Possessions:
    """Return FGA - OREB + TOV + k FTA; with both teams' totals, the mean of the two.

    Raises:
        Refusal: a total is below 0, or the totals leave no possession.

    """
    found = [_one(one, k) for one in (team, other) if one is not None]
    value = math.fsum(found) / len(found)
    if value <= 0:
        raise Refusal("The box score leaves no possessions: check shots, rebounds, turnovers, free throws.")
    return Possessions(value, k)


def pace(value: float, player_minutes: float, game_minutes: float) -> float:
    """Return possessions per game of ``game_minutes`` (48, 40 or 32), overtime taken out.

    ``player_minutes`` is the team's total, five times the minutes on the clock.

    Raises:
        Refusal: minutes are not above 0.

    """
    if not (player_minutes > 0 and game_minutes > 0):
        raise Refusal("Pace needs the minutes played, more than 0.")
    return game_minutes * value / (player_minutes / 5.0)


def _one(team: BoxScore, k: float) -> float:
    totals = (team.field_goals_tried, team.offensive_rebounds, team.turnovers, team.free_throws_tried)
    if min(totals) < 0:
        raise Refusal("A box score's totals cannot be below 0.")
    return team.field_goals_tried - team.offensive_rebounds + team.turnovers + k * team.free_throws_tried
