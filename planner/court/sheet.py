"""Paper: sizes in millimetres, how feet become millimetres, and symbols pushed clear of each other."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from planner.court.frame import Frame, is_defender
from planner.court.geometry import Point

SIDE_MARGIN = 2.6
"""Feet shown beyond each sideline."""

SQUEEZED = 12
"""Rounds of pushing after which someone wedged between two others is let out sideways."""

END_MARGIN = 3.2
"""Feet shown beyond the end line; half court gets a hair only."""


@dataclass(frozen=True, slots=True)
class Size:
    """A use on paper, in millimetres: width of the drawing, height of digits, strokes and their marks."""

    width: float
    digit: float
    action: float
    line: float
    pen: float
    head: float
    bar: float
    wave: float
    dash: float

    @property
    def reach(self) -> float:
        """Return the radius of the circle around a ball holder."""
        return self.digit * 0.86


THUMB = Size(33.0, digit=2.05, action=0.42, line=0.13, pen=0.36, head=1.45, bar=2.3, wave=1.5, dash=0.85)
CARD = Size(88.0, digit=3.3, action=0.42, line=0.13, pen=0.46, head=2.2, bar=3.6, wave=2.4, dash=1.3)


@dataclass(frozen=True, slots=True)
class View:
    """How feet become units of the drawing. A half court has its basket on top, a full one on the left."""

    side: float
    depth: float
    whole: bool
    scale: float

    @classmethod
    def of(cls, frame: Frame, width: float) -> View:
        """Return the view that makes the drawing ``width`` wide."""
        side = frame.court.side + SIDE_MARGIN
        depth = frame.length + END_MARGIN + (END_MARGIN if frame.whole else 0.6)
        return cls(side, depth, frame.whole, width / (depth if frame.whole else 2 * side))

    @property
    def width(self) -> float:
        """Return the width of the drawing."""
        return (self.depth if self.whole else 2 * self.side) * self.scale

    @property
    def height(self) -> float:
        """Return the height of the drawing."""
        return (2 * self.side if self.whole else self.depth) * self.scale

    def at(self, point: Point) -> Point:
        """Return a place in feet as a place on the drawing."""
        across, deep = self.side + point[0], END_MARGIN + point[1]
        if self.whole:
            return deep * self.scale, (2 * self.side - across) * self.scale
        return across * self.scale, deep * self.scale

    def kept(self, point: Point, room: float) -> Point:
        """Return the place moved inside the drawing, ``room`` from its edge."""
        return (
            min(max(point[0], room), self.width - room),
            min(max(point[1], room), self.height - room),
        )


def spread(
    wanted: Mapping[str, Point],
    radii: Mapping[str, float],
    holders: set[str],
    goal: Point,
    view: View,
    gap: float,
) -> dict[str, Point]:
    """Push overlapping symbols apart: defenders give way first, a ball holder never does."""
    places = {mark: wanted[mark] for mark in sorted(wanted)}
    marks = list(places)
    for turn in range(80):
        twist = 0.0 if turn < SQUEEZED else 0.6
        moved = False
        for index, one in enumerate(marks):
            for two in marks[index + 1 :]:
                moved |= _push(places, (one, two), radii, holders, (goal, twist), gap)
        for mark in marks:
            if mark not in holders:
                places[mark] = view.kept(places[mark], radii[mark])
        if not moved:
            break
    return places


def _rank(mark: str, holders: set[str]) -> int:
    if mark in holders:
        return 2
    return 0 if is_defender(mark) else 1


def _push(
    places: dict[str, Point],
    pair: tuple[str, str],
    radii: Mapping[str, float],
    holders: set[str],
    way: tuple[Point, float],
    gap: float,
) -> bool:
    one, two = pair
    goal, twist = way
    (ax, ay), (bx, by) = places[one], places[two]
    need = radii[one] + radii[two] + gap
    dx, dy = bx - ax, by - ay
    apart = math.hypot(dx, dy)
    if apart >= need - 1e-6:
        return False
    if apart < 1e-6:
        dx, dy = goal[0] - ax, goal[1] - ay
        apart = math.hypot(dx, dy)
        if apart < 1e-6:
            dx, dy, apart = 1.0, 0.0, 1.0
        missing = need
        if _rank(one, holders) < _rank(two, holders):
            dx, dy = -dx, -dy
    else:
        missing = need - apart
    ux, uy = dx / apart, dy / apart
    ux, uy = ux * math.cos(twist) - uy * math.sin(twist), ux * math.sin(twist) + uy * math.cos(twist)
    first, second = _rank(one, holders), _rank(two, holders)
    if first == second == 2:
        second = 0
    part = 0.5 if first == second else float(first < second)
    places[one] = ax - ux * missing * part, ay - uy * missing * part
    places[two] = bx + ux * missing * (1 - part), by + uy * missing * (1 - part)
    return True
