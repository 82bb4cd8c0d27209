"""Tomorrow, by hand: the coach moves things, the program says what that brings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from textual.widgets import DataTable

from planner.build.edit import plain, unit_at
from planner.build.plan import Plan, Segment
from planner.clock import clock_text
from planner.desk import hand
from planner.desk.wishes import whole_minutes
from planner.problem import Refusal
from planner.screens.actions import Action
from planner.screens.building import Building
from planner.screens.dialogs import ReadDialog, TypeDialog
from planner.text import clean_line

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


@dataclass(frozen=True, slots=True)
class Asked:
    """An edit, what it is in words, and where the cursor goes (None: it stays)."""

    made: hand.Made
    words: str
    row: int | None = None


class ByHand(Building):
    """What Tomorrow can do by hand; the place itself knows the plan."""

    by_hand = False
    told: hand.Edited | None = None
    wanted_row: int | None = None

    def selected(self) -> Segment | None:
        """Return the segment under the cursor."""
        raise NotImplementedError

    def to_change(self) -> Plan | None:
        """Return the plan that stands; where there is none to change, say so."""
        raise NotImplementedError

    def _row(self) -> int:
        return self.query_one("#plan", DataTable).cursor_row

    def edit_by_hand(self, make: Callable[[Plan, Segment, int], Asked | None]) -> None:
        """Do one edit of what is selected, after those before it, and say what it brings."""

        def edit() -> None:
            plan, segment, row = self.to_change(), self.selected(), self._row()
            if plan is None or segment is None:
                return
            asked = make(plan, segment, row)
            if asked is None:
                return

            def told(done: hand.Edited) -> None:
                self.told = done
                lines = done.brought.in_words()
                more = "\n…  o shows all" if len(lines) > SAID else ""
                self.notify("\n".join(lines[:SAID]) + more, title=clean_line(asked.words, 80))
                self.wanted_row = asked.row

            self.build(lambda: hand.edit_plan(self.desk, plan, asked.made, asked.words), told, "Changing …")

        self.when_free(edit)

    def action_hand(self) -> None:
        """Change between the hand and the solver."""
        self.by_hand = not self.by_hand
        self.notify(
            "By hand: + - s x change one thing and move the clock; [ ] move, n puts in, k locks."
            if self.by_hand
            else "The solver plans round every change again."
        )
        self.show_stage()

    def resize_by_hand(self, by: int) -> None:
        """Make what is selected longer or shorter."""
        word = "longer" if by > 0 else "shorter"
        self.edit_by_hand(lambda _, one, row: Asked(lambda h: h.resize(row, by), f"{one.title} {word}"))

    def remove_by_hand(self) -> None:
        """Take what is selected out."""
        self.edit_by_hand(lambda _, one, row: Asked(lambda h: h.remove(row), f"{one.title} out"))

    def swap_by_hand(self, into: str) -> None:
        """Run another drill in what is selected."""
        try:
            card = hand.card_of(self.desk, into)
        except Refusal as refusal:
            self.refused(str(refusal))
            return
        self.edit_by_hand(lambda _, __, row: Asked(lambda h: h.swap(row, card), f"{card.title} in"))

    def action_shift(self, by: int) -> None:
        """Move what is selected earlier or later."""

        def make(plan: Plan, segment: Segment, row: int) -> Asked:
            unit = unit_at(plan, row)
            beside = unit.last + 1 if by > 0 else unit.first - 1
            length = 0
            if 0 <= beside < len(plan.segments):
                length = unit_at(plan, beside).length
            word = "later" if by > 0 else "earlier"
            return Asked(lambda h: h.move(row, by), f"{segment.title} {word}", row + by * length)

        self.edit_by_hand(make)

    def action_insert(self) -> None:
        """Ask for what goes in before the selected stretch."""
        if self.to_change() is None:
            return

        def typed(text: str | None) -> None:
            if text and text.strip():
                self.edit_by_hand(lambda _, __, row: self._inserted(clean_line(text, 80), row))

        self.app.push_screen(
            TypeDialog("What goes in here?", "", "drill id, water, or a title: talk 3"), typed
        )

    def _inserted(self, text: str, row: int) -> Asked | None:
        """Return the edit that puts in what was typed before a row; None where nothing is meant by it."""
        name, _, last = text.rpartition(" ")
        minutes = whole_minutes(last) if name.strip() else None
        what = name.strip() if minutes else text
        card = self.desk.library.by_id.get(what)
        usual = {"water": 2, "set-up": 1}
        if card is not None:
            return Asked(lambda h: h.insert(row, h.drill(card, minutes)), f"{card.title} in")
        if minutes or what in usual:
            segment = plain(what, minutes or usual[what], what)
            return Asked(lambda h: h.insert(row, segment), f"{segment.title} in")
        self.refused(f"There is no drill '{what}'; for a block of that name say its minutes too.")
        return None

    def action_lock(self) -> None:
        """Lock what is selected at its time, or let it go."""

        def lock() -> None:
            plan, row = self.to_change(), self._row()
            if plan is not None:
                self.build(
                    lambda: hand.lock(self.desk, plan, row),
                    lambda words: self.notify(f"{words}. u undoes it."),
                    "Changing …",
                )

        self.when_free(lock)

    def action_redo(self) -> None:
        """Do again what was undone."""
        self.when_free(
            lambda: self.build(
                lambda: hand.redo(self.desk),
                lambda words: self.notify(f"Done again: {words}."),
                "Doing again …",
            )
        )

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
