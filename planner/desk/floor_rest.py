"""Making up time at the desk: what is left shortened by what the cards allow, or planned anew."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from planner.build.brief import Brief, FixedBlock
from planner.desk.desk import Desk
from planner.desk.floor_file import Running, must_run, now_of
from planner.problem import Refusal
from planner.season import floor, floor_rest
from planner.season.floor import Run, Stretch
from planner.store import queries
from planner.text import plural

LEAST_TO_PLAN = 5
"""Minutes below which nothing is planned anew."""


@dataclass(frozen=True, slots=True)
class Replanned:
    """What the solver makes of the minutes that are left, to be taken or not."""

    coming: tuple[Stretch, ...]
    minutes: int
    warnings: tuple[str, ...]


def shorter(desk: Desk, run: Run) -> tuple[Stretch, ...]:
    """Return what is to come, shortened evenly; no drill goes below what its card asks."""
    cards = desk.library.by_id
    drills = [one.drill for one in run.coming if one.drill is not None]
    least = {one: cards[one].minutes.min * 60 for one in drills if one in cards}
    return floor_rest.shortened(run, least)


def replan(desk: Desk) -> Replanned:
    """Return the best use of the minutes after the running drill; what was run already is kept out.

    Water and fixed blocks that are still to come keep a place. Nothing is changed.

    Raises:
        Refusal: too little time is left, or the wishes cannot be met in it.

    """
    from planner.build.make import make_plan

    state = must_run(desk)
    run = state.run(now_of(desk))
    if run.over:
        raise Refusal("Practice is over; there is nothing left to plan.")
    starts = run.moment + max(0, run.current.left)
    minutes = (run.end - starts) // (60 * floor.SECOND)
    if minutes < LEAST_TO_PLAN:
        raise Refusal(f"After this drill {plural(max(0, minutes), 'minute')} are left; too few to plan anew.")
    brief = _rest_of(desk, state, run, state.local(starts), minutes)
    titles = {one.id: one.title for one in desk.library.vocabulary.principles}
    plan = make_plan(brief, titles)
    coming = floor.stretches_of(plan.segments, planned=False)
    return Replanned(coming, minutes, (*_thirst(run, coming, brief.rules.water_every), *plan.warnings))


def _thirst(run: Run, coming: Sequence[Stretch], every: int) -> tuple[str, ...]:
    """Warn where the first break would come too late; the solver does not know of the last one."""
    minutes = floor_rest.dry(run) // (60 * floor.SECOND)
    for one in coming:
        if one.segment.kind == "water":
            break
        minutes += one.due // 60
    if minutes <= every:
        return ()
    return (f"{minutes} minutes would go by without water: give a break before that.",)


def _rest_of(desk: Desk, state: Running, run: Run, starts: dt.datetime, minutes: int) -> Brief:
    """Return the brief of what is left: the wishes of the practice less what has been run."""
    from planner.desk.practice import Wishes, make_brief
    from planner.desk.wishes import wishes_from

    with desk.reading() as session:
        info = queries.practice(session, state.practice)
    wishes = wishes_from(info.wishes) if info and "date" in info.wishes else Wishes(date=state.date)
    brief, _, _ = make_brief(desk, replace(wishes, date=state.date, start=state.start, minutes=state.minutes))
    ran = {one.drill for one in run.stretches[: run.at + 1] if one.drill}
    cooled = [one.due // 60 for one in run.coming if one.segment.kind == "cool-down"]
    blocks = [one for one in run.coming if one.segment.kind == "fixed" and one.number is not None]
    planned = run.end - state.minutes * 60 * floor.SECOND
    gone = (round(starts.timestamp() * floor.SECOND) - planned) // (60 * floor.SECOND)
    fixed = tuple(_block(one, brief, gone, minutes) for one in blocks)
    spared = sum(one.minutes for one in fixed) + sum(cooled)
    if spared > minutes:
        raise Refusal(
            f"{plural(minutes, 'minute')} are left after this drill, fixed blocks and cool-down need"
            f" {spared}: shorten the rest or drop something."
        )
    return replace(
        brief,
        start=starts.hour * 60 + starts.minute,
        minutes=minutes,
        warm_up=None,
        warm_up_minutes=0,
        cool_down_minutes=sum(cooled),
        fixed=fixed,
        pins=tuple(one for one in brief.pins if one.drill not in ran),
        keep_out=frozenset({*brief.keep_out, *ran}),
        stations=False if brief.stations is False else None,
        station_pins=(),
        rules=replace(brief.rules, load_ceiling=_load_left(brief, run)),
    )


def _block(one: Stretch, brief: Brief, gone: int, left: int) -> FixedBlock:
    """Return a fixed block that is still to come at its hour, or first where that has gone by."""
    known = next((each for each in brief.fixed if each.title == one.segment.title), None)
    minutes = max(1, one.due // 60)
    at: int | str = "first" if known is None else known.at
    if isinstance(at, int):
        at = at - gone if 0 < at - gone <= left - minutes else "first"
    halves = known.halves if known is not None else 1
    return FixedBlock(one.segment.title, minutes, at, one.segment.effort, halves, one.segment.shares)


def _load_left(brief: Brief, run: Run) -> float | None:
    """Return what the ceiling leaves after what was run; never none, which would lift it."""
    if brief.rules.load_ceiling is None:
        return None
    spent = sum(one.segment.effort * one.spent / 60_000 for one in run.stretches[: run.at + 1])
    return max(1.0, brief.rules.load_ceiling - spent)
