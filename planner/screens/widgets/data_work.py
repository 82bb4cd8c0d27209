"""What can be done with the data from the Team place: copies, plain export, a check, calendar files."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from planner.desk import upkeep
from planner.desk.printing import make_folder
from planner.paper.calendar_reader import FoundCalendar, in_words
from planner.screens.dialogs import AskDialog, ReadDialog, TypeDialog
from planner.screens.place import Place
from planner.screens.widgets.choose import ChooseDialog


def work_with_data(place: Place, what: str) -> None:
    """Do what a row of the section Data says."""
    {
        "backup": _back_up,
        "restore": _restore,
        "export": _export,
        "check": _check,
        "calendar-out": _calendar_out,
        "calendar-in": _calendar_in,
    }[what](place)


def copies_in(home: Path) -> list[Path]:
    """Return the copies in the data folder, the newest first."""
    found = (
        [one for one in (home / "backups").iterdir() if one.suffix in {".db", ".zip"}]
        if (home / "backups").is_dir()
        else []
    )
    return sorted(found, key=lambda one: (one.stat().st_mtime, one.name), reverse=True)


def _tell(place: Place, title: str, job: Callable[[], str]) -> None:
    """Run the job and show what it says; the place is looked at anew when that is closed."""
    place.in_background(job, lambda words: place.app.push_screen(ReadDialog(title, words)), "data")


def _back_up(place: Place) -> None:
    _tell(place, "Saved", lambda: str(upkeep.back_up(place.desk)))


def _export(place: Place) -> None:
    stamp = place.desk.now().strftime("%Y%m%dT%H%M%S")
    target = place.desk.home / "prints" / f"everything-{stamp}.json"

    def job() -> str:
        make_folder(target.parent)
        return str(upkeep.export(place.desk, target))

    _tell(place, "Written", job)


def _check(place: Place) -> None:
    def job() -> str:
        return "\n".join(upkeep.check(place.desk)) or "Database, files and drill library are sound."

    _tell(place, "Check", job)


def _restore(place: Place) -> None:
    copies = copies_in(place.desk.home)
    if not copies:
        place.notify("There is no copy yet; the row above saves one.")
        return

    def bring_back(path: Path) -> None:
        def job() -> str:
            kept = upkeep.restore(place.desk, path)
            before = f"\nWhat stood before is kept: {kept}" if kept else ""
            return f"{path} is in place.{before}"

        _tell(place, "Restored", job)

    def chosen(name: str | None) -> None:
        if name is not None:
            path = place.desk.home / "backups" / name
            question = f"Replace the data by {name}? What stands now is kept as a copy first."
            place.app.push_screen(AskDialog(question), lambda yes: bring_back(path) if yes else None)

    options = [(one.name, one.name) for one in copies]
    place.app.push_screen(ChooseDialog("Bring which copy back?", options), chosen)


def _calendar_out(place: Place) -> None:
    from planner.desk.calendar import export_calendar

    def job() -> str:
        printed = export_calendar(place.desk)
        return "\n".join([str(printed.path), *printed.notes])

    _tell(place, "Written", job)


def _calendar_in(place: Place) -> None:
    from planner.desk.calendar_intake import add_file, read_file

    def typed(text: str | None) -> None:
        if text is not None and text.strip():
            path = Path(text.strip().strip("'\"")).expanduser()
            place.in_background(
                lambda: read_file(place.desk, path), lambda found: shown(path, found), "calendar"
            )

    def shown(path: Path, found: FoundCalendar) -> None:
        if not found.games and not found.closings:
            place.app.push_screen(ReadDialog("Nothing to add", in_words(found)))
            return
        ask = AskDialog(f"{in_words(found)}. Add it?")
        place.app.push_screen(ask, lambda yes: _tell(place, "Added", lambda: add(path)) if yes else None)

    def add(path: Path) -> str:
        taken = add_file(place.desk, path)
        return "\n".join([f"{taken.words}. u undoes it.", *taken.notes])

    place.app.push_screen(TypeDialog("Which calendar file (.ics)?", "", "~/school.ics"), typed)
