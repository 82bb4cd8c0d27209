"""Practices: plans kept and replaced, and what was really done."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from typing import Any, cast

from sqlalchemy import String
from sqlalchemy import cast as as_type
from sqlalchemy import select as columns
from sqlmodel import Session, col, func, select

from planner.build.plan import LeftOut, Plan
from planner.clock import clock_text
from planner.problem import Refusal
from planner.season.record import DonePractice
from planner.store import models
from planner.store.queries import segments
from planner.store.queries.rows import TEAM, must_get, number_of, stored
from planner.store.values import PracticeInfo, PracticeState


def save_plan(session: Session, plan: Plan, wishes: Mapping[str, Any], *, team: int = TEAM) -> int:
    """Keep a plan with the wishes it was built from, and return its practice's number.

    A plan of the same date and start that has not been run yet is replaced.

    Raises:
        Refusal: that practice has been logged.

    """
    row = _at(session, plan.date, plan.start, team)
    if row is not None and row.state == "done":
        raise Refusal(f"The practice of {_named(row)} has been logged; undo the log before planning it anew.")
    row = row or models.Practice(
        team_id=team, date=plan.date, start=plan.start, minutes=plan.minutes, state="planned", saved=0
    )
    row.minutes, row.saved = plan.minutes, 1 + _last_saved(session, team)
    row.objective, row.bound, row.proven, row.took = plan.objective, plan.bound, plan.proven, plan.seconds
    row.load, row.warnings = plan.load, list(plan.warnings)
    row.left_out = [[one.drill, one.why] for one in plan.left_out]
    row.brief = dict(wishes)
    number = stored(session, row)
    segments.write_planned(session, number, plan.segments)
    return number


def plan_on(session: Session, date: dt.date, start: int | None = None, *, team: int = TEAM) -> Plan | None:
    """Return the plan of a date, the earliest of the day unless ``start`` is given, or None."""
    for row in _on(session, date, team):
        if row.objective is not None and start in (None, row.start):
            return _plan(session, row)
    return None


def plans_on(session: Session, date: dt.date, *, team: int = TEAM) -> tuple[Plan, ...]:
    """Return the plans of a date by start."""
    return tuple(_plan(session, row) for row in _on(session, date, team) if row.objective is not None)


def next_plan(session: Session, on_or_after: dt.date, *, team: int = TEAM) -> Plan | None:
    """Return the first plan on or after a date that has not been run, or None."""
    asked = (
        select(models.Practice)
        .where(models.Practice.team_id == team, models.Practice.date >= on_or_after)
        .where(models.Practice.state == "planned")
        .order_by(col(models.Practice.date), col(models.Practice.start))
    )
    row = session.exec(asked).first()
    return None if row is None else _plan(session, row)


def latest_plan(session: Session, *, team: int = TEAM) -> Plan | None:
    """Return the plan that was saved last, or None."""
    asked = (
        select(models.Practice)
        .where(models.Practice.team_id == team, col(models.Practice.objective).is_not(None))
        .order_by(col(models.Practice.saved).desc())
    )
    row = session.exec(asked).first()
    return None if row is None else _plan(session, row)


def plan_of(session: Session, practice_id: int) -> Plan | None:
    """Return a practice's plan, or None when it has none."""
    row = session.get(models.Practice, practice_id)
    return None if row is None or row.objective is None else _plan(session, row)


def remove_plan(session: Session, practice_id: int) -> Plan:
    """Take a plan away, and return it.

    Raises:
        Refusal: there is no such practice, or it has been logged.

    """
    row = must_get(session, models.Practice, practice_id, "practice")
    if row.state == "done":
        raise Refusal(f"The practice of {_named(row)} has been logged; undo the log first.")
    before = _plan(session, row)
    session.delete(row)
    session.flush()
    return before


def practice(session: Session, practice_id: int) -> PracticeInfo | None:
    """Return one practice, or None."""
    row = session.get(models.Practice, practice_id)
    return None if row is None else _info(session, row)


def find_practice(
    session: Session, date: dt.date, start: int | None = None, *, team: int = TEAM
) -> PracticeInfo | None:
    """Return the practice of a date, the earliest of the day unless ``start`` is given, or None."""
    for row in _on(session, date, team):
        if start in (None, row.start):
            return _info(session, row)
    return None


def practices(
    session: Session,
    *,
    since: dt.date | None = None,
    until: dt.date | None = None,
    state: PracticeState | None = None,
    team: int = TEAM,
) -> tuple[PracticeInfo, ...]:
    """Return the practices from ``since`` to ``until`` (both included), oldest first."""
    return tuple(_info(session, row) for row in _between(session, since, until, state, team))


