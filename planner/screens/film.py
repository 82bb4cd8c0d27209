"""Film: the games with what film is in; entering while watching, reading files, sorting what is unclear."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.widgets import DataTable, Static

from planner.desk import watching
from planner.desk.watching import Sitting
from planner.screens.actions import Action
from planner.screens.place import Place
from planner.screens.widgets import film_files, film_notes
from planner.screens.widgets.entry import open_entry
from planner.screens.widgets.proposals import open_proposals
from planner.screens.widgets.sorting import open_sorting
from planner.store import queries
from planner.store.values import GameInfo, IntakeInfo
from planner.text import plural


@dataclass(frozen=True, slots=True)
class Known:
    """What the place shows; games newest first, film notes and open entries by game."""

    games: tuple[GameInfo, ...]
    notes: Mapping[int, tuple[IntakeInfo, ...]]
    open: Mapping[int, Sitting]
    titles: Mapping[str, str]


SLIM = 72
"""Columns below which the table leaves less room for opponents."""


class FilmPlace(Place):
    """The games on top, the selected one's film notes below."""

    place = "film"
    CSS_PATH = "film.tcss"
    ACTIONS: ClassVar[tuple[Action, ...]] = (
        Action("film.watch", "w", "watch", "Watch: enter the game's film (Enter does it too)", True, "watch"),
        Action("film.read", "r", "read", "Read files: see what they would add, then y", True, "read files"),
        Action("film.sort", "s", "sort", "Sort what could not be read, one key each", True, "sort"),
        Action("film.proposals", "p", "proposals", "Proposals of narrated film: yes or no, one key each"),
        Action("film.game", "n", "game", "New game", True, "new game"),
        Action("film.possessions", "h", "possessions", "How many possessions a film note covers"),
        Action("film.back", "x", "take_back", "Take a film note of the game back"),
        Action("film.drop", "d", "drop", "Put an open entry aside without adding it"),
        Action("film.letters", "l", "letters", "Letters of live entry: see them, change one"),
    )

    def __init__(self) -> None:
        super().__init__()
        self.known: Known | None = None
        self._slim: bool | None = None

    def body(self) -> ComposeResult:
        """Lay out headline, games and detail."""
        yield Static("Looking at the film …", id="headline", markup=False)
        table: DataTable[Text] = DataTable(id="games", cursor_type="row", zebra_stripes=False)
        yield table
        yield Static("", id="notes", markup=False)

    def on_mount(self) -> None:
        """Prepare the table; its rows come later."""
        self._lay_out()
        self.query_one("#games", DataTable).focus()

    def on_resize(self) -> None:
        """Use the room there is."""
        if self._lay_out():
            self.refill()

    def _lay_out(self) -> bool:
        """Make the columns for the room there is; return whether they are new."""
        table, slim = self.query_one("#games", DataTable), self.app.size.width < SLIM
        if slim == self._slim:
            return False
        self._slim = slim
        table.clear(columns=True)
        for key, title, width in (
            ("date", "Date", 10),
            ("game", "Game", 13 if slim else 26),
            ("poss", "Poss", 4),
            ("seen", "Seen", 4),
            ("unclear", "Unclear", 7),
            ("film", "Film", 7 if slim else 13),
        ):
            table.add_column(title, key=key, width=width)
        return True

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
        waiting = sum(one.waiting for one in every)
        watched = sum(one.possessions or one.trips for one in every)
        parts = [f"{plural(len(known.notes), 'game')} with film", plural(watched, "possession")]
        if known.open:
            parts.append(f"{plural(len(known.open), 'entry', 'entries')} open")
        if unclear:
            parts.append(f"{plural(unclear, 'line')} unclear: s sorts")
        if waiting:
            parts.append(f"{waiting} narrated: p")
        return ", ".join(parts)

    def _row(self, one: GameInfo, known: Known) -> list[Text]:
        notes = known.notes.get(one.id, ())
        ahead = one.date > self.desk.today
        style = "dim" if ahead else ""
        unclear = sum(each.unclear for each in notes)
        told = [each.possessions or each.trips for each in notes]
        cells = [
            one.date.isoformat(),
            f"{'scouted ' if one.scouted else ''}v {one.opponent} {one.venue}".strip(),
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
            return f"open: {len(open_.entry.trips)} poss."
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
            waiting = f", {one.waiting} wait" if one.waiting else ""
            lines.append(f"  {one.id:3}  {one.file}: {watched}, {one.sightings} seen{unclear}{waiting}")
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

    def action_proposals(self) -> None:
        """Open what narration proposes."""
        open_proposals(self)

    def action_game(self) -> None:
        """Ask for a new game."""
        film_notes.new_game(self)

    def action_read(self) -> None:
        """Ask for a file (or folder) and show what it would add."""
        film_files.ask(self)

    def action_take_back(self) -> None:
        """Take a film note of the selected game back, after asking."""
        film_notes.take_back(self)

    def action_possessions(self) -> None:
        """Say how many possessions a film note of the selected game covers."""
        film_notes.possessions(self)

    def action_drop(self) -> None:
        """Put the selected game's open entry aside, after asking."""
        film_notes.drop(self)

    def action_letters(self) -> None:
        """Show the letters of live entry and take a change."""
        film_notes.letters(self)

    def refused(self, sentence: str) -> None:
        """Show a refusal, and the headline as it was."""
        if self.known is not None:
            self.query_one("#headline", Static).update(self._headline(self.known))
        super().refused(sentence)
