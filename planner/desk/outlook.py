"""The next practice as it stands: its plan, what was asked of it, what to mind, what rests on a guess."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from planner.build.plan import Plan
from planner.desk.desk import Desk
from planner.desk.horizon import DaysAhead, days_ahead
from planner.desk.needs import assess_needs
from planner.desk.practice import doubts_of, make_brief
from planner.desk.wishes import wishes_from
from planner.need.estimate import Needs
from planner.store import queries

ANSWERS = frozenset({"answered", "sorted-lines", "watched"})
"""What makes film say more than it did when a plan was built."""
PLANNING = ("plan", "plan-version")
"""What changes plans and nothing that needs are estimated from."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """A plan (None: there is none) with its surroundings; cheap to look at.

    ``pinned`` are drills, ``locked`` minutes of the day. ``stale`` says that film is newer than the plan;
    ``waiting`` counts narrated sightings that wait for yes or no. ``mark`` is another whenever the film or a
    setting changed, so that needs known for it need not be estimated again.
    """

    plan: Plan | None
    ahead: DaysAhead
    pinned: frozenset[str] = frozenset()
    locked: frozenset[int] = frozenset()
    by_hand: bool = False
    stale: bool = False
    waiting: int = 0
    mark: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Grounds:
    """What a plan rests on: the needs as they are now, and where it hangs on a guess, in sentences."""

    needs: Needs
    doubts: tuple[str, ...] = ()


def look_ahead(desk: Desk, day: dt.date | None = None, start: int | None = None) -> Outlook | None:
    """Return what there is to know of a day's plan (that of the next one), or None without a team."""
    if not desk.has_team():
        return None
    with desk.reading() as session:
        plan = queries.plan_on(session, day, start) if day else queries.next_plan(session, desk.today)
        info = queries.find_practice(session, plan.date, plan.start) if plan else None
        films = queries.intakes(session)
        built = queries.plan_built(session, info.id) if info else None
        answered = queries.last_done(session, ANSWERS)
        mark = queries.journal_mark(session, PLANNING)
    newest = max((*(one.stamp for one in films), *filter(None, [answered])), default=None)
    wishes = info.wishes if info else {}
    return Outlook(
        plan=plan,
        ahead=days_ahead(desk, day or (plan.date if plan else None)),
        pinned=frozenset(row[0] for row in wishes.get("pins", ())),
        locked=frozenset(row["start"] for row in wishes.get("locks", ())),
        by_hand=bool(wishes.get("by_hand")),
        stale=built is not None and newest is not None and newest > built,
        waiting=sum(one.waiting for one in films),
        mark=(*mark, desk.today.toordinal()),
    )


def grounds(desk: Desk, plan: Plan | None, needs: Needs | None = None) -> Grounds:
    """Return the needs, and where the plan hangs on a cost that is mostly a guess.

    ``needs`` are those of today where they are known already.
    """
    found = needs or assess_needs(desk)
    if plan is None:
        return Grounds(found)
    with desk.reading() as session:
        info = queries.find_practice(session, plan.date, plan.start)
    if info is None or "date" not in info.wishes:
        return Grounds(found)
    wishes = replace(wishes_from(info.wishes), date=plan.date, start=plan.start, film=None)
    brief, weighed, _ = make_brief(desk, wishes)
    return Grounds(found, doubts_of(desk, brief, plan, weighed))


def to_mind(plan: Plan, grounds: Grounds | None = None) -> tuple[str, ...]:
    """Return what a coach should know about a plan: its warnings, then where it hangs on a guess."""
    return (*plan.warnings, *(grounds.doubts if grounds else ()))
