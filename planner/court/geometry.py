"""A rule book's court: dimensions from a TOML text, and the shapes that follow from them.

All lengths are feet. The origin is the middle of the near end line, x to the right as seen by a player facing
the near basket, y into the court.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from typing import Any

from planner.problem import Problem
from planner.text import clean_line

Point = tuple[float, float]

FEET_PER = {"ft": 1.0, "in": 1.0 / 12.0, "m": 1.0 / 0.3048}
"""Feet in one unit of a court file."""

_LENGTHS = {
    "length": "length",
    "width": "width",
    "line": "line",
    "arc_radius": "arc_radius",
    "corner_distance": "corner_distance",
    "lane_width": "lane_width",
    "free_throw_line": "free_throw_line",
    "backboard_from_end_line": "backboard_y",
    "backboard_width": "backboard_width",
    "basket_from_end_line": "basket_y",
    "ring_radius": "ring_radius",
    "centre_circle_radius": "centre_radius",
    "free_throw_circle_radius": "free_throw_radius",
}
_OPTIONAL = {"restricted_arc_radius": "restricted_radius"}
_LONGEST = 1e6
_WORDS = ("id", "title", "rules", "edition")


@dataclass(frozen=True, slots=True)
class Line:
    """A straight stroke from ``start`` to ``end``."""

    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Arc:
    """A part of a circle, from angle ``start`` to ``end`` (radians, growing from +x towards +y)."""

    centre: Point
    radius: float
    start: float
    end: float

    def at(self, angle: float) -> Point:
        """Return the point of the circle at ``angle``."""
        x, y = self.centre
        return x + self.radius * math.cos(angle), y + self.radius * math.sin(angle)


Piece = Line | Arc


@dataclass(frozen=True, slots=True)
class Court:
    """One rule set's floor, in feet. ``restricted_radius`` is None where the rules know no restricted arc."""

    id: str
    title: str
    rules: str
    edition: str
    unit: str
    sources: tuple[str, ...]
    length: float
    width: float
    line: float
    arc_radius: float
    corner_distance: float
    lane_width: float
    free_throw_line: float
    backboard_y: float
    backboard_width: float
    basket_y: float
    ring_radius: float
    centre_radius: float
    free_throw_radius: float
    restricted_radius: float | None = None

    @property
    def half(self) -> float:
        """Return how far half court is from the end line."""
        return self.length / 2

    @property
    def side(self) -> float:
        """Return how far the sideline is from the middle."""
        return self.width / 2

    @property
    def lane(self) -> float:
        """Return how far the lane line is from the middle."""
        return self.lane_width / 2

    @property
    def basket(self) -> Point:
        """Return the centre of the near ring."""
        return 0.0, self.basket_y

    @property
    def meeting_y(self) -> float:
        """Return how far from the end line the straight part of the three-point line meets the arc."""
        return self.basket_y + math.sqrt(max(0.0, self.arc_radius**2 - self.corner_distance**2))

    def across(self, point: Point) -> Point:
        """Return the same place at the other basket (half a turn about half court)."""
        return -point[0], self.length - point[1]


def three_point(court: Court) -> tuple[Piece, ...]:
    """Return the near three-point line: straight part, arc, straight part, from right to left."""
    corner, meets = court.corner_distance, court.meeting_y
    angle = math.atan2(meets - court.basket_y, corner)
    return (
        Line((corner, 0.0), (corner, meets)),
        Arc(court.basket, court.arc_radius, angle, math.pi - angle),
        Line((-corner, meets), (-corner, 0.0)),
    )


def lane(court: Court) -> tuple[Piece, ...]:
    """Return the near lane: both lane lines and the free-throw line between them."""
    x, y = court.lane, court.free_throw_line
    return Line((x, 0.0), (x, y)), Line((x, y), (-x, y)), Line((-x, y), (-x, 0.0))


def free_throw_circle(court: Court) -> tuple[Piece, ...]:
    """Return the half of the near free-throw circle that lies outside the lane."""
    return (Arc((0.0, court.free_throw_line), court.free_throw_radius, 0.0, math.pi),)


def restricted_arc(court: Court) -> tuple[Piece, ...]:
    """Return the near restricted arc with its straight parts to the backboard, if there is one."""
    radius = court.restricted_radius
    if radius is None:
        return ()
    board, ring = court.backboard_y, court.basket_y
    return (
        Line((radius, board), (radius, ring)),
        Arc(court.basket, radius, 0.0, math.pi),
        Line((-radius, ring), (-radius, board)),
    )


def basket(court: Court) -> tuple[Piece, ...]:
    """Return the near backboard and ring."""
    half = court.backboard_width / 2
    return (
        Line((half, court.backboard_y), (-half, court.backboard_y)),
        Arc(court.basket, court.ring_radius, 0.0, 2 * math.pi),
    )


