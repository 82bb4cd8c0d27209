"""The coach's emphasis and the stages the team has passed, with their history."""

from __future__ import annotations

import datetime as dt

from sqlmodel import Session, col, select

from planner.drills.vocabulary import Stage
from planner.store import models
from planner.store.queries.rows import TEAM, must_get, number_of, stored
from planner.store.values import EmphasisInfo, ProgressInfo


def add_emphasis(session: Session, principle: str, factor: float, since: dt.date, *, team: int = TEAM) -> int:
    """Weigh a principle's need by ``factor`` from a date on, and return the entry's number."""
    return stored(session, models.Emphasis(team_id=team, principle=principle, factor=factor, since=since))


def remove_emphasis(session: Session, emphasis_id: int) -> EmphasisInfo:
    """Take an emphasis back, and return it; the one before it holds again.

    Raises:
        Refusal: there is no such entry.

    """
    row = must_get(session, models.Emphasis, emphasis_id, "emphasis")
    before = _emphasis(row)
    session.delete(row)
    session.flush()
    return before


def emphasis_on(session: Session, date: dt.date, *, team: int = TEAM) -> dict[str, float]:
    """Return principle id -> the factor that holds on a date; principles never weighed are not in it."""
    return {one.principle: one.factor for one in emphases(session, team=team) if one.since <= date}


def emphases(session: Session, *, team: int = TEAM) -> tuple[EmphasisInfo, ...]:
    """Return every emphasis by date; of one date, in the order they were given."""
    asked = select(models.Emphasis).where(models.Emphasis.team_id == team)
    rows = session.exec(asked.order_by(col(models.Emphasis.since), col(models.Emphasis.id)))
    return tuple(_emphasis(row) for row in rows)


def add_progress(
    session: Session, principle: str, stage: Stage | None, date: dt.date, how: str = "", *, team: int = TEAM
) -> int:
    """Note the highest stage passed as of a date (None: back to nothing), and return the entry's number."""
    word = None if stage is None else Stage(stage).value
    return stored(session, models.Progress(team_id=team, principle=principle, stage=word, date=date, how=how))


def remove_progress(session: Session, progress_id: int) -> ProgressInfo:
    """Take a stage back, and return it; the entry before it holds again.

    Raises:
        Refusal: there is no such entry.

    """
    row = must_get(session, models.Progress, progress_id, "progress entry")
    before = _progress(row)
    session.delete(row)
    session.flush()
    return before


def progress_on(session: Session, date: dt.date, *, team: int = TEAM) -> dict[str, Stage]:
    """Return principle id -> highest stage passed as of a date; principles without one are not in it."""
    latest = {one.principle: one.stage for one in progress(session, team=team) if one.date <= date}
    return {principle: stage for principle, stage in latest.items() if stage is not None}


def progress(session: Session, principle: str | None = None, *, team: int = TEAM) -> tuple[ProgressInfo, ...]:
    """Return every stage noted, of one principle if named, by date and then in the order given."""
    asked = select(models.Progress).where(models.Progress.team_id == team)
    if principle is not None:
        asked = asked.where(models.Progress.principle == principle)
    rows = session.exec(asked.order_by(col(models.Progress.date), col(models.Progress.id)))
    return tuple(_progress(row) for row in rows)


def _emphasis(row: models.Emphasis) -> EmphasisInfo:
    return EmphasisInfo(number_of(row), row.principle, row.factor, row.since)


def _progress(row: models.Progress) -> ProgressInfo:
    stage = None if row.stage is None else Stage(row.stage)
    return ProgressInfo(number_of(row), row.principle, stage, row.date, row.how)
