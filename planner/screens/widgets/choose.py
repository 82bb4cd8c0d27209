"""A list to choose one from."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.events import Key
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

FRAME = 11
"""Rows of the dialog that are neither its text nor its options."""


class ChooseDialog(ModalScreen[str | None]):
    """Options as (id, words); gives back the id, or None with Escape.

    ``text`` stands above the list. With ``find`` what is typed leaves only the options that hold it.
    """

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "cancel", "Cancel", id="dialog.cancel")]

    def __init__(
        self, title: str, options: list[tuple[str, str]], text: str = "", *, find: bool = False
    ) -> None:
        super().__init__()
        self._title = title
        self._options = options
        self._text = text
        self._find = find
        self._typed = ""

    def compose(self) -> ComposeResult:
        """Show the list."""
        with Vertical(classes="dialog filled" if self._find else "dialog"):
            yield Static(self._title, classes="dialog-title", markup=False)
            if self._text:
                with VerticalScroll(classes="dialog-text", can_focus=not self._find):
                    yield Static(self._text, markup=False)
            if self._find:
                yield Static(self._asked, classes="dialog-find", markup=False)
            yield OptionList(*self._shown())
            more = "   Tab to the text" if self._text and not self._find else ""
            yield Static(f"Enter choose   Esc cancel{more}", classes="dialog-keys", markup=False)

    def on_mount(self) -> None:
        """Begin in the list, and leave it room below a long text."""
        self.query_one(OptionList).focus()
        for text in self.query(".dialog-text"):
            rows = sum(words.count("\n") + 1 for _, words in self._options)
            text.styles.max_height = max(3, self.app.size.height * 9 // 10 - FRAME - rows)

    @property
    def _asked(self) -> str:
        return f"Only those with: {self._typed}▏" if self._typed else "Type to see fewer."

    def _shown(self) -> list[Option]:
        wanted = self._typed.casefold() if self._find else ""
        return [
            Option(Text(words), id=one)
            for one, words in self._options
            if wanted in words.casefold() or wanted in one.casefold()
        ]

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Give the choice back."""
        self.dismiss(event.option.id)

    def on_key(self, event: Key) -> None:
        """Leave what holds the letters typed, or go to the option whose id is typed, such as a number."""
        if self._find:
            self._narrow(event)
            return
        ids = [one for one, _ in self._options]
        for typed in (self._typed + (event.character or ""), event.character or ""):
            if typed and typed in ids:
                self._typed = typed
                self.query_one(OptionList).highlighted = ids.index(typed)
                return

    def _narrow(self, event: Key) -> None:
        if event.key == "backspace":
            self._typed = self._typed[:-1]
        elif event.is_printable and event.character:
            self._typed += event.character
        else:
            return
        event.stop()
        self.query_one(".dialog-find", Static).update(self._asked)
        listed = self.query_one(OptionList)
        listed.clear_options().add_options(self._shown())
        listed.highlighted = 0 if listed.option_count else None

    def action_cancel(self) -> None:
        """Give nothing back."""
        self.dismiss(None)
