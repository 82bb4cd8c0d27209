"""What the solver's plan is measured against: a greedy plan and a random one, both sound practices."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from planner.build.brief import Brief
from planner.build.candidates import Candidate, find_candidates, halves_at, must_precede
from planner.build.frame import Block, Section, build_frame
from planner.build.worth import total_worth
from planner.drills.card import SHARE_UNIT

Parts = list[tuple[Mapping[str, float], float]]


@dataclass
class Filled:
    """A practice being filled from its start, minute by minute; ``parts`` are (worths, minutes)."""

    at: int = 0
    rested: int = 0
    run: int = 0
    load: float = 0.0
    layout: str | None = None
    placed: list[Candidate] = field(default_factory=list)
    parts: Parts = field(default_factory=list)


Choose = Callable[[Filled, list[tuple[Candidate, int, int]]], tuple[Candidate, int, int]]


def greedy_worth(brief: Brief) -> float:
    """Return the worth of always taking the drill that gains most per minute, for as long as it may run."""

    def gain(filled: Filled, option: tuple[Candidate, int, int]) -> float:
        one, _, minutes = option
        now = total_worth(brief, filled.parts)
        return (total_worth(brief, [*filled.parts, (one.worths, minutes)]) - now) / minutes

    return _fill(brief, lambda filled, options: max(options, key=lambda o: (gain(filled, o), o[0].drill.id)))


def random_worth(brief: Brief, seed: int) -> float:
    """Return the worth of drills and minutes drawn at random among those that may run next."""
    dice = random.Random(seed)

    def draw(filled: Filled, options: list[tuple[Candidate, int, int]]) -> tuple[Candidate, int, int]:
        one, begin, most = dice.choice(options)
        return one, begin, dice.randint(one.low, most)

    return _fill(brief, draw)


def _fill(brief: Brief, choose: Choose) -> float:
    """Fill every section from its start with what ``choose`` picks; break before water is due."""
    frame = build_frame(brief)
    candidates, _ = find_candidates(brief)
    filled = Filled()
    filled.load = sum(one.effort * one.minutes for one in frame.blocks)
    for number, part in enumerate(frame.parts):
        if isinstance(part, Block):
            shares = {one: units / SHARE_UNIT for one, units in part.shares.items()}
            filled.parts.append((shares, part.minutes))
            filled.at = part.end
            filled.run = filled.run + 1 if part.effort >= brief.rules.high_effort else 0
            filled.rested = part.end if part.own_water else filled.rested
        else:
            _section(brief, part, frame.parts[number + 1 :], candidates, filled, choose)
    return total_worth(brief, filled.parts)


def _section(
    brief: Brief,
    section: Section,
    after: Iterable[Block | Section],
    candidates: Iterable[Candidate],
    filled: Filled,
    choose: Choose,
) -> None:
    rules = brief.rules
    blocks = [one for one in after if isinstance(one, Block)]
    following = sum(one.minutes for one in blocks[:1] if not one.own_water)
    filled.layout = None
    while filled.at < section.end:
        due = filled.rested + rules.water_every
        options = [made for one in candidates if (made := _option(brief, section, filled, one)) is not None]
        if options:
            one, begin, minutes = choose(filled, options)
            filled.at, filled.layout = begin + minutes, one.drill.layout
            filled.run = filled.run + 1 if one.drill.effort >= rules.high_effort else 0
            filled.load += minutes * one.drill.effort
            filled.placed.append(one)
            filled.parts.append((one.worths, minutes))
        elif filled.rested < filled.at and due < section.end + following:
            filled.at = min(section.end, filled.at + rules.water_minutes)
            filled.rested, filled.layout = filled.at, None
        else:
            filled.at = section.end


def _option(
    brief: Brief, section: Section, filled: Filled, one: Candidate
) -> tuple[Candidate, int, int] | None:
    """Return a drill with its begin and the most minutes it may run from now on, or None."""
    rules = brief.rules
    if one in filled.placed or any(must_precede(one, other) for other in filled.placed):
        return None
    if one.drill.effort >= rules.high_effort and filled.run >= rules.high_in_a_row:
        return None
    change = filled.layout is not None and filled.layout != one.drill.layout
    begin = filled.at + change * rules.set_up_minutes
    end = min(begin + one.high, section.end, filled.rested + rules.water_every)
    if rules.load_ceiling is not None:
        end = min(end, begin + int((rules.load_ceiling - filled.load) // max(1, one.drill.effort)))
    for minute in range(begin, end):
        if halves_at(brief, brief.start + minute) < one.halves:
            end = minute
            break
    return (one, begin, end - begin) if end - begin >= one.low else None
