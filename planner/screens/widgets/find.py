"""A line to find things by typing."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import Input


class FindLine(Input):
    """One line without a frame; Enter, Escape or the down arrow leaves it for what was found."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,escape,down", "leave", "To what was found", id="find.leave", show=False),
    ]

    class Left(Message):
        """The coach goes on to what was found."""

    def __init__(self, hint: str, help_text: str, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(placeholder=hint, id=id, compact=True)
        self.help = help_text
        self.cursor_blink = False

    def action_leave(self) -> None:
        """Leave the line as it is."""
        self.post_message(self.Left())
