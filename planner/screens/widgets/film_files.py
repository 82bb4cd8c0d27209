"""Files read into the film place: asked for, shown as they would be added, added with yes alone."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from textual.widgets import Static

from planner.desk.film import add_files
from planner.desk.film_reading import Batch, read_files
from planner.screens.dialogs import ReadDialog, TypeDialog
from planner.screens.widgets.choose import ChooseDialog
from planner.screens.widgets.entry import PreviewDialog
from planner.screens.widgets.entry_text import reading_text
from planner.text import clean_line, plural

if TYPE_CHECKING:
    from planner.screens.film import FilmPlace


def ask(place: FilmPlace) -> None:
    """Ask for a file (or folder) and show what it would add."""

    def typed(text: str | None) -> None:
        if text and text.strip():
            paths = [Path(text.strip().strip("'\"")).expanduser()]
            place.query_one("#headline", Static).update("Reading …")
            place.in_background(lambda: read_files(place.desk, paths), shown, "read")

    def shown(batch: Batch) -> None:
        place.refill()
        _preview(place, batch)

    place.app.push_screen(TypeDialog("Which file or folder?", "", "~/film/friday.txt"), typed)


def _preview(place: FilmPlace, batch: Batch) -> None:
    titles = place.known.titles if place.known else {}
    parts = [reading_text(one.intake, titles) for one in batch.readings]
    parts += [f"! {one.why}" for one in batch.refused]
    if not batch.readings:
        place.app.push_screen(ReadDialog("Nothing to add", "\n\n".join(parts)))
        return
    paths = [one.path for one in batch.readings]

    def answered(yes: bool | None) -> None:
        if yes:
            _add(place, paths, batch)

    title = "This would be added" if len(paths) == 1 else f"{plural(len(paths), 'file')} would be added"
    place.app.push_screen(PreviewDialog(title, "\n\n".join(parts)), answered)


def _add(place: FilmPlace, paths: list[Path], batch: Batch) -> None:
    """Add files to the games they name; where one names none, ask."""
    homeless = [one for one in batch.readings if not (one.intake.heading.date or one.intake.heading.opponent)]
    if not homeless:
        _add_to(place, paths, None)
        return
    games = [one for one in (place.known.games if place.known else ()) if one.date <= place.desk.today]
    options = [(str(one.id), f"{one.date.isoformat()} v {one.opponent}") for one in games]
    if not options:
        place.notify("The note names no game and none is known; n adds one.", severity="warning")
        return
    chosen = place.selected()
    options.sort(key=lambda one: chosen is None or one[0] != str(chosen.id))

    def answered(game: str | None) -> None:
        if game is not None:
            _add_to(place, paths, int(game))

    place.app.push_screen(ChooseDialog("Of which game is it?", options), answered)


def _add_to(place: FilmPlace, paths: list[Path], game: int | None) -> None:
    def told(batch: Batch) -> None:
        new = [f"{clean_line(one.reading.path.name, 40)} to {one.game}" for one in batch.new]
        old = [
            f"{clean_line(one.reading.path.name, 40)} is in already" for one in batch.added if not one.number
        ]
        refused = [one.why for one in batch.refused]
        if refused:
            place.app.push_screen(ReadDialog("Not all was added", "\n".join([*new, *old, *refused])))
        else:
            heard = sum(len(one.reading.intake.proposals) for one in batch.new)
            more = f" {plural(heard, 'proposal')} wait: p answers." if heard else ""
            words = f"Added {', '.join(new[:3])}.{more} u undoes it."
            place.notify(words if new else f"{old[0]}; nothing was added.")
        place.refill()

    place.in_background(lambda: add_files(place.desk, paths, game), told, "add")
