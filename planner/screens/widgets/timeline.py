"""The plan as a table: clock, minutes, what, and on a wide screen why."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import ClassVar

from rich.text import Text
from textual.binding import BindingType
from textual.widgets import DataTable

from planner.build.plan import Plan, Segment
from planner.clock import clock_text
from planner.drills.card import Drill
from planner.paper.page_rows import everyone

WIDE, WHY_FROM = 100, 112
"""Columns of the screen from which there is more room, and from which reasons have a column of their own."""
TALL = 30
"""Rows of the screen from which reasons are shown whole, and the table has a head."""


class Timeline(DataTable[Text], inherit_bindings=False):
    """The segments of a plan; left and right are free for the days."""

    help = (
        "The plan: up and down choose a segment; left and right go to another day until the game."
        " ● is pinned, ▪ locked. Above are the days with minutes and load: ≤ at most so near to the game,"
        " ! more than that, ? only proposed."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        one for one in DataTable.BINDINGS if getattr(one, "key", "") not in {"left", "right"}
    ]

    def __init__(self) -> None:
        super().__init__(id="plan", cursor_type="row", zebra_stripes=False)
        self._laid_out = (0, False)

    def show(
        self,
        plan: Plan | None,
        pinned: Collection[str] = (),
        locked: Collection[int] = (),
        row: int | None = None,
    ) -> None:
        """Show a plan; the cursor stays where it is unless a ``row`` is named."""
        at = self.cursor_row if row is None else row
        self._lay_out()
        self.clear()
        width, tall = self._laid_out
        for number, one in enumerate(plan.segments if plan else ()):
            mark = "● " if drill_of(one) in pinned else ""
            mark = f"▪ {mark}" if one.start in locked else mark
            style = "bold" if one.kind in {"drill", "warm-up"} else "dim"
            cells = [
                Text(clock_text(one.start), style=style),
                Text(str(one.minutes), style=style, justify="right"),
                Text(mark + one.title, style=style, no_wrap=not tall, overflow="ellipsis"),
            ]
            if width >= WHY_FROM:
                cells.append(Text(one.why, no_wrap=not tall, overflow="ellipsis"))
            self.add_row(*cells, key=str(number), height=None if tall else 1)
        if plan:
            self.move_cursor(row=min(max(at, 0), len(plan.segments) - 1))

    def _lay_out(self) -> None:
        """Make the columns for the room there is."""
        width, tall = self.app.size.width, self.app.size.height >= TALL
        wanted = (width, tall and width >= WHY_FROM)
        if wanted == self._laid_out and self.columns:
            return
        self._laid_out = wanted
        self.clear(columns=True)
        self.show_header = tall
        self.add_column("Clock", key="clock", width=5)
        self.add_column("Min", key="min", width=3)
        if width < WHY_FROM:
            side = SIDE if width >= WIDE else NARROW_SIDE
            self.add_column("What", key="what", width=max(12, width - side - COLUMNS - 2))
            return
        room = width - SIDE - COLUMNS - 3
        what = min(44, max(24, room - WHY))
        self.add_column("What", key="what", width=what)
        self.add_column("Why", key="why", width=room - what)


SIDE, NARROW_SIDE = 36, 30
"""Columns of the needs beside it on a wide and on a narrow screen."""
COLUMNS = 5 + 3 + 2 * 2 + 2
"""Columns of clock and minutes, with all that lies between, and the scroll bar's."""
WHY = 43
"""Columns of a reason: most need two lines then."""


def drill_of(segment: Segment | None) -> str | None:
    """Return the drill that a segment runs (the first of several), None where it runs none."""
    if segment is None or segment.kind != "drill" or not segment.stations:
        return None
    return segment.stations[0].drill


def detail_text(plan: Plan, segment: Segment, cards: Mapping[str, Drill], *, why: bool) -> str:
    """Return what more there is to a segment: its reason where the table has no room, cues, who is where."""
    if len(segment.drills) > 1:
        baskets = [
            f"half {one.half}, {_title(one.drill, cards)}: {' '.join(one.players)}"
            for one in segment.stations
        ]
        return "\n".join([*baskets, *([segment.why] if why else [])])
    lines = [f"{segment.title}: {segment.why}" if why and segment.why else segment.title]
    card = next((cards[one] for one in segment.drills if one in cards), None)
    if card is not None:
        lines.append("Say: " + "   ".join(f"“{one}”" for one in card.cues[:3]))
    groups = [f"half {one.half}: {' '.join(one.players)}" for one in segment.stations if one.group != "all"]
    return "\n".join([*lines, *(groups or _together(plan, segment))])


def _title(drill: str, cards: Mapping[str, Drill]) -> str:
    return cards[drill].title if drill in cards else drill


def _together(plan: Plan, segment: Segment) -> list[str]:
    if not segment.stations:
        return []
    there = segment.stations[0].players
    later = [one for one in everyone(plan) if one not in there]
    return [f"Everyone but {' '.join(later)}." if later else "Everyone together."]