def turned(court: Court, pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """Return the pieces as they lie at the other basket."""
    return tuple(
        Line(court.across(one.start), court.across(one.end))
        if isinstance(one, Line)
        else Arc(court.across(one.centre), one.radius, one.start + math.pi, one.end + math.pi)
        for one in pieces
    )


def near_end(court: Court) -> tuple[Piece, ...]:
    """Return everything painted around the near basket."""
    return (
        *three_point(court),
        *lane(court),
        *free_throw_circle(court),
        *restricted_arc(court),
        *basket(court),
    )


def floor(court: Court, whole: bool, depth: float | None = None) -> tuple[Piece, ...]:
    """Return all lines of the whole court or of a half court.

    A half court may be cut off ``depth`` feet from the end line: it then stays open there.
    """
    side, half, length = court.side, court.half, court.length
    end = length if whole else min(half, depth or half)
    border: tuple[Piece, ...] = (
        Line((-side, 0.0), (side, 0.0)),
        Line((side, 0.0), (side, end)),
        Line((side, end), (-side, end)),
        Line((-side, end), (-side, 0.0)),
    )
    near = near_end(court)
    if end < half:
        return (border[0], border[1], border[3], *near)
    if not whole:
        return (*border, *near, Arc((0.0, half), court.centre_radius, math.pi, 2 * math.pi))
    middle = (Line((-side, half), (side, half)), Arc((0.0, half), court.centre_radius, 0.0, 2 * math.pi))
    return (*border, *near, *turned(court, near), *middle)


def read_court(name: str, text: str) -> tuple[Court | None, list[Problem]]:
    """Read one court file (its text); the court is None where anything in it cannot be used.

    Every fault is a problem with the file's ``name``. Lengths stand in the file's own ``unit`` (ft, in or m).
    """
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        return None, [Problem(name, None, f"not valid TOML: {clean_line(str(fault), 200)}")]
    problems: list[Problem] = []
    words = {key: _word(name, table, key, problems) for key in _WORDS}
    feet = FEET_PER.get(str(table.get("unit")), 0.0)
    if not feet:
        problems.append(Problem(name, None, "'unit' must be one of ft, in, m"))
    lengths = {to: _length(name, table, key, feet, problems) for key, to in _LENGTHS.items()}
    lengths |= {
        to: _length(name, table, key, feet, problems) for key, to in _OPTIONAL.items() if key in table
    }
    known = {*_WORDS, *_LENGTHS, *_OPTIONAL, "unit", "sources"}
    problems += [
        Problem(name, None, f"unknown field '{clean_line(key, 40)}'") for key in table if key not in known
    ]
    sources = table.get("sources", [])
    if not isinstance(sources, list):
        problems.append(Problem(name, None, "'sources' must be a list of texts"))
        sources = []
    if problems:
        return None, problems
    quoted = tuple(clean_line(str(one), 300) for one in sources)
    fields: dict[str, Any] = {**words, **lengths, "unit": str(table["unit"]), "sources": quoted}
    court = Court(**fields)
    problems = [Problem(name, None, what) for what in _contradictions(court)]
    return (None if problems else court), problems


def _word(name: str, table: dict[str, Any], key: str, problems: list[Problem]) -> str:
    value = table.get(key)
    cleaned = clean_line(value, 200) if isinstance(value, str) else ""
    if not cleaned:
        problems.append(Problem(name, None, f"'{key}' is missing"))
    return cleaned


def _length(name: str, table: dict[str, Any], key: str, feet: float, problems: list[Problem]) -> float:
    value = table.get(key)
    good = isinstance(value, int | float) and not isinstance(value, bool) and 0 < value < _LONGEST
    if not good:
        problems.append(Problem(name, None, f"'{key}' must be a length above 0"))
        return 1.0
    return float(value or 0) * feet


def _contradictions(court: Court) -> list[str]:
    """Return what cannot be true of any court."""
    checks = (
        (
            court.length >= 60 and court.width >= 35,
            "the floor is smaller than 60 by 35 feet: is the unit right?",
        ),
        (
            court.length <= 110 and court.width <= 60,
            "the floor is larger than 110 by 60 feet: is the unit right?",
        ),
        (court.corner_distance <= court.arc_radius, "the corner distance is longer than the arc's radius"),
        (court.corner_distance < court.side, "the three-point line leaves the floor at the sideline"),
        (court.basket_y + court.arc_radius < court.half, "the three-point line crosses half court"),
        (
            court.backboard_y < court.basket_y < court.free_throw_line,
            "ring, backboard and free-throw line are mixed up",
        ),
        (court.lane < court.corner_distance, "the lane is wider than the three-point line"),
    )
    return [what for good, what in checks if not good]