def log_done(session: Session, practice_id: int | None, done: DonePractice, *, team: int = TEAM) -> int:
    """Keep what was really done at a practice, in place of an earlier log, and return the practice's number.

    Without a number the practice of that date and start is meant; it is made if there is none.

    Raises:
        Refusal: there is no such practice, or nothing was done.

    """
    if done.seconds <= 0:
        raise Refusal("A practice that lasted no time cannot be logged; give the minutes of what was run.")
    if practice_id is None:
        row = _at(session, done.date, done.start, team)
    else:
        row = must_get(session, models.Practice, practice_id, "practice")
    minutes = -(-done.seconds // 60)
    row = row or models.Practice(
        team_id=team, date=done.date, start=done.start, minutes=minutes, state="done", saved=0
    )
    if row.objective is None:
        row.date, row.start, row.minutes = done.date, done.start, minutes
    elif row.date != done.date:
        raise Refusal(f"Practice {practice_id} was planned for {_named(row)}, not for {done.date}.")
    row.state, row.began, row.rating, row.absent = "done", done.start, done.rating, list(done.absent)
    number = stored(session, row)
    segments.write_done(session, number, done.segments)
    return number


def done_of(session: Session, practice_id: int) -> DonePractice | None:
    """Return what was done at a practice, or None before it is logged."""
    row = session.get(models.Practice, practice_id)
    return None if row is None or row.state != "done" else _done(session, [row])[0]


def undo_log(session: Session, practice_id: int) -> DonePractice:
    """Take a log back, and return it: the practice is only planned again; without a plan it disappears.

    Raises:
        Refusal: there is no such practice, or it is not logged.

    """
    row = must_get(session, models.Practice, practice_id, "practice")
    if row.state != "done":
        raise Refusal(f"The practice of {_named(row)} is not logged; nothing changed.")
    before = _done(session, [row])[0]
    if row.objective is None:
        session.delete(row)
    else:
        segments.write_done(session, practice_id, ())
        row.state, row.began, row.rating, row.absent = "planned", None, None, []
        session.add(row)
    session.flush()
    return before


def done_practices(
    session: Session, since: dt.date, until: dt.date, *, team: int = TEAM
) -> tuple[DonePractice, ...]:
    """Return what was done from ``since`` to ``until`` (both included), oldest first."""
    practice = models.Practice
    wanted: list[Any] = [practice.id, practice.date, practice.start, practice.began]
    wanted += [as_type(practice.absent, String), practice.rating]
    asked = (
        columns(*wanted)
        .where(col(practice.team_id) == team, col(practice.state) == "done")
        .where(col(practice.date).between(since, until))
        .order_by(col(practice.date), col(practice.start))
    )
    rows = session.execute(asked).all()
    parts = segments.done(session, [row[0] for row in rows])
    return tuple(
        DonePractice(
            practice=str(number),
            date=date,
            start=start if began is None else began,
            segments=parts.get(number, ()),
            absent=tuple(json.loads(absent)),
            rating=rating,
        )
        for number, date, start, began, absent, rating in rows
    )


def recent_drills(
    session: Session, before: dt.date, n: int = 2, *, team: int = TEAM
) -> tuple[frozenset[str], ...]:
    """Return the drills of the last ``n`` practices done before a date, newest first."""
    asked = (
        select(models.Practice)
        .where(
            models.Practice.team_id == team, models.Practice.date < before, models.Practice.state == "done"
        )
        .order_by(col(models.Practice.date).desc(), col(models.Practice.start).desc())
        .limit(n)
    )
    done = _done(session, list(session.exec(asked)))
    return tuple(
        frozenset(
            part.drill for part in one.segments if part.kind == "drill" and part.drill and part.seconds > 0
        )
        for one in done
    )


def _at(session: Session, date: dt.date, start: int, team: int) -> models.Practice | None:
    return next((row for row in _on(session, date, team) if row.start == start), None)


def _on(session: Session, date: dt.date, team: int) -> list[models.Practice]:
    return _between(session, date, date, None, team)


def _between(
    session: Session, since: dt.date | None, until: dt.date | None, state: str | None, team: int
) -> list[models.Practice]:
    asked = select(models.Practice).where(models.Practice.team_id == team)
    if since is not None:
        asked = asked.where(models.Practice.date >= since)
    if until is not None:
        asked = asked.where(models.Practice.date <= until)
    if state is not None:
        asked = asked.where(models.Practice.state == state)
    return list(session.exec(asked.order_by(col(models.Practice.date), col(models.Practice.start))))


def _last_saved(session: Session, team: int) -> int:
    asked = select(func.max(models.Practice.saved)).where(models.Practice.team_id == team)
    return session.exec(asked).one() or 0


def _plan(session: Session, row: models.Practice) -> Plan:
    assert row.objective is not None
    assert row.bound is not None
    assert row.took is not None
    return Plan(
        date=row.date,
        start=row.start,
        minutes=row.minutes,
        objective=row.objective,
        bound=row.bound,
        proven=bool(row.proven),
        seconds=row.took,
        segments=segments.planned(session, number_of(row)),
        left_out=tuple(LeftOut(drill, why) for drill, why in row.left_out),
        warnings=tuple(row.warnings),
    )


def _done(session: Session, rows: list[models.Practice]) -> tuple[DonePractice, ...]:
    parts = segments.done(session, [number_of(row) for row in rows])
    return tuple(
        DonePractice(
            practice=str(row.id),
            date=row.date,
            start=row.start if row.began is None else row.began,
            segments=parts.get(number_of(row), ()),
            absent=tuple(row.absent),
            rating=row.rating,
        )
        for row in rows
    )


def _info(session: Session, row: models.Practice) -> PracticeInfo:
    number = number_of(row)
    return PracticeInfo(
        id=number,
        date=row.date,
        start=row.start,
        minutes=row.minutes,
        state=cast(PracticeState, row.state),
        has_plan=row.objective is not None,
        objective=row.objective,
        bound=row.bound,
        proven=row.proven,
        load=row.load,
        wishes=dict(row.brief),
        rating=row.rating,
        absent=tuple(row.absent),
        done_seconds=segments.seconds_done(session, number) if row.state == "done" else None,
        version=row.saved,
    )


def _named(row: models.Practice) -> str:
    return f"{row.date} {clock_text(row.start)}"
