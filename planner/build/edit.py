"""Changing a plan by hand, stretch by stretch: what a coach wants is done, and the clock adds up again.

Every edit takes a plan and gives a plan; nothing is refused because a rule is broken, that is advice
(``planner.build.advice``). Minutes that are set free become open minutes at the end of the section, minutes
that are needed come from open minutes that follow, and where there are none practice runs over. What is
locked keeps its clock time.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from planner.build.brief import Brief
from planner.build.candidates import Candidate, fits, group_sizes
from planner.build.plan import Plan, Segment
from planner.build.timetable import OPEN_TITLE, drill_segment, shared_out
from planner.clock import clock_text
from planner.drills.card import Drill
from planner.problem import Refusal

LONGEST = 240
"""Minutes of the longest stretch made by hand."""

_DECIDED = frozenset({"fixed", "warm-up", "cool-down"})

Edit = Callable[[Plan], Plan]


@dataclass(frozen=True, slots=True)
class Unit:
    """A stretch that is edited as one: a segment, or all turns of a station block with their rotations."""

    first: int
    last: int

    @property
    def length(self) -> int:
        """Return the number of segments in it."""
        return self.last - self.first + 1


def units_of(plan: Plan) -> tuple[Unit, ...]:
    """Return the plan's stretches in order; every segment is in exactly one."""
    turns = plan.turns
    found: list[Unit] = []
    for number in range(len(plan.segments)):
        if found and number <= found[-1].last:
            continue
        last = number
        if turns.get(number) == 1:
            later = number + 1
            while later < len(plan.segments) and (
                turns.get(later, 0) > 1 or plan.segments[later].kind in {"set-up", "water"}
            ):
                last = later if later in turns else last
                later += 1
        found.append(Unit(number, last))
    return tuple(found)


def unit_at(plan: Plan, number: int) -> Unit:
    """Return the stretch that the segment with this number (from 0) is part of.

    Raises:
        Refusal: there is no such segment.

    """
    for one in units_of(plan):
        if one.first <= number <= one.last:
            return one
    raise Refusal(f"The plan has {len(plan.segments)} segments, there is no number {number + 1}.")


