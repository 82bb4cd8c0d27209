"""One thing at a time is built or changed; what is asked meanwhile waits for it, and Escape stops it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, TypeVar

from textual.worker import get_current_worker

from planner.desk.versions import Overtaken
from planner.screens.place import LOOK, Place
from planner.stopping import stoppable

Result = TypeVar("Result")

BUILD = "build"
"""What the job is called that builds or changes something."""


class Building(Place):
    """A place whose changes each begin from what the one before left."""

    stage: Literal["free", "building", "looking"] = "free"
    progress = ""

    def __init__(self) -> None:
        super().__init__()
        self._waiting: list[Callable[[], object]] = []

    def when_free(self, job: Callable[[], object], words: str = "") -> None:
        """Do it now, or as soon as what is being built stands; ``words`` are said where it waits."""
        if self.stage == "free":
            job()
            return
        self._waiting.append(job)
        if words:
            self.notify(words)

    def build(
        self, job: Callable[[], Result], told: Callable[[Result], object], words: str = "Building …"
    ) -> None:
        """Build in the background and look again; ``told`` hears of it first."""
        self.stage, self.progress = "building", f"{words}   Esc stops it"
        self.show_stage()

        def work() -> Result | Overtaken:
            worker = get_current_worker()
            try:
                with stoppable(lambda: worker.is_cancelled):
                    return job()
            except Overtaken as overtaken:
                return overtaken

        def then(found: Result | Overtaken) -> None:
            self.stage = "looking"
            if isinstance(found, Overtaken):
                self.forget("What was to come after it was left.")
                self.overtaken(found)
            else:
                told(found)
            self.refill()

        self.in_background(work, then, BUILD)

    def tell_progress(self, words: str) -> None:
        """Show how far it is; called on the app's own thread."""
        if self.stage == "building":
            self.progress = f"{words}   Esc stops it"
            self.show_stage()

    def stop(self) -> bool:
        """Stop what is being built, and return whether anything was."""
        if self.stage != "building":
            return False
        self.forget()
        self.workers.cancel_group(self, BUILD)
        self.progress = "Stopping …"
        self.show_stage()
        return True

    def forget(self, words: str = "") -> None:
        """Let go of what waits."""
        if self._waiting and words:
            self.notify(words, severity="warning")
        self._waiting.clear()

    def came_back(self, name: str, *, well: bool) -> None:
        """Go on with what waits once something was built and looked at."""
        if name == BUILD and not well:
            if self.progress == "Stopping …":
                self.notify("Stopped; the plan is as it was.")
            self.forget("What was to come after it was left.")
            self.stage = "free"
            self.show_stage()
        elif name == LOOK and self.stage == "looking":
            self.stage = "free"
            self.show_stage()
            if not well:
                self.forget()
            while self._waiting and self.stage == "free":
                self._waiting.pop(0)()

    def undo(self) -> None:
        """Take back what was done last, once what is being built stands."""
        self.when_free(
            lambda: self.build(self.undo_job(), self.notify, "Undoing …"),
            "The plan is being changed; then it is undone.",
        )

    def show_stage(self) -> None:
        """Show whether something is being built."""

    def overtaken(self, overtaken: Overtaken) -> None:
        """Say that another coach was quicker."""
        self.refused(str(overtaken))
