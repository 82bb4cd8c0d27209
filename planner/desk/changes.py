"""Changing a plan by changing its wishes: each change is built anew, and what it costs is said."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from planner.build.brief import Pin, StationPin
from planner.build.plan import Plan
from planner.desk.desk import Desk
from planner.desk.practice import Built, Wishes, build_plan, store_plan
from planner.desk.versions import GONE, wishes_behind
from planner.desk.wishes import wishes_from
from planner.problem import Refusal
from planner.store import queries

COUNTS = 0.005
"""Worth below which a change costs next to nothing, in points per 100."""

Change = Callable[[Wishes], Wishes]


@dataclass(frozen=True, slots=True)
class Changed:
    """A changed plan beside the one before it; with what it was built from, so that it can be kept later."""

    before: Plan
    built: Built
    wishes: Wishes
    seen: int

    @property
    def lost(self) -> float:
        """Return the worth given up, in points per 100 (negative: gained)."""
        return self.before.objective - self.built.plan.objective


def differences(before: Plan, after: Plan, titles: Mapping[str, str]) -> list[str]:
    """Return what ``after`` costs, and which drills come and go; ``titles`` maps drill id to title."""
    old, new, lost = _drills(before), _drills(after), before.objective - after.objective
    lines = ["It costs next to nothing."]
    if abs(lost) > COUNTS:
        word = "less" if lost > 0 else "more"
        lines = [
            f"Worth {after.objective:.2f} per 100 instead of {before.objective:.2f}: {abs(lost):.2f} {word}."
        ]
    if before.minutes != after.minutes:
        lines.append(f"{after.minutes} min instead of {before.minutes}.")
    for word, found in (("In", new.keys() - old.keys()), ("Out", old.keys() - new.keys())):
        lines += [f"{word}: {titles.get(one, one)}, {(new | old)[one]} min" for one in sorted(found)]
    for one in sorted(old.keys() & new.keys()):
        if old[one] != new[one]:
            lines.append(f"{titles.get(one, one)}: {new[one]} min instead of {old[one]}")
    if before.load != after.load:
        lines.append(f"Load {after.load:.0f} instead of {before.load:.0f}.")
    if not after.proven:
        lines.append(
            f"Not searched to the end: there may be one worth {after.bound - after.objective:.2f} more."
        )
    return [*lines, *(f"! {one}" for one in after.warnings if one not in before.warnings)]


def _drills(plan: Plan) -> dict[str, int]:
    minutes: dict[str, int] = {}
    for segment in plan.segments:
        for drill in segment.drills:
            minutes[drill] = minutes.get(drill, 0) + segment.minutes
    return minutes


def stored_wishes(desk: Desk, plan: Plan) -> Wishes:
    """Return the wishes that a stored plan was built with.

    Raises:
        Refusal: the plan is no longer stored.

    """
    with desk.reading() as session:
        info = queries.find_practice(session, plan.date, plan.start)
    if info is None or "date" not in info.wishes:
        raise Refusal(f"The plan of {plan.date.isoformat()} is not stored any more; build it anew.")
    return wishes_from(info.wishes)


def seen_wishes(desk: Desk, plan: Plan) -> tuple[Wishes, int]:
    """Return the wishes that a plan the coach looks at was built with, and its version.

    The version is that of no plan at all where another coach changed it since.

    Raises:
        Refusal: no plan is stored for its time any more.

    """
    found = wishes_behind(desk, plan)
    if found is None or "date" not in found[0]:
        return stored_wishes(desk, plan), GONE
    return wishes_from(found[0]), found[1]


def change_plan(desk: Desk, plan: Plan, change: Change, keep: bool = True) -> Changed:
    """Build a plan anew with changed wishes, at the same time of the same day; ``keep`` stores it.

    One that is only looked at is answered at once, near the plan that stands.

    Raises:
        Overtaken: it is no longer the plan that stands; what was built is kept beside that one.

    """
    stored, version = seen_wishes(desk, plan)
    wishes = replace(change(stored), date=plan.date, start=plan.start)
    near = None if keep else plan
    return Changed(plan, build_plan(desk, wishes, keep=keep, seen=version, near=near), wishes, version)


def keep_change(desk: Desk, changed: Changed) -> int:
    """Store a changed plan that was only looked at, searched to the end; return its practice's number.

    Raises:
        Overtaken: the plan before it no longer stands; what was built is kept beside that one.

    """
    built = changed.built
    if not built.plan.proven:
        built = build_plan(desk, changed.wishes, keep=False)
    return store_plan(desk, built.plan, replace(changed.wishes, by_hand=False), built.needs, changed.seen)


def pin(drill: str, minutes: int | None = None) -> Change:
    """Return the change that puts a drill in, for some minutes if given."""

    def changed(wishes: Wishes) -> Wishes:
        others = tuple(one for one in wishes.pins if one.drill != drill)
        kept = tuple(one for one in wishes.keep_out if one != drill)
        return replace(wishes, pins=(*others, Pin(drill, minutes)), keep_out=kept)

    return changed


def unpin(drill: str) -> Change:
    """Return the change that leaves a drill to the solver again."""

    def changed(wishes: Wishes) -> Wishes:
        kept = tuple(one for one in wishes.keep_out if one != drill)
        return replace(wishes, pins=tuple(one for one in wishes.pins if one.drill != drill), keep_out=kept)

    return changed


def keep_out(drill: str) -> Change:
    """Return the change that takes a drill out."""

    def changed(wishes: Wishes) -> Wishes:
        others = tuple(one for one in wishes.pins if one.drill != drill)
        return replace(wishes, pins=others, keep_out=tuple(dict.fromkeys((*wishes.keep_out, drill))))

    return changed


def swap(out: str, into: str) -> Change:
    """Return the change that takes one drill out and puts another in."""

    def changed(wishes: Wishes) -> Wishes:
        return pin(into)(keep_out(out)(wishes))

    return changed


def merged(stored: Wishes, new: Wishes) -> Wishes:
    """Return stored wishes with what is newly asked on top: pins, keep-outs and the like are added."""
    changed = stored
    for one in new.pins:
        changed = pin(one.drill, one.minutes)(changed)
    for drill in new.keep_out:
        changed = keep_out(drill)(changed)
    return replace(
        changed,
        minutes=new.minutes if new.minutes is not None else stored.minutes,
        squad=new.squad if new.squad is not None else stored.squad,
        away=tuple(dict.fromkeys((*stored.away, *new.away))),
        late=tuple({**dict(stored.late), **dict(new.late)}.items()),
        stations=new.stations if new.stations is not None else stored.stations,
        station_pins=_pairs(stored, new),
        group_by=new.group_by or stored.group_by,
        film=new.film or stored.film,
        fixed=(*stored.fixed, *new.fixed),
        coaches=new.coaches if new.coaches is not None else stored.coaches,
        load_ceiling=new.load_ceiling if new.load_ceiling is not None else stored.load_ceiling,
    )


def _pairs(stored: Wishes, new: Wishes) -> tuple[StationPin, ...]:
    """Return the pairs asked for; a drill newly asked for elsewhere leaves its old pair."""
    if new.stations is False:
        return new.station_pins
    taken = {name for one in new.station_pins for name in (one.first, one.second)}
    taken |= {one.drill for one in new.pins} | set(new.keep_out)
    kept = tuple(one for one in stored.station_pins if not {one.first, one.second} & taken)
    return (*kept, *new.station_pins)


def last(minutes: int) -> Change:
    """Return the change of the whole practice's length."""
    return lambda wishes: replace(wishes, minutes=minutes)
