"""From an ordered choice to segments on the clock, with groups and places."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from planner.build.brief import Brief, SquadPlayer
from planner.build.candidates import Candidate
from planner.build.frame import Block, Section
from planner.build.model import Model
from planner.build.order import Ordered, placed_minutes
from planner.build.plan import Segment, Station

OPEN_TITLE = "Open: coach's choice"


def timetable(model: Model, ordered: Ordered, whys: Mapping[str, str]) -> tuple[Segment, ...]:
    """Return the practice's segments; ``whys`` maps drill id to its reason. They add up to the minute."""
    segments: list[Segment] = []
    for part in model.frame.parts:
        if isinstance(part, Block):
            segments.append(_block(model.brief, part))
        else:
            segments += _section(model, ordered, part, whys)
    return tuple(segments)


def _block(brief: Brief, block: Block) -> Segment:
    stations: tuple[Station, ...] = ()
    if block.drill is not None:
        everyone = tuple(one.jersey for one in brief.squad)
        stations = (Station(block.drill, "all", everyone, "full" if block.halves == 2 else "A"),)
    return Segment(
        start=brief.start + block.start,
        minutes=block.minutes,
        kind=block.kind,
        title=block.title,
        stations=stations,
        shares=block.shares,
        effort=block.effort,
    )


def _section(model: Model, ordered: Ordered, section: Section, whys: Mapping[str, str]) -> list[Segment]:
    brief, choice = model.brief, ordered.choice
    number = model.sections.index(section)
    at = brief.start + section.start
    segments: list[Segment] = []

    def put(minutes: int, segment: Segment) -> None:
        nonlocal at
        if minutes:
            segments.append(segment)
            at += minutes

    for stretch in (one for one in model.stretches if one.section == number):
        k = stretch.number
        spare = choice.set_ups[k] - ordered.orders[k].changes
        put(spare * brief.rules.set_up_minutes, _set_up(at, spare * brief.rules.set_up_minutes))
        before: Candidate | None = None
        for placed in placed_minutes(ordered, k):
            one = placed.candidate
            if before is not None and before.drill.layout != one.drill.layout:
                put(brief.rules.set_up_minutes, _set_up(at, brief.rules.set_up_minutes))
            put(placed.minutes, drill_segment(brief, one, at, placed.minutes, whys.get(one.drill.id, "")))
            before = one
        put(choice.open[k], Segment(at, choice.open[k], "fixed", OPEN_TITLE))
        put(choice.water[k], Segment(at, choice.water[k], "water", "Water"))
    return segments


def _set_up(at: int, minutes: int) -> Segment:
    return Segment(at, minutes, "set-up", "Set-up")


def drill_segment(brief: Brief, one: Candidate, at: int, minutes: int, why: str) -> Segment:
    """Return a drill's segment from minute ``at`` of the day, with its groups and places."""
    return Segment(
        start=at,
        minutes=minutes,
        kind="drill",
        title=one.drill.title,
        stations=stations(brief.squad, one),
        shares=dict(one.drill.shares),
        why=why,
        effort=one.drill.effort,
    )


def stations(squad: Sequence[SquadPlayer], one: Candidate) -> tuple[Station, ...]:
    """Return who runs the drill where: all together, or two groups that share out the positions evenly."""
    if one.groups == 1:
        half = "full" if one.halves == 2 else "A"
        return (Station(one.drill.id, "all", tuple(p.jersey for p in squad), half),)
    by_position = sorted(squad, key=lambda p: (p.position, _jersey_order(p.jersey)))
    return tuple(
        Station(one.drill.id, half, tuple(p.jersey for p in by_position[start::2]), half)
        for start, half in enumerate("AB")
    )


def _jersey_order(jersey: str) -> tuple[int, str]:
    return (int(jersey) if jersey.isdigit() else 1000, jersey)
