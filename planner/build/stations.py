"""Stations: two drills at the same time at two baskets, the squad in two groups that swap after a turn.

A block of two turns is one more candidate beside the whole-team drills. Each player gets a turn of both
drills, so its worth is counted as theirs: the minutes of a turn of each, in groups of half the squad. Equal
groups are enough: a group that suits both drills can always be levelled with the other.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from planner.build.brief import Brief, StationPin
from planner.build.candidates import (
    Candidate,
    fits,
    group_sizes,
    halves_at,
    not_ready,
    opposed,
    room_of,
    worths_of,
)
from planner.build.equipment import short_of
from planner.build.worth import total_worth
from planner.drills.card import Drill, Minutes
from planner.problem import Refusal

MOST_PAIRS = 40
"""Pairs of drills looked at by the solver where stations are asked for; the most promising ones."""

MOST_UNASKED = 10
"""Pairs looked at where they are not: it is quicker, and a block seldom beats two baskets of one drill."""


@dataclass(frozen=True, slots=True)
class Offer:
    """The station blocks offered to the solver, and how many pairs were left aside unseen."""

    candidates: tuple[Candidate, ...]
    aside: int = 0

    @property
    def note(self) -> str:
        """Return what the plan should say about pairs that were not looked at."""
        if not self.aside:
            return ""
        return (
            f"Stations: the {len(self.candidates)} most promising pairs of drills were looked at,"
            f" {self.aside} more were not; 'proven' is among these."
        )


def station_blocks(brief: Brief, found: Sequence[Candidate]) -> Offer:
    """Return the station blocks worth offering beside the whole-team drills ``found``.

    Unless the coach asks for stations, only pairs that can gain are offered: where the team can run both
    drills with as few waiting, running one after the other is worth as much and saves the change of baskets.

    Raises:
        Refusal: a pair that is asked for cannot run, or stations are wanted and no pair can.

    """
    pinned = tuple(_pinned(brief, one) for one in brief.station_pins)
    if brief.stations is False:
        if pinned:
            raise Refusal("A pair of stations is asked for and no stations are wanted; drop one wish.")
        return Offer(())
    if pinned and brief.stations is None:
        return Offer(pinned)
    taken = {one.id for pair in pinned for one in pair.drills} | {one.drill for one in brief.pins}
    cards = [one for one in sorted(brief.drills, key=lambda one: one.id) if one.id not in taken]
    fit = [one for one in cards if not why_no_station(one, brief)]
    whole = {} if brief.stations else _best_rates(found)
    pairs = [
        _block(brief, one, two, number)
        for number, (one, two) in enumerate(itertools.combinations(fit, 2))
        if not why_no_pair(one, two, brief) and not (_whole(one, brief, whole) and _whole(two, brief, whole))
    ]
    if brief.stations and not pairs and not pinned:
        raise Refusal(_none_fit(brief))
    pairs.sort(key=lambda one: (-_promise(brief, one), one.drill.id))
    most = MOST_PAIRS if brief.stations else MOST_UNASKED
    return Offer((*pinned, *pairs[:most]), max(0, len(pairs) - most))


def why_no_station(drill: Drill, brief: Brief) -> str:
    """Return why a drill cannot be one of two stations, or "" when it can."""
    if drill.kind != "drill":
        return "is no drill"
    if drill.id in brief.keep_out:
        return "is kept out"
    if drill.half_courts != 1:
        return "needs the whole court"
    if not _when([drill], brief):
        sizes = group_sizes(brief, 2)
        return f"takes {drill.players_min} to {drill.players_max} players, a group has {sizes[0]}"
    return not_ready(drill, brief)


def why_no_pair(one: Drill, two: Drill, brief: Brief) -> str:  # noqa: PLR0911
    """Return why two drills that suit a station each cannot be a pair, or ""."""
    rules = brief.rules
    if one.layout != two.layout:
        return "their layouts differ"
    if opposed(one) + opposed(two) > brief.coaches:
        return "a contested or live station needs a coach of its own"
    if one.effort >= rules.high_effort and two.effort >= rules.high_effort:
        return "both are hard, and nobody would get his breath back"
    if _turns(one, two) is None:
        return "no length of a turn suits both cards"
    low, _ = _turns(one, two) or (0, 0)
    if 2 * low + rules.rotation_minutes > min(rules.water_every, brief.minutes):
        return "two turns take longer than players may go without water"
    first, second = group_sizes(brief, 2)
    missing = short_of([(one, first), (two, second)], brief.equipment)
    if missing:
        return f"at the same time it {missing}"
    if not _both_open(brief) or not _when([one, two], brief):
        return "players for both and two baskets are never there at once"
    for principle in one.shares.keys() & two.shares.keys():
        if one.stage and two.stage and one.stage != two.stage:
            return f"they teach {principle} at different stages, and one group would compete before it learns"
    return ""


def _pinned(brief: Brief, pin: StationPin) -> Candidate:
    known = {one.id: one for one in brief.drills}
    for name in (pin.first, pin.second):
        if name not in known:
            raise Refusal(f"There is no drill '{name}'; 'stopsheet drills list' shows their ids.")
    one, two = known[pin.first], known[pin.second]
    if one is two:
        raise Refusal(f"'{one.id}' cannot be both stations; name two drills.")
    doubled = {one.id, two.id} & {each.drill for each in brief.pins}
    if doubled:
        raise Refusal(f"'{min(doubled)}' is pinned for the whole team and as a station; drop one wish.")
    for card in (one, two):
        why = why_no_station(card, brief)
        if why and not why.startswith("not ready"):
            raise Refusal(f"'{card.id}' cannot be a station: {why}.")
    why = why_no_pair(one, two, brief)
    if why:
        raise Refusal(f"'{one.id}' and '{two.id}' cannot be stations side by side: {why}.")
    block = replace(_block(brief, one, two, 0), pinned=True)
    if pin.minutes is None:
        return block
    low, high = _turns(one, two) or (0, 0)
    if not low <= pin.minutes <= high:
        raise Refusal(f"A turn of '{one.id}' and '{two.id}' takes {low} to {high} min, not {pin.minutes}.")
    length = 2 * pin.minutes + brief.rules.rotation_minutes
    return replace(block, low=length, high=length)


def _block(brief: Brief, one: Drill, two: Drill, number: int) -> Candidate:
    low, high = _turns(one, two) or (1, 1)
    rotation = brief.rules.rotation_minutes
    spans = _when([one, two], brief)
    sizes = group_sizes(brief.at(brief.start + spans[-1][0]), 2)
    parts = (worths_of(one, brief, sizes), worths_of(two, brief, sizes))
    principles = sorted({*parts[0], *parts[1]})
    lengths = Minutes(2 * low + rotation, 2 * low + rotation, 2 * high + rotation)
    return Candidate(
        drill=replace(
            one,
            id=f"{one.id}+{two.id}",
            title=f"{one.title} / {two.title}",
            shares={**two.shares, **one.shares},
            effort=max(one.effort, two.effort),
            minutes=lengths,
        ),
        groups=2,
        halves=2,
        low=lengths.min,
        high=lengths.max,
        worths={name: sum(part.get(name, 0.0) for part in parts) / 2 for name in principles},
        tie=1.0 + number / 1e6,
        cards=(one, two),
        step=2,
        idle=rotation,
        room=room_of(spans, brief),
    )


def _when(cards: Sequence[Drill], brief: Brief) -> list[tuple[int, int]]:
    """Return the spans in which two groups of those who are there suit all the cards."""
    return [
        (start, end)
        for start, end in brief.phases
        if all(fits(card, group_sizes(brief.at(brief.start + start), 2)) for card in cards)
    ]


def _turns(one: Drill, two: Drill) -> tuple[int, int] | None:
    """Return the shortest and longest turn that both cards allow."""
    low, high = max(one.minutes.min, two.minutes.min), min(one.minutes.max, two.minutes.max)
    return (low, high) if low <= high else None


def _both_open(brief: Brief) -> bool:
    return any(halves_at(brief, brief.start + minute) == 2 for minute in range(brief.minutes))


def _best_rates(found: Sequence[Candidate]) -> Mapping[str, Mapping[str, float]]:
    """Return drill id -> the best it does by principle as a drill of the whole team."""
    return {one.drill.id: (one.twin or one).worths for one in found}


def _whole(drill: Drill, brief: Brief, whole: Mapping[str, Mapping[str, float]]) -> bool:
    """Return whether the whole team can run the drill as well as a group does at a station."""
    known = whole.get(drill.id)
    if known is None:
        return False
    alone = worths_of(drill, brief, group_sizes(brief, 2))
    return all(known.get(principle, 0.0) >= rate - 1e-12 for principle, rate in alone.items())


def _promise(brief: Brief, block: Candidate) -> float:
    """Return what the block alone would be worth per minute."""
    return total_worth(brief, [(block.worths, block.low - block.idle)]) / block.low


def _none_fit(brief: Brief) -> str:
    if not _both_open(brief):
        return "Stations need two baskets, and the gym never has both; plan without them."
    first, second = group_sizes(brief, 2)
    return (
        f"No two drills suit groups of {first} and {second} side by side; plan without stations"
        " or name a pair with --stations FIRST,SECOND to hear why not."
    )


# ---- who begins where ------------------------------------------------------------------------------------


def split(brief: Brief, one: Drill, two: Drill) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the jerseys that begin at each drill; the first group is never the smaller one.

    By need: who goes first in a drill's main principle begins there. By position: like with like. Whoever
    neither rule places is spread evenly over both, position by position.
    """
    ordered = sorted(brief.squad, key=lambda p: (p.position, jersey_order(p.jersey)))
    sizes = group_sizes(brief, 2)
    groups: tuple[list[str], list[str]] = ([], [])
    for jersey, place in _placed(brief, one, two):
        into = place if len(groups[place]) < sizes[place] else 1 - place
        groups[into].append(jersey)
    position = {p.jersey: p.position for p in brief.squad}
    placed = {*groups[0], *groups[1]}
    for player in ordered:
        if player.jersey in placed:
            continue
        same = [sum(position[j] == player.position for j in group) for group in groups]
        room = [size - len(group) for size, group in zip(sizes, groups, strict=True)]
        first = (same[0], -room[0]) <= (same[1], -room[1])
        into = 0 if room[0] and (first or not room[1]) else 1
        groups[into].append(player.jersey)
    return (
        tuple(sorted(groups[0], key=jersey_order)),
        tuple(sorted(groups[1], key=jersey_order)),
    )


def _placed(brief: Brief, one: Drill, two: Drill) -> Iterator[tuple[str, int]]:
    """Yield who has a place of his own, and which."""
    there = sorted(brief.squad, key=lambda p: (p.position, jersey_order(p.jersey)))
    if brief.group_by == "position":
        known = [p.jersey for p in there if p.position]
        half = (len(known) + 1) // 2
        yield from ((jersey, int(number >= half)) for number, jersey in enumerate(known))
    elif brief.group_by == "need":
        first, second = (set(brief.first_in.get(card.main_principle or "", ())) for card in (one, two))
        for player in there:
            if (player.jersey in first) != (player.jersey in second):
                yield player.jersey, int(player.jersey in second)


def jersey_order(jersey: str) -> tuple[int, int, str]:
    """Return the key that sorts jerseys 0, 00, 4, 10, then those that are no numbers."""
    if jersey.isascii() and jersey.isdigit():
        return int(jersey), len(jersey), jersey
    return 10**12, 0, jersey
