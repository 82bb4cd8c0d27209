"""One registry of what keys do: it feeds bindings, the key line, help, the palette and the user's key map."""

from __future__ import annotations

from dataclasses import dataclass

from textual.binding import Binding


@dataclass(frozen=True, slots=True)
class Action:
    """One thing a coach can do in a place.

    ``id`` is what a key map names (``tomorrow.build``), ``run`` the method behind it, ``words`` what help
    says. ``shown`` puts it into the key line (four at most per place; help is always the fifth).
    """

    id: str
    key: str
    run: str
    words: str
    shown: bool = False
    short: str = ""

    @property
    def binding(self) -> Binding:
        """Return the framework's form of it."""
        return Binding(self.key, self.run, self.words, id=self.id, show=False)

    @property
    def label(self) -> str:
        """Return the word for the key line."""
        return self.short or self.words.split()[0].lower()


_KEY_NAMES = {
    "question_mark": "?",
    "plus": "+",
    "equals_sign": "=",
    "minus": "-",
    "slash": "/",
    "left_square_bracket": "[",
    "right_square_bracket": "]",
    "left": "←",
    "right": "→",
    "escape": "Esc",
    "enter": "Enter",
    "space": "Space",
}


def shown_key(keys: str) -> str:
    """Return the first of an action's keys as it stands on a keyboard."""
    return shown_keys(keys)[0]


def shown_keys(keys: str) -> list[str]:
    """Return an action's keys as they stand on a keyboard."""
    found = [one.strip() for one in keys.split(",")]
    return [
        _KEY_NAMES.get(one, one.upper() if one[:1] == "f" and one[1:].isdigit() else one) for one in found
    ]


@dataclass(frozen=True, slots=True)
class PlaceInfo:
    """A place of the app: its id, the digit that goes there, its title, and what it is for."""

    id: str
    key: str
    title: str
    purpose: str


PLACES = (
    PlaceInfo("tomorrow", "1", "Tomorrow", "what costs most, and the next practice to the minute"),
    PlaceInfo("film", "2", "Film", "film notes: enter while watching, read files, sort what is unclear"),
    PlaceInfo("drills", "3", "Drills", "the drill library, cards and ladders"),
    PlaceInfo("season", "4", "Season", "where the minutes went, and whether it helped"),
    PlaceInfo("floor", "5", "Floor", "the running practice: clock, now and next, counting"),
    PlaceInfo("team", "6", "Team", "roster, gym, games, what is taught, backup"),
)

EVERYWHERE = (
    *(Action(f"go.{one.id}", one.key, f"app.go('{one.id}')", f"Go to {one.title}") for one in PLACES),
    Action("app.help", "f1,question_mark", "app.explain", "Help for what has the focus"),
    Action("app.undo", "u", "app.undo", "Undo what was done last"),
    Action("app.copy", "c", "app.copy_place", "Copy what is shown as plain text"),
    Action("app.theme", "t", "app.turn_light", "Switch between dark and light"),
    Action("app.quit", "q", "app.leave", "Leave the app"),
)
"""Works in every place; a field being typed into takes letters first."""
