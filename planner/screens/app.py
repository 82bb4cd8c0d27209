"""The app: six places over one desk."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.app import App, SystemCommand
from textual.binding import BindingType
from textual.screen import Screen

from planner.problem import Problem, Refusal
from planner.screens.actions import EVERYWHERE, PLACES, Action, shown_key
from planner.screens.dialogs import ReadDialog
from planner.screens.opening import OpeningFrame
from planner.screens.place import Place
from planner.screens.themes import DAY, NIGHT

if TYPE_CHECKING:
    from planner.desk.desk import Desk


def _lazily(place: str) -> Callable[[], Screen[None]]:
    """Return a maker that imports a place's module only when it is first entered."""

    def make() -> Screen[None]:
        from importlib import import_module

        module = import_module(f"planner.screens.{place}")
        made: Screen[None] = getattr(module, f"{place.capitalize()}Place")()
        return made

    return make


def _load_places() -> None:
    from importlib import import_module

    for one in PLACES:
        import_module(f"planner.screens.{one.id}")


class StopsheetApp(App[None]):
    """The terminal app; everything it does is a verb of the desk."""

    TITLE = "stopsheet"
    CSS_PATH = "app.tcss"
    ENABLE_COMMAND_PALETTE = True
    MODES: ClassVar[dict[str, str | Callable[[], Screen[None]]]] = {one.id: _lazily(one.id) for one in PLACES}
    BINDINGS: ClassVar[list[BindingType]] = [one.binding for one in EVERYWHERE]

    def __init__(
        self,
        desk: Desk,
        keymap: Mapping[str, str] | None = None,
        light: bool = False,
        key_faults: Sequence[Problem] = (),
    ) -> None:
        super().__init__()
        self.desk = desk
        self.user_keys: Mapping[str, str] = dict(keymap or {})
        self._key_faults = tuple(key_faults)
        self._light = light
        self._greeted = False
        self._read_ahead = False
        self.fault: Exception | None = None
        self.animation_level = "none"

    def on_mount(self) -> None:
        """Set look and keys, and open the first place."""
        self.register_theme(NIGHT)
        self.register_theme(DAY)
        self.theme = DAY.name if self._light else NIGHT.name
        self.set_keymap(dict(self.user_keys))
        self.push_screen(OpeningFrame())
        self.call_after_refresh(self._enter)

    def _enter(self) -> None:
        """Go to the first place, unless a key was faster."""
        if self.current_mode not in self.MODES:
            self.switch_mode(PLACES[0].id)
        if self._key_faults:
            self._tell_key_faults()

    def _tell_key_faults(self) -> None:
        """Say once what of the key map could not be used; the rest of it holds."""
        lines = [str(one) for one in self._key_faults]
        self.push_screen(ReadDialog("Not all keys could be changed", "\n".join(lines)))

    def key_of(self, action: Action) -> str:
        """Return an action's keys as they are now: the user's own, else those it came with."""
        return self.user_keys.get(action.id, action.key)

    def _handle_exception(self, error: Exception) -> None:
        """Leave with one sentence where a fault of ours would end the app with a page of names and values."""
        if self.is_headless or os.environ.get("STOPSHEET_DEBUG"):
            super()._handle_exception(error)
        elif self.fault is None:
            self.fault = error
            self.exit(return_code=2)

    def action_go(self, place: str) -> None:
        """Go to a place; where that is the one on screen, look again."""
        self._greeted = False
        if self.current_mode == place and isinstance(self.screen, Place):
            self.screen.refill()
        else:
            self.switch_mode(place)

    def action_turn_light(self) -> None:
        """Switch between dark and light."""
        self.theme = NIGHT.name if self.theme == DAY.name else DAY.name

    def action_explain(self) -> None:
        """Show help for the focused widget and the place."""
        from planner.screens.help import help_text

        self.push_screen(ReadDialog("Help", help_text(self.screen, self.focused, self.user_keys)))

    def action_copy_place(self) -> None:
        """Copy what the place shows."""
        text = self.screen.as_text() if isinstance(self.screen, Place) else ""
        if not text:
            self.notify("There is nothing to copy here.")
            return
        self.copy_to_clipboard(text)
        self.notify("Copied as plain text.")

    def action_undo(self) -> None:
        """Undo the last thing written, whichever place it came from."""
        if isinstance(self.screen, Place):
            self.screen.undo()

    def welcome(self) -> None:
        """Begin the first run unless it is on screen already, or was left and nobody went anywhere since."""
        from planner.screens.first import first_run

        if isinstance(self.screen, Place) and not self._greeted:
            self._greeted = True
            self.run_worker(first_run(self), name="first-run", exclusive=True, exit_on_error=False)

    def open_demo(self) -> None:
        """Make the demo season in a folder of its own and work at its desk from here on."""
        place = self.screen
        if not isinstance(place, Place):
            return

        def make() -> Desk:
            from planner.desk.demo import run_demo

            return run_demo(self.desk).desk

        def opened(desk: Desk) -> None:
            self.notify(f"The demo season is in {desk.home}.")
            self.work_at(desk)

        self.notify("Making the demo season …")
        place.in_background(make, opened, "demo")

    def work_at(self, desk: Desk) -> None:
        """Work at another desk from here on."""
        if desk.home != self.desk.home:
            self.desk.close()
            self.desk = desk
        if isinstance(self.screen, Place):
            self.screen.refill()

    def set_up_team(self, answers: dict[str, str]) -> None:
        """Set the team up from the five answers."""
        from planner.screens.first import set_up_from

        place = self.screen
        if isinstance(place, Place):
            place.in_background(lambda: set_up_from(self.desk, answers), lambda _: place.refill(), "set-up")

    def read_ahead(self) -> None:
        """Load the other places' modules while the coach reads the first; entering them is quick then."""
        if not self._read_ahead:
            self._read_ahead = True
            self.run_worker(_load_places, name="read-ahead", thread=True, exit_on_error=False)

    def action_leave(self) -> None:
        """Leave; everything is saved as it is entered."""
        self.exit()

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Put every action of the place and of the app into the palette."""
        actions = [*getattr(screen, "ACTIONS", ()), *EVERYWHERE]
        for one in actions:
            yield SystemCommand(
                one.words, f"key {shown_key(self.key_of(one))}", lambda run=one.run: self._run_named(run)
            )

    async def _run_named(self, run: str) -> None:
        await self.screen.run_action(run) if not run.startswith("app.") else await self.run_action(run)


def open_app(desk: Desk, *, light: bool = False, mouse: bool = True) -> None:
    """Run the app until the coach leaves.

    Raises:
        Refusal: there is no terminal to run in, or the app had to end through a fault of its own.

    """
    from planner.screens.keymap import read_keys

    need_terminal()
    keys, faults = read_keys(desk.home)
    app = StopsheetApp(desk, keys, light, faults)
    app.run(mouse=mouse)
    if app.fault is not None:
        raise Refusal(
            f"That is a fault of stopsheet ({type(app.fault).__name__}), not yours; all that was entered is"
            " kept. Set STOPSHEET_DEBUG=1 and open it again to see where."
        )


def need_terminal() -> None:
    """Refuse where nobody could see or steer the app.

    Raises:
        Refusal: there is no terminal to run in.

    """
    import sys

    if not all(one.isatty() for one in (sys.stdin, sys.stdout, sys.stderr)):  # the framework draws on stderr
        raise Refusal("The app needs a terminal; every screen has a command too: stopsheet --help.")
