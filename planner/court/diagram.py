"""A drill's ``[[diagram]]`` tables, read into frames; faults are values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from planner.court.frame import MARK, Ball, Frame, Move
from planner.court.geometry import Court, Point
from planner.court.moves import read_move
from planner.court.places import Floor, WrongPlace, find_place, mark_of
from planner.problem import Problem
from planner.text import clean_line, listed

MAX_FRAMES = 6
FARTHEST = 200.0
MAX_MOVES = 14
USED, SHOWN = 30.5, 34.0
"""A half court on which nothing lies beyond ``USED`` feet is drawn ``SHOWN`` feet deep."""

_FIELDS = ("court", "caption", "players", "ball", "moves", "cones", "waiting", "attack")


@dataclass(slots=True)
class _Reading:
    """A drill file's diagrams being read; the floor is carried from frame to frame."""

    file: str
    source: str
    floor: Floor
    cones: tuple[Point, ...] = ()
    waiting: tuple[Point, ...] = ()
    number: int = 0
    problems: list[Problem] = field(default_factory=list)

    def fault(self, what: str, near: str = "") -> None:
        """Note a fault of the frame at hand, at the line that holds ``near``."""
        line = None
        if near:
            rows = enumerate(self.source.splitlines(), 1)
            line = next((number for number, row in rows if near in row), None)
        self.problems.append(Problem(self.file, line, f"diagram {self.number}: {what}"))


def read_diagrams(
    name: str, rows: object, court: Court, source: str = ""
) -> tuple[tuple[Frame, ...], list[Problem]]:
    """Read the ``diagram`` tables of one drill file on the given court.

    ``rows`` is what TOML gave for the key (a list of tables), ``source`` the file's text, used only to name
    the line of a fault. What can be read is kept: a wrong move is left out of its frame and reported.
    """
    reading = _Reading(name, source, Floor(court))
    if not isinstance(rows, list) or not all(isinstance(one, dict) for one in rows):
        return (), [Problem(name, None, "diagrams are written as [[diagram]] tables")]
    if len(rows) > MAX_FRAMES:
        reading.problems.append(Problem(name, None, f"more than {MAX_FRAMES} diagrams; the rest is left out"))
    frames = []
    for number, row in enumerate(rows[:MAX_FRAMES], 1):
        reading.number = number
        frames.append(_frame(reading, row))
    return _cropped(frames), reading.problems


def _cropped(frames: list[Frame]) -> tuple[Frame, ...]:
    """Leave out the empty part before half court, alike in all pictures of a drill."""
    halves = [one for one in frames if not one.whole]
    if any(one.deepest() > USED for one in halves):
        return tuple(frames)
    return tuple(one if one.whole else replace(one, depth=min(SHOWN, one.court.half)) for one in frames)


def _frame(reading: _Reading, row: Mapping[str, Any]) -> Frame:
    floor = reading.floor
    for key in row:
        if key not in _FIELDS:
            reading.fault(f"unknown field '{clean_line(str(key), 40)}'", str(key))
    floor.whole = _choice(reading, row, "court", ("half", "full"), floor.whole)
    floor.attack_far = _choice(reading, row, "attack", ("near", "far"), floor.attack_far)
    if floor.whole and "court" in row and "attack" not in row:
        floor.attack_far = True
    places = _players(reading, row)
    if not floor.at:
        reading.fault('nobody is on the floor: write players = { 1 = "top", ... }')
    reading.cones = _points(reading, row, "cones", reading.cones)
    reading.waiting = _points(reading, row, "waiting", reading.waiting)
    start, balls = dict(floor.at), tuple(floor.balls)
    moves = _moves(reading, row)
    return Frame(
        court=floor.court,
        whole=floor.whole,
        attack_far=floor.attack_far,
        caption=_caption(reading, row),
        players=start,
        places=places,
        balls=balls,
        moves=moves,
        ends=dict(floor.at),
        end_balls=tuple(floor.balls),
        cones=reading.cones,
        waiting=reading.waiting,
    )


def _choice(reading: _Reading, row: Mapping[str, Any], key: str, words: tuple[str, str], now: bool) -> bool:
    if key not in row:
        return now
    if row[key] not in words:
        reading.fault(f"{key} must be {listed(words, 'or')}", key)
        return now
    return bool(row[key] == words[1])


def _caption(reading: _Reading, row: Mapping[str, Any]) -> str:
    raw = row.get("caption", "")
    if not isinstance(raw, str):
        reading.fault("the caption must be text", "caption")
        return ""
    return clean_line(raw, 80)


