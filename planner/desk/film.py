"""Film notes at the desk: add them, list them, take them back."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, cast

from planner.desk.desk import Desk
from planner.desk.film_reading import Added, Batch, Reading, Refused, Step, lexicon, read_files
from planner.film.intake import Heading, Sighting
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import IntakeInfo, Venue
from planner.text import clean_line, plural

if TYPE_CHECKING:
    from sqlmodel import Session

__all__ = [
    "Added",
    "Batch",
    "Reading",
    "add_files",
    "film_list",
    "film_sheet",
    "lexicon",
    "read_files",
    "set_watched",
    "undo_film",
]


def add_files(
    desk: Desk,
    paths: Sequence[Path],
    game: int | None = None,
    *,
    columns: Sequence[str] = (),
    possessions: int | None = None,
    step: Step | None = None,
) -> Batch:
    """Read files and add what they say, each whole or not at all; a file that is already in adds nothing.

    Without a ``game`` each note goes to the game its heading names; one that no game matches makes a new
    game when the heading gives a date. All that was added is undone as one.

    Raises:
        Refusal: there is no such game, or a correction of a column cannot be used.

    """
    desk.need_team()
    batch = read_files(desk, paths, columns=columns, possessions=possessions, step=step)
    added: list[Added] = []
    refused: list[Refused] = []
    made: list[int] = []
    with desk.writing() as session:
        if game is not None and queries.game(session, game) is None:
            raise Refusal(f"There is no game {game}; 'stopsheet team' lists them.")
        for one in batch.readings:
            try:
                added.append(_add(session, one, game, made, desk))
            except Refusal as refusal:
                refused.append(Refused(one.path, str(refusal)))
        numbers = [one.number for one in added if one.number is not None]
        if numbers:
            desk.note(session, "film", _film_words(added), {"intakes": numbers, "games": made})
    return replace(batch, added=tuple(added), refused=(*batch.refused, *refused))


def _film_words(added: Sequence[Added]) -> str:
    new = [clean_line(one.reading.path.name, 40) for one in added if one.number is not None]
    return f"film {', '.join(new)}" if len(new) <= 3 else f"film {new[0]} and {len(new) - 1} more files"


def _add(session: Session, one: Reading, game: int | None, made: list[int], desk: Desk) -> Added:
    """Add one reading within a step of its own, so that a refusal leaves nothing of it."""
    known = queries.known_intake(session, one.intake.digest)
    if known is not None:
        return Added(one, None, _game_words(session, known.game))
    said = one.intake
    if not (said.sightings or said.unclear or said.trips or said.possessions):
        raise Refusal(f"'{said.file}' tells of no possession and no breakdown; nothing was added.")
    new: list[int] = []
    with session.begin_nested():
        target = game if game is not None else _game_of(session, one, new, desk.today)
        number = queries.add_intake(session, target, one.intake, one.raw, desk.now())
    made += new
    return Added(one, number, _game_words(session, target))


def _game_of(session: Session, reading: Reading, made: list[int], today: dt.date) -> int:
    """Return the game that the note's heading names; make it when date and opponent are given."""
    heading = reading.intake.heading
    date = dt.date.fromisoformat(heading.date) if heading.date else None
    name = clean_line(reading.path.name, 60)
    if date is None and heading.opponent is None:
        raise Refusal(
            f"'{name}' does not say which game it is; add --game NUMBER,"
            " or write 'Date:' and 'Opponent:' at its top."
        )
    found = [
        one for one in queries.find_games(session, date=date, opponent=heading.opponent) if one.date <= today
    ]
    if len(found) == 1:
        return found[0].id
    if found:
        raise Refusal(f"'{name}' fits {plural(len(found), 'game')}; add --game NUMBER.")
    if date is None:
        raise Refusal(
            f"No game against {heading.opponent} is known; add --game NUMBER,"
            " or write 'Date: 2026-11-20' at the top of the sheet."
        )
    if date > today:
        raise Refusal(f"'{name}' is dated {date.isoformat()}, which is still ahead.")
    venue = heading.venue if heading.venue in {"home", "away", "neutral"} else ""
    number = queries.add_game(session, date, heading.opponent or "?", venue=cast("Venue", venue))
    made.append(number)
    return number


def _game_words(session: Session, number: int) -> str:
    game = queries.game(session, number)
    return f"{game.date.isoformat()} v {game.opponent}" if game else f"game {number}"


def film_list(desk: Desk, undone: bool = False) -> tuple[IntakeInfo, ...]:
    """Return the film notes that are in (with ``undone``, those taken back too)."""
    with desk.reading() as session:
        return queries.intakes(session, undone=None if undone else False)


def undo_film(desk: Desk, number: int | None = None) -> IntakeInfo:
    """Take a film note back whole; the last one added if none is named.

    Raises:
        Refusal: there is none, or it was taken back already.

    """
    with desk.writing() as session:
        known = queries.intakes(session)
        if number is None:
            if not known:
                raise Refusal("No film note is in, so there is nothing to take back.")
            number = max(one.id for one in known)
        if number not in {one.id for one in known}:
            raise Refusal(f"There is no film note {number}; 'stopsheet film list' shows them.")
        gone = queries.undo_intake(session, number)
        desk.note(session, "film-undo", f"taking back {gone.file}", {"intake": number})
    return gone


def film_sheet(desk: Desk, number: int) -> str:
    """Return a film note as a typed sheet that reads back alike, with what was sorted and said yes to in it.

    A note that writes no possessions becomes counts, without players.

    Raises:
        Refusal: there is no such note, or what was sorted into it belongs to none of its possessions.

    """
    from planner.film.write import write_sheet

    with desk.reading() as session:
        known = {one.id: one for one in queries.intakes(session)}
        if number not in known:
            raise Refusal(f"There is no film note {number}; 'stopsheet film list' shows them.")
        intake = queries.intake(session, number)
        seen = queries.sightings(session, intake=number)
        game = queries.game(session, known[number].game)
    if not intake.trips:
        counts = Counter[str]()
        for one in seen:
            counts[one.breakdown] += one.count
        seen = tuple(Sighting(breakdown, count=count) for breakdown, count in sorted(counts.items()))
    heading = Heading(game.date.isoformat(), game.opponent or None, game.venue or None) if game else Heading()
    return write_sheet(replace(intake, sightings=seen, heading=heading))


def set_watched(desk: Desk, number: int, possessions: int) -> IntakeInfo:
    """Say how many possessions a film note covers, where it does not say so itself.

    Raises:
        Refusal: there is no such note, it writes more possessions itself, or no game has so many.

    """
    from planner.film.read import with_possessions

    with desk.writing() as session:
        known = {one.id: one for one in queries.intakes(session)}
        if number not in known:
            raise Refusal(f"There is no film note {number}; 'stopsheet film list' shows them.")
        with_possessions(queries.intake(session, number), possessions)
        before = queries.set_exposure(session, number, possessions)
        words = f"{possessions} possessions for {clean_line(known[number].file, 40)}"
        desk.note(session, "watched", words, {"intake": number, "before": before})
        return next(one for one in queries.intakes(session) if one.id == number)
