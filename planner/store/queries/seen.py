"""What was seen on film, and the lines that could not be read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from sqlmodel import Session, col, select

from planner.film.intake import Sighting
from planner.problem import Refusal
from planner.store import models
from planner.store.queries.rows import TEAM, add_rows, must_get, number_of, stored
from planner.store.values import QUIET, UnclearInfo


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
    """Say what an unclear line means: a breakdown, which is then counted, or one of ``QUIET``.

    Raises:
        Refusal: there is no such line, or it is sorted already.

    """
    row = must_get(session, models.Unclear, unclear_id, "unclear line")
    if row.sorted_as is not None:
        raise Refusal(f"'{row.text}' is sorted already, as {row.sorted_as}; undo that first.")
    row.sorted_as = breakdown
    stored(session, row)
    if breakdown not in QUIET:
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


def charge_unclear(
    session: Session, unclear_id: int, players: Sequence[str], breakdown: str = ""
) -> tuple[UnclearInfo, list[tuple[int, str]]]:
    """Say who it was, for a line that is counted already and only asks that; nothing is counted again.

    Returns the line and what was charged, as (sighting, jersey), for ``uncharge_unclear``.

    Raises:
        Refusal: there is no such line, it is sorted already, or it is not clear which breakdown is meant.

    """
    row = must_get(session, models.Unclear, unclear_id, "unclear line")
    if row.sorted_as is not None:
        raise Refusal(f"'{row.text}' is sorted already, as {row.sorted_as}; undo that first.")
    asked = select(models.Sighting).where(
        models.Sighting.intake_id == row.intake_id, col(models.Sighting.unclear_id).is_(None)
    )
    asked = asked.where(
        models.Sighting.start == row.start if row.line is None else models.Sighting.line == row.line
    )
    seen = [one for one in session.exec(asked).all() if breakdown in ("", one.breakdown)]
    if not seen:
        raise Refusal(
            f"'{row.text}' counts no {breakdown or 'breakdown'} that a player could be charged with."
        )
    if len({one.breakdown for one in seen}) > 1:
        named = ", ".join(sorted({one.breakdown for one in seen}))
        raise Refusal(f"'{row.text}' counts several breakdowns; say which of {named}.")
    row.sorted_as = f"player {' '.join(players)}"
    session.add(row)
    charged = []
    for one in seen:
        number = number_of(one)
        there = select(models.SightingPlayer).where(models.SightingPlayer.sighting_id == number)
        known = session.exec(there).all()
        place = max((other.position for other in known), default=-1)
        for jersey in dict.fromkeys(players):
            if jersey not in {other.jersey for other in known}:
                place += 1
                session.add(models.SightingPlayer(sighting_id=number, position=place, jersey=jersey))
                charged.append((number, jersey))
    session.flush()
    return _unclear(row, must_get(session, models.Intake, row.intake_id, "reading").name), charged


def uncharge_unclear(session: Session, unclear_id: int, charged: Iterable[Sequence[Any]]) -> UnclearInfo:
    """Take back what ``charge_unclear`` charged, and let the line ask again.

    Raises:
        Refusal: there is no such line, or it is not sorted.

    """
    for number, jersey in charged:
        asked = select(models.SightingPlayer).where(
            models.SightingPlayer.sighting_id == number, models.SightingPlayer.jersey == jersey
        )
        for row in session.exec(asked).all():
            session.delete(row)
    return unsort_unclear(session, unclear_id)


def add_sightings(
    session: Session, intake_id: int, seen: Sequence[Sighting], unclear_id: int | None = None
) -> list[int]:
    """Store what was seen in a reading, with the players charged; return the numbers, in order."""
    rows = [
        {
            "intake_id": intake_id,
            "unclear_id": unclear_id,
            "breakdown": one.breakdown,
            "line": one.line,
            "start": one.start,
            "end": one.end,
            "points": one.points,
            "seen": one.count,
            "sure": one.sure,
            "text": one.text,
            "possession": one.possession,
        }
        for one in seen
    ]
    numbers = add_rows(session, models.Sighting, rows, numbered=True)
    players = [
        {"sighting_id": number, "position": place, "jersey": jersey}
        for number, one in zip(numbers, seen, strict=True)
        for place, jersey in enumerate(one.players)
    ]
    add_rows(session, models.SightingPlayer, players)
    return numbers


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
