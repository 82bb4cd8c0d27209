"""Film notes at the desk: read them, add them, list them, take them back, sort what is unclear."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, cast

from planner import data
from planner.desk.desk import Desk
from planner.film.intake import Intake
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import NOTHING, IntakeInfo, UnclearInfo, Venue
from planner.text import clean_line, plural

if TYPE_CHECKING:
    from sqlmodel import Session

    from planner.film.wording import Lexicon

MAX_BYTES = 20_000_000
"""Bytes of one film note; a larger file is refused unread."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One file as it was read: its bytes and what they say."""

    path: Path
    raw: bytes
    intake: Intake


@dataclass(frozen=True, slots=True)
class Added:
    """What became of one file; ``number`` is its intake, None where the very same file is already in."""

    reading: Reading
    number: int | None
    game: str


def lexicon(desk: Desk) -> Lexicon:
    """Return the words in which coaches write breakdowns, compiled."""
    from planner.film.wording import load_lexicon

    folder = data.drill_library() / "wording"
    files = [(one.name, one.read_text("utf-8")) for one in sorted(folder.glob("*.toml"))]
    return load_lexicon(files, desk.library.vocabulary)[0]


def read_files(desk: Desk, paths: Sequence[Path]) -> list[Reading]:
    """Read files without adding anything.

    Raises:
        Refusal: a file is missing, unreadable, empty or no film note.

    """
    from planner.film.read import read_note

    words = lexicon(desk)
    roster = _roster(desk)
    readings = []
    for path in paths:
        raw = _bytes(path)
        readings.append(Reading(path, raw, read_note(path.name, raw, words, roster)))
    return readings


def _roster(desk: Desk) -> frozenset[str] | None:
    if not desk.has_team():
        return None
    with desk.reading() as session:
        return frozenset(one.jersey for one in queries.players(session)) or None


def _bytes(path: Path) -> bytes:
    shown = clean_line(str(path), 120)
    try:
        if not path.is_file():
            kind = "a folder" if path.is_dir() else "not there"
            raise Refusal(f"'{shown}' is {kind}; name a film note.")
        if path.stat().st_size > MAX_BYTES:
            raise Refusal(f"'{shown}' is larger than {MAX_BYTES // 1_000_000} MB; that is no film note.")
        return path.read_bytes()
    except OSError as fault:
        raise Refusal(f"'{shown}' cannot be read: {fault.strerror or 'unreadable'}.") from None


def add_files(desk: Desk, paths: Sequence[Path], game: int | None = None) -> list[Added]:
    """Read files and add what they say, all or nothing; a file that is already in adds nothing.

    Without a ``game`` each note goes to the game its heading names; one that no game matches makes a new
    game when the heading gives a date.

    Raises:
        Refusal: a file cannot be read, or no game can be told.

    """
    readings = read_files(desk, paths)
    added: list[Added] = []
    made: list[int] = []
    with desk.writing() as session:
        if game is not None and queries.game(session, game) is None:
            raise Refusal(f"There is no game {game}; 'stopsheet team' lists them.")
        for one in readings:
            known = queries.known_intake(session, one.intake.digest)
            if known is not None:
                added.append(Added(one, None, _game_words(session, known.game)))
                continue
            target = game if game is not None else _game_of(session, one, made, desk.today)
            number = queries.add_intake(session, target, one.intake, one.raw, desk.now())
            added.append(Added(one, number, _game_words(session, target)))
        numbers = [one.number for one in added if one.number is not None]
        if numbers:
            words = f"film {', '.join(clean_line(one.path.name, 40) for one in readings)}"
            desk.note(session, "film", words, {"intakes": numbers, "games": made})
    return added


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


def unclear_lines(desk: Desk) -> tuple[UnclearInfo, ...]:
    """Return the lines that wait to be sorted."""
    with desk.reading() as session:
        return queries.unclear(session)


def sort_line(desk: Desk, number: int, breakdown: str, players: Sequence[str] = ()) -> UnclearInfo:
    """Say what an unclear line means: a breakdown, or ``nothing``.

    Raises:
        Refusal: the line or the breakdown is not known.

    """
    from planner.desk.team import check_breakdown, clean_jersey

    if breakdown != NOTHING:
        check_breakdown(desk, breakdown)
    jerseys = tuple(clean_jersey(one) for one in players)
    with desk.writing() as session:
        sorted_line = queries.sort_unclear(session, number, breakdown, players=jerseys)
        desk.note(session, "sorted", f"line '{sorted_line.text[:40]}'", {"unclear": number})
    return sorted_line
