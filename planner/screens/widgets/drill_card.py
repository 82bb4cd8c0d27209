"""A drill card for the app: its picture first, one frame at a time, then what a coach says and does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from planner.court.braille import ACTION, ATTACK, BALL, COURT, DEFENCE, draw
from planner.court.describe import describe
from planner.court.frame import Frame
from planner.drills.card import Drill
from planner.drills.vocabulary import Stage
from planner.paper.card import KEY, facts, shares_in_words, target_in_words
from planner.problem import Problem

_STYLES = {COURT: "dim", ACTION: "", ATTACK: "bold", DEFENCE: "bold", BALL: "bold"}
_SMALLEST = (40, 16)
"""Columns and rows below which a picture no longer reads."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A drill with its pictures, the titles of the principles, and what stands under its title."""

    drill: Drill
    frames: Sequence[Frame]
    titles: Mapping[str, str]
    remarks: Sequence[str] = ()


class DrillCard(VerticalScroll):
    """The card of one drill, or what is wrong with the file of one; it scrolls."""

    help = "The card scrolls with the arrow keys; [ and ] change the picture; Esc goes back to the list."

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002  the framework names it so
        super().__init__(id=id)
        self.shown: Shown | None = None
        self.frame = 0
        self._text = ""

    def compose(self) -> ComposeResult:
        """Hold one text."""
        yield Static("", id="card-text", markup=False)

    def show(self, shown: Shown) -> None:
        """Show a drill from its first picture on; the picture stays where it is the same drill."""
        if self.shown is None or self.shown.drill.id != shown.drill.id:
            self.frame = 0
            self.scroll_home(animate=False)
        self.shown = shown
        self._draw()

    def show_text(self, text: str) -> None:
        """Show plain text instead of a drill."""
        self.shown = None
        self._text = text
        self._draw()

    def turn(self, by: int) -> None:
        """Go to the next picture or the one before, round and round."""
        if self.shown is not None and self.shown.frames:
            self.frame = (self.frame + by) % len(self.shown.frames)
            self._draw()

    def on_resize(self) -> None:
        """Use the room there is."""
        self._draw()

    def plain(self) -> str:
        """Return the card as plain text, its pictures told in words."""
        if self.shown is None:
            return self._text
        told = list(_told(self.shown.frames))
        lines = [*(one.plain for one in _head(self.shown)), "", *told]
        return "\n".join([*lines, *(one.plain for one in _body(self.shown))])

    def _draw(self) -> None:
        target = self.query_one("#card-text", Static)
        if self.shown is None:
            target.update(Text(self._text))
            return
        room = self.scrollable_content_region
        if not room.width:
            return
        out = Text()
        parts = [*_head(self.shown), *_picture(self.shown.frames, self.frame, room.width, room.height)]
        for one in [*parts, *_body(self.shown)]:
            out.append(one).append("\n")
        target.update(out)


def stage_dots(stage: Stage | None) -> str:
    """Return a stage as dots, ``●●○○`` for the second of four; blanks for none."""
    return "    " if stage is None else "●" * stage.rank + "○" * (len(Stage) - stage.rank)


def faults_text(name: str, problems: Sequence[Problem]) -> str:
    """Return what has to be put right in a drill's file."""
    lines = [f"{name}: to put right", ""]
    lines += [f"line {one.line}: {one.what}" if one.line else one.what for one in problems]
    return "\n".join([*lines, "", "e opens the file in your editor."])


def _head(shown: Shown) -> Iterator[Text]:
    drill = shown.drill
    yield Text(drill.title, style="bold")
    stage = f"{stage_dots(drill.stage)} {drill.stage} · " if drill.stage else ""
    yield Text(f"{stage}{facts(drill)}")
    for one in shown.remarks:
        yield Text(one, style="italic")


def _picture(frames: Sequence[Frame], number: int, width: int, height: int) -> Iterator[Text]:
    if not frames:
        yield Text("No diagram.", style="dim")
        return
    frame = frames[number]
    turning = f"[{number + 1} of {len(frames)}] " if len(frames) > 1 else ""
    if width < _SMALLEST[0]:
        yield Text("There is no room here to draw it: Enter shows it over the whole screen.", style="dim")
        yield Text(f"{turning}{describe(frame)}")
        return
    yield Text(f"{turning}{frame.caption}", style="bold")
    columns = min(width, 100)
    rows = min(max(height - 5, _SMALLEST[1]), 36)
    drawn = draw(frame, columns, rows)
    lines = list(zip(drawn.rows, drawn.roles, strict=True))
    while lines and not lines[-1][0].strip():
        lines.pop()
    for row, roles in lines:
        line = Text(no_wrap=True)
        for letter, role in zip(row.rstrip(), roles, strict=False):
            line.append(letter, style=_STYLES.get(role, ""))
        yield line
    yield Text(KEY, style="dim")


def _told(frames: Sequence[Frame]) -> Iterator[str]:
    for number, one in enumerate(frames, 1):
        yield f"Frame {number}: {describe(one)}"
    if frames:
        yield ""


def _body(shown: Shown) -> Iterator[Text]:
    drill = shown.drill
    faults = [f"{one.seen} → “{one.say}”" for one in drill.faults]
    score = [f"{drill.scoring.rule} {target_in_words(drill)}"] if drill.scoring else []
    sections: list[tuple[str, Sequence[str]]] = [
        ("Set-up", [drill.set_up]),
        ("Runs", [drill.how]),
        ("Say", [f"“{one}”" for one in drill.cues]),
        ("See → say", faults),
        ("Score", score),
        ("Bring", [", ".join(drill.equipment)]),
        ("Few players", [drill.few_players]),
        ("One basket", [drill.one_basket]),
        ("Mind", list(drill.cautions)),
        ("Easier", [", ".join(drill.easier)]),
        ("Harder", [", ".join(drill.harder)]),
    ]
    for title, lines in sections:
        kept = [" ".join(one.split()) for one in lines if one.strip()]
        if kept:
            yield Text("")
            yield Text(title, style="bold")
            yield from (Text(one) for one in kept)
    yield Text("")
    yield Text("Teaches", style="bold")
    yield Text(shares_in_words(drill, shown.titles))
    yield Text(f"id: {drill.id}", style="dim")
