"""The frame that is painted before anything heavy is loaded."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Static

from planner.screens.actions import PLACES
from planner.screens.place import Place


class OpeningFrame(Place):
    """The first place's frame without its contents; it makes way as soon as it has been seen."""

    place = PLACES[0].id

    def body(self) -> ComposeResult:
        """Say that it opens."""
        yield Static("Opening …", markup=False)

    def refill(self) -> None:
        """Look at nothing: the place that follows will."""
