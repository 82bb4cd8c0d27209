"""A drill card as plain values, for JSON."""

from __future__ import annotations

from typing import Any

from planner.drills.card import SHARE_UNIT, Drill


def plain(one: Drill) -> dict[str, Any]:
    """Return a drill card as plain values."""
    return {
        "id": one.id,
        "title": one.title,
        "kind": one.kind,
        "stage": one.stage.value if one.stage else None,
        "principles": {key: units / SHARE_UNIT for key, units in one.shares.items()},
        "players": [one.players_min, one.players_max],
        "half_courts": one.half_courts,
        "layout": one.layout,
        "minutes": [one.minutes.min, one.minutes.usual, one.minutes.max],
        "effort": one.effort,
        "equipment": list(one.equipment),
        "set_up": one.set_up,
        "how": one.how,
        "cues": list(one.cues),
        "faults": [{"seen": fault.seen, "say": fault.say} for fault in one.faults],
        "scoring": _scoring(one),
        "easier": list(one.easier),
        "harder": list(one.harder),
        "cautions": list(one.cautions),
        "few_players": one.few_players,
        "one_basket": one.one_basket,
    }


def _scoring(one: Drill) -> dict[str, Any] | None:
    if one.scoring is None:
        return None
    scoring = one.scoring
    return {
        "rule": scoring.rule,
        "counts": scoring.counts,
        "target": scoring.target,
        "tries": scoring.tries,
    }
