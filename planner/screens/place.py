"""What all six places share: top bar, key line, work in the background, refusals as sentences."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import Static

from planner.problem import Refusal
from planner.screens.actions import EVERYWHERE, PLACES, Action, shown_key
from planner.screens.dialogs import ReadDialog
from planner.screens.pauses import settle_down
from planner.stopping import Stopped

if TYPE_CHECKING:
    from planner.desk.desk import Desk
    from planner.screens.app import StopsheetApp

Result = TypeVar("Result")

LOOK = "look"
"""What ``refill`` calls the job that looks at the store."""

LOOK_CLOSER = "look-closer"
"""A further look whose answer may come later than the first."""


class TopBar(Static):
    """The six places by digit, the present one marked by brackets (colour is not needed to see it)."""

    def __init__(self, place: str, changed: Mapping[str, str]) -> None:
        named = [(one, f"{shown_key(changed.get(f'go.{one.id}', one.key))} {one.title}") for one in PLACES]
        parts = [f"[{words}]" if one.id == place else f" {words} " for one, words in named]
        super().__init__("".join(parts), markup=False, classes="top-bar")


class KeyLine(Static):
    """At most five keys; help tells the rest."""

    def __init__(self, actions: tuple[Action, ...], changed: Mapping[str, str]) -> None:
        help_ = next(one for one in EVERYWHERE if one.id == "app.help")
        shown = [one for one in actions if one.shown][:4]
        words = [f"{shown_key(changed.get(one.id, one.key))} {one.label}" for one in shown]
        words.append(f"{shown_key(changed.get(help_.id, help_.key))} help")
        super().__init__("   ".join(words), markup=False, classes="key-line")


class Place(Screen[None]):
    """One of the six places.

    A subclass gives ``place`` and ``ACTIONS``, composes its body in ``body``, and fills it in ``_show`` with
    what ``_look`` found: ``refill`` runs both whenever the place is shown or something was written.
    """

    place: ClassVar[str] = ""
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012  the framework declares it so
    ACTIONS: ClassVar[tuple[Action, ...]] = ()

    def __init_subclass__(cls, **arguments: Any) -> None:
        """Turn the actions into bindings before the framework reads them."""
        cls.BINDINGS = [one.binding for one in cls.ACTIONS]
        super().__init_subclass__(**arguments)

    def __init__(self) -> None:
        super().__init__()
        self._asked: dict[str, int] = {}
        self._stands = False
        self._blind = False
        """Whether the last look failed: a dialog tells so, and looking again would only repeat it."""

    @property
    def stop_app(self) -> StopsheetApp:
        """Return the app with its own type."""
        from planner.screens.app import StopsheetApp

        app = self.app
        assert isinstance(app, StopsheetApp)
        return app

    @property
    def desk(self) -> Desk:
        """Return the desk; its verbs block, so call them through ``in_background``."""
        return self.stop_app.desk

    def compose(self) -> ComposeResult:
        """Put the body between top bar and key line."""
        keys = self.stop_app.user_keys
        yield TopBar(self.place, keys)
        yield from self.body()
        yield KeyLine(self.ACTIONS, keys)

    def body(self) -> ComposeResult:
        """Compose what is this place's own."""
        yield from ()

    def refill(self) -> None:
        """Look at the store in the background and show what it holds."""
        self.in_background(self._look, self._show, LOOK)

    def _look(self) -> Any:
        """Return what there is to be shown; runs in a thread."""

    def _show(self, known: Any) -> None:
        """Show what was found."""

    def as_text(self) -> str:
        """Return what is shown as plain text, for the clipboard."""
        return ""

    def undo(self) -> None:
        """Take back what was done last."""

        def told(words: str) -> None:
            self.notify(words)
            self.refill()

        self.in_background(self.undo_job(), told, "undo")

    def undo_job(self) -> Callable[[], str]:
        """Return what ``u`` runs in a thread here; it says what was taken back."""
        from planner.desk.undo import undo_last

        return lambda: undo_last(self.desk)

    def on_screen_resume(self) -> None:
        """Look again whenever the place is entered; not on closing the dialog that told why a look failed."""
        blind, self._blind = self._blind, False
        if not blind:
            self.refill()

    def in_background(
        self,
        job: Callable[[], Result],
        then: Callable[[Result], object],
        name: str,
    ) -> None:
        """Run a desk verb in a thread and hand its result to ``then`` on the app's own thread.

        A later call of the same ``name`` makes an earlier answer stale; stale answers are dropped. A refusal
        is shown as its sentence, a fault of ours as text that can be copied.
        """
        turn = self._asked[name] = self._asked.get(name, 0) + 1

        def work() -> None:
            try:
                result = job()
            except Stopped:
                self.app.call_from_thread(self.came_back, name, well=False)
            except Refusal as refusal:
                self.app.call_from_thread(self._tell, name, turn, self.refused, str(refusal))
            except Exception as fault:  # shown, never swallowed
                self.app.call_from_thread(self._tell, name, turn, self.failed, fault)
            else:
                self.app.call_from_thread(self._deliver, name, turn, then, result)

        self.run_worker(work, name=name, group=name, thread=True, exit_on_error=False)

    def _deliver(self, name: str, turn: int, then: Callable[[Result], object], result: Result) -> None:
        if self._asked.get(name) != turn or not self.is_attached:
            return
        try:
            then(result)
        except Exception as fault:  # shown, never swallowed with the worker
            self._tell(name, turn, self.failed, fault)
        else:
            self.came_back(name, well=True)
            if not self._stands:
                self._stands = True
                settle_down()
                self.stop_app.read_ahead()

    def _tell(self, name: str, turn: int, show: Callable[[Any], None], what: object) -> None:
        looked = name in (LOOK, LOOK_CLOSER)
        if looked and self._asked.get(name) != turn:
            return
        self._blind = looked
        show(what)
        self.came_back(name, well=False)

    def came_back(self, name: str, *, well: bool) -> None:
        """Hear that a job has ended: its answer was shown, or it was told why there is none."""

    def refused(self, sentence: str) -> None:
        """Show a refusal."""
        self.app.push_screen(ReadDialog("Not done", sentence))

    def failed(self, fault: Exception) -> None:
        """Show a fault of the program with what helps to mend it; names of players are not in it."""
        import traceback

        frames = traceback.extract_tb(fault.__traceback__)[-6:]
        lines = [f"{frame.name} at line {frame.lineno}" for frame in frames]
        text = "\n".join([f"{type(fault).__name__} in stopsheet; nothing was half-stored.", *lines])
        self.app.push_screen(ReadDialog("That is a fault of stopsheet, not yours", text))
