"""A frame as SVG text: only path, circle and rect with plain attributes, in millimetres, black on white."""

from __future__ import annotations

import math
from collections.abc import Iterable
from xml.sax.saxutils import escape

from planner.court.describe import describe
from planner.court.frame import Frame, is_coach
from planner.court.geometry import Arc, Piece, Point, floor
from planner.court.glyphs import GAP, GLYPHS, WIDTHS, word_width
from planner.court.layout import Layout, lay_out
from planner.court.polyline import Polyline
from planner.court.sheet import CARD, Size, View
from planner.court.strokes import action_lines


def frame_svg(frame: Frame, size: Size = CARD) -> str:
    """Return a frame as an SVG document ``size.width`` millimetres wide; same frame, same bytes."""
    view = View.of(frame, size.width)
    layout = lay_out(frame, view, size.reach * 0.92, size.reach, size.digit * 0.12)
    parts = [
        _court(frame, view, size),
        *_cones(frame, view, size),
        *_lines_waiting(frame, view, size),
        *_actions(layout, size),
        *_symbols(frame, layout, size),
    ]
    return document(view.width, view.height, parts, describe(frame))


def document(width: float, height: float, parts: Iterable[str], title: str) -> str:
    """Return an SVG document in millimetres around ``parts``, with its text description as title."""
    w, h = number(width), number(height)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm"'
        f' viewBox="0 0 {w} {h}" role="img">\n'
        f"<title>{escape(title)}</title>\n"
        f'<rect x="0" y="0" width="{w}" height="{h}" fill="#fff"/>\n' + "\n".join(parts) + "\n</svg>\n"
    )


def number(value: float) -> str:
    """Return a coordinate with at most two decimals and no tail of noughts."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def pair(point: Point) -> str:
    """Return a point as two numbers."""
    return f"{number(point[0])} {number(point[1])}"


def line_path(points: Polyline, closed: bool = False) -> str:
    """Return the path data of a polyline."""
    return f"M{pair(points[0])}" + "".join(f"L{pair(one)}" for one in points[1:]) + ("Z" if closed else "")


def stroke(data: str, width: float) -> str:
    """Return a black stroked path."""
    return (
        f'<path d="{data}" fill="none" stroke="#000" stroke-width="{number(width)}"'
        ' stroke-linecap="round" stroke-linejoin="round"/>'
    )


def filled(data: str) -> str:
    """Return a black filled path."""
    return f'<path d="{data}" fill="#000"/>'


def disc(centre: Point, radius: float, fill: str, width: float = 0.0) -> str:
    """Return a circle, stroked where ``width`` is above 0."""
    edge = f' stroke="#000" stroke-width="{number(width)}"' if width else ""
    x, y = number(centre[0]), number(centre[1])
    return f'<circle cx="{x}" cy="{y}" r="{number(radius)}" fill="{fill}"{edge}/>'


def _court(frame: Frame, view: View, size: Size) -> str:
    return stroke(
        "".join(_piece(one, view) for one in floor(frame.court, frame.whole, frame.depth)), size.line
    )


def _piece(one: Piece, view: View) -> str:
    if not isinstance(one, Arc):
        return line_path([view.at(one.start), view.at(one.end)])
    radius = number(one.radius * view.scale)
    turns = 2 if one.end - one.start > math.pi + 1e-9 else 1
    step = (one.end - one.start) / turns
    data = f"M{pair(view.at(one.at(one.start)))}"
    for turn in range(1, turns + 1):
        data += f"A{radius} {radius} 0 0 1 {pair(view.at(one.at(one.start + turn * step)))}"
    return data


def _cones(frame: Frame, view: View, size: Size) -> list[str]:
    return [cone(view.kept(view.at(one), size.digit / 2), size) for one in frame.cones]


def cone(at: Point, size: Size) -> str:
    """Return the mark of a cone: a small open triangle."""
    half = size.digit * 0.34
    x, y = at
    corners = [(x, y - half), (x + half, y + half * 0.8), (x - half, y + half * 0.8)]
    width = number(size.action * 0.7)
    return f'<path d="{line_path(corners, closed=True)}" fill="#fff" stroke="#000" stroke-width="{width}"/>'


def _lines_waiting(frame: Frame, view: View, size: Size) -> list[str]:
    parts = []
    middle = view.at((0.0, frame.length / 2))
    for one in frame.waiting:
        x, y = view.at(one)
        gap = math.hypot(x - middle[0], y - middle[1]) or 1.0
        ux, uy = (x - middle[0]) / gap, (y - middle[1]) / gap
        step = size.digit * 0.5
        spots = [view.kept((x + ux * step * n, y + uy * step * n), step / 2) for n in range(3)]
        if math.dist(spots[0], spots[2]) < step:
            spots = [view.kept((x + uy * step * n, y - ux * step * n), step / 2) for n in (-1, 0, 1)]
        parts += [disc(spot, size.digit * 0.15, "#000") for spot in spots]
    return parts


def _actions(layout: Layout, size: Size) -> list[str]:
    parts = []
    for trace in layout.traces:
        strokes, heads = action_lines(trace, size)
        if strokes:
            parts.append(stroke("".join(line_path(one) for one in strokes), size.action))
        if heads:
            parts.append(filled("".join(line_path(one, closed=True) for one in heads)))
    return parts


def _symbols(frame: Frame, layout: Layout, size: Size) -> list[str]:
    holders = {one for one in frame.balls if isinstance(one, str)}
    parts = []
    for mark, at in sorted(layout.symbols.items()):
        parts += symbol(mark, at, size, mark in holders)
    return parts + [disc(at, size.digit * 0.24, "#000") for at in layout.loose]


def symbol(mark: str, at: Point, size: Size, holder: bool) -> list[str]:
    """Return a player's symbol: a white ground, a circle for the ball holder, the mark in strokes."""
    word = "C" if is_coach(mark) else mark
    height = size.digit * (0.9 if len(word) > 1 else 1.0)
    if holder and len(word) > 1:
        height *= 0.84
    ground = disc(at, size.reach, "#fff", size.action if holder else 0.0)
    if not holder:
        ground = disc(at, size.reach * 0.86, "#fff")
    return [ground, stroke(word_path(word, at, height), size.pen)]


def word_path(word: str, centre: Point, height: float) -> str:
    """Return the path data of a mark, centred on a point."""
    x = centre[0] - word_width(word) * height / 2
    y = centre[1] - height / 2
    data = ""
    for letter in word:
        for command, numbers in GLYPHS[letter]:
            places = [
                (x + numbers[i] * height, y + numbers[i + 1] * height) for i in range(0, len(numbers), 2)
            ]
            data += command + " ".join(pair(one) for one in places)
        x += (WIDTHS[letter] + GAP) * height
    return data
