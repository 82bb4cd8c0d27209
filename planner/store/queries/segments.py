"""The stretches of practices, on their planned and their done side."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Sequence
from typing import Any, cast

from sqlalchemy import String
from sqlalchemy import cast as as_type
from sqlalchemy import select as columns
from sqlmodel import Session, col, delete, func, select

from planner.build.plan import Segment, SegmentKind, Station
from planner.season.record import DoneSegment
from planner.store import models
from planner.store.queries.rows import number_of


def write_planned(session: Session, practice_id: int, parts: Sequence[Segment]) -> None:
    """Put the segments of a plan in place of those that stood there."""
    _clear(session, practice_id, "planned")
    rows = [
        models.Segment(
            practice_id=practice_id,
            side="planned",
            position=place,
            start=one.start,
            seconds=one.minutes * 60,
            kind=one.kind,
            title=one.title,
            shares=dict(one.shares),
            why=one.why,
            effort=one.effort,
        )
        for place, one in enumerate(parts)
    ]
    session.add_all(rows)
    session.flush()
    for row, one in zip(rows, parts, strict=True):
        session.add_all(_station_row(number_of(row), place, at) for place, at in enumerate(one.stations))
    session.flush()


def planned(session: Session, practice_id: int) -> tuple[Segment, ...]:
    """Return the segments of a plan in order."""
    rows = _rows(session, [practice_id], "planned")
    stations: dict[int, list[Station]] = defaultdict(list)
    asked = select(models.Station).where(col(models.Station.segment_id).in_([number_of(row) for row in rows]))
    for at in session.exec(asked.order_by(col(models.Station.segment_id), col(models.Station.position))):
        stations[at.segment_id].append(Station(at.drill, at.group, tuple(at.players), at.half))
    return tuple(_segment(row, stations.get(number_of(row), [])) for row in rows)


def write_done(session: Session, practice_id: int, parts: Sequence[DoneSegment]) -> None:
    """Put what was done in place of what was logged before."""
    _clear(session, practice_id, "done")
    rows = [
        models.Segment(
            practice_id=practice_id,
            side="done",
            position=place,
            seconds=one.seconds,
            kind=one.kind,
            title=one.title,
            drill=one.drill,
            stage=one.stage,
            shares=dict(one.shares),
            effort=one.effort,
        )
        for place, one in enumerate(parts)
    ]
    session.add_all(rows)
    session.flush()
    session.add_all(
        models.DrillResult(segment_id=number_of(row), drill=one.drill, stops=one.stops, tries=one.tries)
        for row, one in zip(rows, parts, strict=True)
        if one.stops is not None or one.tries is not None
    )
    session.flush()


def done(session: Session, practice_ids: Sequence[int]) -> dict[int, tuple[DoneSegment, ...]]:
    """Return practice number -> what was done, in order.

    Columns are asked for, not rows: a season holds thousands of these.
    """
    part, result = models.Segment, models.DrillResult
    wanted: list[Any] = [part.practice_id, part.kind, part.title, part.seconds, part.drill, part.stage]
    wanted += [as_type(part.shares, String), part.effort, result.stops, result.tries]
    asked = (
        columns(*wanted)
        .join_from(part, result, isouter=True)
        .where(col(part.practice_id).in_(practice_ids), col(part.side) == "done")
        .order_by(col(part.practice_id), col(part.position))
    )
    found: dict[int, list[DoneSegment]] = defaultdict(list)
    read: dict[str, dict[str, int]] = {}
    for number, kind, title, seconds, drill, stage, raw, effort, stops, tries in session.execute(asked):
        if raw not in read:
            read[raw] = json.loads(raw)
        found[number].append(
            DoneSegment(kind, title, seconds, drill, stage, dict(read[raw]), effort, stops, tries)
        )
    return {number: tuple(parts) for number, parts in found.items()}


def seconds_done(session: Session, practice_id: int) -> int:
    """Return how long a practice really lasted."""
    asked = select(func.sum(models.Segment.seconds)).where(
        models.Segment.practice_id == practice_id, models.Segment.side == "done"
    )
    return session.exec(asked).one() or 0


def _clear(session: Session, practice_id: int, side: str) -> None:
    session.exec(
        delete(models.Segment)
        .where(col(models.Segment.practice_id) == practice_id)
        .where(col(models.Segment.side) == side)
    )


def _rows(session: Session, practice_ids: Sequence[int], side: str) -> Sequence[models.Segment]:
    asked = select(models.Segment).where(
        col(models.Segment.practice_id).in_(practice_ids), models.Segment.side == side
    )
    return session.exec(asked.order_by(col(models.Segment.practice_id), col(models.Segment.position))).all()


def _station_row(segment_id: int, place: int, at: Station) -> models.Station:
    return models.Station(
        segment_id=segment_id,
        position=place,
        drill=at.drill,
        group=at.group,
        half=at.half,
        players=list(at.players),
    )


def _segment(row: models.Segment, stations: Sequence[Station]) -> Segment:
    assert row.start is not None
    return Segment(
        start=row.start,
        minutes=row.seconds // 60,
        kind=cast(SegmentKind, row.kind),
        title=row.title,
        stations=tuple(stations),
        shares=dict(row.shares),
        why=row.why,
        effort=row.effort,
    )
