"""A frame laid out: where each symbol stands, and the way each move takes between the symbols."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from planner.court.frame import Frame, Move
from planner.court.geometry import Point
from planner.court.polyline import curve, cut, evenly
from planner.court.sheet import View, spread

_STILL = frozenset({"pass", "shot", "hand-off", "bluff", "stay"})
"""Moves after which the actor is where it was."""

_BARRED = frozenset({"screen", "box-out", "trap"})


@dataclass(frozen=True, slots=True)
class Trace:
    """One move on the drawing: its points after trimming, and whether it starts from the actor's symbol."""

    move: Move
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """Where every symbol and stroke of a frame lies on the drawing."""

    view: View
    symbols: Mapping[str, Point]
    radii: Mapping[str, float]
    loose: tuple[Point, ...]
    traces: tuple[Trace, ...]


def lay_out(frame: Frame, view: View, plain: float, holder: float, gap: float = 0.0) -> Layout:
    """Lay a frame out; ``plain`` and ``holder`` are symbol radii, ``gap`` the least space between symbols."""
    holders = {one for one in frame.balls if isinstance(one, str)}
    radii = {mark: holder if mark in holders else plain for mark in frame.players}
    wanted = {mark: view.kept(view.at(point), radii[mark] + gap) for mark, point in frame.players.items()}
    goal = view.at(frame.basket)
    symbols = spread(wanted, radii, holders, goal, view, gap)
    loose = tuple(view.kept(view.at(one), plain / 2) for one in frame.balls if not isinstance(one, str))
    return Layout(view, symbols, radii, loose, _traces(frame, view, symbols, radii))


def _traces(
    frame: Frame, view: View, symbols: Mapping[str, Point], radii: Mapping[str, float]
) -> tuple[Trace, ...]:
    now = dict(symbols)
    moved: set[str] = set()
    traces: list[Trace] = []
    for move in frame.moves:
        if move.kind == "stay":
            continue
        points = _way(frame, view, move, now, symbols, radii)
        if move.kind not in _STILL:
            now[move.actor] = points[-1]
        if len(points) == 3:
            points = curve(points[0], points[1], points[2], 14)
        else:
            points = _bowed(points, move, traces, symbols, radii)
        points = [view.kept(one, 0.0) for one in points]
        trimmed = _trimmed(points, move, symbols, radii, moved)
        if not trimmed and move.kind in _BARRED and move.target in now:
            trimmed = _stub(points[0], now[move.target or ""], radii[move.actor])
        if move.kind not in _STILL:
            moved.add(move.actor)
        if trimmed:
            traces.append(Trace(move, tuple(trimmed)))
    return tuple(traces)


def _way(
    frame: Frame,
    view: View,
    move: Move,
    now: Mapping[str, Point],
    symbols: Mapping[str, Point],
    radii: Mapping[str, float],
) -> list[Point]:
    """Return a move's points on the drawing, from where its actor is ``now``, ends still inside symbols."""
    points = [now[move.actor], *(view.at(one) for one in move.path[1:])]
    target, room = move.target or "", radii[move.actor] * 0.6
    if target in now and move.kind in {"pass", "hand-off"}:
        return [points[0], now[target]]
    if target in now and move.kind in _BARRED and now[target] == symbols[target]:
        points[-1] = _beside(view.at(frame.players[target]), points[-1], symbols[target], radii[target])
    return [points[0], *(view.kept(one, room) for one in points[1:])]


def _beside(true: Point, end: Point, target: Point, radius: float) -> Point:
    """Return where a cross-bar stands: on the side of its target it has on the floor, clear of the symbol."""
    dx, dy = end[0] - true[0], end[1] - true[1]
    gap = math.hypot(dx, dy)
    if gap < 1e-6:
        return end
    reach = max(gap, radius * 1.25)
    return target[0] + dx / gap * reach, target[1] + dy / gap * reach


def _stub(at: Point, target: Point, radius: float) -> list[Point]:
    """Return the short stroke that carries a cross-bar for someone who already stands there."""
    gap = math.dist(at, target) or 1.0
    ux, uy = (target[0] - at[0]) / gap, (target[1] - at[1]) / gap
    return [(at[0] + ux * radius * f, at[1] + uy * radius * f) for f in (1.0, 1.25)]


def _bowed(
    points: list[Point],
    mark: Move,
    traces: list[Trace],
    symbols: Mapping[str, Point],
    radii: Mapping[str, float],
) -> list[Point]:
    """Bow a straight stroke that would run through a symbol or along an earlier stroke, but no more."""
    if len(points) != 2 or math.dist(*points) < 1e-6:
        return points
    start, end = points
    radius = min(radii.values())
    length = math.dist(start, end)
    nx, ny = -(end[1] - start[1]) / length, (end[0] - start[0]) / length
    others = [
        at
        for one, at in symbols.items()
        if one not in {mark.actor, mark.target}
        and math.dist(at, start) > radius
        and math.dist(at, end) > radius
    ]
    earlier = [one for trace in traces for one in evenly(trace.points, radius * 0.8)]
    best, cost = points, math.inf
    for bend in (0.0, 1.3, -1.3, 2.2, -2.2):
        size = min(abs(bend) * radius, length * 0.35) * (1 if bend > 0 else -1)
        middle = ((start[0] + end[0]) / 2 + nx * size, (start[1] + end[1]) / 2 + ny * size)
        path = curve(start, middle, end) if bend else points
        here = abs(bend) * 0.4 + _crowding(path, others, earlier, radius)
        if here < cost - 1e-9:
            best, cost = path, here
    return best


def _crowding(path: list[Point], others: list[Point], earlier: list[Point], radius: float) -> float:
    """Return how much of a path runs through symbols or along earlier strokes."""
    samples = evenly(path, radius * 0.8)[1:-1]
    through = sum(any(math.dist(one, at) < radius * 0.9 for at in others) for one in samples)
    along = sum(any(math.dist(one, at) < radius * 0.45 for at in earlier) for one in samples)
    return through + max(0, along - 2) * 0.7


def _trimmed(
    points: list[Point],
    move: Move,
    symbols: Mapping[str, Point],
    radii: Mapping[str, float],
    moved: set[str],
) -> list[Point]:
    """Cut a stroke where it starts in the actor's symbol and where it would end inside another's."""
    small = radii[move.actor] * 0.45
    path = cut(points, small if move.actor in moved else radii[move.actor] + 0.1 * radii[move.actor])
    end = path[-1] if path else points[-1]
    back = small if move.kind in {"pass", "hand-off"} else 0.0
    if move.kind == "hand-off" and move.target and move.target not in moved:
        back = radii[move.target]
    for mark, place in symbols.items():
        gone = mark in moved or mark == move.actor
        if not gone and math.dist(end, place) < radii[mark]:
            back = max(back, radii[mark] - math.dist(end, place) + 0.12 * radii[mark])
    return cut(path[::-1], back)[::-1] if path else path
