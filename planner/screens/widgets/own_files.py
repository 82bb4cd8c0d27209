"""The team's own drills as files, from the Drills place: edit, begin, put away, bring back, undo."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from textual.app import SuspendNotSupported

from planner.desk.desk import Desk
from planner.desk.own_drills import Edited, edit_drill, new_drill, remove_drill, restore_drill
from planner.drills.card import Drill
from planner.problem import Refusal
from planner.screens.dialogs import AskDialog, ReadDialog, TypeDialog
from planner.screens.place import Place
from planner.screens.widgets.choose import ChooseDialog
from planner.screens.widgets.drill_card import faults_text
from planner.store import queries

FAULTY = "!"
"""What the id of a row begins with whose file has to be put right first; no drill's id does."""


@dataclass(frozen=True, slots=True)
class FileChange:
    """A change of a drill's file: how it is taken back, and the newest journal entry it came after."""

    undo: Callable[[], str]
    after: int | None


class OwnFiles:
    """What a place does with files of drills; ``go_to`` looks again and goes to a row of the list."""

    def __init__(self, place: Place, go_to: Callable[[str], None]) -> None:
        self._place = place
        self._go_to = go_to
        self._change: FileChange | None = None

    @property
    def _desk(self) -> Desk:
        return self._place.desk

    def undo_or(self, usual: Callable[[], str]) -> Callable[[], str]:
        """Return a job that takes the last change of a file back, or does ``usual`` where that is newer."""
        change = self._change

        def job() -> str:
            if change is None or newest(self._desk) != change.after:
                return usual()
            self._change = None
            return change.undo()

        return job

    def _remember(self, undo: Callable[[], str]) -> None:
        """Let ``u`` take this change of a file back, as long as nothing newer is in the journal."""
        self._change = FileChange(undo, newest(self._desk))

    def offer_copy(self, drill: Drill) -> None:
        """Ask before a drill of the library is copied, then open the copy."""
        question = (
            f"“{drill.title}” came with stopsheet. Copy it to your own drills and edit the copy?"
            " For your team the copy then stands in its place."
        )
        self._place.app.push_screen(AskDialog(question), lambda yes: self.open(drill.id) if yes else None)

    def open(self, drill: str) -> None:
        """Hand the terminal to the coach's editor and read the drill again afterwards."""
        try:
            with self._place.app.suspend():
                done = edit_drill(self._desk, drill, os.environ)
        except Refusal as refusal:
            self._place.refused(str(refusal))
        except SuspendNotSupported:
            self._place.refused(
                f"This terminal cannot be handed to an editor; run elsewhere: stopsheet drills edit {drill}"
            )
        else:
            self._edited(drill, done)

    def _edited(self, drill: str, done: Edited) -> None:
        if not done.changed:
            self._place.notify("Nothing was changed.")
            return
        self._remember(lambda: (remove_drill if done.copied else restore_drill)(self._desk, drill))
        if done.problems:
            self._place.app.push_screen(ReadDialog("To put right", faults_text(drill, done.problems)))
        else:
            self._place.notify("Changed. u undoes it.")
        self._go_to(FAULTY + drill if done.problems else drill)

    def begin(self, like: Drill | None) -> None:
        """Ask for an id, begin a drill of one's own beside ``like``, and open it."""

        def typed(name: str | None) -> None:
            if name and name.strip():
                principle = (like.main_principle or "") if like else ""
                stage = like.stage if like else None
                self._place.in_background(
                    lambda: new_drill(self._desk, name.strip(), "", principle, stage), begun, "new"
                )

        def begun(path: Path) -> None:
            self._remember(lambda: remove_drill(self._desk, path.stem))
            self._go_to(FAULTY + path.stem)
            self.open(path.stem)

        question = "Id of the new drill: lower-case words joined by hyphens"
        self._place.app.push_screen(TypeDialog(question, "", "corner-closeouts"), typed)

    def put_away(self, drill: str) -> None:
        """Put a drill of one's own into the trash folder, after asking."""

        def gone(words: str) -> None:
            self._remember(lambda: restore_drill(self._desk, drill))
            self._place.notify(f"{words} u undoes it.")
            self._place.refill()

        def answered(yes: bool | None) -> None:
            if yes:
                self._place.in_background(lambda: remove_drill(self._desk, drill), gone, "remove")

        self._place.app.push_screen(AskDialog(f"Put your drill '{drill}' into the trash folder?"), answered)

    def bring_back(self) -> None:
        """Ask for a drill in the trash folder and bring it back."""
        kept = sorted({one.name.split(".")[0] for one in (self._desk.home / "trash").glob("*.toml")})
        if not kept:
            self._place.notify("The trash folder holds no drill.")
            return

        def chosen(drill: str | None) -> None:
            if drill is not None:
                self._place.in_background(lambda: restore_drill(self._desk, drill), told, "restore")

        def told(words: str) -> None:
            self._place.notify(words)
            self._place.refill()

        options = [(one, one) for one in kept]
        self._place.app.push_screen(ChooseDialog("Bring back which drill?", options), chosen)


def newest(desk: Desk) -> int | None:
    """Return the newest journal entry that is not undone."""
    if not desk.has_team():
        return None
    with desk.reading() as session:
        entry = queries.last_journal(session)
    return entry.id if entry else None
