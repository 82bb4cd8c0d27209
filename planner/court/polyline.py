"""Small sums on polylines."""

from __future__ import annotations

import math

from planner.court.geometry import Point

Polyline = list[Point]


def curve(start: Point, middle: Point, end: Point, steps: int = 8) -> list[Point]:
    """Return points of a smooth curve from start to end that passes through ``middle``."""
    cx, cy = (2 * middle[0] - (start[0] + end[0]) / 2, 2 * middle[1] - (start[1] + end[1]) / 2)
    return [
        (
            (1 - t) ** 2 * start[0] + 2 * t * (1 - t) * cx + t * t * end[0],
            (1 - t) ** 2 * start[1] + 2 * t * (1 - t) * cy + t * t * end[1],
        )
        for t in (step / steps for step in range(steps + 1))
    ]


def evenly(points: tuple[Point, ...] | list[Point], step: float) -> list[Point]:
    """Return points along a polyline, about ``step`` apart, with both ends."""
    found = [points[0]]
    for index in range(len(points) - 1):
        (ax, ay), (bx, by) = points[index], points[index + 1]
        count = max(1, math.ceil(math.hypot(bx - ax, by - ay) / step))
        found += [(ax + (bx - ax) * n / count, ay + (by - ay) * n / count) for n in range(1, count + 1)]
    return found


def cut(points: list[Point], length: float) -> list[Point]:
    """Return the polyline without its first ``length``; empty when nothing is left."""
    left = length
    for index in range(len(points) - 1):
        start, end = points[index], points[index + 1]
        step = math.dist(start, end)
        if step > left:
            part = left / step
            first = (start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part)
            return [first, *points[index + 1 :]]
        left -= step
    return []


def run_length(points: tuple[Point, ...] | list[Point]) -> float:
    """Return the length of a polyline."""
    return sum(math.dist(points[i], points[i + 1]) for i in range(len(points) - 1))


def direction(points: Polyline) -> Point:
    """Return the unit direction in which a polyline ends."""
    end = points[-1]
    for start in reversed(points[:-1]):
        gap = math.dist(start, end)
        if gap > 1e-9:
            return (end[0] - start[0]) / gap, (end[1] - start[1]) / gap
    return 0.0, -1.0
