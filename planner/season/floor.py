"""The running practice: what happened when, as events, and what the clock shows from them.

Times are whole milliseconds of any one clock and are always passed in. The state is the fold of the events,
so undoing leaves the last one out, and a practice resumed from its events stands where it would have stood.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from planner.build.plan import Segment, Station
from planner.problem import Refusal
from planner.season.record import DoneSegment

EventKind = Literal["begin", "next", "back", "pause", "extend", "stop", "miss", "coming", "end"]
SECOND = 1000
SHORTEST = 60
"""Seconds below which no stretch is made."""
LONGEST = 300 * 60
FORGOTTEN = 45 * 60 * SECOND
"""A drill (or a pause) that has run on for so long was left running."""


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened at a moment; ``value`` is seconds, a count or the stretches to come."""

    kind: EventKind
    at: int
    value: Any = None


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of practice: ``due`` seconds are meant for it, ``spent`` milliseconds went into it.

    ``number`` is its place in the plan from 1, None for one that was planned while practice ran.
    """

    segment: Segment
    due: int
    number: int | None = None
    spent: int = 0
    stops: int = 0
    tries: int = 0

    @property
    def drill(self) -> str | None:
        """Return the first drill's id, None where the stretch is none."""
        stations = self.segment.stations
        return stations[0].drill if self.segment.kind == "drill" and stations else None

    @property
    def left(self) -> int:
        """Return the milliseconds that are left, below zero when it runs over."""
        return self.due * SECOND - self.spent


@dataclass(frozen=True, slots=True)
class Run:
    """A practice at a ``moment``: ``at`` is the stretch that runs, ``rest`` the milliseconds paused.

    ``end`` is when it is to be over. What is spent and paused adds up to what went by since ``begun``.
    """

    stretches: tuple[Stretch, ...]
    end: int
    begun: int
    moment: int
    at: int = 0
    rest: int = 0
    paused: bool = False
    over: bool = False

    @property
    def current(self) -> Stretch:
        """Return the stretch that runs, the last one run when practice is over."""
        return self.stretches[self.at]

    @property
    def coming(self) -> tuple[Stretch, ...]:
        """Return the stretches still to come."""
        return () if self.over else self.stretches[self.at + 1 :]

    @property
    def starts(self) -> tuple[int, ...]:
        """Return when each stretch to come will begin as things stand."""
        found = []
        at = self.moment + max(0, self.current.left)
        for one in self.coming:
            found.append(at)
            at += max(0, one.left)
        return tuple(found)

    @property
    def ends(self) -> int:
        """Return when practice will be over as things stand."""
        if self.over:
            return self.moment
        left = [self.current, *self.coming]
        return self.moment + sum(max(0, one.left) for one in left)

    @property
    def late(self) -> int:
        """Return by how many milliseconds practice will end late, below zero for early."""
        return self.ends - self.end


def stretches_of(segments: Iterable[Segment], *, planned: bool = True) -> tuple[Stretch, ...]:
    """Return segments as stretches that have not begun."""
    return tuple(
        Stretch(one, one.minutes * 60, number if planned else None)
        for number, one in enumerate(segments, 1)
        if one.minutes > 0
    )


def run_of(stretches: Sequence[Stretch], end: int, events: Sequence[Event]) -> Run:
    """Return the practice as its events have made it, at the moment of the last one.

    Raises:
        Refusal: the events are none of a practice, or one cannot be where it stands.

    """
    if not events or events[0].kind != "begin" or not stretches:
        raise Refusal("That is no running practice: nothing in it has begun.")
    begun = events[0].at
    run = Run(tuple(stretches), end, begun, begun)
    for event in events[1:]:
        run = step(run, event)
    return run


def advance(run: Run, now: int) -> Run:
    """Return the practice at a later moment; a clock turned back stands still."""
    passed = now - run.moment
    if run.over or passed <= 0:
        return run
    if run.paused:
        return replace(run, moment=now, rest=run.rest + passed)
    current = replace(run.current, spent=run.current.spent + passed)
    return replace(_with(run, current), moment=now)


def step(run: Run, event: Event) -> Run:
    """Return the practice after an event.

    Raises:
        Refusal: it cannot happen now.

    """
    run = advance(run, event.at)
    if run.over:
        raise Refusal("Practice is over; log it, or undo the end.")
    if event.kind in ("stop", "miss"):
        return _counted(run, event.kind, 1 if event.value is None else int(event.value))
    steps = {
        "next": lambda: _next(run),
        "back": lambda: _back(run),
        "pause": lambda: replace(run, paused=not run.paused),
        "extend": lambda: _extended(run, int(event.value)),
        "coming": lambda: replanned(run, event.value),
        "end": lambda: replace(run, over=True, paused=False),
    }
    if event.kind not in steps:
        raise Refusal(f"'{event.kind}' is nothing that happens in a practice.")
    return steps[event.kind]()


