"""Dialogs: something to read and copy, a yes or no, one line to type."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Input, Static


class ReadDialog(ModalScreen[None]):
    """Something that must be read: it scrolls, can be copied, and goes away with Escape."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,enter,space", "close", "Close", id="dialog.close"),
        Binding("c", "copy", "Copy the text", id="dialog.copy"),
    ]

    def __init__(self, title: str, text: str) -> None:
        super().__init__()
        self._title = title
        self._text = text

    def compose(self) -> ComposeResult:
        """Lay the text out under its title."""
        with Vertical(classes="dialog"):
            yield Static(self._title, classes="dialog-title", markup=False)
            with VerticalScroll():
                yield Static(self._text, markup=False)
            yield Static("Esc close   c copy", classes="dialog-keys", markup=False)

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None)

    def action_copy(self) -> None:
        """Put the text on the clipboard (OSC 52, so over SSH too)."""
        self.app.copy_to_clipboard(f"{self._title}\n\n{self._text}")
        self.app.notify("Copied.")


class AskDialog(ModalScreen[bool]):
    """A question with a yes and a no; No has the focus of habit: Enter alone never says yes."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "answer(True)", "Yes", id="dialog.yes"),
        Binding("n,escape", "answer(False)", "No", id="dialog.no"),
    ]

    def __init__(self, question: str) -> None:
        super().__init__()
        self._question = question

    def compose(self) -> ComposeResult:
        """Show the question."""
        with Vertical(classes="dialog small"):
            yield Static(self._question, markup=False)
            yield Static("y yes   n no", classes="dialog-keys", markup=False)

    def action_answer(self, yes: bool) -> None:
        """Give the answer back."""
        self.dismiss(yes)


class TypeDialog(ModalScreen[str | None]):
    """One line to type; Escape gives None."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "cancel", "Cancel", id="dialog.cancel")]

    def __init__(self, question: str, value: str = "", hint: str = "") -> None:
        super().__init__()
        self._question = question
        self._value = value
        self._hint = hint

    def compose(self) -> ComposeResult:
        """Show question and field."""
        with Vertical(classes="dialog small"):
            yield Static(self._question, markup=False)
            yield Input(self._value, placeholder=self._hint)
            yield Static("Enter done   Esc cancel", classes="dialog-keys", markup=False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Give the line back."""
        self.dismiss(event.value)

    def action_cancel(self) -> None:
        """Give nothing back."""
        self.dismiss(None)
