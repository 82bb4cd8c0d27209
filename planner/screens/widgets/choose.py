"""A list to choose one from."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.events import Key
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option


class ChooseDialog(ModalScreen[str | None]):
    """Options as (id, words); gives back the id, or None with Escape."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "cancel", "Cancel", id="dialog.cancel")]

    def __init__(self, title: str, options: list[tuple[str, str]]) -> None:
        super().__init__()
        self._title = title
        self._options = options
        self._typed = ""

    def compose(self) -> ComposeResult:
        """Show the list."""
        with Vertical(classes="dialog"):
            yield Static(self._title, classes="dialog-title", markup=False)
            yield OptionList(*(Option(Text(words), id=one) for one, words in self._options))
            yield Static("Enter choose   Esc cancel", classes="dialog-keys", markup=False)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Give the choice back."""
        self.dismiss(event.option.id)

    def on_key(self, event: Key) -> None:
        """Go to the option whose id is typed, such as a number."""
        ids = [one for one, _ in self._options]
        for typed in (self._typed + (event.character or ""), event.character or ""):
            if typed and typed in ids:
                self._typed = typed
                self.query_one(OptionList).highlighted = ids.index(typed)
                return

    def action_cancel(self) -> None:
        """Give nothing back."""
        self.dismiss(None)
