"""A drill card for the terminal: pictures in braille first, then what a coach says and does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from planner.court.braille import ACTION, ATTACK, BALL, COURT, DEFENCE, draw
from planner.court.describe import describe
from planner.court.frame import Frame
from planner.drills.card import SHARE_UNIT, Drill
from planner.drills.vocabulary import Stage

KEY = "(1) ball · x1 defence · → run · ┄ pass · ∿ dribble · ⇒ closeout · ↔ bluff · ┤ screen"
"""The marks in one line of 80 columns."""

LARGEST = (60, 22)
"""Columns and rows of a picture that still fits a terminal of 80 by 24 with its caption."""

_LABEL = 12
_GAP = 2
_STYLES = {COURT: "dim", ACTION: "", ATTACK: "bold", DEFENCE: "bold", BALL: "bold"}


@dataclass(frozen=True, slots=True)
class CardNotes:
    """What a card shows beside the drill.

    ``titles`` maps principle id to title, ``frames`` are the drill's pictures. ``frame`` shows only that one
    of them, counted from 1, as large as it goes; ``words`` tells the pictures instead of drawing them.
    ``remarks`` stand under the title.
    """

    titles: Mapping[str, str] = field(default_factory=dict)
    frames: Sequence[Frame] = ()
    frame: int | None = None
    words: bool = False
    remarks: tuple[str, ...] = ()


def card_view(drill: Drill, notes: CardNotes, width: int = 80) -> Group:
    """Return the whole card, laid out for ``width`` columns."""
    return Group(*_head(drill, notes, width), *_pictures(notes, width), *_body(drill))


def frame_view(drill: Drill, notes: CardNotes, width: int = 80) -> Group:
    """Return one picture alone, for a look from the floor: with its caption it fits 80 by 24."""
    number = notes.frame or 1
    title = Text(f"{drill.title} · {number} of {len(notes.frames)}", style="bold")
    title.truncate(width, overflow="ellipsis")
    caption, picture = _picture(notes.frames[number - 1], 0, LARGEST if width < 120 else (100, 36), width)
    return Group(title, caption, picture)


def _head(drill: Drill, notes: CardNotes, width: int) -> Iterator[RenderableType]:
    line = Table.grid(padding=(0, _GAP), expand=False)
    line.add_column(width=width - 30 if drill.stage else width)
    line.add_column(justify="right", width=28)
    line.add_row(Text(drill.title, style="bold"), Text(_stages(drill)))
    yield line
    yield Text(drill.id, style="dim")
    yield Text(facts(drill))
    yield Text(shares_in_words(drill, notes.titles))
    if drill.equipment:
        yield Text(f"Bring: {', '.join(drill.equipment)}")
    for one in notes.remarks:
        yield Text(one, style="bold")


def _stages(drill: Drill) -> str:
    if drill.stage is None:
        return ""
    return f"{'●' * drill.stage.rank}{'○' * (len(Stage) - drill.stage.rank)} {drill.stage}"


def facts(drill: Drill) -> str:
    """Return players, room, minutes and effort in one line."""
    room = "full court" if drill.half_courts == 2 else "half court"
    kind = "" if drill.stage else f"{drill.kind} · "
    return (
        f"{kind}{drill.players_min}–{drill.players_max} players · {room}"
        f" · {drill.minutes.min}–{drill.minutes.max} min (usual {drill.minutes.usual})"
        f" · effort {drill.effort}/10"
    )


def shares_in_words(drill: Drill, titles: Mapping[str, str]) -> str:
    """Return what the drill teaches, the largest share first."""
    ranked = sorted(drill.shares.items(), key=lambda one: -one[1])
    parts = [f"{titles.get(one, one)} {units * 100 // SHARE_UNIT} %" for one, units in ranked]
    return ", ".join(parts) or "No principle of the defence"


def target_in_words(drill: Drill) -> str:
    """Return the target of the scoring, or nothing."""
    if drill.scoring is None:
        return ""
    out_of = f" out of {drill.scoring.tries}" if drill.scoring.tries else ""
    return f"Target: {drill.scoring.target} {drill.scoring.counts}{out_of}."


def _pictures(notes: CardNotes, width: int) -> Iterator[RenderableType]:
    if not notes.frames:
        return
    yield Text("")
    if notes.words:
        for number, one in enumerate(notes.frames, 1):
            yield from _section(f"Frame {number}", [describe(one)])
        return
    half = (width - _GAP) // 2
    for row in _rows(notes.frames):
        grid = Table.grid(padding=(0, _GAP, 0, 0))
        size = (half, 16) if len(row) == 2 or not row[0][1].whole else (min(LARGEST[0], width), LARGEST[1])
        cells = [_picture(frame, number, size, size[0]) for number, frame in row]
        for _ in cells:
            grid.add_column(width=size[0])
        grid.add_row(*(caption for caption, _ in cells))
        grid.add_row(*(picture for _, picture in cells))
        yield grid
    yield Text(KEY, style="dim")


def _rows(frames: Sequence[Frame]) -> list[list[tuple[int, Frame]]]:
    """Return the pictures by twos; a whole court stands alone, since it needs the width."""
    rows: list[list[tuple[int, Frame]]] = []
    for number, one in enumerate(frames, 1):
        if rows and len(rows[-1]) == 1 and not one.whole and not rows[-1][0][1].whole:
            rows[-1].append((number, one))
        else:
            rows.append([(number, one)])
    return rows


def _picture(frame: Frame, number: int, size: tuple[int, int], width: int) -> tuple[Text, Text]:
    """Return caption and drawing, without the empty rows below; ``number`` 0 is not written."""
    drawn = draw(frame, *size)
    rows = list(zip(drawn.rows, drawn.roles, strict=True))
    while rows and not rows[-1][0].strip():
        rows.pop()
    text = Text(no_wrap=True)
    for row, roles in rows:
        for letter, role in zip(row.rstrip(), roles, strict=False):
            text.append(letter, style=_STYLES.get(role, ""))
        text.append("\n")
    text.rstrip()
    caption = Text(f"{number} {frame.caption}" if number else frame.caption)
    caption.truncate(max(width, 20) * 2, overflow="ellipsis")
    return caption, text


def _body(drill: Drill) -> Iterator[RenderableType]:
    yield Text("")
    yield from _section("Set-up", [drill.set_up])
    yield from _section("Runs", [drill.how])
    yield from _section("Say", [f"“{one}”" for one in drill.cues])
    yield from _section("See → say", [f"{one.seen}\n  → “{one.say}”" for one in drill.faults])
    if drill.scoring:
        yield from _section("Score", [f"{drill.scoring.rule} {target_in_words(drill)}"])
    yield from _section("Few players", [drill.few_players])
    yield from _section("One basket", [drill.one_basket])
    yield from _section("Mind", list(drill.cautions))
    yield from _section("Easier", [", ".join(drill.easier)])
    yield from _section("Harder", [", ".join(drill.harder)])


def _section(title: str, parts: list[str]) -> Iterator[RenderableType]:
    kept = [one for one in parts if one]
    if not kept:
        return
    grid = Table.grid(padding=(0, 0))
    grid.add_column(width=_LABEL)
    grid.add_column()
    for number, one in enumerate(kept):
        grid.add_row(Text("" if number else title, style="bold"), Text(_flowing(one)))
    yield grid


def _flowing(text: str) -> str:
    """Return a text whose source lines flow together; what comes back at a fault keeps its own line."""
    return " ".join(text.replace("\n  →", "\0").split()).replace("\0", "\n→")
