"""Stretches that stay where they are, and as they are, while the rest of a practice is built anew."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import cast

from planner.build.advice import rates_of
from planner.build.brief import Brief, FixedBlock
from planner.build.plan import Plan, Segment
from planner.drills.card import SHARE_UNIT


def held(brief: Brief, locks: Sequence[Segment]) -> Brief:
    """Return the brief with the locked stretches as decided blocks, and their drills in no other place.

    A block brings what its stretch is worth, so that the rest is planned beside it.
    """
    if not locks:
        return brief
    drills = frozenset(one.drill for segment in locks for one in segment.stations if segment.drills)
    titles = {one.title for one in locks if one.kind == "fixed"}
    others = (one for one in brief.fixed if one.title not in titles)
    pairs = any(len(one.drills) > 1 for one in locks)
    return replace(
        brief,
        fixed=(*others, *(_block(one, brief) for one in locks)),
        keep_out=brief.keep_out | drills,
        pins=tuple(one for one in brief.pins if one.drill not in drills),
        station_pins=tuple(one for one in brief.station_pins if not {one.first, one.second} & drills),
        stations=None if pairs and brief.stations else brief.stations,
    )


def _block(one: Segment, brief: Brief) -> FixedBlock:
    halves = {station.half for station in one.stations}
    needs = 2 if "full" in halves or len(halves) > 1 else len(halves)
    lasting = brief.lasting or 1.0
    shares = {name: rate * SHARE_UNIT / lasting for name, rate in rates_of(one, brief).items()}
    return FixedBlock(
        one.title,
        one.minutes,
        one.start - brief.start,
        one.effort,
        needs,
        cast("Mapping[str, int]", shares),
    )


def put_back(plan: Plan, locks: Sequence[Segment]) -> Plan:
    """Return the plan with the locked stretches themselves where blocks held their place."""
    kept = {(one.start, one.title): one for one in locks}
    drills = {station.drill for one in locks for station in one.stations}
    return replace(
        plan,
        segments=tuple(kept.get((one.start, one.title), one) for one in plan.segments),
        left_out=tuple(one for one in plan.left_out if one.drill not in drills),
    )
