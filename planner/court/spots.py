"""The places on a floor that coaches have names for.

Left and right are those of a player who faces the basket in question. Every place follows from the rule set's
own lines, so a corner is a corner on any court.
"""

from __future__ import annotations

import difflib
import math
import re

from planner.court.geometry import Court, Point

STEP = 3.0
"""Feet in one step of "a step outside the left wing"."""

ALIASES = {
    "free-throw line": "nail",
    "free throw line": "nail",
    "foul line": "nail",
    "basket": "rim",
    "ring": "rim",
    "middle": "paint",
    "lane": "paint",
    "key": "top",
    "point": "top",
    "midline": "split line",
    "help line": "split line",
    "centre circle": "half court",
    "center circle": "half court",
    "halfway line": "half court",
    "midcourt": "half court",
    "guard": "slot",
    "high post": "elbow",
    "low post": "block",
    "midpost": "mid-post",
    "mid post": "mid-post",
    "dunker spot": "dunker",
    "paint": "paint foot",
    "lane line": "paint foot",
    "hash": "sideline",
    "lane spot": "paint foot",
    "out of bounds": "inbound",
}
"""Other words for a place; a sided word ("left paint") and a plain one ("paint") may differ."""


def middle_spots(court: Court) -> dict[str, Point]:
    """Return the places on the line from basket to basket, by name."""
    ring = court.basket_y
    return {
        "top": (0.0, ring + court.arc_radius + 2.0),
        "nail": (0.0, court.free_throw_line),
        "paint": (0.0, 12.0),
        "split line": (0.0, ring + 4.0),
        "rim": (0.0, ring + 1.5),
        "baseline": (0.0, 1.5),
        "half court": (0.0, court.half),
    }


def side_spots(court: Court) -> dict[str, Point]:
    """Return the places that come in a left and a right one: the right one, by name without the side."""
    ring, line, lane, side = court.basket_y, court.free_throw_line, court.lane, court.side
    outside = court.arc_radius + 1.75
    slot_y = ring + math.sqrt(outside**2 - 10.0**2)
    wing_x = math.sqrt(outside**2 - (line - ring) ** 2)
    return {
        "slot": (10.0, slot_y),
        "wing": (wing_x, line),
        "corner": (min((court.corner_distance + side) / 2, court.corner_distance + 1.75), 4.5),
        "short corner": ((lane + court.corner_distance) / 2, 4.0),
        "dunker": (lane + 2.5, 3.5),
        "baseline": (lane + 6.0, 1.5),
        "block": (lane + 1.0, 8.0),
        "mid-post": (lane + 1.0, 13.0),
        "elbow": (lane, line),
        "gap": ((10.0 + wing_x) / 2 - 2.0, (slot_y + line) / 2 - 2.5),
        "paint foot": (lane - 1.0, 12.0),
        "low paint": (lane - 2.0, ring + 2.0),
        "rim": (3.0, ring + 0.5),
        "outlet": (side - 5.0, line + 4.0),
        "sideline": (side - 1.0, 28.0),
        "half court": (side - 8.0, court.half),
        "inbound": (lane + 3.0, -1.5),
        "side inbound": (side + 1.5, 24.0),
    }


def spot_table(court: Court) -> dict[str, Point]:
    """Return every named place of the near half with its point, sides spelled out."""
    table = middle_spots(court)
    for name, (x, y) in side_spots(court).items():
        table[f"right {name}"] = (x, y)
        table[f"left {name}"] = (-x, y)
    return table


_JUNK = re.compile(r"\b(?:the|a|an)\b")


def tidy(words: str) -> str:
    """Return the words in lower case without articles, single-spaced."""
    return " ".join(_JUNK.sub(" ", words.lower().replace("_", " ")).split())


def find_spot(court: Court, words: str) -> Point | None:
    """Return where a named place is, or None; ``far`` is the other basket, with its own left and right."""
    name = tidy(words)
    far = bool(re.match(r"far\b", name)) or name.endswith(" far")
    name = re.sub(r"^far\b\s*|\s+far$", "", name)
    if found := re.match(r"(.+) (left|right)$", name):
        name = f"{found[2]} {found[1]}"
    point = _near_spot(court, name)
    if point is None:
        return None
    return court.across(point) if far else point


def _near_spot(court: Court, name: str) -> Point | None:
    table = spot_table(court)
    if name in table:
        return table[name]
    sided = re.fullmatch(r"(left|right) (.+)", name)
    if sided:
        return table.get(f"{sided[1]} {ALIASES.get(sided[2], sided[2])}")
    return table.get(ALIASES.get(name, name))


def nearest_names(court: Court, words: str) -> list[str]:
    """Return up to two known names that look like ``words``."""
    name = tidy(words)
    far = "far " if name.startswith("far ") else ""
    names = [*spot_table(court), *ALIASES]
    return [far + one for one in difflib.get_close_matches(name.removeprefix("far "), names, 2, 0.6)]


def name_of(court: Court, point: Point, whole: bool) -> str:
    """Return words for a point: "at the right wing", or "near the right wing" when it is a few feet off."""
    places = spot_table(court)
    if whole:
        far = {
            f"far {name}": court.across(at) for name, at in places.items() if not name.endswith("half court")
        }
        places = places | far
    gap, name = min((math.dist(point, at), name) for name, at in places.items())
    if gap < 6.0:
        article = "" if name == "half court" else "the "
        return f"{'at' if gap < 1.5 else 'near'} {article}{name}"
    side = "right" if point[0] >= 0 else "left"
    return f"{abs(point[0]):.0f} ft {side} and {point[1]:.0f} ft out"
