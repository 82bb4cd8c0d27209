"""What the marks mean: notation differs between federations, so every print carries its own key."""

from __future__ import annotations

from dataclasses import dataclass

from planner.court.frame import Move, MoveKind
from planner.court.geometry import Point
from planner.court.layout import Trace
from planner.court.sheet import THUMB, Size
from planner.court.strokes import action_lines
from planner.court.svg import cone, disc, document, filled, line_path, stroke, symbol

_PEOPLE = (
    ("1", "attacker"),
    ("(1)", "attacker with the ball"),
    ("x1", "defender, numbered like the player guarded"),
    ("C", "coach"),
    ("o", "loose ball"),
    ("△", "cone"),
    ("∙∙∙", "players waiting in line"),
)
_ACTIONS: tuple[tuple[MoveKind, str, str], ...] = (
    ("run", "──→", "moves without the ball"),
    ("dribble", "∿∿→", "dribbles"),
    ("pass", "┄┄→", "passes"),
    ("shot", "══→", "shoots"),
    ("closeout", "──⇒", "closes out, high hand"),
    ("bluff", "←─→", "shows at the ball and gets back"),
    ("screen", "──┤", "screens, boxes out or traps"),
    ("hand-off", " ‖ ", "hands off"),
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One mark: a small SVG of it and what it means."""

    svg: str
    words: str


def legend(size: Size = THUMB) -> tuple[Entry, ...]:
    """Return every mark of the diagrams as a small SVG with its meaning, people first."""
    people = [Entry(_picture(_person(sign, size), size, words), words) for sign, words in _PEOPLE]
    actions = [Entry(_picture(_action(kind, size), size, words), words) for kind, _, words in _ACTIONS]
    return (*people, *actions)


def legend_text() -> str:
    """Return the key for a terminal, one mark a line."""
    rows = [(sign.replace("o", "●") if sign == "o" else sign, words) for sign, words in _PEOPLE]
    rows += [(sign, words) for _, sign, words in _ACTIONS]
    return "\n".join(f"{sign:<4} {words}" for sign, words in rows)


def _box(size: Size) -> Point:
    return size.digit * 4.6, size.digit * 2.2


def _picture(parts: list[str], size: Size, words: str) -> str:
    width, height = _box(size)
    return document(width, height, parts, words)


def _person(sign: str, size: Size) -> list[str]:
    width, height = _box(size)
    middle = (width / 2, height / 2)
    if sign == "o":
        return [disc(middle, size.digit * 0.24, "#000")]
    if sign == "△":
        return [cone(middle, size)]
    if sign == "∙∙∙":
        step = size.digit * 0.5
        return [disc((middle[0] + step * n, middle[1]), size.digit * 0.15, "#000") for n in (-1, 0, 1)]
    return symbol(sign.strip("()"), middle, size, holder=sign.startswith("("))


def _action(kind: MoveKind, size: Size) -> list[str]:
    width, height = _box(size)
    points = ((size.digit * 0.3, height / 2), (width - size.digit * 0.3, height / 2))
    strokes, heads = action_lines(Trace(Move(kind, "1", points, None, ""), points), size)
    parts = [stroke("".join(line_path(one) for one in strokes), size.action)]
    parts += [filled(line_path(one, closed=True)) for one in heads]
    return parts
