"""A frame for the terminal: lines in braille dots, players and arrow ends as real characters."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from planner.court.frame import Frame, MoveKind, is_coach, is_defender
from planner.court.geometry import Arc, Piece, Point, floor
from planner.court.layout import Layout, Trace, lay_out
from planner.court.polyline import direction, run_length
from planner.court.sheet import View
from planner.court.strokes import dashes

_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_ARROWS = "→↘↓↙←↖↑↗"
_DOUBLE = "⇒⇘⇓⇙⇐⇖⇑⇗"
_BARS = "┤┴├┬"

COURT, ACTION, ATTACK, DEFENCE, BALL, OTHER = "c", "a", "o", "d", "b", "w"
"""Roles of a cell: court line, action, attacker, defender, ball, coach or cone; blank is a space."""


@dataclass(frozen=True, slots=True)
class Picture:
    """Rows of text, and for each character its role, so that a screen can dim or colour by role."""

    rows: tuple[str, ...]
    roles: tuple[str, ...]

    def __str__(self) -> str:
        """Return the rows without trailing blanks."""
        return "\n".join(row.rstrip() for row in self.rows)


class _Canvas:
    """Dots two by four to a cell, and characters that stand above them."""

    def __init__(self, columns: int, rows: int) -> None:
        self.columns, self.rows = columns, rows
        self.dots: dict[tuple[int, int], int] = {}
        self.inked: set[tuple[int, int]] = set()
        self.text: dict[tuple[int, int], tuple[str, str]] = {}

    def dot(self, point: Point, action: bool = False) -> None:
        """Set one dot."""
        x, y = math.floor(point[0]), math.floor(point[1])
        cell = (x // 2, y // 4)
        if 0 <= cell[0] < self.columns and 0 <= cell[1] < self.rows:
            self.dots[cell] = self.dots.get(cell, 0) | _BITS[y % 4][x % 2]
            if action:
                self.inked.add(cell)

    def line(self, points: Iterable[Point], action: bool = False) -> None:
        """Set the dots along a polyline."""
        points = list(points)
        for index in range(len(points) - 1):
            (ax, ay), (bx, by) = points[index], points[index + 1]
            steps = max(1, math.ceil(max(abs(bx - ax), abs(by - ay)) * 1.01))
            for step in range(steps + 1):
                part = step / steps
                self.dot((ax + (bx - ax) * part, ay + (by - ay) * part), action)

    def write(self, point: Point, word: str, role: str, over: bool = True) -> None:
        """Write characters centred on a point, kept inside the canvas."""
        row = min(max(int(point[1] // 4), 0), self.rows - 1)
        first = round(point[0] / 2 - len(word) / 2)
        first = min(max(first, 0), self.columns - len(word))
        for offset, letter in enumerate(word):
            cell = (first + offset, row)
            if over or cell not in self.text:
                self.text[cell] = (letter, role)

    def picture(self) -> Picture:
        """Return the canvas as text."""
        rows, roles = [], []
        for row in range(self.rows):
            cells = [self._cell(column, row) for column in range(self.columns)]
            rows.append("".join(letter for letter, _ in cells))
            roles.append("".join(role for _, role in cells))
        return Picture(tuple(rows), tuple(roles))

    def _cell(self, column: int, row: int) -> tuple[str, str]:
        if (column, row) in self.text:
            return self.text[column, row]
        bits = self.dots.get((column, row), 0)
        if not bits:
            return " ", " "
        return chr(0x2800 + bits), ACTION if (column, row) in self.inked else COURT


def draw(frame: Frame, columns: int = 60, rows: int = 26) -> Picture:
    """Return a frame as ``rows`` lines of ``columns`` characters; down to 40 by 16 it reads."""
    view = _fitted(frame, columns, rows)
    canvas = _Canvas(columns, rows)
    for piece in floor(frame.court, frame.whole, frame.depth):
        for dash in dashes(_sampled(piece, view), 1.1):
            canvas.dot(dash[0])
    layout = lay_out(frame, view, 3.4, 4.4, 0.6)
    for trace in layout.traces:
        _action(canvas, trace)
    for one in frame.cones:
        canvas.write(view.at(one), "△", OTHER)
    for one in frame.waiting:
        canvas.write(view.at(one), "∙∙∙", OTHER)
    _players(canvas, frame, layout)
    return canvas.picture()


def _fitted(frame: Frame, columns: int, rows: int) -> View:
    view = View.of(frame, columns * 2.0 - 0.01)
    if view.height > rows * 4:
        view = View.of(frame, columns * 2.0 * (rows * 4 - 0.01) / view.height)
    return view


def _sampled(piece: Piece, view: View) -> list[Point]:
    if not isinstance(piece, Arc):
        return [view.at(piece.start), view.at(piece.end)]
    steps = max(6, math.ceil(abs(piece.end - piece.start) * piece.radius * view.scale / 2))
    step = (piece.end - piece.start) / steps
    return [view.at(piece.at(piece.start + index * step)) for index in range(steps + 1)]


def _players(canvas: _Canvas, frame: Frame, layout: Layout) -> None:
    holders = {one for one in frame.balls if isinstance(one, str)}
    for at in layout.loose:
        canvas.write(at, "●", BALL)
    for mark, at in sorted(layout.symbols.items(), key=lambda one: (one[0] in holders, one[0])):
        word = "C" if is_coach(mark) else mark
        role = DEFENCE if is_defender(mark) else OTHER if is_coach(mark) else ATTACK
        canvas.write(at, f"({word})" if mark in holders else word, BALL if mark in holders else role)


def _action(canvas: _Canvas, trace: Trace) -> None:
    points = list(trace.points)
    kind = trace.move.kind
    if kind == "pass":
        for one in dashes(points, 1.6):
            canvas.line(one[:1] * 2, action=True)
    elif kind == "dribble":
        canvas.line(_zigzag(points), action=True)
    elif kind == "shot":
        for one in dashes(points, 4.0):
            canvas.line(one, action=True)
    elif kind != "hand-off":
        canvas.line(points, action=True)
    at = (
        points[-1]
        if kind != "hand-off"
        else ((points[0][0] + points[-1][0]) / 2, (points[0][1] + points[-1][1]) / 2)
    )
    canvas.write(at, _end(kind, direction(points)), ACTION)


def _end(kind: MoveKind, way: Point) -> str:
    turn = math.atan2(way[1], way[0])
    eighth = round(turn / (math.pi / 4)) % 8
    quarter = round(turn / (math.pi / 2)) % 4
    if kind in {"screen", "box-out", "trap"}:
        return _BARS[quarter]
    if kind == "hand-off":
        return "="
    if kind == "bluff":
        return "↔" if quarter % 2 == 0 else "↕"
    return (_DOUBLE if kind == "closeout" else _ARROWS)[eighth]


def _zigzag(points: list[Point]) -> list[Point]:
    count = max(2, round(run_length(points) / 2.5))
    bent = [points[0]]
    for index in range(count):
        place = (index + 0.5) / count
        x, y = _part(points, place)
        ux, uy = direction([points[0], points[-1]])
        sign = 1.2 if index % 2 else -1.2
        bent.append((x - uy * sign, y + ux * sign))
    return [*bent, points[-1]]


def _part(points: list[Point], part: float) -> Point:
    left = run_length(points) * part
    for index in range(len(points) - 1):
        step = math.dist(points[index], points[index + 1])
        if step >= left and step:
            share = left / step
            (ax, ay), (bx, by) = points[index], points[index + 1]
            return ax + (bx - ax) * share, ay + (by - ay) * share
        left -= step
    return points[-1]
