"""Showing things: JSON, rich tables on a terminal, plain lines elsewhere."""

from __future__ import annotations

import json
import shutil
import sys
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rich.console import RenderableType

NARROWEST, WIDEST = 60, 140


def say(text: str) -> None:
    """Print one line of text."""
    sys.stdout.write(f"{text}\n")


def say_json(value: Any) -> None:
    """Print a value as JSON."""
    say(json.dumps(value, indent=2, ensure_ascii=False))


def width() -> int:
    """Return the columns to lay out for: the terminal's, 80 where there is none."""
    return max(NARROWEST, min(WIDEST, shutil.get_terminal_size((80, 24)).columns))


def draw(what: RenderableType) -> None:
    """Print a rich renderable; colour only on a terminal that wants it (NO_COLOR is respected)."""
    from rich.console import Console

    Console(width=width(), highlight=False, markup=False, emoji=False).print(what)
