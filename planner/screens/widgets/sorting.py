"""Sorting: lines that could not be read, alike ones together, one key each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.widgets import Static

from planner.desk import film_sorting, watching_keys
from planner.desk.film_sorting import Group, Sorted
from planner.drills.vocabulary import Breakdown
from planner.film.learnt import question
from planner.screens.actions import Action
from planner.screens.place import Place
from planner.screens.widgets.entry import SearchDialog
from planner.screens.widgets.entry_text import legend_text
from planner.screens.widgets.one_by_one import OneByOne
from planner.store.values import NOT_A_MISTAKE, NOT_OURS, NOTHING, UnclearInfo
from planner.text import plural

QUIET_KEYS = {"x": NOT_OURS, "g": NOT_A_MISTAKE, "n": NOTHING}
_SHOWN = 8


class SortScreen(OneByOne):
    """One group of unclear lines at a time: its words, where it stands, and the keys that settle it."""

    HOW = "x not ours  g no mistake  n nothing  / other  a alike  space later"
    NONE_YET = "Nothing has been sorted since you came here."
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

    def below(self) -> ComposeResult:
        """Show the letters."""
        yield Static("", id="legend", markup=False)

    def _look(self) -> tuple[Group, ...]:
        return film_sorting.unclear_groups(self.desk)

    def _show(self, groups: tuple[Group, ...]) -> None:
        self.groups = groups
        self.at = min(self.at, max(0, len(groups) - 1))
        self.found()

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

    def show_it(self) -> None:
        """Show the group, or that nothing waits."""
        waiting = sum(len(one.lines) for one in self.groups)
        wide = max(40, self.app.size.width - 2)
        self.query_one("#legend", Static).update(legend_text(self.letters, self.titles, wide))
        if self.group is None:
            self.say("Nothing is unclear.", "Esc goes back to the games.", "")
            return
        head = f"{plural(waiting, 'line')} to sort, {plural(len(self.groups), 'wording')}"
        self.say(head, self._words(self.group), self._prompt(self.group))

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

    def moves(self) -> Mapping[str, Callable[[], None]]:
        """Return what keys do besides settling."""
        return {"space": self._later, "slash": self._search, "enter": self._who, "a": self._alike}

    def pressed(self, said: str) -> None:
        """Settle the lines shown."""
        if meaning := QUIET_KEYS.get(said) or self.letters.get(said):
            self._settle(meaning)
        else:
            self.notify(f"'{said}' has no breakdown; / finds those without a letter.", timeout=2)

    def _alike(self) -> None:
        self.alike = not self.alike
        self.show_it()

    def _later(self) -> None:
        if self.groups:
            self.at = (self.at + 1) % len(self.groups)
            self.digits = ""
            self.show_it()

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

        def told(done: Sorted) -> str:
            learnt = f" '{done.learnt}' is remembered." if done.learnt else ""
            words = self.titles.get(meaning, meaning or "who it was")
            return f"{plural(len(done.lines), 'line')}: {words}.{learnt}"

        self.settle(lambda: film_sorting.sort_lines(self.desk, numbers, meaning, players), told)

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
