"""The user's own keys: ``keys.toml`` in the data folder, read into the key map; faults are values."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from importlib import import_module
from pathlib import Path
from typing import Any

from planner.drills.fields import parse_toml
from planner.problem import Problem
from planner.screens.actions import EVERYWHERE, PLACES, Action
from planner.text import clean_line

FILE = "keys.toml"
MOST_BYTES = 100_000

FIXED = frozenset({"enter", "escape", "tab", "shift+tab", "up", "down", "ctrl+c", "ctrl+p", "ctrl+q"})
"""Keys that lists, dialogs and the palette need."""

_NAMED = re.compile(
    r"(?:(?:ctrl|shift|alt)\+)*(?:[a-z0-9]|f\d{1,2}|left|right|home|end|pageup|pagedown|insert|delete|space"
    r"|backspace|[a-z]+_[a-z_]+|plus|minus|slash|comma|tilde|at|colon|semicolon|backslash)"
)

Keys = dict[str, str]


def read_keys(home: Path) -> tuple[Keys, tuple[Problem, ...]]:
    """Return action id -> keys from the data folder, and what of the file could not be used.

    The file is TOML, a line each: ``"film.watch" = "z"``, several keys by commas. No file: no change.
    """
    path = home / FILE
    if not path.is_file():
        return {}, ()
    try:
        raw = path.read_bytes()
        if len(raw) > MOST_BYTES:
            return {}, (Problem(FILE, None, f"larger than {MOST_BYTES} bytes; not read"),)
        text = raw.decode("utf-8-sig")
    except OSError as fault:
        return {}, (Problem(FILE, None, f"cannot be read: {fault.strerror or 'unreadable'}"),)
    except UnicodeDecodeError:
        return {}, (Problem(FILE, None, "cannot be read: not UTF-8 text"),)
    return keys_from(text)


def keys_from(text: str) -> tuple[Keys, tuple[Problem, ...]]:
    """Return action id -> keys from the text of a key map, and what of it could not be used."""
    table, problems = parse_toml(FILE, text)
    if problems:
        return {}, tuple(problems)
    places = actions_of_places()
    known = {one.id: one for actions in places.values() for one in actions}
    wanted: Keys = {}
    for name, value in _flat(table):
        fault = _fault(name, value, known)
        if fault:
            problems.append(Problem(FILE, None, fault))
        else:
            wanted[name] = ",".join(_key(one) for one in _parts(value))
    kept, clashes = _without_clashes(wanted, places)
    return kept, (*problems, *clashes)


def actions_of_places() -> Mapping[str, tuple[Action, ...]]:
    """Return place -> everything a key does there, the keys that work everywhere included."""
    found = {}
    for one in PLACES:
        module = import_module(f"planner.screens.{one.id}")
        actions: tuple[Action, ...] = getattr(module, f"{one.id.capitalize()}Place").ACTIONS
        found[one.id] = (*EVERYWHERE, *actions)
    return found


def _flat(table: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, Any]]:
    """Return dotted name and value; ``film.watch = "z"`` says the same with and without quotes."""
    for key, value in table.items():
        name = f"{before}{key}"
        if isinstance(value, dict):
            yield from _flat(value, f"{name}.")
        else:
            yield clean_line(name, 60), value


def _parts(value: str) -> list[str]:
    return [one.strip() for one in value.split(",") if one.strip()] or ([","] if "," in value else [])


def _key(part: str) -> str:
    """Return a key by the name the framework knows it by."""
    from textual.keys import _character_to_key

    return _character_to_key(part) if len(part) == 1 else part.lower()


def _fault(name: str, value: Any, known: Mapping[str, Action]) -> str:
    if name not in known:
        from difflib import get_close_matches

        near = get_close_matches(name, known, 2, 0.5)
        hint = f"; did you mean {' or '.join(near)}?" if near else "; help (F1) lists what there is"
        return f"there is no action '{name}'{hint}"
    if not isinstance(value, str) or not _parts(value):
        return f"'{name}' needs a key in quotes, such as \"z\""
    for one in _parts(value):
        said = clean_line(one, 20)
        if _key(one) in FIXED:
            return f"'{name}' cannot have '{said}': lists and dialogs need that key"
        if not (len(one) == 1 and one.isprintable()) and not _NAMED.fullmatch(one.lower()):
            return f"'{said}' for '{name}' is no key; write a letter, or such as f5, ctrl+s, pagedown"
    return ""


def _without_clashes(wanted: Keys, places: Mapping[str, tuple[Action, ...]]) -> tuple[Keys, list[Problem]]:
    """Return what is wanted without what would hide another action, until nothing clashes."""
    kept, problems = dict(wanted), []
    while clash := _clash(kept, places):
        name, key, other = clash
        problems.append(Problem(FILE, None, f"'{name}' keeps its key: '{key}' is that of '{other}'"))
        del kept[name]
    return kept, problems


def _clash(kept: Keys, places: Mapping[str, tuple[Action, ...]]) -> tuple[str, str, str] | None:
    for actions in places.values():
        taken: dict[str, str] = {}
        for one in sorted(actions, key=lambda action: action.id in kept):
            for key in kept.get(one.id, one.key).split(","):
                if key in taken and one.id in kept:
                    return one.id, key, taken[key]
                taken[key] = one.id
    return None
