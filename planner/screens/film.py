"""Film: the games with what film is in; entering while watching, reading files, sorting what is unclear."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.widgets import DataTable, Static

from planner.desk import watching, watching_keys
from planner.desk.film import Batch, add_files, read_files, undo_film
from planner.desk.watching import Sitting
from planner.problem import Refusal
from planner.screens.actions import Action
from planner.screens.dialogs import AskDialog, ReadDialog, TypeDialog
from planner.screens.place import Place
from planner.screens.widgets.choose import ChooseDialog
from planner.screens.widgets.entry import PreviewDialog, open_entry
from planner.screens.widgets.entry_text import legend_text, reading_text
from planner.screens.widgets.sorting import open_sorting
from planner.store import queries
from planner.store.values import GameInfo, IntakeInfo
from planner.text import clean_line, plural

VENUES = {"home": "home", "away": "away", "neutral": "neutral", "": ""}


@dataclass(frozen=True, slots=True)
class Known:
    """What the place shows; games newest first, film notes and open entries by game."""

    games: tuple[GameInfo, ...]
    notes: Mapping[int, tuple[IntakeInfo, ...]]
    open: Mapping[int, Sitting]
    titles: Mapping[str, str]


class FilmPlace(Place):
    """The games on top, the selected one's film notes below."""

    place = "film"
    CSS_PATH = "film.tcss"
    ACTIONS: ClassVar[tuple[Action, ...]] = (
        Action("film.watch", "w", "watch", "Watch: enter the game's film (Enter does it too)", True, "watch"),
        Action("film.read", "r", "read", "Read files: see what they would add, then y", True, "read files"),
        Action("film.sort", "s", "sort", "Sort what could not be read, one key each", True, "sort"),
        Action("film.game", "n", "game", "New game", True, "new game"),
        Action("film.back", "x", "take_back", "Take a film note of the game back"),
        Action("film.drop", "d", "drop", "Put an open entry aside without adding it"),
        Action("film.letters", "l", "letters", "Letters of live entry: see them, change one"),
    )

    def __init__(self) -> None:
        super().__init__()
        self.known: Known | None = None

    def body(self) -> ComposeResult:
        """Lay out headline, games and detail."""
        yield Static("Looking at the film …", id="headline", markup=False)
        table: DataTable[Text] = DataTable(id="games", cursor_type="row", zebra_stripes=False)
        yield table
        yield Static("", id="notes", markup=False)

    def on_mount(self) -> None:
        """Prepare the table; its rows come later."""
        table = self.query_one("#games", DataTable)
        for key, title, width in (
            ("date", "Date", 10),
            ("game", "Game", 26),
            ("poss", "Poss", 4),
            ("seen", "Seen", 4),
            ("unclear", "Unclear", 7),
            ("film", "Film", None),
        ):
            table.add_column(title, key=key, width=width)
        table.focus()

    def refill(self) -> None:
        """Look at the store in the background and show what it holds."""
        self.in_background(self._look, self._show, "look")

    def _look(self) -> Known | None:
        from planner.desk.words import vocabulary

        if not self.desk.has_team():
            return None
        with self.desk.reading() as session:
            games = queries.games(session)
            notes: dict[int, list[IntakeInfo]] = {}
            for one in queries.intakes(session):
                notes.setdefault(one.game, []).append(one)
        titles = {one.id: one.title for one in vocabulary(self.desk).breakdowns}
        kept = {game: tuple(found) for game, found in notes.items()}
        return Known(tuple(reversed(games)), kept, watching.sittings(self.desk), titles)

    def _show(self, known: Known | None) -> None:
        if known is None:
            self.known = None
            self.stop_app.welcome()
            return
        chosen = self.selected()
        self.known = known
        self.query_one("#headline", Static).update(self._headline(known))
        table = self.query_one("#games", DataTable)
        table.clear()
        for one in known.games:
            table.add_row(*self._row(one, known), key=str(one.id))
        table.move_cursor(row=self._first(known, chosen))
        self._show_notes()

    def _first(self, known: Known, chosen: GameInfo | None) -> int:
        """Return the row of the game that was chosen, else of the last one played."""
        rows = [one.id for one in known.games]
        if chosen is not None and chosen.id in rows:
            return rows.index(chosen.id)
        played = (n for n, one in enumerate(known.games) if one.date <= self.desk.today)
        return next(played, 0)

    def _headline(self, known: Known) -> str:
        every = [one for notes in known.notes.values() for one in notes]
        unclear = sum(one.unclear for one in every)
        watched = sum(one.possessions or one.trips for one in every)
        parts = [f"{plural(len(known.notes), 'game')} with film", plural(watched, "possession")]
        if known.open:
            parts.append(f"{plural(len(known.open), 'entry', 'entries')} open")
        if unclear:
            parts.append(f"{plural(unclear, 'line')} unclear: s sorts")
        return ", ".join(parts)

    def _row(self, one: GameInfo, known: Known) -> list[Text]:
        notes = known.notes.get(one.id, ())
        ahead = one.date > self.desk.today
        style = "dim" if ahead else ""
        unclear = sum(each.unclear for each in notes)
        told = [each.possessions or each.trips for each in notes]
        cells = [
            one.date.isoformat(),
            f"{'scouted ' if one.scouted else ''}v {one.opponent} {VENUES[one.venue]}".strip(),
            str(sum(told)) if notes else "",
            str(sum(each.sightings for each in notes)) if notes else "",
            str(unclear) if unclear else "",
            self._film(one, notes, known),
        ]
        right = {2, 3, 4}
        return [
            Text(
                cell,
                style=style,
                justify="right" if n in right else "left",
                no_wrap=True,
                overflow="ellipsis",
            )
            for n, cell in enumerate(cells)
        ]

    def _film(self, one: GameInfo, notes: Sequence[IntakeInfo], known: Known) -> str:
        open_ = known.open.get(one.id)
        if open_ is not None:
            return f"entry open: {len(open_.entry.trips)} poss."
        if notes:
            return plural(len(notes), "note")
        return "ahead" if one.date > self.desk.today else "no film yet"

    @on(DataTable.RowHighlighted)
    def _show_notes(self) -> None:
        """Show the selected game's film notes."""
        detail = self.query_one("#notes", Static)
        game = self.selected()
        if game is None or self.known is None:
            detail.update("No game yet: n adds one.")
            return
        lines = [f"{game.date:%A} {game.date.isoformat()} v {game.opponent}"]
        for one in self.known.notes.get(game.id, ()):
            watched = plural(one.possessions, "possession") if one.possessions else "possessions unknown"
            unclear = f", {one.unclear} unclear" if one.unclear else ""
            lines.append(f"  {one.id:3}  {one.file}: {watched}, {one.sightings} seen{unclear}")
        if game.id in self.known.open:
            lines.append("  Enter goes on with the open entry; d puts it aside.")
        elif len(lines) == 1 and game.date <= self.desk.today:
            lines.append("  Enter watches it and enters what you see; r reads notes from a file.")
        detail.update("\n".join(lines))

    def selected(self) -> GameInfo | None:
        """Return the game under the cursor."""
        row = self.query_one("#games", DataTable).cursor_row
        games = self.known.games if self.known else ()
        return games[row] if 0 <= row < len(games) else None

    def as_text(self) -> str:
        """Return the games as plain text."""
        if self.known is None:
            return ""
        rows = [
            "  ".join(cell.plain for cell in self._row(one, self.known)).rstrip() for one in self.known.games
        ]
        return "\n".join([self._headline(self.known), *rows])

    # ---- what keys do ------------------------------------------------------------------------------

    @on(DataTable.RowSelected)
    def action_watch(self) -> None:
        """Open live entry for the selected game."""
        game = self.selected()
        if game is None:
            self.notify("There is no game yet; n adds one.")
        else:
            open_entry(self, game.id)

    def action_sort(self) -> None:
        """Open sorting."""
        open_sorting(self)

    def action_game(self) -> None:
        """Ask for a new game."""

        def typed(text: str | None) -> None:
            if text and text.strip():
                self.in_background(lambda: _add_game(self, text), told, "game")

        def told(words: str) -> None:
            self.notify(words)
            self.refill()

        question = "New game: date, opponent, and home or away if you like"
        self.app.push_screen(TypeDialog(question, "", "2026-11-20 Harbour Point away"), typed)

    def action_read(self) -> None:
        """Ask for a file (or folder) and show what it would add."""

        def typed(text: str | None) -> None:
            if text and text.strip():
                paths = [Path(text.strip().strip("'\"")).expanduser()]
                self.query_one("#headline", Static).update("Reading …")
                self.in_background(lambda: read_files(self.desk, paths), shown, "read")

        def shown(batch: Batch) -> None:
            self.refill()
            self._preview(batch)

        self.app.push_screen(TypeDialog("Which file or folder?", "", "~/film/friday.txt"), typed)

    def refused(self, sentence: str) -> None:
        """Show a refusal, and the headline as it was."""
        if self.known is not None:
            self.query_one("#headline", Static).update(self._headline(self.known))
        super().refused(sentence)

    def _preview(self, batch: Batch) -> None:
        titles = self.known.titles if self.known else {}
        parts = [reading_text(one.intake, titles) for one in batch.readings]
        parts += [f"! {one.why}" for one in batch.refused]
        if not batch.readings:
            self.app.push_screen(ReadDialog("Nothing to add", "\n\n".join(parts)))
            return
        paths = [one.path for one in batch.readings]

        def answered(yes: bool | None) -> None:
            if yes:
                self._add(paths, batch)

        title = "This would be added" if len(paths) == 1 else f"{plural(len(paths), 'file')} would be added"
        self.app.push_screen(PreviewDialog(title, "\n\n".join(parts)), answered)

    def _add(self, paths: list[Path], batch: Batch) -> None:
        """Add files to the games they name; where one names none, ask."""
        homeless = [
            one for one in batch.readings if not (one.intake.heading.date or one.intake.heading.opponent)
        ]
        if not homeless:
            self._add_to(paths, None)
            return
        games = [one for one in (self.known.games if self.known else ()) if one.date <= self.desk.today]
        options = [(str(one.id), f"{one.date.isoformat()} v {one.opponent}") for one in games]
        if not options:
            self.notify("The note names no game and none is known; n adds one.", severity="warning")
            return
        chosen = self.selected()
        options.sort(key=lambda one: chosen is None or one[0] != str(chosen.id))

        def answered(game: str | None) -> None:
            if game is not None:
                self._add_to(paths, int(game))

        self.app.push_screen(ChooseDialog("Of which game is it?", options), answered)

    def _add_to(self, paths: list[Path], game: int | None) -> None:
        def told(batch: Batch) -> None:
            new = [f"{clean_line(one.reading.path.name, 40)} to {one.game}" for one in batch.new]
            old = [
                f"{clean_line(one.reading.path.name, 40)} is in already"
                for one in batch.added
                if not one.number
            ]
            refused = [one.why for one in batch.refused]
            if refused:
                self.app.push_screen(ReadDialog("Not all was added", "\n".join([*new, *old, *refused])))
            else:
                words = (
                    f"Added {', '.join(new[:3])}. u undoes it." if new else f"{old[0]}; nothing was added."
                )
                self.notify(words)
            self.refill()

        self.in_background(lambda: add_files(self.desk, paths, game), told, "add")

    def action_take_back(self) -> None:
        """Take a film note of the selected game back, after asking."""
        game = self.selected()
        notes = self.known.notes.get(game.id, ()) if self.known and game else ()
        if not notes:
            self.notify("This game has no film note to take back.")
            return

        def gone(number: int) -> None:
            def told(info: IntakeInfo) -> None:
                self.notify(f"{info.file} is taken back. u undoes it.")
                self.refill()

            self.in_background(lambda: undo_film(self.desk, number), told, "back")

        if len(notes) == 1:
            only = notes[0]
            question = f"Take {only.file} back with all that it says?"
            self.app.push_screen(AskDialog(question), lambda yes: gone(only.id) if yes else None)
            return
        options = [(str(one.id), f"{one.file}, {one.sightings} seen") for one in notes]
        ask = ChooseDialog("Which film note is taken back?", options)
        self.app.push_screen(ask, lambda one: gone(int(one)) if one is not None else None)

    def action_drop(self) -> None:
        """Put the selected game's open entry aside, after asking."""
        game = self.selected()
        if game is None or self.known is None or game.id not in self.known.open:
            self.notify("No entry is open for this game.")
            return
        number = game.id

        def job() -> Path:
            return watching.drop(watching.open_live(self.desk, number))

        def told(path: Path) -> None:
            self.notify(f"Put aside; its keys are kept in {path}.")
            self.refill()

        def answered(yes: bool | None) -> None:
            if yes:
                self.in_background(job, told, "drop")

        self.app.push_screen(
            AskDialog(f"Put the open entry v {game.opponent} aside without adding it?"), answered
        )

    def action_letters(self) -> None:
        """Show the letters of live entry and take a change."""

        def shown(found: Mapping[str, str]) -> None:
            titles = self.known.titles if self.known else {}
            question = f"{legend_text(found, titles, 52, 6)}\n\nChange one: letter = breakdown"
            self.app.push_screen(TypeDialog(question, "", "k=no-talk"), typed)

        def typed(text: str | None) -> None:
            if not text or not text.strip():
                return
            letter, _, breakdown = text.partition("=")
            job = (self.desk, letter.strip(), breakdown.strip())
            self.in_background(lambda: watching_keys.set_letter(*job), self.notify, "letter")

        self.in_background(lambda: watching_keys.letters(self.desk), shown, "letters")


def _add_game(place: Place, text: str) -> str:
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
