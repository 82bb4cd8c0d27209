"""What was seen on film, and the lines that could not be read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sqlmodel import Session, col, select

from planner.film.intake import Sighting
from planner.problem import Refusal
from planner.store import models
from planner.store.queries.rows import TEAM, must_get, number_of, stored
from planner.store.values import NOTHING, UnclearInfo


def sightings(
    session: Session, *, intake: int | None = None, game: int | None = None, team: int = TEAM
) -> tuple[Sighting, ...]:
    """Return what was seen, of one reading or game if named, sorted lines included, in reading order."""
    asked = (
        select(models.Sighting)
        .join(models.Intake, col(models.Intake.id) == models.Sighting.intake_id)
        .join(models.Game)
        .where(models.Game.team_id == team, col(models.Intake.undone).is_(False))
    )
    if intake is not None:
        asked = asked.where(models.Sighting.intake_id == intake)
    if game is not None:
        asked = asked.where(models.Intake.game_id == game)
    return with_players(session, session.exec(asked.order_by(col(models.Sighting.id))).all())


def unclear(
    session: Session, *, intake: int | None = None, waiting: bool = True, team: int = TEAM
) -> tuple[UnclearInfo, ...]:
    """Return the lines that could not be read, of one reading if named; only those that wait unless told."""
    asked = (
        select(models.Unclear, models.Intake.name)
        .join(models.Intake)
        .join(models.Game)
        .where(models.Game.team_id == team, col(models.Intake.undone).is_(False))
    )
    if intake is not None:
        asked = asked.where(models.Unclear.intake_id == intake)
    if waiting:
        asked = asked.where(col(models.Unclear.sorted_as).is_(None))
    return tuple(_unclear(row, name) for row, name in session.exec(asked.order_by(col(models.Unclear.id))))


def sort_unclear(
    session: Session,
    unclear_id: int,
    breakdown: str,
    *,
    players: Iterable[str] = (),
    points: int | None = None,
    possession: int | None = None,
    count: int = 1,
) -> UnclearInfo:
    """Say what an unclear line means: a breakdown, which is then counted, or ``NOTHING``.

    Raises:
        Refusal: there is no such line, or it is sorted already.

    """
    row = must_get(session, models.Unclear, unclear_id, "unclear line")
    if row.sorted_as is not None:
        raise Refusal(f"'{row.text}' is sorted already, as {row.sorted_as}; undo that first.")
    row.sorted_as = breakdown
    stored(session, row)
    if breakdown != NOTHING:
        seen = Sighting(
            breakdown,
            line=row.line,
            start=row.start,
            players=tuple(players),
            points=points,
            count=count,
            text=row.text,
            possession=possession,
        )
        add_sightings(session, row.intake_id, (seen,), unclear_id)
    return _unclear(row, must_get(session, models.Intake, row.intake_id, "reading").name)


def unsort_unclear(session: Session, unclear_id: int) -> UnclearInfo:
    """Let a sorted line wait again, and take back what it counted as.

    Raises:
        Refusal: there is no such line, or it is not sorted.

    """
    row = must_get(session, models.Unclear, unclear_id, "unclear line")
    if row.sorted_as is None:
        raise Refusal(f"'{row.text}' is not sorted; nothing changed.")
    row.sorted_as = None
    session.add(row)
    for seen in session.exec(select(models.Sighting).where(models.Sighting.unclear_id == unclear_id)):
        session.delete(seen)
    session.flush()
    return _unclear(row, must_get(session, models.Intake, row.intake_id, "reading").name)


def add_sightings(
    session: Session, intake_id: int, seen: Sequence[Sighting], unclear_id: int | None = None
) -> None:
    """Store what was seen in a reading, with the players charged."""
    rows = [
        models.Sighting(
            intake_id=intake_id,
            unclear_id=unclear_id,
            breakdown=one.breakdown,
            line=one.line,
            start=one.start,
            end=one.end,
            points=one.points,
            seen=one.count,
            sure=one.sure,
            text=one.text,
            possession=one.possession,
        )
        for one in seen
    ]
    session.add_all(rows)
    session.flush()
    for row, one in zip(rows, seen, strict=True):
        session.add_all(
            models.SightingPlayer(sighting_id=number_of(row), position=place, jersey=jersey)
            for place, jersey in enumerate(one.players)
        )
    session.flush()


def with_players(session: Session, rows: Sequence[models.Sighting]) -> tuple[Sighting, ...]:
    """Return stored sightings as values, players charged and all."""
    charged: dict[int, list[str]] = {number_of(row): [] for row in rows}
    if charged:
        asked = (
            select(models.SightingPlayer.sighting_id, models.SightingPlayer.jersey)
            .where(col(models.SightingPlayer.sighting_id).between(min(charged), max(charged)))
            .order_by(col(models.SightingPlayer.sighting_id), col(models.SightingPlayer.position))
        )
        for number, jersey in session.exec(asked):
            if number in charged:
                charged[number].append(jersey)
    return tuple(_sighting(row, charged[number_of(row)]) for row in rows)


def _sighting(row: models.Sighting, charged: list[str]) -> Sighting:
    return Sighting(
        row.breakdown,
        row.line,
        row.start,
        row.end,
        tuple(charged),
        row.points,
        row.seen,
        row.sure,
        row.text,
        row.possession,
    )


def _unclear(row: models.Unclear, file: str) -> UnclearInfo:
    return UnclearInfo(
        id=number_of(row),
        intake=row.intake_id,
        file=file,
        text=row.text,
        why=row.why,
        line=row.line,
        start=row.start,
        sorted_as=row.sorted_as,
    )
