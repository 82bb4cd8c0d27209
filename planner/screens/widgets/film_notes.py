"""What the film place does with the selected game: its notes, its open entry, the letters, a new game."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from planner.desk import watching, watching_keys
from planner.desk.film import set_watched, undo_film
from planner.problem import Refusal
from planner.screens.dialogs import AskDialog, TypeDialog
from planner.screens.widgets.choose import ChooseDialog
from planner.screens.widgets.entry_text import legend_text
from planner.store.values import IntakeInfo
from planner.text import clean_line, plural

if TYPE_CHECKING:
    from planner.screens.film import FilmPlace

VENUES = frozenset({"home", "away", "neutral"})


def new_game(place: FilmPlace) -> None:
    """Ask for a new game in one line."""

    def typed(text: str | None) -> None:
        if text and text.strip():
            place.in_background(lambda: _add_game(place, text), told, "game")

    def told(words: str) -> None:
        place.notify(words)
        place.refill()

    question = "New game: date, opponent, and home or away if you like"
    place.app.push_screen(TypeDialog(question, "", "2026-11-20 Harbour Point away"), typed)


def _add_game(place: FilmPlace, text: str) -> str:
    """Add the game that a line such as ``2026-11-20 Harbour Point away`` tells.

    Raises:
        Refusal: it tells no date or no opponent.

    """
    from planner.clock import parse_date
    from planner.desk.team import add_game

    words = clean_line(text, 120).split()
    venue = words.pop() if words[-1].casefold() in VENUES and len(words) > 2 else ""
    day, name = _dated(words, place.desk.today)
    number = add_game(place.desk, parse_date(day, place.desk.today), name, venue.casefold())
    return f"Game {number} v {name} is in. u undoes it."


def _dated(words: Sequence[str], today: dt.date) -> tuple[str, str]:
    """Return the date and the opponent: the longest beginning that is a date is one."""
    from planner.clock import parse_date

    for size in (3, 2, 1):
        day, name = " ".join(words[:size]), " ".join(words[size:])
        if not name:
            continue
        try:
            parse_date(day, today)
        except Refusal:
            continue
        return day, name
    raise Refusal("Write the date first, then the opponent: 2026-11-20 Harbour Point.")


def _notes(place: FilmPlace) -> tuple[IntakeInfo, ...]:
    game = place.selected()
    return place.known.notes.get(game.id, ()) if place.known and game else ()


def _which(
    place: FilmPlace, notes: Sequence[IntakeInfo], question: str, then: Callable[[IntakeInfo], None]
) -> None:
    """Ask which of several notes is meant."""
    options = [(str(one.id), f"{one.file}, {one.sightings} seen") for one in notes]
    known = {str(one.id): one for one in notes}

    def chosen(number: str | None) -> None:
        if number is not None:
            then(known[number])

    place.app.push_screen(ChooseDialog(question, options), chosen)


def take_back(place: FilmPlace) -> None:
    """Take a film note of the selected game back, after asking."""
    notes = _notes(place)
    if not notes:
        place.notify("This game has no film note to take back.")
        return

    def gone(one: IntakeInfo) -> None:
        place.in_background(lambda: undo_film(place.desk, one.id), told, "back")

    def told(info: IntakeInfo) -> None:
        place.notify(f"{info.file} is taken back. u undoes it.")
        place.refill()

    if len(notes) > 1:
        _which(place, notes, "Which film note is taken back?", gone)
        return
    question = f"Take {notes[0].file} back with all that it says?"
    place.app.push_screen(AskDialog(question), lambda yes: gone(notes[0]) if yes else None)


def possessions(place: FilmPlace) -> None:
    """Say how many possessions a film note covers."""
    notes = _notes(place)
    if not notes:
        place.notify("This game has no film note yet.")
    elif len(notes) == 1:
        _possessions(place, notes[0])
    else:
        _which(place, notes, "Of which film note?", lambda one: _possessions(place, one))


def _possessions(place: FilmPlace, one: IntakeInfo) -> None:
    def typed(text: str | None) -> None:
        if text and text.strip():
            place.in_background(lambda: _watched(place, one.id, text.strip()), told, "watched")

    def told(info: IntakeInfo) -> None:
        place.notify(f"{info.file}: {plural(info.possessions or 0, 'possession')}. u undoes it.")
        place.refill()

    known = "" if one.possessions is None else str(one.possessions)
    question = f"How many possessions were watched for {one.file}?"
    place.app.push_screen(TypeDialog(question, known, "58"), typed)


def _watched(place: FilmPlace, number: int, text: str) -> IntakeInfo:
    if not (text.isascii() and text.isdecimal() and len(text) < 6):
        raise Refusal(f"'{clean_line(text, 20)}' is no number of possessions.")
    return set_watched(place.desk, number, int(text))


def drop(place: FilmPlace) -> None:
    """Put the selected game's open entry aside, after asking."""
    game = place.selected()
    if game is None or place.known is None or game.id not in place.known.open:
        place.notify("No entry is open for this game.")
        return
    number = game.id

    def job() -> Path:
        return watching.drop(watching.open_live(place.desk, number))

    def told(path: Path) -> None:
        place.notify(f"Put aside; its keys are kept in {path}.")
        place.refill()

    def answered(yes: bool | None) -> None:
        if yes:
            place.in_background(job, told, "drop")

    question = f"Put the open entry v {game.opponent} aside without adding it?"
    place.app.push_screen(AskDialog(question), answered)


def letters(place: FilmPlace) -> None:
    """Show the letters of live entry and take a change."""

    def shown(found: Mapping[str, str]) -> None:
        titles = place.known.titles if place.known else {}
        question = f"{legend_text(found, titles, 52, 6)}\n\nChange one: letter = breakdown"
        place.app.push_screen(TypeDialog(question, "", "k=no-talk"), typed)

    def typed(text: str | None) -> None:
        if not text or not text.strip():
            return
        letter, _, breakdown = text.partition("=")
        job = (place.desk, letter.strip(), breakdown.strip())
        place.in_background(lambda: watching_keys.set_letter(*job), place.notify, "letter")

    place.in_background(lambda: watching_keys.letters(place.desk), shown, "letters")