@dataclass(frozen=True, slots=True)
class Hand:
    """What the hand knows: the brief, and the clock times (minutes of the day) that are locked."""

    brief: Brief
    locked: frozenset[int] = frozenset()

    # ---- the edits -------------------------------------------------------------------------------------

    def resize(self, number: int, by: int) -> Edit:
        """Return the edit that makes a stretch longer (or, below zero, shorter): each turn of a block."""

        def edit(plan: Plan) -> Plan:
            unit = unit_at(plan, number)
            segments = list(plan.segments)
            self._keep_if_locked(plan, unit, moves=False)
            if _is_open(segments[unit.first]):
                raise Refusal("Open minutes are what is left over; put something in, or make a drill longer.")
            for place in range(unit.first, unit.last + 1):
                one = segments[place]
                if unit.length > 1 and one.kind != "drill":
                    continue
                if not 1 <= one.minutes + by <= LONGEST:
                    raise Refusal(f"'{one.title}' cannot be made {one.minutes + by} minutes long.")
                segments[place] = replace(one, minutes=one.minutes + by)
            return self._laid(plan, segments, unit.last)

        return edit

    def move(self, number: int, by: int) -> Edit:
        """Return the edit that moves a stretch earlier (-1) or later (1), past its neighbour."""

        def edit(plan: Plan) -> Plan:
            unit = unit_at(plan, number)
            units = units_of(plan)
            at = units.index(unit)
            other = at + (1 if by > 0 else -1)
            title = plan.segments[unit.first].title
            if not 0 <= other < len(units):
                raise Refusal(f"'{title}' is {'last' if by > 0 else 'first'} already.")
            early, late = (units[min(at, other)], units[max(at, other)])
            self._keep_if_locked(plan, early, moves=True)
            self._keep_if_locked(plan, late, moves=True)
            parts = [plan.segments[one.first : one.last + 1] for one in (late, early)]
            moved = (*plan.segments[: early.first], *parts[0], *parts[1], *plan.segments[late.last + 1 :])
            return self._laid(plan, list(moved), late.last)

        return edit

    def remove(self, number: int) -> Edit:
        """Return the edit that takes a stretch out; its minutes stay open."""

        def edit(plan: Plan) -> Plan:
            unit = unit_at(plan, number)
            self._keep_if_locked(plan, unit, moves=True)
            if _is_open(plan.segments[unit.first]):
                raise Refusal("Open minutes are what is left over; put something in, or make a drill longer.")
            if len(plan.segments) == unit.length:
                raise Refusal("That is all there is in the plan; swap it for something else.")
            rest = [*plan.segments[: unit.first], *plan.segments[unit.last + 1 :]]
            return self._laid(plan, rest, unit.first - 1)

        return edit

    def swap(self, number: int, into: Drill, out: str | None = None) -> Edit:
        """Return the edit that runs another drill in a stretch; ``out`` says which one of a station block."""

        def edit(plan: Plan) -> Plan:
            unit = unit_at(plan, number)
            segments = list(plan.segments)
            one = segments[unit.first]
            if not one.drills and not _is_open(one):
                raise Refusal(f"'{one.title}' is no drill; put a drill in instead.")
            if unit.length > 1:
                leaves = out or one.stations[0].drill
                if leaves not in one.drills:
                    raise Refusal(f"'{leaves}' does not run at {clock_text(one.start)}.")
                if into.id in one.drills:
                    raise Refusal(f"'{into.id}' runs at {clock_text(one.start)} already.")
                turns = [n for n in range(unit.first, unit.last + 1) if segments[n].kind == "drill"]
                for turn, place in enumerate(turns):
                    segments[place] = self._other_station(segments[place], leaves, into, turn)
                return self._laid(plan, segments, unit.last)
            segments[unit.first] = self._drill(into, one.start, one.minutes, len(one.stations) == 2)
            return self._laid(plan, segments, unit.last)

        return edit

    def insert(self, number: int, what: Segment) -> Edit:
        """Return the edit that puts a stretch in before another (after the last with its number plus one)."""

        def edit(plan: Plan) -> Plan:
            at = len(plan.segments) if number == len(plan.segments) else unit_at(plan, number).first
            if not 1 <= what.minutes <= LONGEST:
                raise Refusal(f"'{what.title}' cannot be {what.minutes} minutes long; give 1 to {LONGEST}.")
            new = self._then(what, plan.segments[at].start if at < len(plan.segments) else None)
            segments = [*plan.segments[:at], new, *plan.segments[at:]]
            return self._laid(plan, segments, at + 1)

        return edit

    def drill(self, card: Drill, minutes: int | None = None) -> Segment:
        """Return a drill as a stretch to put in, for its usual minutes unless told."""
        return self._drill(card, self.brief.start, card.minutes.usual if minutes is None else minutes)

    # ---- how it is done --------------------------------------------------------------------------------

    def _drill(self, card: Drill, at: int, minutes: int, split: bool = False) -> Segment:
        """Return the drill for everyone: together, or in two groups as before or as its card wants."""
        then = self.brief.at(at)
        split = split and fits(card, group_sizes(then, 2))
        twice = card.half_courts == 1 and (split or len(then.squad) > card.players_max)
        one = Candidate(card, 2 if twice else 1, 2 if twice else card.half_courts, minutes, minutes, {})
        return drill_segment(self.brief, one, at, minutes, HAND_WHY)

    def _then(self, what: Segment, at: int | None) -> Segment:
        """Return a drill to be put in with those who are there at its time."""
        card = next((one for one in self.brief.drills if one.id in what.drills), None)
        if card is None or at is None:
            return what
        return self._drill(card, at, what.minutes)

    def _other_station(self, one: Segment, out: str, into: Drill, turn: int) -> Segment:
        cards = {card.id: card for card in self.brief.drills} | {into.id: into}
        stations = tuple(replace(each, drill=into.id) if each.drill == out else each for each in one.stations)
        first, second = (cards.get(each.drill, into) for each in stations[:2])
        ordered = (first, second) if turn % 2 == 0 else (second, first)
        efforts = first.effort + second.effort
        return replace(
            one,
            stations=stations,
            title=f"{first.title} / {second.title}",
            shares=shared_out(ordered[0].shares, ordered[1].shares)[turn % 2],
            effort=efforts // 2 if turn % 2 == 0 else efforts - efforts // 2,
            why=HAND_WHY,
        )

    def _keep_if_locked(self, plan: Plan, unit: Unit, *, moves: bool) -> None:
        for one in plan.segments[unit.first : unit.last + 1] if moves else ():
            if one.start in self.locked:
                raise Refusal(f"'{one.title}' is locked at {clock_text(one.start)}; unlock it first.")

    def _laid(self, before: Plan, segments: list[Segment], place: int) -> Plan:
        """Return the plan with these segments on the clock; ``place`` is where they were changed."""
        place = max(place, self._held(before, segments))
        over = sum(one.minutes for one in segments) - self.brief.minutes
        if over > 0:
            _take(segments, place, over)
        elif over < 0:
            _leave_open(segments, _section_end(segments, place), -over)
        at = before.start
        laid: list[Segment] = []
        for one in segments:
            laid.append(replace(one, start=at))
            at += one.minutes
        return replace(before, segments=tuple(laid), minutes=at - before.start, proven=False)

    def _held(self, before: Plan, segments: list[Segment]) -> int:
        """Put what is locked back at its time by open minutes before it; return the last one's number."""
        last = -1
        for lock in before.segments:
            if lock.start not in self.locked:
                continue
            here = [n for n, one in enumerate(segments) if (one.kind, one.title) == (lock.kind, lock.title)]
            number = next((n for n in here if n > last), None)
            if number is None:
                continue
            late = sum(one.minutes for one in segments[:number]) - (lock.start - before.start)
            if late < 0:
                number += _leave_open(segments, number, -late)
            elif late > 0:
                count = len(segments)
                if _take(segments, last + 1, late, number):
                    raise Refusal(
                        f"That would move '{lock.title}', which is locked at {clock_text(lock.start)}:"
                        " unlock it, or find the minutes elsewhere."
                    )
                number -= count - len(segments)
            last = number
        return last


