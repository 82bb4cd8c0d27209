"""Tomorrow, by hand: the coach moves things, the program says what that brings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.widgets import DataTable

from planner.build.edit import plain, unit_at
from planner.build.plan import Plan, Segment
from planner.clock import clock_text
from planner.desk import hand
from planner.desk.wishes import whole_minutes
from planner.problem import Refusal
from planner.screens.actions import Action
from planner.screens.dialogs import ReadDialog, TypeDialog
from planner.screens.place import Place
from planner.text import clean_line

if TYPE_CHECKING:
    from planner.screens.tomorrow import Known

HAND_ACTIONS = (
    Action("tomorrow.hand", "h", "hand", "By hand: + - s x move nothing else, you get advice; or back"),
    Action("tomorrow.earlier", "left_square_bracket", "shift(-1)", "Move it earlier, by hand"),
    Action("tomorrow.later", "right_square_bracket", "shift(1)", "Move it later, by hand"),
    Action("tomorrow.insert", "n", "insert", "Put something in before it, by hand"),
    Action("tomorrow.lock", "k", "lock", "Lock it at its time, or let it go again"),
    Action("tomorrow.redo", "y", "redo", "Do again what was undone"),
    Action("tomorrow.brought", "o", "brought", "What the last change by hand brought"),
)
SAID = 4
"""Lines of advice shown in passing; all of them stand in what ``o`` opens."""


class ByHand(Place):
    """What Tomorrow can do by hand; the place itself knows the plan."""

    known: Known | None
    by_hand = False
    told: hand.Edited | None = None
    wanted_row: int | None = None

    def selected(self) -> Segment | None:
        """Return the segment under the cursor."""
        raise NotImplementedError

    def _plan(self) -> Plan | None:
        plan = self.known.plan if self.known else None
        if plan is None:
            self.notify("There is no plan to change; b builds one.")
        return plan

    def _row(self) -> int:
        return self.query_one("#plan", DataTable).cursor_row

    def edit_by_hand(self, made: hand.Made, words: str, row: int | None = None) -> None:
        """Do one edit in the background and say what it brings; ``row`` is where the cursor goes."""
        plan = self._plan()
        if plan is None:
            return

        def told(done: hand.Edited) -> None:
            self.told = done
            lines = done.brought.in_words()
            more = "\n…  o shows all" if len(lines) > SAID else ""
            self.notify("\n".join(lines[:SAID]) + more, title=clean_line(words, 80))
            self.wanted_row = row
            self.refill()

        self.in_background(lambda: hand.edit_plan(self.desk, plan, made, words), told, "build")

    def action_hand(self) -> None:
        """Change between the hand and the solver."""
        self.by_hand = not self.by_hand
        self.notify(
            "By hand: + - s x change one thing and move the clock; [ ] move, n puts in, k locks."
            if self.by_hand
            else "The solver plans round every change again."
        )
        self.refill()

    def resize_by_hand(self, by: int) -> None:
        """Make what is selected longer or shorter."""
        segment = self.selected()
        if segment is not None:
            row = self._row()
            word = "longer" if by > 0 else "shorter"
            self.edit_by_hand(lambda h: h.resize(row, by), f"{segment.title} {word}")

    def remove_by_hand(self) -> None:
        """Take what is selected out."""
        segment = self.selected()
        if segment is not None:
            row = self._row()
            self.edit_by_hand(lambda h: h.remove(row), f"{segment.title} out")

    def swap_by_hand(self, into: str) -> None:
        """Run another drill in what is selected."""
        row = self._row()
        try:
            card = hand.card_of(self.desk, into)
        except Refusal as refusal:
            self.refused(str(refusal))
            return
        self.edit_by_hand(lambda h: h.swap(row, card), f"{card.title} in")

    def action_shift(self, by: int) -> None:
        """Move what is selected earlier or later."""
        segment, plan = self.selected(), self._plan()
        if segment is None or plan is None:
            return
        row = self._row()
        unit = unit_at(plan, row)
        beside = unit.last + 1 if by > 0 else unit.first - 1
        length = 0
        if 0 <= beside < len(plan.segments):
            length = unit_at(plan, beside).length
        word = "later" if by > 0 else "earlier"
        self.edit_by_hand(lambda h: h.move(row, by), f"{segment.title} {word}", row + by * length)

    def action_insert(self) -> None:
        """Ask for what goes in before the selected stretch."""
        plan = self._plan()
        if plan is None:
            return
        row = self._row()

        def typed(text: str | None) -> None:
            if not text or not text.strip():
                return
            name, _, last = clean_line(text, 80).rpartition(" ")
            minutes = whole_minutes(last)
            what = name.strip() if minutes and name.strip() else clean_line(text, 80)
            minutes = minutes if what != clean_line(text, 80) else None
            card = self.desk.library.by_id.get(what)
            usual = {"water": 2, "set-up": 1}
            if card is not None:
                self.edit_by_hand(lambda h: h.insert(row, h.drill(card, minutes)), f"{card.title} in")
            elif minutes or what in usual:
                segment = plain(what, minutes or usual[what], what)
                self.edit_by_hand(lambda h: h.insert(row, segment), f"{segment.title} in")
            else:
                self.refused(f"There is no drill '{what}'; for a block of that name say its minutes too.")

        self.app.push_screen(
            TypeDialog("What goes in here?", "", "drill id, water, or a title: talk 3"), typed
        )

    def action_lock(self) -> None:
        """Lock what is selected at its time, or let it go."""
        plan = self._plan()
        if plan is None:
            return
        row = self._row()

        def told(words: str) -> None:
            self.notify(f"{words}. u undoes it.")
            self.refill()

        self.in_background(lambda: hand.lock(self.desk, plan, row), told, "build")

    def action_redo(self) -> None:
        """Do again what was undone."""

        def told(words: str) -> None:
            self.notify(f"Done again: {words}.")
            self.refill()

        self.in_background(lambda: hand.redo(self.desk), told, "build")

    def action_brought(self) -> None:
        """Show what the last change by hand brought."""
        if self.told is None:
            self.notify("Nothing was changed by hand yet; h begins.")
            return
        done = self.told
        lines = done.brought.in_words()
        lines += [
            f"{title}: {clock_text(old)} to {clock_text(new)}" for title, old, new in done.brought.moved
        ]
        lines += [f"Broken: {one}" for one in done.brought.standing if one not in done.brought.broken]
        self.app.push_screen(ReadDialog(done.words, "\n".join(lines)))
