"""Live entry: film watched with both hands on the keys, every key kept before it is shown."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.message import Message
from textual.screen import ModalScreen
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from planner.desk import watching, watching_keys
from planner.desk.film import Added, Reading
from planner.desk.watching import Live
from planner.drills.vocabulary import Breakdown
from planner.film import entry as pad
from planner.film.entry_letters import find_breakdowns
from planner.problem import Refusal
from planner.screens.actions import Action
from planner.screens.place import Place
from planner.screens.widgets.entry_text import counts_text, legend_text, now_text, reading_text, recent_text
from planner.text import plural

_SIGNS = {
    "space": pad.NEXT,
    "backspace": pad.UNDO,
    "full_stop": pad.POINT,
    "plus": pad.AND,
    "comma": pad.END,
}
_LEFT_ALONE = frozenset({"f1", "question_mark", "ctrl+p", "ctrl+q"})
_RECENT = 40


class KeyPad(Static, can_focus=True):
    """Takes every key itself and says what was pressed; the screen decides what it means."""

    class Pressed(Message):
        """A key that the pad took: its name and the sign it writes, if any."""

        def __init__(self, key: str, sign: str) -> None:
            super().__init__()
            self.key = key
            self.sign = sign

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Say that all keys but those of help and the palette end here."""
        del character
        return key not in _LEFT_ALONE

    def on_key(self, event: events.Key) -> None:
        """Take the key, unless it asks for help or the palette."""
        if event.key in _LEFT_ALONE:
            return
        event.stop()
        event.prevent_default()
        self.post_message(self.Pressed(event.key, event.character or ""))


