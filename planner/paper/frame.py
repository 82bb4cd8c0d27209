"""What all tables of the terminal share: the narrowest width, the frame, fitting, and plain text."""

from __future__ import annotations

import io

from rich import box
from rich.cells import cell_len, set_cell_size
from rich.console import Console, RenderableType
from rich.table import Table

from planner.paper.printable import printable, without_breaks

NARROWEST = 80
"""The tables are drawn for this many columns at least."""

GAP = 2
"""Blanks between two columns."""

_PLAIN_RULE = box.Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)


def empty_table(ascii_only: bool) -> Table:
    """Return an empty table with one rule under its head and two blanks between columns."""
    rules = _PLAIN_RULE if ascii_only else box.SIMPLE_HEAD
    return Table(box=rules, padding=(0, 1, 0, 0), pad_edge=False, show_edge=False, header_style="bold")


def said(raw: str, limit: int = 240) -> str:
    """Return outside text as one clean line for the terminal."""
    return without_breaks(printable(raw, limit))


def fitted(line: str, width: int) -> str:
    """Return the line cut to ``width`` columns, with ``~`` where it was cut."""
    return line if cell_len(line) <= width else set_cell_size(line, width - 1).rstrip() + "~"


def plain_text(what: RenderableType, width: int = NARROWEST) -> str:
    """Return anything drawn here as plain text, without colour or trailing blanks."""
    out = io.StringIO()
    console = Console(
        file=out,
        width=max(width, NARROWEST),
        color_system=None,
        force_terminal=False,
        legacy_windows=False,
        markup=False,
        emoji=False,
        highlight=False,
        _environ={},
    )
    console.print(what)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()) + "\n"
