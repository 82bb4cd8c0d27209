"""Sorting: lines that could not be read, alike ones together, one key each."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.widgets import Static

from planner.desk import film_sorting, watching_keys
from planner.desk.film_sorting import Group, Sorted
from planner.drills.vocabulary import Breakdown
from planner.film.learnt import question
from planner.screens.actions import Action
from planner.screens.place import Place
from planner.screens.widgets.entry import KeyPad, SearchDialog
from planner.screens.widgets.entry_text import legend_text
from planner.store.values import NOT_A_MISTAKE, NOT_OURS, NOTHING, UnclearInfo
from planner.text import plural

QUIET_KEYS = {"x": NOT_OURS, "g": NOT_A_MISTAKE, "n": NOTHING}
_SHOWN = 8


class SortScreen(Place):
    """One group of unclear lines at a time: its words, where it stands, and the keys that settle it."""

    place = "film"
    CSS_PATH = "../film.tcss"
    ACTIONS: ClassVar[tuple[Action, ...]] = (
        Action(
            "sort.not-ours", "x", "tap('x')", "Not ours: it says nothing of our defence", True, "not ours"
        ),
        Action("sort.good", "g", "tap('g')", "Good: we made no mistake there", True, "no mistake"),
        Action("sort.nothing", "n", "tap('n')", "Nothing: leave the line out", True, "nothing"),
        Action("sort.one", "a", "tap('a')", "All lines worded alike, or the first alone"),
        Action("sort.search", "slash", "tap('slash')", "A breakdown without a letter: type a few of it"),
        Action("sort.later", "space", "tap('space')", "Later: look at the next one"),
        Action("sort.who", "enter", "tap('enter')", "Charge the jersey typed, where only that is asked"),
        Action("sort.back", "backspace", "tap('backspace')", "Take a digit, or the last answer, back"),
        Action("sort.leave", "escape", "tap('escape')", "Back to the games", True, "back"),
    )

    def __init__(self, letters: Mapping[str, str], breakdowns: tuple[Breakdown, ...]) -> None:
        super().__init__()
        self.letters = letters
        self.breakdowns = breakdowns
        self.titles = {one.id: one.title for one in breakdowns}
        self.groups: tuple[Group, ...] = ()
        self.at = 0
        self.alike = True
        self.digits = ""
        self.answered = 0
        self.busy = False
        self.ahead: list[tuple[str, str]] = []
        """Keys pressed while an answer is being kept."""

    def body(self) -> ComposeResult:
        """Lay out the line, the keys and what was learnt."""
        yield Static("Looking …", id="game", markup=False)
        yield Static("", id="line", markup=False)
        yield KeyPad("", id="pad", markup=False)
        yield Static("", id="legend", markup=False)
        yield Static(
            "x not ours  g no mistake  n nothing  / other  a alike  space later", id="how", markup=False
        )

    def on_mount(self) -> None:
        """Take the keys."""
        self.query_one("#pad").focus()

    def on_resize(self) -> None:
        """Use the width there is."""
        self._show()

    def refill(self) -> None:
        """Look for what waits."""
        self.in_background(lambda: film_sorting.unclear_groups(self.desk), self._found, "groups")

    def _found(self, groups: tuple[Group, ...]) -> None:
        self.groups = groups
        self.at = min(self.at, max(0, len(groups) - 1))
        self.busy = False
        self._show()
        while self.ahead and not self.busy:
            self._tap(*self.ahead.pop(0))

    @property
    def group(self) -> Group | None:
        """Return the group that is shown."""
        return self.groups[self.at] if self.at < len(self.groups) else None

    @property
    def chosen(self) -> tuple[UnclearInfo, ...]:
        """Return the lines that the next key settles."""
        if self.group is None:
            return ()
        return self.group.lines if self.alike else self.group.lines[:1]

    def _show(self) -> None:
        waiting = sum(len(one.lines) for one in self.groups)
        head = self.query_one("#game", Static)
        line = self.query_one("#line", Static)
        wide = max(40, self.app.size.width - 2)
        self.query_one("#legend", Static).update(legend_text(self.letters, self.titles, wide))
        if self.group is None:
            head.update("Nothing is unclear.")
            line.update("Esc goes back to the games.")
            self.query_one("#pad", KeyPad).update("")
            return
        head.update(f"{plural(waiting, 'line')} to sort, {plural(len(self.groups), 'wording')}")
        line.update(self._words(self.group))
        self.query_one("#pad", KeyPad).update(self._prompt(self.group))

    def _words(self, group: Group) -> str:
        first, *more = group.lines
        parts = [f"“{first.text}”", first.why, f"{first.file}, {_where(first)}"]
        if more and self.alike:
            parts.append(
                f"\nand {plural(len(more), 'line')} worded alike, settled with it (a: the first alone):"
            )
            parts += [f"  {one.file}, {_where(one)}: {one.text}" for one in more[:_SHOWN]]
        elif more:
            parts.append(f"\nthe first alone; a: with {plural(len(more), 'line')} worded alike")
        return "\n".join(parts)

    def _prompt(self, group: Group) -> str:
        jersey = f"   jersey {self.digits}_" if self.digits else ""
        if question(group.lines[0].why):
            return f"▶ Who was it? Type the jersey, then Enter; n: nobody of ours.{jersey}"
        return f"▶ What does it mean?{jersey or '   (a jersey may be typed first)'}"

    async def on_key_pad_pressed(self, event: KeyPad.Pressed) -> None:
        """Do what a key means."""
        self._tap(event.key, event.sign)

    def action_tap(self, key: str) -> None:
        """Do what a key means, asked for from the palette."""
        self._tap(key, key if len(key) == 1 else "")

    def _tap(self, key: str, said: str) -> None:
        if self.busy and key != "escape":
            self.ahead.append((key, said))
            return
        moves = {
            "escape": self._leave,
            "space": self._later,
            "slash": self._search,
            "enter": self._who,
            "backspace": self._back,
        }
        if key in moves:
            moves[key]()
        elif len(said) == 1 and said in "0123456789" and len(self.digits) < 2:
            self.digits += said
            self._show()
        elif said == "a":
            self.alike = not self.alike
            self._show()
        elif said == "u":
            self._back()
        elif meaning := QUIET_KEYS.get(said) or self.letters.get(said):
            self._settle(meaning)
        elif said.isprintable() and said:
            self.notify(f"'{said}' has no breakdown; / finds those without a letter.", timeout=2)

    def _leave(self) -> None:
        self.app.pop_screen()

    def _later(self) -> None:
        if self.groups:
            self.at = (self.at + 1) % len(self.groups)
            self.digits = ""
            self._show()

    def _search(self) -> None:
        def found(breakdown: str | None) -> None:
            if breakdown is not None:
                self._settle(breakdown)

        self.app.push_screen(SearchDialog(self.breakdowns), found)

    def _who(self) -> None:
        if self.group is None:
            return
        if not question(self.group.lines[0].why):
            self.notify("Press the letter of a breakdown; Enter is for lines that only ask who it was.")
        elif not self.digits:
            self.notify("Type the jersey first.")
        else:
            self._settle("")

    def _settle(self, meaning: str) -> None:
        if self.group is None:
            return
        numbers = [one.id for one in self.chosen]
        players = [self.digits] if self.digits else []
        self.busy = True

        def told(done: Sorted) -> None:
            self.answered += 1
            self.digits = ""
            learnt = f" '{done.learnt}' is remembered." if done.learnt else ""
            words = self.titles.get(meaning, meaning or "who it was")
            self.notify(f"{plural(len(done.lines), 'line')}: {words}.{learnt}", timeout=3)
            self.refill()

        self.in_background(
            lambda: film_sorting.sort_lines(self.desk, numbers, meaning, players), told, "sort"
        )

    def refused(self, sentence: str) -> None:
        """Show a refusal, and let the next key be pressed."""
        self.busy = False
        self.ahead.clear()
        super().refused(sentence)

    def failed(self, fault: Exception) -> None:
        """Show a fault, and let the next key be pressed."""
        self.busy = False
        self.ahead.clear()
        super().failed(fault)

    def _back(self) -> None:
        if self.digits:
            self.digits = self.digits[:-1]
            self._show()
        elif not self.answered:
            self.notify("Nothing has been sorted since you came here.")
        else:
            self._undo()

    def _undo(self) -> None:
        from planner.desk.undo import undo_last

        self.busy = True

        def told(words: str) -> None:
            self.answered -= 1
            self.notify(words, timeout=3)
            self.refill()

        self.in_background(lambda: undo_last(self.desk), told, "sort")

    def as_text(self) -> str:
        """Return all that waits, as lines."""
        return "\n".join(
            f"{one.file}, {_where(one)}: {one.text} ({one.why})"
            for group in self.groups
            for one in group.lines
        )


def _where(one: UnclearInfo) -> str:
    return f"line {one.line}" if one.line is not None else one.start or "no line"


def open_sorting(place: Place) -> None:
    """Open sorting over a place, which looks again when it is left."""

    def look() -> tuple[dict[str, str], tuple[Breakdown, ...]]:
        from planner.desk.words import vocabulary

        return watching_keys.keep_letters(place.desk), vocabulary(place.desk).breakdowns

    def opened(found: tuple[dict[str, str], tuple[Breakdown, ...]]) -> None:
        place.app.push_screen(SortScreen(*found))

    place.in_background(look, opened, "sorting")
