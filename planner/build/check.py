"""An independent look at a finished plan: the clock and every rule, read off the segments alone.

It shares nothing with the model, so it also judges plans made or changed by hand. Findings are advice.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence

from planner.build.brief import Brief
from planner.build.equipment import short_of
from planner.build.plan import Plan, Segment
from planner.clock import clock_text
from planner.drills.card import Drill
from planner.drills.vocabulary import Stage
from planner.text import plural


def check_plan(plan: Plan, brief: Brief) -> list[str]:
    """Return one sentence per rule that the plan breaks; empty for a sound plan."""
    cards = {one.id: one for one in brief.drills}
    checks = (
        _clock(plan, brief),
        _ends(plan, brief),
        _water(plan, brief),
        _fixed(plan, brief),
        _set_ups(plan, brief, cards),
        _gym(plan, brief, cards),
        _players(plan, brief, cards),
        _coaches(plan, brief, cards),
        _equipment(plan, brief, cards),
        _turns(plan, brief),
        _lengths(plan, brief, cards),
        _stages(plan, cards),
        _hard_runs(plan, brief, cards),
        _wishes(plan, brief),
        _load(plan, brief),
    )
    return list(itertools.chain.from_iterable(checks))


def _drills(plan: Plan) -> list[Segment]:
    return [one for one in plan.segments if one.kind == "drill"]


def _cards(segment: Segment, cards: Mapping[str, Drill]) -> list[Drill]:
    return [cards[one.drill] for one in segment.stations if one.drill in cards]


def _clock(plan: Plan, brief: Brief) -> Iterator[str]:
    at = brief.start
    for one in plan.segments:
        if one.minutes < 1:
            yield f"{clock_text(one.start)} {one.title} has {one.minutes} minutes."
        if one.start != at:
            yield f"{one.title} starts at {clock_text(one.start)}, the clock says {clock_text(at)}."
        at += one.minutes
    if at != brief.start + brief.minutes:
        yield f"The segments end at {clock_text(at)}, practice at {clock_text(brief.start + brief.minutes)}."


def _ends(plan: Plan, brief: Brief) -> Iterator[str]:
    before = {one.title for one in brief.fixed if one.at in {"start", 0}}
    first = next((one for one in plan.segments if one.title not in before), plan.segments[0])
    if brief.warm_up_minutes and first.kind != "warm-up":
        yield "The warm-up is not first."
    if brief.cool_down_minutes and plan.segments[-1].kind != "cool-down":
        yield "The cool-down is not last."


def _water(plan: Plan, brief: Brief) -> Iterator[str]:
    """Yield dry spells; a block too long by itself or with its neighbours is drunk through."""
    limit = brief.rules.water_every
    dry = 0
    run: list[Segment] = []
    off_the_floor = {one.title for one in brief.fixed if one.halves == 0}
    for one in plan.segments:
        if one.kind == "fixed" and one.title in off_the_floor:
            dry, run = 0, []
            continue
        if one.kind == "water":
            dry, run = 0, []
            if one.minutes < brief.rules.water_minutes:
                yield f"The break at {clock_text(one.start)} has {one.minutes} minutes."
            continue
        dry += one.minutes
        run.append(one)
        if dry <= limit:
            continue
        if one.kind in {"fixed", "warm-up", "cool-down"} and _hemmed_in(run, brief):
            dry, run = 0, []
            continue
        yield f"No water for {dry} minutes by {clock_text(one.start + one.minutes)}."
        dry, run = 0, []


def _hemmed_in(run: Sequence[Segment], brief: Brief) -> bool:
    """Return whether the decided blocks at the end of the run leave no room for a break between them."""
    blocks = 0
    for one in reversed(run):
        decided = one.kind in {"fixed", "warm-up", "cool-down"}
        if not decided and _gap_length(run, one) >= brief.rules.water_minutes:
            break
        blocks += one.minutes
    return blocks > brief.rules.water_every


def _gap_length(run: Sequence[Segment], one: Segment) -> int:
    """Return the length of the open stretch that ``one`` belongs to, as far as the run shows it."""
    at = list(run).index(one)
    length = 0
    for other in reversed(run[: at + 1]):
        if other.kind in {"fixed", "warm-up", "cool-down"}:
            break
        length += other.minutes
    return length


def _fixed(plan: Plan, brief: Brief) -> Iterator[str]:
    placed = {(one.title, one.start - brief.start, one.minutes) for one in plan.segments}
    for one in brief.fixed:
        if isinstance(one.at, int) and (one.title, one.at, one.minutes) not in placed:
            yield f"'{one.title}' is not where it was put ({clock_text(brief.start + one.at)})."
        if not any((one.title, one.minutes) == (title, length) for title, _, length in placed):
            yield f"'{one.title}' is missing."


def _set_ups(plan: Plan, brief: Brief, cards: Mapping[str, Drill]) -> Iterator[str]:
    for one, two in itertools.pairwise(plan.segments):
        if one.kind != "drill" or two.kind != "drill":
            continue
        layouts = {card.layout for card in (*_cards(one, cards), *_cards(two, cards))}
        if len(layouts) > 1 and brief.rules.set_up_minutes:
            yield f"No set-up before {two.title} at {clock_text(two.start)}."


def _gym(plan: Plan, brief: Brief, cards: Mapping[str, Drill]) -> Iterator[str]:
    for one in _drills(plan):
        places = {station.half for station in one.stations}
        needs = 2 if "full" in places or len(places) == 2 else 1
        for minute in range(one.start, one.start + one.minutes):
            free = min((w.halves for w in brief.gym if w.start <= minute < w.end), default=2)
            if free < needs:
                yield f"{one.title} needs {needs} half courts, at {clock_text(minute)} there is {free}."
                break
        for station in one.stations:
            card = cards.get(station.drill)
            if card and card.half_courts > (2 if station.half == "full" else 1):
                yield f"{card.title} needs the whole court."


def _players(plan: Plan, brief: Brief, cards: Mapping[str, Drill]) -> Iterator[str]:
    for one in _drills(plan):
        squad = sorted(player.jersey for player in brief.squad if player.arrives <= one.start)
        if sorted(j for station in one.stations for j in station.players) != squad:
            yield f"{one.title} does not use each player once."
        for station in one.stations:
            card = cards.get(station.drill)
            size = len(station.players)
            if card and not card.players_min <= size <= card.players_max:
                takes = f"{card.players_min} to {card.players_max} players"
                yield f"{card.title} takes {takes}; at {clock_text(one.start)} it has {size}."


def _coaches(plan: Plan, brief: Brief, cards: Mapping[str, Drill]) -> Iterator[str]:
    """Yield where two groups compete at the same time and too few coaches stand by."""
    for one in _drills(plan):
        if len(one.stations) < 2:
            continue
        competing = [card for card in _cards(one, cards) if card.stage in {Stage.CONTESTED, Stage.LIVE}]
        if len(competing) > brief.coaches:
            yield (
                f"{one.title} at {clock_text(one.start)} wants {plural(len(competing), 'coach', 'coaches')},"
                f" there {'is' if brief.coaches == 1 else 'are'} {brief.coaches}."
            )


def _equipment(plan: Plan, brief: Brief, cards: Mapping[str, Drill]) -> Iterator[str]:
    for one in _drills(plan):
        groups = [(cards[each.drill], len(each.players)) for each in one.stations if each.drill in cards]
        missing = short_of(groups, brief.equipment)
        if missing:
            yield f"{one.title} at {clock_text(one.start)} {missing}."


def _turns(plan: Plan, brief: Brief) -> Iterator[str]:
    """Yield where groups at different drills do not swap, or not for as long, and unmet wishes for them."""
    blocks = list(_blocks(plan))
    for block in blocks:
        yield from _swapping(block, brief.rules.rotation_minutes)
    pairs = [{station.drill for turn in block for station in turn.stations} for block in blocks]
    if brief.stations is False and blocks:
        yield "No stations are wanted, and there are."
    if brief.stations and not blocks:
        yield "Stations are wanted, and there are none."
    for pin in brief.station_pins:
        if {pin.first, pin.second} not in pairs:
            yield f"'{pin.first}' and '{pin.second}' are asked for side by side and are not."


def _swapping(block: Sequence[Segment], rotation: int) -> Iterator[str]:
    ran: dict[str, dict[str, int]] = {}
    for turn in block:
        for station in turn.stations:
            for jersey in station.players:
                mine = ran.setdefault(jersey, {})
                mine[station.drill] = mine.get(station.drill, 0) + turn.minutes
    drills = {station.drill for turn in block for station in turn.stations}
    named = f"{block[0].title} at {clock_text(block[0].start)}"
    began = {jersey for station in block[0].stations for jersey in station.players}
    missed = sorted(jersey for jersey in began if set(ran[jersey]) != drills)
    if missed:
        yield f"{named}: {', '.join(missed)} never get to both baskets."
    elif any(len(set(ran[jersey].values())) > 1 for jersey in began):
        yield f"{named}: one turn is longer than the other."
    for one, two in itertools.pairwise(block):
        if two.start - one.start - one.minutes < rotation:
            yield f"{named}: no time for the groups to change baskets at {clock_text(two.start)}."


def _blocks(plan: Plan) -> Iterator[list[Segment]]:
    """Yield the runs of segments with the same two or more drills side by side."""
    block: list[Segment] = []
    for one in plan.segments:
        if one.kind in {"set-up", "water"}:
            continue
        drills = {station.drill for station in one.stations} if one.kind == "drill" else set()
        if block and drills != {station.drill for station in block[0].stations}:
            yield block
            block = []
        if len(drills) > 1:
            block.append(one)
    if block:
        yield block


def _lengths(plan: Plan, brief: Brief, cards: Mapping[str, Drill]) -> Iterator[str]:
    pinned = {one.drill: one.minutes for one in brief.pins if one.minutes is not None}
    turns = {name: one.minutes for one in brief.station_pins for name in (one.first, one.second)}
    pinned |= {name: minutes for name, minutes in turns.items() if minutes is not None}
    for one in _drills(plan):
        for card in _cards(one, cards):
            wish = pinned.get(card.id)
            low, high = (wish, wish) if wish is not None else (card.minutes.min, card.minutes.max)
            if not low <= one.minutes <= high:
                yield f"{one.title} runs {one.minutes} minutes, its card says {low} to {high}."


def _stages(plan: Plan, cards: Mapping[str, Drill]) -> Iterator[str]:
    reached: dict[str, tuple[int, str]] = {}
    for one in _drills(plan):
        for card in _cards(one, cards):
            if card.stage is None:
                continue
            for principle in card.shares:
                rank, title = reached.get(principle, (0, ""))
                if card.stage.rank < rank:
                    yield f"{one.title} teaches {principle} after {title} has competed in it."
                reached[principle] = max((rank, title), (card.stage.rank, one.title))


def _hard_runs(plan: Plan, brief: Brief, cards: Mapping[str, Drill]) -> Iterator[str]:
    """Yield, once a segment, what is too many hard ones in a row for any player."""
    rules = brief.rules
    runs: dict[str, list[Segment]] = {one.jersey: [] for one in brief.squad}
    for one in plan.segments:
        if one.kind in {"water", "set-up"}:
            continue
        longest = 0
        for jersey, before in runs.items():
            run = [*before, one] if _effort_of(one, jersey, cards) >= rules.high_effort else []
            runs[jersey] = run
            if len(run) > rules.high_in_a_row and any(other.kind == "drill" for other in run):
                longest = max(longest, len(run))
        if longest:
            yield f"{one.title} at {clock_text(one.start)} is hard segment number {longest} in a row."


def _effort_of(segment: Segment, jersey: str, cards: Mapping[str, Drill]) -> int:
    """Return how hard a segment is for a player: the card of his station where several drills run."""
    if len({station.drill for station in segment.stations}) < 2:
        return segment.effort
    mine = [
        cards[one.drill].effort for one in segment.stations if jersey in one.players and one.drill in cards
    ]
    return max(mine, default=segment.effort)


def _wishes(plan: Plan, brief: Brief) -> Iterator[str]:
    later_turns = [id(turn) for block in _blocks(plan) for turn in block[1:]]
    used = [
        drill
        for one in _drills(plan)
        if id(one) not in later_turns
        for drill in sorted({station.drill for station in one.stations})
    ]
    for pin in brief.pins:
        if pin.drill not in used:
            yield f"'{pin.drill}' is pinned and missing."
    for one in sorted(set(used) & brief.keep_out):
        yield f"'{one}' is kept out and in the plan."
    for one in sorted({one for one in used if used.count(one) > 1}):
        yield f"'{one}' is in the plan twice."


def _load(plan: Plan, brief: Brief) -> Iterator[str]:
    ceiling = brief.rules.load_ceiling
    if ceiling is not None and plan.load > ceiling:
        yield f"The expected load is {plan.load:.0f}, the ceiling {ceiling:.0f}."
