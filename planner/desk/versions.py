"""Two coaches at one plan: the later save never covers the earlier one unseen; both are kept."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from planner.build.plan import Plan
from planner.clock import clock_text
from planner.desk.desk import Desk
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import KeptPlan, PracticeInfo

if TYPE_CHECKING:
    from sqlmodel import Session

GONE = -1
"""The version of a plan that stands no more; no plan that stands has it."""

_LOOKED_THROUGH = (20, 400)
"""Entries of the journal that are gone through for the latest change of a plan: at first, and at most."""


class Overtaken(Refusal):
    """The plan was changed by another coach meanwhile; ``kept`` is the number of the plan kept beside it."""

    def __init__(self, sentence: str, kept: int) -> None:
        super().__init__(sentence)
        self.kept = kept


@dataclass(frozen=True, slots=True)
class Version:
    """One version of a practice's plan; ``number`` is None for the one that stands."""

    number: int | None
    plan: Plan
    stamp: dt.datetime | None
    coach: str

    def as_json(self) -> dict[str, Any]:
        """Return the version for a program."""
        return {
            "number": self.number,
            "stands": self.number is None,
            "saved": self.stamp.isoformat() if self.stamp else None,
            "coach": self.coach,
            "plan": self.plan.as_json(),
        }


def version_of(info: PracticeInfo | None) -> int:
    """Return what a practice's plan has to be still when a change of it is saved; 0 where there is none."""
    return info.version if info is not None and info.has_plan else 0


def keep_overtaken(
    desk: Desk, session: Session, plan: Plan, wishes: Mapping[str, Any], known: PracticeInfo | None
) -> Overtaken:
    """Keep a plan beside the one that stands, and return what to tell the coach once that is stored."""
    number = queries.keep_plan(session, plan, wishes, desk.now(), desk.coach)
    stamp, coach = _last_change(session, known)
    who = coach if coach and coach != desk.coach else "another coach"
    when = f" at {_moment(desk, stamp)}" if stamp else ""
    day = plan.date.isoformat()
    return Overtaken(
        f"The plan of {day} {clock_text(plan.start)} was changed by {who}{when}, while you worked on it: that"
        f" one stands and yours is kept as version {number}; 'stopsheet versions --on {day}' shows both.",
        number,
    )


def versions(desk: Desk, date: dt.date | None = None) -> tuple[Version, ...]:
    """Return the plan that stands on a day (the next day with kept plans), then those kept beside it.

    Raises:
        Refusal: no plan is kept for the day.

    """
    with desk.reading() as session:
        day = date or next((one for one in queries.kept_days(session) if one >= desk.today), None)
        kept = queries.kept_plans(session, day) if day else ()
        if day is None or not kept:
            when = f"for {date.isoformat()}" if date else "ahead"
            raise Refusal(f"No second version of a plan is kept {when}; nobody was overtaken.")
        return (*_standing(session, day), *(Version(one.id, one.plan, one.stamp, one.coach) for one in kept))


def take_version(desk: Desk, number: int) -> KeptPlan:
    """Let a kept plan stand; the one that stood is kept in its place, and undo turns both round again.

    Raises:
        Refusal: there is no such version, or the practice has been logged.

    """
    with desk.writing() as session:
        taken = queries.drop_kept(session, number)
        plan = taken.plan
        before = queries.plan_on(session, plan.date, plan.start)
        known = queries.find_practice(session, plan.date, plan.start)
        stamp, coach = _last_change(session, known)
        practice = queries.save_plan(session, plan, taken.wishes)
        kept = None
        if before is not None and known is not None:
            kept = queries.keep_plan(session, before, known.wishes, stamp or desk.now(), coach)
        payload = {
            "practice": practice,
            "before": queries.pack_plan(before) if before else None,
            "wishes": dict(known.wishes) if known else {},
            "kept": kept,
            "taken": {
                "plan": queries.pack_plan(plan),
                "wishes": dict(taken.wishes),
                "stamp": taken.stamp.isoformat(),
                "coach": taken.coach,
            },
        }
        desk.note(session, "plan-version", f"version {number} of {plan.date.isoformat()}", payload)
    return taken


def undo_take(session: Session, payload: Any) -> None:
    """Turn round what ``take_version`` did."""
    if payload["kept"] is not None:
        queries.drop_kept(session, payload["kept"])
    if payload["before"] is None:
        queries.remove_plan(session, payload["practice"])
    else:
        queries.save_plan(session, queries.unpack_plan(payload["before"]), payload["wishes"])
    taken = payload["taken"]
    queries.keep_plan(
        session,
        queries.unpack_plan(taken["plan"]),
        taken["wishes"],
        dt.datetime.fromisoformat(taken["stamp"]),
        taken["coach"],
    )


def wishes_behind(desk: Desk, plan: Plan) -> tuple[dict[str, Any], int] | None:
    """Return what a plan that was seen was built from, and the version it had; None if it is forgotten.

    The version is ``GONE`` where the plan no longer stands.
    """
    with desk.reading() as session:
        info = queries.find_practice(session, plan.date, plan.start)
        if info is not None and queries.plan_of(session, info.id) == plan:
            return dict(info.wishes), version_of(info)
        packed = queries.pack_plan(plan)
        for entry in queries.journal(session, _LOOKED_THROUGH[-1]):
            if entry.verb == "plan" and entry.payload["before"] == packed:
                return dict(entry.payload["wishes"]), GONE
    return None


def _standing(session: Session, day: dt.date) -> list[Version]:
    found = []
    for plan in queries.plans_on(session, day):
        stamp, coach = _last_change(session, queries.find_practice(session, plan.date, plan.start))
        found.append(Version(None, plan, stamp, coach))
    return found


def _last_change(session: Session, known: PracticeInfo | None) -> tuple[dt.datetime | None, str]:
    """Return when and by whom a practice's plan was changed last, as far as the journal tells."""
    for limit in _LOOKED_THROUGH if known is not None else ():
        for entry in queries.journal(session, limit):
            if known is not None and entry.payload.get("practice") == known.id:
                return entry.stamp, entry.coach
    return None, ""


def _moment(desk: Desk, stamp: dt.datetime) -> str:
    """Return a stamp as a coach reads it: the hour of today, or the day too."""
    here, now = stamp.astimezone(), desk.now().astimezone()
    hour = f"{here:%H:%M}"
    return hour if here.date() == now.date() else f"{hour} on {here.date().isoformat()}"
