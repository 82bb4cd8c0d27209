"""The running practice at the desk: begun, gone through key by key, and logged as it was run."""

from __future__ import annotations

import datetime as dt
import json
import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from planner.build.plan import Plan
from planner.desk.desk import Desk
from planner.desk.floor_file import (
    Running,
    logged_path,
    must_run,
    now_of,
    path_of,
    read_json,
    running,
    write,
)
from planner.desk.zone import team_zone
from planner.paper.files import write_atomically
from planner.problem import Refusal
from planner.season import floor
from planner.season.floor import Event, EventKind, Run, Stretch
from planner.season.record import DonePractice, DoneSegment
from planner.store import queries
from planner.text import plural

_ONE_AT_A_TIME = threading.Lock()
NEAR = 30 * 60 * floor.SECOND
"""A practice that begins within this of its hour is to end at its hour; another lasts its minutes."""


@dataclass(frozen=True, slots=True)
class Confirmed:
    """What the coach corrects when practice is logged.

    ``took`` maps a stretch (from 1, as run) to minutes, ``stops`` to stops and tries.
    """

    took: Mapping[int, float] = field(default_factory=dict)
    stops: Mapping[int, tuple[int, int]] = field(default_factory=dict)
    absent: tuple[str, ...] = ()
    rating: int | None = None


def begin(desk: Desk, date: dt.date | None = None) -> Running:
    """Begin a planned practice: today's, or that of another day.

    Raises:
        Refusal: one is running, or there is no plan for it.

    """
    from planner.desk.season import planned_on

    if running(desk) is not None:
        raise Refusal("A practice is running or waits to be logged; end and log it, or drop it, first.")
    day = date or desk.today
    with desk.reading() as session:
        info = planned_on(session, day)
        plan = queries.plan_of(session, info.id) if info else None
        zone = team_zone(queries.settings(session))
    if info is None or plan is None:
        raise Refusal(f"There is no plan for {day.isoformat()}; build one, or name another day (--on DATE).")
    if info.state == "done":
        raise Refusal(f"The practice of {day.isoformat()} has been logged; undo the log to run it again.")
    at = now_of(desk)
    made = Running(
        practice=info.id,
        date=plan.date,
        start=plan.start,
        minutes=plan.minutes,
        zone=zone,
        stretches=floor.stretches_of(plan.segments),
        end=_end(plan, at, zone),
        events=(Event("begin", at),),
    )
    write(desk, made)
    return made


