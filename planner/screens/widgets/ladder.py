"""A principle's ladder: its drills from walk to live, and where the team stands on it."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from planner.drills.ladder import Ladder, next_stage
from planner.drills.vocabulary import Principle, Stage

STAGE_WORDS = {
    Stage.WALK: "no opposition, or walked through",
    Stage.GUIDED: "the offence does what it is told, at speed",
    Stage.CONTESTED: "real opposition, limited by an advantage or a rule",
    Stage.LIVE: "full decisions, scored",
}


def standing(passed: Stage | None) -> str:
    """Return in a sentence how far the team has come."""
    upcoming = next_stage(passed)
    if passed is None:
        return "Nothing passed yet; the team works at walk."
    return f"Passed: {passed}. " + (f"The team works at {upcoming}." if upcoming else "All four stages.")


def stage_mark(stage: Stage, passed: Stage | None) -> str:
    """Return ``✓`` for a stage passed, ``▸`` for the one the team works at, else a blank."""
    if passed is not None and stage.rank <= passed.rank:
        return "✓"
    return "▸" if stage is next_stage(passed) else " "


class LadderDialog(ModalScreen[str | None]):
    """The ladder as a list; Enter gives back a drill's id, Escape None."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,g", "cancel", "Cancel", id="ladder.cancel"),
    ]

    def __init__(self, principle: Principle, ladder: Ladder, passed: Stage | None, here: str) -> None:
        super().__init__()
        self._principle = principle
        self._ladder = ladder
        self._passed = passed
        self._here = here

    def compose(self) -> ComposeResult:
        """Show the stages with their drills."""
        with Vertical(classes="dialog filled"):
            yield Static(f"{self._principle.title}: the ladder", classes="dialog-title", markup=False)
            yield Static(f"{self._principle.taught}\n{standing(self._passed)}", markup=False)
            yield OptionList(*self._options())
            yield Static("Enter shows the drill   Esc back", classes="dialog-keys", markup=False)

    def on_mount(self) -> None:
        """Begin at the drill the coach came from."""
        listed = self.query_one(OptionList)
        ids = [listed.get_option_at_index(n).id for n in range(listed.option_count)]
        if self._here in ids:
            listed.highlighted = ids.index(self._here)

    def _options(self) -> list[Option]:
        made = []
        titles = {one.drill.id: one.drill.title for rungs in self._ladder.stages.values() for one in rungs}
        for stage, rungs in self._ladder.stages.items():
            mark = stage_mark(stage, self._passed)
            words = f"{mark} {stage.rank} {stage.value}: {STAGE_WORDS[stage]}"
            made.append(Option(Text(words, style="bold"), disabled=True))
            for one in rungs:
                then = (
                    f"\n      then {', '.join(titles.get(name, name) for name in one.harder)}"
                    if one.harder
                    else ""
                )
                made.append(Option(Text(f"    {one.drill.title}").append(then, "dim"), id=one.drill.id))
            if not rungs:
                made.append(Option(Text("    no drill at this stage", style="dim"), disabled=True))
        return made

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Give the drill back."""
        self.dismiss(event.option.id)

    def action_cancel(self) -> None:
        """Give nothing back."""
        self.dismiss(None)
