"""Film notes: read in, listed, undone."""

from __future__ import annotations

import datetime as dt
import zlib
from collections.abc import Sequence
from typing import Any, cast

from sqlmodel import Session, col, func, select

from planner.film.intake import Heading, Intake, NoteKind, Possession, Unclear
from planner.problem import Refusal
from planner.store import models
from planner.store.queries.heard import add_proposals, proposed, tally_proposals
from planner.store.queries.rows import TEAM, add_rows, must_get, number_of, stored
from planner.store.queries.seen import add_sightings, with_players
from planner.store.values import IntakeInfo


def known_intake(session: Session, digest: str, *, team: int = TEAM) -> IntakeInfo | None:
    """Return the reading, not undone, of a file with this SHA-256, or None."""
    asked = (
        select(models.Intake, models.FilmNote)
        .join(models.FilmNote)
        .where(models.FilmNote.team_id == team, models.FilmNote.digest == digest)
        .where(col(models.Intake.undone).is_(False))
    )
    return next(iter(_infos(session, session.exec(asked).all())), None)


def add_intake(
    session: Session, game_id: int, intake: Intake, raw: bytes, stamp: dt.datetime, *, team: int = TEAM
) -> int:
    """Store one reading of a film note for a game, whole or not at all, and return its number.

    ``raw`` are the note's bytes, ``stamp`` knows its zone.

    Raises:
        Refusal: the same bytes are in already, or there is no such game.

    """
    must_get(session, models.Game, game_id, "game")
    known = known_intake(session, intake.digest, team=team)
    if known is not None:
        raise Refusal(f"{intake.file} is in already, read as {known.file}; nothing was added.")
    with session.begin_nested():
        heading = {
            "date": intake.heading.date,
            "opponent": intake.heading.opponent,
            "venue": intake.heading.venue,
        }
        row = models.Intake(
            film_note_id=_note(session, intake, raw, team),
            game_id=game_id,
            stamp=stamp,
            name=intake.file,
            possessions=intake.possessions,
            problems=list(intake.problems),
            heading=heading,
        )
        number = stored(session, row)
        add_rows(session, models.Possession, [_trip_row(number, one) for one in intake.trips])
        waiting = [
            {"intake_id": number, "text": one.text, "why": one.why, "line": one.line, "start": one.start}
            for one in intake.unclear
        ]
        add_rows(session, models.Unclear, waiting)
        add_sightings(session, number, intake.seen)
        add_proposals(session, number, intake.proposals)
    return number


def undo_intake(session: Session, intake_id: int) -> IntakeInfo:
    """Take a reading out of every count; the same file can then be added again.

    Raises:
        Refusal: there is no such reading, or it is undone already.

    """
    row = must_get(session, models.Intake, intake_id, "reading of a film note")
    if row.undone:
        raise Refusal(f"The reading of {row.name} is undone already; nothing changed.")
    row.undone = True
    stored(session, row)
    return _info(session, row)


def redo_intake(session: Session, intake_id: int) -> IntakeInfo:
    """Let an undone reading count again.

    Raises:
        Refusal: there is no such reading, it counts already, or the file was read again since.

    """
    row = must_get(session, models.Intake, intake_id, "reading of a film note")
    asked = select(models.Intake.id).where(
        models.Intake.film_note_id == row.film_note_id, col(models.Intake.undone).is_(False)
    )
    if session.exec(asked).first() is not None:
        raise Refusal(f"{row.name} is in already; nothing changed.")
    row.undone = False
    stored(session, row)
    return _info(session, row)


def set_exposure(session: Session, intake_id: int, possessions: int | None) -> int | None:
    """Say how many possessions a reading covers; return what stood there before.

    Raises:
        Refusal: there is no such reading.

    """
    row = must_get(session, models.Intake, intake_id, "reading of a film note")
    before, row.possessions = row.possessions, possessions
    stored(session, row)
    return before


def intakes(
    session: Session, *, game: int | None = None, undone: bool | None = False, team: int = TEAM
) -> tuple[IntakeInfo, ...]:
    """Return the readings, of one game if named, oldest first; ``undone`` None returns both kinds."""
    asked = (
        select(models.Intake, models.FilmNote).join(models.FilmNote).where(models.FilmNote.team_id == team)
    )
    if game is not None:
        asked = asked.where(models.Intake.game_id == game)
    if undone is not None:
        asked = asked.where(models.Intake.undone == undone)
    return _infos(session, session.exec(asked.order_by(col(models.Intake.id))).all())