def _end(plan: Plan, at: int, zone: str) -> int:
    """Return when practice is to be over."""
    midnight = dt.datetime.combine(plan.date, dt.time(), ZoneInfo(zone))
    planned = midnight.replace(hour=plan.start // 60 % 24, minute=plan.start % 60)
    hour = round(planned.timestamp() * floor.SECOND)
    began = hour if abs(at - hour) <= NEAR else at
    return began + plan.minutes * 60 * floor.SECOND


def happen(desk: Desk, kind: EventKind, value: Any = None, at: int | None = None) -> Running:
    """Write down that something happens now (or at a moment), and return the practice after it.

    Raises:
        Refusal: no practice is running, or it cannot happen now.

    """
    with _ONE_AT_A_TIME:
        before = must_run(desk)
        event = Event(kind, max(before.events[-1].at, now_of(desk) if at is None else at), value)
        after = replace(before, events=(*before.events, event))
        after.run(event.at)
        write(desk, after)
    return after


def undo(desk: Desk) -> Running:
    """Leave out what happened last; the time since counts as if it had not been.

    Raises:
        Refusal: nothing but the beginning has happened.

    """
    with _ONE_AT_A_TIME:
        before = must_run(desk)
        if len(before.events) == 1:
            raise Refusal("Only the beginning could be undone; drop the practice instead.")
        after = replace(before, events=before.events[:-1])
        write(desk, after)
    return after


def take(desk: Desk, coming: Sequence[Stretch]) -> Running:
    """Change what is to come.

    Raises:
        Refusal: no practice is running.

    """
    run = must_run(desk).run(now_of(desk))
    return happen(desk, "coming", floor.pack_coming(run, coming))


def log_run(desk: Desk, confirmed: Confirmed) -> tuple[DonePractice, str]:
    """Log the practice that is over, as it was run and confirmed, and put the run aside.

    Raises:
        Refusal: it is not over, or what is confirmed cannot be.

    """
    from planner.clock import clock_text

    state = must_run(desk)
    run = state.run(now_of(desk))
    if not run.over:
        raise Refusal("Practice is still running; end it first.")
    done = as_done(desk, state, run, confirmed)
    number = state.practice if done.date == state.date else None
    with desk.writing() as session:
        unknown = sorted(set(done.absent) - {one.jersey for one in queries.players(session)})
        if unknown:
            raise Refusal(f"No player wears {unknown[0]}; 'stopsheet team' shows the roster.")
        before = queries.done_of(session, number) if number is not None else None
        if number is not None and queries.practice(session, number) is None:
            number = None
        made = queries.log_done(session, number, done)
        words = f"log of {done.date.isoformat()} {clock_text(done.start)}"
        payload = {"practice": made, "before": queries.pack_done(before) if before else None}
        desk.note(session, "log", words, payload)
    _put_aside(desk, made)
    return done, words


def as_done(desk: Desk, state: Running, run: Run, confirmed: Confirmed) -> DonePractice:
    """Return the practice as it would be logged.

    Raises:
        Refusal: a correction names no stretch, or numbers that cannot be.

    """
    from planner.desk.team import clean_jersey

    cards = desk.library.by_id
    stages = {key: card.stage.value for key, card in cards.items() if card.stage is not None}
    segments = _corrected(floor.done_segments(run, stages), confirmed)
    if confirmed.rating is not None and not 0 <= confirmed.rating <= 10:
        raise Refusal(f"An effort rating of {confirmed.rating} is off the scale; give 0 to 10.")
    absent = tuple(dict.fromkeys(clean_jersey(one) for one in confirmed.absent))
    began = state.began
    start = began.hour * 60 + began.minute
    return DonePractice("", began.date(), start, segments, absent, confirmed.rating)


def _corrected(segments: Sequence[DoneSegment], confirmed: Confirmed) -> tuple[DoneSegment, ...]:
    for number in {*confirmed.took, *confirmed.stops}:
        if not 1 <= number <= len(segments):
            raise Refusal(f"{plural(len(segments), 'stretch', 'stretches')} were run; there is no {number}.")
    found = []
    for number, one in enumerate(segments, 1):
        minutes = confirmed.took.get(number)
        if minutes is not None and not 0 <= minutes <= floor.LONGEST / 60:
            raise Refusal(f"'{one.title}' cannot have taken {minutes:g} minutes.")
        seconds = one.seconds if minutes is None else round(minutes * 60)
        stops, tries = confirmed.stops.get(number, (one.stops, one.tries))
        if stops is not None and tries is not None:
            _check_score(one, stops, tries)
        if seconds > 0:
            found.append(replace(one, seconds=seconds, stops=stops, tries=tries))
    if not found:
        raise Refusal("A practice in which nothing was run is not logged.")
    return tuple(found)


def _check_score(one: DoneSegment, stops: int, tries: int) -> None:
    if one.kind != "drill":
        raise Refusal(f"'{one.title}' is no drill and has no score.")
    if not 0 <= stops <= tries:
        raise Refusal(f"'{one.title}': {stops} of {tries} cannot be; write it as 7/10.")


def drop(desk: Desk) -> Path:
    """Put the run aside without logging it.

    Raises:
        Refusal: there is none.

    """
    state = must_run(desk)
    target = path_of(desk).with_name("dropped.json")
    path_of(desk).replace(target)
    with desk.writing() as session:
        desk.note(session, "run-dropped", f"dropping the practice of {state.date.isoformat()}", {})
    return target


def take_up_again(desk: Desk, _payload: Mapping[str, Any]) -> None:
    """Take up the run again that was dropped last.

    Raises:
        Refusal: another practice is running, or the dropped one is no longer there.

    """
    if running(desk) is not None:
        raise Refusal("A practice is running or waits to be logged; it comes first.")
    target = path_of(desk).with_name("dropped.json")
    if not target.is_file():
        raise Refusal("The practice that was dropped is no longer there; nothing changed.")
    target.replace(path_of(desk))


def bring_back(desk: Desk) -> Running:
    """Take up the run logged last again, once its log has been undone.

    Raises:
        Refusal: there is none, its log stands, or another practice is running.

    """
    if running(desk) is not None:
        raise Refusal("A practice is running or waits to be logged; it comes first.")
    if not log_undone(desk):
        raise Refusal("No practice that was run here has had its log undone.")
    logged_path(desk).replace(path_of(desk))
    return must_run(desk)


def log_undone(desk: Desk) -> bool:
    """Return whether the run logged last waits because its log was undone."""
    raw = read_json(logged_path(desk))
    if raw is None:
        return False
    with desk.reading() as session:
        info = queries.practice(session, int(raw.get("logged", 0)))
    return info is None or info.state != "done"


def _put_aside(desk: Desk, practice: int) -> None:
    raw = read_json(path_of(desk)) or {}
    raw["logged"] = practice
    write_atomically(logged_path(desk), json.dumps(raw).encode(), True)
    path_of(desk).unlink(missing_ok=True)


def due_end(desk: Desk) -> int | None:
    """Return the moment at which a practice that was left running must have ended, None for now."""
    state = must_run(desk)
    return floor.sensible_end(state.run(state.events[-1].at), now_of(desk))