class PreviewDialog(ModalScreen[bool]):
    """Something to read before it is done: y does it, anything else goes back."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "answer(True)", "Yes", id="dialog.yes"),
        Binding("n,escape", "answer(False)", "No", id="dialog.no"),
    ]

    def __init__(self, title: str, text: str, yes: str = "add it") -> None:
        super().__init__()
        self._title = title
        self._text = text
        self._yes = yes

    def compose(self) -> ComposeResult:
        """Lay the text out over its two answers."""
        with Vertical(classes="dialog"):
            yield Static(self._title, classes="dialog-title", markup=False)
            with VerticalScroll():
                yield Static(self._text, markup=False)
            yield Static(f"y {self._yes}   Esc back", classes="dialog-keys", markup=False)

    def action_answer(self, yes: bool) -> None:
        """Give the answer back."""
        self.dismiss(yes)


class SearchDialog(ModalScreen[str | None]):
    """A breakdown found by typing a few letters of it; Enter takes the one marked."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Cancel", id="dialog.cancel"),
        Binding("down", "move(1)", "Next", id="dialog.down"),
        Binding("up", "move(-1)", "Previous", id="dialog.up"),
    ]

    def __init__(self, breakdowns: tuple[Breakdown, ...]) -> None:
        super().__init__()
        self._breakdowns = breakdowns

    def compose(self) -> ComposeResult:
        """Show the field over what fits."""
        with Vertical(classes="dialog"):
            yield Static("Which breakdown?", classes="dialog-title", markup=False)
            yield Input(placeholder="a few letters, such as rot or tag")
            yield OptionList(id="found")
            yield Static("Enter take it   Esc cancel", classes="dialog-keys", markup=False)

    def on_mount(self) -> None:
        """Begin with all of them."""
        self._fill("")

    def on_input_changed(self, event: Input.Changed) -> None:
        """Keep those that fit what is typed."""
        self._fill(event.value)

    def _fill(self, said: str) -> None:
        found = self.query_one("#found", OptionList)
        found.clear_options()
        for one in find_breakdowns(said, self._breakdowns):
            found.add_option(Option(Text(f"{one.title}: {one.seen_as}", overflow="ellipsis"), id=one.id))
        if found.option_count:
            found.highlighted = 0

    def action_move(self, by: int) -> None:
        """Mark another one while the field keeps the keys."""
        found = self.query_one("#found", OptionList)
        if found.option_count and found.highlighted is not None:
            found.highlighted = (found.highlighted + by) % found.option_count

    def on_input_submitted(self) -> None:
        """Take the one marked."""
        found = self.query_one("#found", OptionList)
        if found.option_count and found.highlighted is not None:
            self.dismiss(found.get_option_at_index(found.highlighted).id)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Take the one clicked."""
        self.dismiss(event.option.id)

    def action_cancel(self) -> None:
        """Give nothing back."""
        self.dismiss(None)


class EntryScreen(Place):
    """One game being watched: possessions so far, the one being entered, counts, and the letters."""

    place = "film"
    CSS_PATH = "../film.tcss"
    ACTIONS: ClassVar[tuple[Action, ...]] = (
        Action(
            "entry.next", "space", "tap('space')", "The possession is over, the next begins", True, "next"
        ),
        Action("entry.points", "full_stop", "tap('full_stop')", "Points follow: .0 is a stop, .2 two points"),
        Action("entry.period", "p", "tap('p')", "The next period begins (P: in halves)"),
        Action("entry.search", "slash", "tap('slash')", "A breakdown without a letter: type a few of it"),
        Action("entry.and", "plus", "tap('plus')", "One more player for the same breakdown"),
        Action("entry.comma", "comma", "tap('comma')", "The jersey is complete, another follows"),
        Action(
            "entry.back",
            "backspace",
            "tap('backspace')",
            "Take the last key back, and the one before it",
            True,
            "undo",
        ),
        Action(
            "entry.finish", "enter", "tap('enter')", "Finish: see what will be added, then y", True, "finish"
        ),
        Action(
            "entry.leave",
            "escape",
            "tap('escape')",
            "Leave; what is entered stays and waits here",
            True,
            "leave",
        ),
    )

    def __init__(self, live: Live, letters: Mapping[str, str], breakdowns: tuple[Breakdown, ...]) -> None:
        super().__init__()
        self.live = live
        self.letters = letters
        self.breakdowns = breakdowns
        self.titles = {one.id: one.title for one in breakdowns}
        self.roster: frozenset[str] = frozenset()

    def body(self) -> ComposeResult:
        """Lay out what is done, what is being entered, the counts and the letters."""
        yield Static("", id="game", markup=False)
        with Horizontal(id="watch"):
            with VerticalScroll(id="done-side", can_focus=False):
                yield Static("", id="done", markup=False)
            yield Static("", id="counts", markup=False)
        yield KeyPad("", id="pad", markup=False)
        yield Static("", id="legend", markup=False)
        yield Static(
            ".2 two points  .0 stop  21 jersey, before or after  p period  / other breakdown",
            id="how",
            markup=False,
        )

    def on_mount(self) -> None:
        """Take the keys, and say what could not be read of an entry taken up again."""
        self.query_one("#pad").focus()
        if self.live.problems:
            self.notify("\n".join(self.live.problems), severity="warning")

        def look() -> frozenset[str]:
            from planner.store import queries

            with self.desk.reading() as session:
                return frozenset(one.jersey for one in queries.players(session))

        def told(jerseys: frozenset[str]) -> None:
            self.roster = jerseys
            self.refill()

        self.in_background(look, told, "roster")

    def on_resize(self) -> None:
        """Use the width there is."""
        self.refill()

    def refill(self) -> None:
        """Show what is entered; nothing is read from the disk for it."""
        entry, game = self.live.entry, self.live.game
        period = f"   {entry.now.period}" if entry.now.period else "   p sets the period"
        strangers = pad.strangers((*entry.done, entry.now), self.roster)
        odd = f"   ! no {', '.join(strangers)} on the roster" if strangers else ""
        head = f"{game.date.isoformat()} v {game.opponent}{period}   possession {len(entry.done) + 1}{odd}"
        self.query_one("#game", Static).update(head)
        self.query_one("#done", Static).update(recent_text(entry, self.titles, _RECENT))
        self.query_one("#done-side", VerticalScroll).scroll_end(animate=False, force=True)
        self.query_one("#pad", KeyPad).update(f"▶ {now_text(entry, self.titles)}")
        side = self.query_one("#counts", Static)
        rows = side.size.height or 10
        side.update(counts_text(entry, self.titles, max(20, side.size.width - 2), rows))
        wide = max(40, self.app.size.width - 2)
        self.query_one("#legend", Static).update(legend_text(self.letters, self.titles, wide))

    def as_text(self) -> str:
        """Return the sheet as it would be added."""
        return self.live.sheet().decode()

    async def on_key_pad_pressed(self, event: KeyPad.Pressed) -> None:
        """Do what a key means; the next key waits until this one is kept."""
        await self.tap(event.key, event.sign)

    async def action_tap(self, key: str) -> None:
        """Do what a key means, asked for from the palette."""
        await self.tap(key, key if len(key) == 1 else "")

    async def tap(self, key: str, said: str) -> None:
        """Do what a key means; ``said`` is the sign that it writes."""
        keys = {"slash": self._search, "enter": self._finish, "escape": self._leave}
        if key in keys:
            keys[key]()
        elif key in _SIGNS:
            await self.press(_SIGNS[key])
        elif len(said) == 1 and said in "0123456789":
            await self.press(said)
        elif said in ("p", "P"):
            await self.press(pad.next_period(self.live.entry.now.period, halves=said == "P"))
        elif said == "u":
            await self.press(pad.UNDO)
        elif said in self.letters:
            await self.press(self.letters[said])
        elif said.isprintable() and said:
            self.notify(f"'{said}' has no breakdown; / finds those without a letter.", timeout=2)

    async def press(self, key: str) -> None:
        """Keep one key, then show it."""
        try:
            await asyncio.to_thread(self.live.press, key)
        except Refusal as refusal:
            self.notify(str(refusal), severity="warning", timeout=4)
        self.refill()

    def _search(self) -> None:
        def chosen(breakdown: str | None) -> None:
            if breakdown is not None:
                self.run_worker(self.press(breakdown), exit_on_error=False)

        self.app.push_screen(SearchDialog(self.breakdowns), chosen)

    def _leave(self) -> None:
        self.app.pop_screen()

    def _finish(self) -> None:
        def shown(reading: Reading) -> None:
            text = reading_text(reading.intake, self.titles)
            self.app.push_screen(PreviewDialog("This will be added", text), answered)

        def answered(yes: bool | None) -> None:
            if yes:
                self.in_background(lambda: watching.finish(self.desk, self.live), added, "finish")

        def added(one: Added) -> None:
            made = one.reading.intake
            self.app.notify(f"Added {plural(len(made.trips), 'possession')} to {one.game}. u undoes it.")
            self._leave()

        self.in_background(lambda: watching.preview(self.desk, self.live), shown, "preview")


def open_entry(place: Place, game: int) -> None:
    """Open a game's entry over a place, which looks again when the entry is left."""

    def look() -> tuple[Live, dict[str, str], tuple[Breakdown, ...]]:
        from planner.desk.words import vocabulary

        live = watching.open_live(place.desk, game)
        return live, watching_keys.keep_letters(place.desk), vocabulary(place.desk).breakdowns

    def opened(found: tuple[Live, dict[str, str], tuple[Breakdown, ...]]) -> None:
        place.app.push_screen(EntryScreen(*found))

    place.in_background(look, opened, "entry")
