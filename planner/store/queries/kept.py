"""Plans that came second: kept beside the one that stands, until a coach takes them up or drops them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from sqlmodel import Session, col, select

from planner.build.plan import Plan
from planner.store import models
from planner.store.packing import pack_plan, unpack_plan
from planner.store.queries.rows import TEAM, must_get, number_of, stored
from planner.store.values import KeptPlan

MOST_KEPT = 20
"""Plans kept for one practice; the oldest go first."""


def keep_plan(
    session: Session,
    plan: Plan,
    wishes: Mapping[str, Any],
    stamp: dt.datetime,
    coach: str = "",
    *,
    team: int = TEAM,
) -> int:
    """Keep a plan beside the one that stands, and return its number."""
    number = stored(
        session,
        models.KeptPlan(
            team_id=team,
            date=plan.date,
            start=plan.start,
            stamp=stamp,
            coach=coach or None,
            plan=pack_plan(plan),
            brief=dict(wishes),
        ),
    )
    for old in kept_plans(session, plan.date, plan.start, team=team)[:-MOST_KEPT]:
        drop_kept(session, old.id)
    return number


def kept_plans(
    session: Session, date: dt.date, start: int | None = None, *, team: int = TEAM
) -> tuple[KeptPlan, ...]:
    """Return the plans kept for a day (and start, if given), oldest first."""
    asked = (
        select(models.KeptPlan)
        .where(models.KeptPlan.team_id == team, models.KeptPlan.date == date)
        .order_by(col(models.KeptPlan.id))
    )
    return tuple(_kept(row) for row in session.exec(asked) if start in (None, row.start))


def kept_days(session: Session, *, team: int = TEAM) -> tuple[dt.date, ...]:
    """Return the days for which plans are kept, in order."""
    asked = select(models.KeptPlan).where(models.KeptPlan.team_id == team)
    return tuple(sorted({row.date for row in session.exec(asked)}))


def kept_plan(session: Session, number: int) -> KeptPlan:
    """Return one kept plan.

    Raises:
        Refusal: there is none of that number.

    """
    return _kept(must_get(session, models.KeptPlan, number, "kept plan"))


def drop_kept(session: Session, number: int) -> KeptPlan:
    """Keep a plan no longer, and return it.

    Raises:
        Refusal: there is none of that number.

    """
    row = must_get(session, models.KeptPlan, number, "kept plan")
    gone = _kept(row)
    session.delete(row)
    session.flush()
    return gone


def _kept(row: models.KeptPlan) -> KeptPlan:
    return KeptPlan(number_of(row), unpack_plan(row.plan), dict(row.brief), row.stamp, row.coach or "")
