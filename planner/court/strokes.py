"""The marks of each action as lines: dashes, waves, bars and heads, so that every engine draws them alike."""

from __future__ import annotations

import math

from planner.court.geometry import Point
from planner.court.layout import Trace
from planner.court.polyline import Polyline, cut, direction, run_length
from planner.court.sheet import Size


def action_lines(trace: Trace, size: Size) -> tuple[list[Polyline], list[Polyline]]:
    """Return the open strokes and the filled heads of one move."""
    points = list(trace.points)
    kind = trace.move.kind
    if kind == "pass":
        return _headed(dashes(_shaft(points, size), size.dash), points, size)
    if kind == "dribble":
        return _headed([wave(_shaft(points, size), size)], points, size)
    if kind == "shot":
        return _headed(doubled(_shaft(points, size), size.action), points, size)
    if kind == "hand-off":
        return hand_off(points, size), []
    if kind in {"screen", "box-out", "trap"}:
        return [points, bar(points, size.bar)], []
    if kind == "bluff":
        shaft = cut(_shaft(points, size), size.head * 0.7) or points
        return [shaft], [head(points, size.head), head(points[::-1], size.head)]
    strokes, heads = _headed([_shaft(points, size)], points, size)
    if kind == "closeout":
        second = cut(points[::-1], size.head * 0.85)[::-1]
        if len(second) > 1:
            heads.append(head(second, size.head))
    return strokes, heads


def _headed(strokes: list[Polyline], points: Polyline, size: Size) -> tuple[list[Polyline], list[Polyline]]:
    return [one for one in strokes if len(one) > 1], [head(points, size.head)]


def _shaft(points: Polyline, size: Size) -> Polyline:
    """Return the line without the part its head covers."""
    return cut(points[::-1], size.head * 0.7)[::-1] or points


def head(points: Polyline, length: float) -> Polyline:
    """Return the arrow head at the end of a polyline, as a triangle."""
    ux, uy = direction(points)
    x, y = points[-1]
    half = length * 0.38
    bx, by = x - ux * length, y - uy * length
    return [(x, y), (bx - uy * half, by + ux * half), (bx + uy * half, by - ux * half)]


def bar(points: Polyline, width: float) -> Polyline:
    """Return the cross-bar at the end of a polyline."""
    ux, uy = direction(points)
    x, y = points[-1]
    half = width / 2
    return [(x - uy * half, y + ux * half), (x + uy * half, y - ux * half)]


def hand_off(points: Polyline, size: Size) -> list[Polyline]:
    """Return two short bars across the middle of a polyline."""
    middle = cut(points[::-1], run_length(points) / 2)[::-1] or points
    ux, uy = direction(points)
    x, y = middle[-1]
    gap, half = size.action * 1.1, size.bar * 0.36
    return [
        [(x + ux * s - uy * half, y + uy * s + ux * half), (x + ux * s + uy * half, y + uy * s - ux * half)]
        for s in (-gap, gap)
    ]


def doubled(points: Polyline, apart: float) -> list[Polyline]:
    """Return two lines side by side along a straight polyline."""
    ux, uy = direction(points)
    return [[(x - uy * s, y + ux * s) for x, y in points] for s in (-apart, apart)]


def dashes(points: Polyline, dash: float) -> list[Polyline]:
    """Return a line cut into dashes that start and end whole."""
    length = run_length(points)
    count = max(1, round((length / dash + 0.8) / 1.8))
    piece = length / (count + 0.8 * (count - 1))
    strokes: list[Polyline] = []
    for index in range(count):
        rest = cut(points, index * 1.8 * piece) if index else list(points)
        spare = run_length(rest) - piece
        one = cut(rest[::-1], spare)[::-1] if spare > 1e-9 else rest
        if len(one) > 1:
            strokes.append(one)
    return strokes


def wave(points: Polyline, size: Size) -> Polyline:
    """Return a zig-zag along a polyline, straight at its last bit before the head."""
    length = run_length(points)
    straight = min(size.head * 0.5, length / 3)
    count = max(2, round((length - straight) / (size.wave / 2)))
    half = (length - straight) / count
    height = size.wave * 0.36
    zigzag = [points[0]]
    for index in range(count):
        (x, y), (ux, uy) = _along(points, (index + 0.5) * half)
        sign = 1 if index % 2 else -1
        zigzag.append((x - uy * height * sign, y + ux * height * sign))
    zigzag.append(_along(points, length - straight)[0])
    zigzag.append(points[-1])
    return zigzag


def _along(points: Polyline, length: float) -> tuple[Point, Point]:
    rest = cut(points, length) if length > 0 else points
    if len(rest) < 2:
        return points[-1], direction(points)
    gap = math.dist(rest[0], rest[1]) or 1.0
    return rest[0], ((rest[1][0] - rest[0][0]) / gap, (rest[1][1] - rest[0][1]) / gap)