def _players(reading: _Reading, row: Mapping[str, Any]) -> dict[str, str]:
    """Place the players: first those on spots, then the ball, then those described by others."""
    raw = row.get("players", {})
    if not isinstance(raw, dict):
        reading.fault('players must be a table: { 1 = "top", x1 = "on 1" }', "players")
        raw = {}
    left: dict[str, str] = {}
    places: dict[str, str] = {}
    for key, value in raw.items():
        mark = mark_of(str(key))
        if not MARK.fullmatch(mark):
            reading.fault(f"'{clean_line(str(key), 20)}' is no player: 1 to 9, x1 to x9, C", str(key))
        elif isinstance(value, str):
            words = clean_line(value, 60)
            if words == "off":
                _leaves(reading.floor, mark)
            else:
                left[mark] = places[mark] = words
        elif (point := _point(value)) is not None:
            reading.floor.at[mark] = point
        else:
            reading.fault(f"the place of {mark} must be words or [x, y] in feet", str(key))
    for mark in left:
        reading.floor.at.pop(mark, None)
    _place_all(reading, row, left)
    return places


def _leaves(floor: Floor, mark: str) -> None:
    floor.at.pop(mark, None)
    floor.balls = [one for one in floor.balls if one != mark]


def _place_all(reading: _Reading, row: Mapping[str, Any], left: dict[str, str]) -> None:
    """Place everyone in ``left``; a place that hangs on another player waits until that one stands."""
    floor = reading.floor
    faults: dict[str, str] = {}
    ball_done = False
    while left:
        before = len(left)
        for mark, words in list(left.items()):
            try:
                floor.at[mark] = find_place(floor, mark, words)
            except WrongPlace as wrong:
                faults[mark] = str(wrong)
            else:
                del left[mark]
        if len(left) < before:
            continue
        if ball_done:
            break
        _balls(reading, row, final=False)
        ball_done = True
    for mark, words in left.items():
        reading.fault(f"{mark} = '{words}': {faults[mark]}", words)
    _balls(reading, row, final=True)


def _balls(reading: _Reading, row: Mapping[str, Any], final: bool) -> None:
    """Read ``ball``; before everyone stands (not ``final``), a holder not yet placed is no fault."""
    floor = reading.floor
    if "ball" not in row:
        floor.balls = [one for one in floor.balls if not isinstance(one, str) or one in floor.at]
        return
    raw = row["ball"]
    several = raw if isinstance(raw, list) and not _point(raw) else [raw]
    balls: list[Ball] = []
    for one in several:
        mark = mark_of(str(one)) if isinstance(one, str | int) else ""
        if mark in floor.at:
            balls.append(mark)
        elif (point := _point(one)) is not None:
            balls.append(point)
        elif MARK.fullmatch(mark):
            if final:
                reading.fault(f"the ball is with {mark}, who is not on the floor", "ball")
        elif isinstance(one, str):
            _loose(reading, one, balls, final)
        elif final:
            reading.fault("ball must be a player, a place or [x, y]", "ball")
    floor.balls = balls


def _loose(reading: _Reading, words: str, balls: list[Ball], final: bool) -> None:
    if not words.strip() or words == "none":
        return
    try:
        balls.append(find_place(reading.floor, "", clean_line(words, 60)))
    except WrongPlace as wrong:
        if final:
            reading.fault(f"ball: {wrong}", "ball")


def _point(value: object) -> Point | None:
    if not isinstance(value, Sequence) or isinstance(value, str) or len(value) != 2:
        return None
    x, y = value
    for one in (x, y):
        if isinstance(one, bool) or not isinstance(one, int | float) or not abs(one) <= FARTHEST:
            return None
    return float(x), float(y)


def _points(reading: _Reading, row: Mapping[str, Any], key: str, now: tuple[Point, ...]) -> tuple[Point, ...]:
    if key not in row:
        return now
    raw = row[key]
    if not isinstance(raw, list):
        reading.fault(f"{key} must be a list of places", key)
        return now
    points: list[Point] = []
    for one in raw[:20]:
        if (point := _point(one)) is not None:
            points.append(point)
            continue
        try:
            points.append(find_place(reading.floor, "", clean_line(str(one), 60)))
        except WrongPlace as wrong:
            reading.fault(f"{key}: {wrong}", key)
    return tuple(points)


def _moves(reading: _Reading, row: Mapping[str, Any]) -> tuple[Move, ...]:
    raw = row.get("moves", [])
    if not isinstance(raw, list) or not all(isinstance(one, str) for one in raw):
        reading.fault('moves must be a list of sentences: ["1 passes to 2"]', "moves")
        return ()
    if len(raw) > MAX_MOVES:
        reading.fault(f"more than {MAX_MOVES} moves in one picture: split it", "moves")
    moves: list[Move] = []
    for sentence in raw[:MAX_MOVES]:
        said = clean_line(sentence, 120)
        try:
            moves += read_move(reading.floor, said)
        except WrongPlace as wrong:
            reading.fault(f"'{said}': {wrong}", sentence)
    return tuple(moves)
