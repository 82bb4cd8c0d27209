"""What the team has to bring to practice: so many of each; what was never named is taken to be there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from planner.build.equipment import words_of
from planner.desk.desk import Desk
from planner.problem import Refusal
from planner.store import queries
from planner.text import clean_line

SETTING = "equipment"
MOST = 200
MOST_THINGS = 40
"""Different things that can be told."""


def equipment_in(settings: Mapping[str, Any]) -> dict[str, int]:
    """Return thing -> how many, as told."""
    found = settings.get(SETTING)
    return {str(name): int(count) for name, count in found.items()} if isinstance(found, dict) else {}


def equipment(desk: Desk) -> dict[str, int]:
    """Return what the team said it has."""
    with desk.reading() as session:
        return equipment_in(queries.settings(session))


def have(desk: Desk, told: Sequence[str]) -> str:
    """Take in texts such as ``pads=2``, ``chairs=0`` (none) or ``cones=usual`` (no longer told).

    Raises:
        Refusal: one of them is none of these.

    """
    changes = [_parsed(one) for one in told]
    with desk.writing() as session:
        table = equipment_in(queries.settings(session))
        for name, count in changes:
            same = [one for one in table if words_of(one) == words_of(name)]
            for one in same:
                del table[one]
            if count is not None:
                table[name] = count
        if len(table) > MOST_THINGS:
            raise Refusal(f"That is more than {MOST_THINGS} things; tell only what is short.")
        if table:
            before = queries.set_setting(session, SETTING, table)
        else:
            before = queries.remove_setting(session, SETTING)
        words = ", ".join(f"{name} {'as usual' if count is None else count}" for name, count in changes)
        desk.note(session, "setting", f"equipment: {words}", {"key": SETTING, "before": before})
    return f"Equipment: {words}. Drills that need more are not offered."


def _parsed(text: str) -> tuple[str, int | None]:
    name, found, number = clean_line(text, 60).rpartition("=")
    name, number = name.strip().casefold(), number.strip().casefold()
    if not found or not words_of(name):
        raise Refusal(f"'{clean_line(text, 40)}' is no thing with a number; write it as pads=2.")
    if number == "usual":
        return name, None
    if not (number.isascii() and number.isdigit() and int(number) <= MOST):
        raise Refusal(f"'{number}' is no number of {name}; give 0 to {MOST}, or usual.")
    return name, int(number)
