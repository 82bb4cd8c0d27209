"""Help that answers what can be done here."""

from __future__ import annotations

from textual.screen import Screen
from textual.widget import Widget

from planner.screens.actions import EVERYWHERE, PLACES, Action


def help_text(screen: Screen[object], focused: Widget | None) -> str:
    """Return help for the focused widget (its ``help`` text), the place, and the whole app."""
    parts = []
    if focused is not None and (own := getattr(focused, "help", "")):
        parts.append(own)
    place = next((one for one in PLACES if one.id == getattr(screen, "place", "")), None)
    if place is not None:
        parts.append(f"{place.title}: {place.purpose}.")
    actions: tuple[Action, ...] = getattr(screen, "ACTIONS", ())
    if actions:
        parts.append(_keys(actions))
    parts.append("Everywhere\n" + _keys(EVERYWHERE))
    parts.append(
        "Ctrl+P opens the palette: type what you want to do. Shift or Option while dragging selects text with"
        " the mouse. Keys can be changed in keys.toml in the data folder."
    )
    return "\n\n".join(parts)


def _keys(actions: tuple[Action, ...]) -> str:
    return "\n".join(f"  {_key(one.key):8} {one.words}" for one in actions)


def _key(keys: str) -> str:
    names = {"question_mark": "?", "f1": "F1", "plus": "+", "minus": "-", "slash": "/"}
    return " ".join(names.get(one, one) for one in keys.split(","))
