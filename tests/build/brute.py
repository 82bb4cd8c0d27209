"""Every practice there is, tried one by one: the yardstick for the solver on tiny briefs.

Written from the rules alone, minute by minute; shares no code with the model beyond the brief and the frame.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from planner.build.brief import Brief
from planner.build.candidates import Candidate
from planner.build.frame import Block, Frame, Section
from planner.build.worth import total_worth
from planner.drills.card import SHARE_UNIT, Drill

LONGEST_WATER = 2
MOST_SET_UPS = 8


@dataclass(frozen=True)
class State:
    """Where a half-built practice stands."""

    at: int = 0
    rested: int = 0
    run: int = 0
    drill_in_run: bool = False
    load: float = 0.0
    layout: str | None = None
    set_ups: int = 0
    waters: int = 0
    placed: tuple[tuple[Candidate, int], ...] = field(default=())

    def mark(self) -> tuple[object, ...]:
        """Return all of it that counts for what can follow and for the worth."""
        placed = frozenset((one.drill.id, minutes) for one, minutes in self.placed)
        now = (self.at, self.rested, self.run, self.drill_in_run, self.layout)
        return (*now, self.set_ups, self.waters, placed)


Met = set[tuple[int, bool, tuple[object, ...]]]


def best_worth(brief: Brief, frame: Frame, candidates: tuple[Candidate, ...]) -> float | None:
    """Return the worth of the best practice, or None where no practice meets the rules."""
    given = [
        ({one: units / SHARE_UNIT for one, units in block.shares.items()}, float(block.minutes))
        for block in frame.blocks
    ]
    best: float | None = None
    seen: set[tuple[tuple[str, int], ...]] = set()
    for state in _parts(brief, frame, candidates, 0, State(), set()):
        if brief.minutes - state.rested > brief.rules.water_every:
            continue
        used = {one.drill.id for one, _ in state.placed}
        if any(one.pinned and one.drill.id not in used for one in candidates):
            continue
        if brief.stations and all(len(one.drills) == 1 for one, _ in state.placed):
            continue
        key = tuple(sorted((one.drill.id, minutes) for one, minutes in state.placed))
        if key in seen:
            continue
        seen.add(key)
        taught = ((one.worths, minutes - one.idle) for one, minutes in state.placed)
        worth = total_worth(brief, [*given, *taught])
        best = worth if best is None else max(best, worth)
    return best


def _parts(
    brief: Brief, frame: Frame, candidates: tuple[Candidate, ...], number: int, state: State, met: Met
) -> Iterator[State]:
    if number == len(frame.parts):
        yield state
        return
    part = frame.parts[number]
    if isinstance(part, Block):
        after = _block(brief, part, state)
        if after is not None:
            yield from _parts(brief, frame, candidates, number + 1, after, met)
        return
    entered = replace(state, layout=None, set_ups=0, waters=0)
    for after in _fill(brief, part, candidates, entered, True, met):
        yield from _parts(brief, frame, candidates, number + 1, after, met)


def _block(brief: Brief, block: Block, state: State) -> State | None:
    rested = block.end if block.own_water else state.rested
    if not block.own_water and block.end - state.rested > brief.rules.water_every:
        return None
    hard = block.effort >= brief.rules.high_effort
    run = state.run + 1 if hard else 0
    if state.drill_in_run and run > brief.rules.high_in_a_row:
        return None
    load = state.load + block.effort * block.minutes
    return replace(
        state, at=block.end, rested=rested, run=run, drill_in_run=hard and state.drill_in_run, load=load
    )


def _fill(  # noqa: C901
    brief: Brief, section: Section, candidates: tuple[Candidate, ...], state: State, fresh: bool, met: Met
) -> Iterator[State]:
    """Yield the section's ends; ``fresh`` says that nothing has happened since the last break.

    What can follow depends on the state alone, in whatever way it was come by; ``met`` holds those seen.
    """
    rules = brief.rules
    mark = (section.start, fresh, state.mark())
    if mark in met:
        return
    met.add(mark)
    if section.end - state.rested <= rules.water_every:
        yield replace(state, at=section.end)
    waits = bool(brief.gym) or rules.water_every < 25 or any(one.room for one in candidates)
    if fresh and waits:  # else waiting cannot help
        for idle in range(1, MOST_SET_UPS + 1):
            at = state.at + idle * rules.set_up_minutes
            if rules.set_up_minutes and at <= section.end:
                waited = replace(state, at=at, set_ups=idle)
                yield from _fill(brief, section, candidates, waited, False, met)
    longest_gap = section.end - state.at if waits else 0
    for gap in range(longest_gap + 1 if state.waters < section.waters else 0):
        for length in range(rules.water_minutes, rules.water_minutes + LONGEST_WATER + 1):
            at = state.at + gap + length
            if at <= section.end and state.at + gap - state.rested <= rules.water_every:
                drunk = replace(state, at=at, rested=at, layout=None, set_ups=0, waters=state.waters + 1)
                yield from _fill(brief, section, candidates, drunk, True, met)
    for plain in candidates:
        one = plain.twin if plain.twin and _both_open(brief, section) else plain
        for after in _run_drill(brief, section, one, state):
            yield from _fill(brief, section, candidates, after, False, met)


def _run_drill(brief: Brief, section: Section, one: Candidate, state: State) -> Iterator[State]:
    rules = brief.rules
    changes = state.layout is not None and state.layout != one.drill.layout
    begin = state.at + changes * rules.set_up_minutes
    hard = one.drill.effort >= rules.high_effort
    run = state.run + 1 if hard else 0
    if run > rules.high_in_a_row or state.set_ups + changes > MOST_SET_UPS:
        return
    for other, _ in state.placed:
        if {card.id for card in other.drills} & {card.id for card in one.drills}:  # also as one of two
            return
        if any(_late(before, card) for before in other.drills for card in one.drills):
            return
    for minutes in range(one.low, one.high + 1, one.step):
        end = begin + minutes
        load = state.load + sum(card.effort for card in one.drills) * (minutes - one.idle) / len(one.drills)
        if end > section.end or end - state.rested > rules.water_every:
            return
        if not all(_free(brief, minute) >= one.halves for minute in range(begin, end)):
            return
        if one.room and not any(low <= begin and end <= high for low, high in one.room):
            continue
        if rules.load_ceiling is not None and load + _later_load(brief, section) > rules.load_ceiling:
            return
        yield replace(
            state,
            at=end,
            run=run,
            drill_in_run=hard,
            load=load,
            layout=one.drill.layout,
            set_ups=state.set_ups + changes,
            placed=(*state.placed, (one, minutes)),
        )


def _late(before: Drill, card: Drill) -> bool:
    """Return whether ``card`` teaches after ``before`` what had to be taught first."""
    if before.stage is None or card.stage is None or not set(before.shares) & set(card.shares):
        return False
    return before.stage.rank > card.stage.rank


def _both_open(brief: Brief, section: Section) -> bool:
    return all(_free(brief, minute) == 2 for minute in range(section.start, section.end))


def _free(brief: Brief, minute: int) -> int:
    clock = brief.start + minute
    return min((one.halves for one in brief.gym if one.start <= clock < one.end), default=2)


def _later_load(brief: Brief, section: Section) -> float:
    """Return the load of what is decided after the section."""
    cool = brief.cool_down.effort if brief.cool_down else 1
    later = sum(
        one.effort * one.minutes for one in brief.fixed if isinstance(one.at, int) and one.at >= section.end
    )
    return later + cool * brief.cool_down_minutes