def intake(session: Session, intake_id: int) -> Intake:
    """Return a reading as it was added, whether undone or not; what was sorted since is not mixed in.

    Raises:
        Refusal: there is no such reading.

    """
    row = must_get(session, models.Intake, intake_id, "reading of a film note")
    note = must_get(session, models.FilmNote, row.film_note_id, "film note")
    trips = select(models.Possession).where(models.Possession.intake_id == intake_id)
    lines = select(models.Unclear).where(models.Unclear.intake_id == intake_id)
    seen = select(models.Sighting).where(models.Sighting.intake_id == intake_id)
    seen = seen.where(col(models.Sighting.unclear_id).is_(None)).order_by(col(models.Sighting.id))
    said = select(models.Proposal.sighting_id).where(models.Proposal.intake_id == intake_id)
    seen = seen.where(
        col(models.Sighting.id).not_in(said.where(col(models.Proposal.sighting_id).is_not(None)))
    )
    return Intake(
        file=row.name,
        kind=cast(NoteKind, note.kind),
        digest=note.digest,
        possessions=row.possessions,
        trips=tuple(
            Possession(one.number, one.period, one.clock, one.points, one.line)
            for one in session.exec(trips.order_by(col(models.Possession.id)))
        ),
        sightings=with_players(session, session.exec(seen).all()) + proposed(session, intake_id),
        unclear=tuple(
            Unclear(one.text, one.why, one.line, one.start)
            for one in session.exec(lines.order_by(col(models.Unclear.id)))
        ),
        problems=tuple(row.problems),
        heading=Heading(**row.heading),
    )


def raw_note(session: Session, intake_id: int) -> bytes:
    """Return the bytes of the film note that a reading read.

    Raises:
        Refusal: there is no such reading, or the stored bytes are damaged.

    """
    row = must_get(session, models.Intake, intake_id, "reading of a film note")
    note = must_get(session, models.FilmNote, row.film_note_id, "film note")
    if not note.packed:
        return note.raw
    try:
        raw = zlib.decompressobj().decompress(note.raw, note.size + 1)
    except zlib.error:
        raw = b""
    if len(raw) != note.size:
        raise Refusal(f"The stored bytes of {note.name} are damaged; restore a backup.")
    return raw


def _note(session: Session, intake: Intake, raw: bytes, team: int) -> int:
    asked = select(models.FilmNote).where(
        models.FilmNote.team_id == team, models.FilmNote.digest == intake.digest
    )
    known = session.exec(asked).one_or_none()
    if known is not None:
        known.name, known.kind = intake.file, intake.kind
        return stored(session, known)
    packed = zlib.compress(raw, 9)
    smaller = len(packed) < len(raw)
    note = models.FilmNote(
        team_id=team,
        name=intake.file,
        kind=intake.kind,
        digest=intake.digest,
        size=len(raw),
        packed=smaller,
        raw=packed if smaller else raw,
    )
    return stored(session, note)


def _trip_row(intake_id: int, trip: Possession) -> dict[str, Any]:
    return {
        "intake_id": intake_id,
        "number": trip.number,
        "period": trip.period,
        "clock": trip.clock,
        "points": trip.points,
        "line": trip.line,
    }


def _info(session: Session, row: models.Intake) -> IntakeInfo:
    note = must_get(session, models.FilmNote, row.film_note_id, "film note")
    return _infos(session, [(row, note)])[0]


def _infos(
    session: Session, pairs: Sequence[tuple[models.Intake, models.FilmNote]]
) -> tuple[IntakeInfo, ...]:
    if not pairs:
        return ()
    numbers = [number_of(row) for row, _ in pairs]
    trips, seen, waiting = _tallies(session, min(numbers), max(numbers))
    heard = tally_proposals(session, min(numbers), max(numbers))
    return tuple(
        IntakeInfo(
            id=number_of(row),
            file=row.name,
            kind=cast(NoteKind, note.kind),
            digest=note.digest,
            game=row.game_id,
            stamp=row.stamp,
            possessions=row.possessions,
            trips=trips.get(number_of(row), 0),
            sightings=seen.get(number_of(row), 0),
            unclear=waiting.get(number_of(row), 0),
            problems=tuple(row.problems),
            undone=row.undone,
            proposed=heard.get(number_of(row), (0, 0))[0],
            waiting=heard.get(number_of(row), (0, 0))[1],
        )
        for row, note in pairs
    )


def _tallies(
    session: Session, first: int, last: int
) -> tuple[dict[int, int], dict[int, int], dict[int, int]]:
    """Return intake number -> trips, breakdowns seen, and lines that wait, for a range of numbers."""
    trips = (
        select(models.Possession.intake_id, func.count())
        .where(col(models.Possession.intake_id).between(first, last))
        .group_by(col(models.Possession.intake_id))
    )
    seen = (
        select(models.Sighting.intake_id, func.sum(models.Sighting.seen))
        .where(col(models.Sighting.intake_id).between(first, last))
        .group_by(col(models.Sighting.intake_id))
    )
    waiting = (
        select(models.Unclear.intake_id, func.count())
        .where(col(models.Unclear.intake_id).between(first, last), col(models.Unclear.sorted_as).is_(None))
        .group_by(col(models.Unclear.intake_id))
    )
    return dict(session.exec(trips).all()), dict(session.exec(seen).all()), dict(session.exec(waiting).all())
