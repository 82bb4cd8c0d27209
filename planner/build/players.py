"""A plan told player by player: what each of them is there for, to the twentieth of a minute."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from planner.build.plan import Plan, Segment, Station
from planner.build.stations import jersey_order
from planner.drills.card import SHARE_UNIT, Drill

MISSED = "not-there"
"""The minutes of a player who comes later, or is in no group."""

_BESIDES = {"water": "water", "set-up": "set-up", "fixed": "fixed"}


@dataclass(frozen=True, slots=True)
class PlayerPlan:
    """One player's practice: twentieths of a minute per principle and remainder; they add up to the whole."""

    jersey: str
    units: Mapping[str, int]

    @property
    def minutes(self) -> dict[str, float]:
        """Return minutes per principle and remainder."""
        return {one: units / SHARE_UNIT for one, units in self.units.items()}

    def as_json(self) -> dict[str, Any]:
        """Return the player's minutes as plain values."""
        return {
            "player": self.jersey,
            "minutes": self.minutes,
            "total": sum(self.units.values()) / SHARE_UNIT,
        }


def players_of(plan: Plan, cards: Mapping[str, Drill]) -> tuple[PlayerPlan, ...]:
    """Return everyone in the plan by jersey; ``cards`` maps drill id to its card.

    In a drill a player gets what his own station teaches; where its card is not known, the segment's shares.
    """
    jerseys = {jersey for one in plan.segments for station in one.stations for jersey in station.players}
    found = []
    for jersey in sorted(jerseys, key=jersey_order):
        units: dict[str, int] = {}
        comes = _comes(plan, jersey)
        for number, segment in enumerate(plan.segments):
            parts = _parts(segment, jersey, cards) if number >= comes else {}
            parts = parts or {MISSED: segment.minutes * SHARE_UNIT}
            for key, value in parts.items():
                units[key] = units.get(key, 0) + value
        found.append(PlayerPlan(jersey, {key: units[key] for key in sorted(units) if units[key]}))
    return tuple(found)


def _comes(plan: Plan, jersey: str) -> int:
    """Return the number of the segment from which a player is there: the first where nobody missed him."""
    with_groups = [number for number, one in enumerate(plan.segments) if one.stations]
    mine = [number for number in with_groups if _station(plan.segments[number], jersey)]
    return 0 if mine[0] == with_groups[0] else mine[0]


def _station(segment: Segment, jersey: str) -> Station | None:
    return next((one for one in segment.stations if jersey in one.players), None)


def _parts(segment: Segment, jersey: str, cards: Mapping[str, Drill]) -> dict[str, int]:
    """Return twentieths of a minute by principle and remainder; nothing where the player has no place."""
    if segment.kind in {"water", "set-up"}:
        return {segment.kind: segment.minutes * SHARE_UNIT}
    station = _station(segment, jersey)
    if segment.stations and station is None:
        return {}
    card = cards.get(station.drill) if station else None
    shares = card.shares if card and segment.kind == "drill" else segment.shares
    parts = {one: segment.minutes * units for one, units in shares.items()}
    rest = _BESIDES.get(segment.kind, "other")
    parts[rest] = parts.get(rest, 0) + segment.minutes * (SHARE_UNIT - sum(shares.values()))
    return parts