HAND_WHY = "Put in by hand."


def plain(kind: str, minutes: int, title: str = "") -> Segment:
    """Return water, a set-up or a block of another name as a stretch to put in."""
    if kind == "water":
        return Segment(0, minutes, "water", "Water")
    if kind == "set-up":
        return Segment(0, minutes, "set-up", "Set-up")
    return Segment(0, minutes, "fixed", title or OPEN_TITLE, effort=3)


def _is_open(one: Segment) -> bool:
    return one.kind == "fixed" and one.title == OPEN_TITLE


def _take(segments: list[Segment], place: int, minutes: int, end: int | None = None) -> int:
    """Take minutes from the open ones from a place on (up to ``end``); return how many were not there."""
    for number in range(max(0, place), len(segments) if end is None else end):
        one = segments[number]
        if _is_open(one) and minutes:
            taken = min(one.minutes, minutes)
            segments[number] = replace(one, minutes=one.minutes - taken)
            minutes -= taken
    segments[:] = [one for one in segments if one.minutes]
    return minutes


def _leave_open(segments: list[Segment], end: int, minutes: int) -> int:
    """Leave minutes open before the segment with number ``end``; return how many segments that added."""
    if end and _is_open(segments[end - 1]):
        segments[end - 1] = replace(segments[end - 1], minutes=segments[end - 1].minutes + minutes)
        return 0
    segments.insert(end, Segment(0, minutes, "fixed", OPEN_TITLE))
    return 1


def _section_end(segments: Sequence[Segment], place: int) -> int:
    for number in range(place + 1, len(segments)):
        one = segments[number]
        if one.kind in _DECIDED and not _is_open(one):
            return number
    return len(segments)
