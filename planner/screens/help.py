"""Help that answers what can be done here."""

from __future__ import annotations

from collections.abc import Mapping

from textual.screen import Screen
from textual.widget import Widget

from planner.screens.actions import EVERYWHERE, PLACES, Action, shown_keys


def help_text(screen: Screen[object], focused: Widget | None, changed: Mapping[str, str]) -> str:
    """Return help for the focused widget (its ``help`` text), the place, and the whole app.

    ``changed`` maps the ids of actions to the user's own keys.
    """
    parts = []
    if focused is not None and (own := getattr(focused, "help", "")):
        parts.append(own)
    place = next((one for one in PLACES if one.id == getattr(screen, "place", "")), None)
    if place is not None:
        parts.append(f"{place.title}: {place.purpose}.")
    actions: tuple[Action, ...] = getattr(screen, "ACTIONS", ())
    if actions:
        parts.append(_keys(actions, changed))
    parts.append("Everywhere\n" + _keys(EVERYWHERE, changed))
    parts.append(
        "Ctrl+P opens the palette: type what you want to do. Shift or Option while dragging selects text with"
        " the mouse. Keys can be changed in keys.toml in the data folder, a line each, such as"
        ' "film.watch" = "z".'
        " TEXTUAL_COLOR_SYSTEM=standard helps an old terminal."
    )
    return "\n\n".join(parts)


def _keys(actions: tuple[Action, ...], changed: Mapping[str, str]) -> str:
    return "\n".join(
        f"  {' '.join(shown_keys(changed.get(one.id, one.key))):8} {one.words}" for one in actions
    )
