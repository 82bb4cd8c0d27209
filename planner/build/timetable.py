"""From an ordered choice to segments on the clock, with groups and places."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from planner.build.brief import Brief, SquadPlayer
from planner.build.candidates import Candidate
from planner.build.frame import Block, Section
from planner.build.model import Model
from planner.build.order import Ordered, placed_minutes
from planner.build.plan import Segment, Station
from planner.build.stations import jersey_order, split

SWAP_TITLE = "Groups swap baskets"
SWAP_WHY = "The groups swap: everyone gets both."
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
        there = brief.at(brief.start + block.start).squad
        everyone = tuple(one.jersey for one in there)
        stations = (Station(block.drill, "all", everyone, "full" if block.halves == 2 else "A"),)
    return Segment(
        start=brief.start + block.start,
        minutes=block.minutes,
        kind=block.kind,
        title=block.title,
        stations=stations,
        shares=block.shares,
        why=block.content,
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
            why = whys.get(one.drill.id, "")
            for segment in drill_segments(brief, one, at, placed.minutes, why):
                put(segment.minutes, segment)
            before = one
        put(choice.open[k], Segment(at, choice.open[k], "fixed", OPEN_TITLE))
        put(choice.water[k], Segment(at, choice.water[k], "water", "Water"))
    return segments


def _set_up(at: int, minutes: int) -> Segment:
    return Segment(at, minutes, "set-up", "Set-up")


def drill_segments(brief: Brief, one: Candidate, at: int, minutes: int, why: str) -> tuple[Segment, ...]:
    """Return what a drill or a block of two stations takes on the clock, from minute ``at`` of the day."""
    if len(one.drills) == 1:
        return (drill_segment(brief, one, at, minutes, why),)
    first, second = one.drills
    turn, rotation = (minutes - one.idle) // 2, one.idle
    early, late = split(brief.at(at), first, second)
    begins = (Station(first.id, "Group 1", early, "A"), Station(second.id, "Group 2", late, "B"))
    early, late = _joined(brief.at(at + turn + rotation), early, late)
    swapped = (Station(second.id, "Group 1", early, "B"), Station(first.id, "Group 2", late, "A"))
    titles = (f"{first.title} / {second.title}", f"{second.title} / {first.title}")
    lower, upper = shared_out(first.shares, second.shares)
    efforts = first.effort + second.effort
    made = [
        Segment(at, turn, "drill", titles[0], begins, lower, why, efforts // 2),
        Segment(at + turn, rotation, "set-up", SWAP_TITLE),
        Segment(
            *(at + turn + rotation, turn, "drill", titles[1], swapped, upper, SWAP_WHY),
            effort=efforts - efforts // 2,
        ),
    ]
    return tuple(segment for segment in made if segment.minutes)


def _joined(
    brief: Brief, early: tuple[str, ...], late: tuple[str, ...]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the groups with those who have come since, each in the smaller one."""
    for player in brief.squad:
        if player.jersey in early or player.jersey in late:
            continue
        if len(early) <= len(late):
            early = (*early, player.jersey)
        else:
            late = (*late, player.jersey)
    return early, late


def shared_out(first: Mapping[str, int], second: Mapping[str, int]) -> tuple[dict[str, int], dict[str, int]]:
    """Return the shares of the two turns of a station block, in whole twentieths.

    A turn teaches the average player half of both drills; where that is no whole twentieth the turns take
    the odd one in alternation, so that the block adds up to a turn of each drill exactly.
    """
    turns: tuple[dict[str, int], dict[str, int]] = ({}, {})
    odd = 0
    for principle in sorted({*first, *second}):
        units = first.get(principle, 0) + second.get(principle, 0)
        more = units // 2 + units % 2
        here = units // 2 if odd % 2 == 0 else more
        odd += units % 2
        for turn, share in zip(turns, (here, units - here), strict=True):
            if share:
                turn[principle] = share
    return turns


def drill_segment(brief: Brief, one: Candidate, at: int, minutes: int, why: str) -> Segment:
    """Return a drill's segment from minute ``at`` of the day, with its groups and places."""
    card = one.drills[0]
    return Segment(
        start=at,
        minutes=minutes,
        kind="drill",
        title=card.title,
        stations=stations(brief.at(at).squad, one),
        shares=dict(card.shares),
        why=why,
        effort=card.effort,
    )


def stations(squad: Sequence[SquadPlayer], one: Candidate) -> tuple[Station, ...]:
    """Return who runs the drill where: all together, or two groups that share out the positions evenly."""
    drill = one.drills[0].id
    if one.groups == 1:
        half = "full" if one.halves == 2 else "A"
        return (Station(drill, "all", tuple(p.jersey for p in squad), half),)
    by_position = sorted(squad, key=lambda p: (p.position, jersey_order(p.jersey)))
    return tuple(
        Station(drill, half, tuple(p.jersey for p in by_position[start::2]), half)
        for start, half in enumerate("AB")
    )