def _with(run: Run, current: Stretch) -> Run:
    return replace(run, stretches=(*run.stretches[: run.at], current, *run.stretches[run.at + 1 :]))


def _next(run: Run) -> Run:
    if run.at + 1 == len(run.stretches):
        return replace(run, over=True, paused=False)
    return replace(run, at=run.at + 1, paused=False)


def _back(run: Run) -> Run:
    if run.at == 0:
        raise Refusal("Nothing comes before this; practice began with it.")
    return replace(run, at=run.at - 1)


def _extended(run: Run, seconds: int) -> Run:
    due = run.current.due + seconds
    if not SHORTEST <= due <= LONGEST:
        raise Refusal(f"'{run.current.segment.title}' cannot be made {due // 60} minutes long.")
    return _with(run, replace(run.current, due=due))


def _counted(run: Run, kind: str, count: int) -> Run:
    one = run.current
    if one.segment.kind != "drill":
        raise Refusal(f"'{one.segment.title}' is no drill; stops and misses are counted in drills.")
    if not 1 <= count <= 200 or one.tries + count > 999:
        raise Refusal(f"{count} more tries cannot be counted; give 1 to 200.")
    stops = one.stops + count if kind == "stop" else one.stops
    return _with(run, replace(one, stops=stops, tries=one.tries + count))


def pack_coming(run: Run, coming: Sequence[Stretch]) -> list[dict[str, Any]]:
    """Return what is to come as a ``coming`` event takes it; what was to come before is only pointed at."""
    free = dict(enumerate(run.coming))
    packed = []
    for one in coming:
        known = (n for n, old in free.items() if (old.segment, old.number) == (one.segment, one.number))
        place = next(known, None)
        free.pop(-1 if place is None else place, None)
        packed.append(pack_stretch(one) if place is None else {"place": place, "due": one.due})
    return packed


def replanned(run: Run, packed: Sequence[Mapping[str, Any]]) -> Run:
    """Return the practice with other stretches to come; of those left out, what was run stays in the log."""
    old = dict(enumerate(run.coming))
    coming = []
    for one in packed:
        known = old.pop(one["place"], None) if "place" in one else unpack_stretch(one)
        if known is None:
            raise Refusal("What is to come names a stretch that is not there.")
        coming.append(replace(known, due=one["due"]))
    run_before = [one for one in old.values() if one.spent]
    before = (*run.stretches[: run.at], *run_before)
    return replace(run, stretches=(*before, run.current, *coming), at=len(before))


def sensible_end(run: Run, now: int) -> int | None:
    """Return when a practice that was left running must have ended, None when it may well be running."""
    later = advance(run, now)
    if run.over:
        return None
    if run.paused:
        return run.moment if later.moment - run.moment > FORGOTTEN else None
    if -later.current.left <= FORGOTTEN:
        return None
    return run.moment + max(0, run.current.left)


def done_segments(run: Run, stages: Mapping[str, str]) -> tuple[DoneSegment, ...]:
    """Return the stretches that took time as they were run; whole seconds that add up to the whole.

    ``stages`` maps drill id to its stage. Stops and tries are given where tries were counted.
    """
    made = []
    total = told = 0
    for one in run.stretches:
        total += one.spent
        seconds = (total + SECOND // 2) // SECOND - told
        told += seconds
        if seconds:
            made.append(_done(one, seconds, stages))
    return tuple(made)


def _done(one: Stretch, seconds: int, stages: Mapping[str, str]) -> DoneSegment:
    segment = one.segment
    drill = segment.stations[0].drill if segment.stations else None
    return DoneSegment(
        kind=segment.kind,
        title=segment.title,
        seconds=seconds,
        drill=drill,
        stage=stages.get(drill or ""),
        shares=dict(segment.shares),
        effort=segment.effort,
        stops=one.stops if one.tries else None,
        tries=one.tries or None,
    )


def pack_stretch(one: Stretch) -> dict[str, Any]:
    """Return a stretch as JSON can hold it; what was spent and counted follows from the events."""
    segment = one.segment
    return {
        "number": one.number,
        "due": one.due,
        "start": segment.start,
        "minutes": segment.minutes,
        "kind": segment.kind,
        "title": segment.title,
        "why": segment.why,
        "effort": segment.effort,
        "shares": dict(segment.shares),
        "stations": [[each.drill, each.group, list(each.players), each.half] for each in segment.stations],
    }


def unpack_stretch(packed: Mapping[str, Any]) -> Stretch:
    """Return the stretch that ``pack_stretch`` packed."""
    stations = tuple(
        Station(drill, group, tuple(players), half) for drill, group, players, half in packed["stations"]
    )
    segment = Segment(
        start=packed["start"],
        minutes=packed["minutes"],
        kind=packed["kind"],
        title=packed["title"],
        stations=stations,
        shares=dict(packed["shares"]),
        why=packed["why"],
        effort=packed["effort"],
    )
    return Stretch(segment, packed["due"], packed["number"])
