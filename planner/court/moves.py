"""What a coach says a player does, read into a move: "2 dribbles off 5 to the right elbow"."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from planner.court.frame import Move, MoveKind, is_attacker, is_defender
from planner.court.geometry import Point
from planner.court.places import ID, Floor, WrongPlace, find_place, mark_of, toward
from planner.court.spots import tidy
from planner.court.verbs import RELATION_STEMS, find_verb

CLEARANCE, SQUEEZE = 3.2, 1.5
"""Feet by which a dribbler or cutter, and a defender, goes past a screener."""

_WHO = re.compile(rf"((?:{ID})(?:(?:,| and|, and) (?:{ID}))*) (.+)")
_VIA = re.compile(rf"\b(over|under|around|off|past|through) ({ID})(?: screen)?")
_FILLER = re.compile(
    r"(?:back|out|up|down|over|across|hard|early|away|in|again|straight|through|off|level|ball)\b\s*"
)
_PREPOSITION = re.compile(r"(?:to|into|toward|towards|onto|at|for|with|from|in)\s+")


@dataclass(frozen=True, slots=True)
class _Said:
    """A sentence taken apart."""

    actor: str
    verb: str
    tail: str
    said: str


def read_move(floor: Floor, sentence: str) -> list[Move]:
    """Return the moves a sentence stands for, and carry them out on ``floor``.

    Raises:
        WrongPlace: the sentence cannot be understood or cannot happen; the text says why.

    """
    text = (
        tidy(sentence)
        .rstrip(".!")
        .replace("'s screen", " screen")
        .replace("coach", "c")
        .replace(" then ", " ")
    )
    found = _WHO.fullmatch(text)
    if not found:
        raise WrongPlace("a move starts with a player: '1 passes to 2', 'x3 sprints to the nail'")
    kind, verb, tail = find_verb(found[2])
    moves: list[Move] = []
    for word in re.findall(ID, found[1]):
        actor = mark_of(word)
        floor.of(actor)
        moves += _ACTS[kind](floor, _Said(actor, verb, tail, sentence))
    return moves


def _place_words(tail: str) -> str:
    """Return the place a tail names, without small words before it; a relation ("on 2") stays whole."""
    text = tail.strip()
    while (found := _FILLER.match(text)) and found.end() < len(text):
        text = text[found.end() :]
    return _PREPOSITION.sub("", text, count=1) if _PREPOSITION.match(text) else text


def _target(floor: Floor, tail: str, verb: str) -> tuple[str, str]:
    """Return the player a tail names and the place after "at", which may be empty."""
    found = re.fullmatch(
        rf"(?:\w+ )?(?:to |for |on |onto |with |at )?({ID})(?: (?:at|in|on|near) (.+))?", tail
    )
    if not found:
        raise WrongPlace(f"'{verb}' needs a player: '{verb} ... 2', '{verb} ... 2 at the right elbow'")
    target = mark_of(found[1])
    floor.of(target)
    return target, found[2] or ""


def _needs_ball(floor: Floor, actor: str, verb: str) -> None:
    if actor not in floor.balls:
        raise WrongPlace(f"{actor} has no ball, so {actor} cannot {verb}")


def _no_ball(floor: Floor, actor: str, verb: str) -> None:
    if actor in floor.balls:
        raise WrongPlace(f"{actor} has the ball when {actor} '{verb}': write 'dribbles', or pass first")


def _step(
    floor: Floor, said: _Said, kind: MoveKind, path: tuple[Point, ...], target: str | None = None
) -> Move:
    if kind != "bluff":
        floor.at[said.actor] = path[-1]
    return Move(kind, said.actor, path, target, said.said)


def _travel(floor: Floor, said: _Said, kind: MoveKind) -> list[Move]:
    """Read a run or a dribble: an optional way past a screener, then where to."""
    start = floor.of(said.actor)
    found = _VIA.search(said.tail)
    tail = said.tail
    if found:
        tail = (tail[: found.start()] + tail[found.end() :]).strip()
    words = _place_words(tail)
    if not words and found and is_defender(said.actor):
        words = "on"
    if not words:
        raise WrongPlace(f"'{said.verb}' needs to say where: '{said.verb} to the right wing'")
    end = _jump(floor, said, words) or find_place(floor, said.actor, words)
    if not found:
        return [_step(floor, said, kind, (start, end))]
    if mark_of(found[2]) == said.actor:
        raise WrongPlace(f"{said.actor} cannot go round {said.actor}")
    room = SQUEEZE if is_defender(said.actor) and found[1] == "over" else CLEARANCE
    beside = _past(floor, (found[1], room), floor.of(mark_of(found[2])), start, end)
    return [_step(floor, said, kind, (start, beside, end) if beside else (start, end))]


def _jump(floor: Floor, said: _Said, words: str) -> Point | None:
    """Return a step and a half towards the ball: what "jumps to the ball" means."""
    ball = floor.ball_point()
    if words != "ball" or not said.verb.startswith("jump") or ball is None:
        return None
    return toward(floor.of(said.actor), ball, 5.0)


def _past(floor: Floor, how: tuple[str, float], screener: Point, start: Point, end: Point) -> Point | None:
    """Return a point beside the screener: the basket's side for under and through, else the far side.

    None where the straight way already leads past on that side.
    """
    way, room = how
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy) or 1.0
    nx, ny = -dy / length, dx / length
    to_basket = nx * (floor.basket[0] - screener[0]) + ny * (floor.basket[1] - screener[1])
    sign = 1.0 if (to_basket > 0) == (way in {"under", "through"}) else -1.0
    clear = sign * (nx * (start[0] - screener[0]) + ny * (start[1] - screener[1]))
    if clear > room - 0.4:
        return None
    return screener[0] + sign * room * nx, screener[1] + sign * room * ny


def _run(floor: Floor, said: _Said) -> list[Move]:
    _no_ball(floor, said.actor, said.verb)
    return _travel(floor, said, "run")


def _dribble(floor: Floor, said: _Said) -> list[Move]:
    _needs_ball(floor, said.actor, "dribble")
    return _travel(floor, said, "dribble")


def _pass(floor: Floor, said: _Said) -> list[Move]:
    _needs_ball(floor, said.actor, "pass")
    start = floor.of(said.actor)
    place = _place_words(said.tail)
    index = floor.balls.index(said.actor)
    if re.fullmatch(ID, place):
        target = mark_of(place)
        if target == said.actor:
            raise WrongPlace(f"{target} cannot pass to {target}")
        end = floor.of(target)
        floor.balls[index] = target
        return [Move("pass", said.actor, (start, end), target, said.said)]
    if not place:
        raise WrongPlace("a pass needs a receiver: '1 passes to 2'")
    end = find_place(floor, said.actor, place)
    floor.balls[index] = end
    return [Move("pass", said.actor, (start, end), None, said.said)]


def _shot(floor: Floor, said: _Said) -> list[Move]:
    _needs_ball(floor, said.actor, "shoot")
    start = floor.of(said.actor)
    court = floor.court
    far = court.across(court.basket)
    goal = far if floor.whole and math.dist(start, far) < math.dist(start, court.basket) else court.basket
    floor.balls[floor.balls.index(said.actor)] = goal
    return [Move("shot", said.actor, (start, goal), None, said.said)]


def _collect(floor: Floor, said: _Said) -> list[Move]:
    loose = [one for one in floor.balls if not isinstance(one, str)]
    if not loose:
        raise WrongPlace(f"there is no loose ball for {said.actor}: somebody has it")
    start = floor.of(said.actor)
    words = _place_words(said.tail)
    end = find_place(floor, said.actor, words) if words else toward_full(start, loose[0], 2.0)
    floor.balls[floor.balls.index(loose[0])] = said.actor
    return [_step(floor, said, "run", (start, end))] if math.dist(start, end) > 1.0 else []


def toward_full(start: Point, end: Point, short: float) -> Point:
    """Return the point on the way to ``end`` that stops ``short`` feet before it."""
    gap = math.dist(start, end)
    if gap <= short:
        return start
    part = (gap - short) / gap
    return start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part


def _against(floor: Floor, said: _Said, kind: MoveKind, word: str) -> list[Move]:
    """Read an act on a player: where it ends follows from ``word`` ("on", "near"), or from "at ..."."""
    _no_ball(floor, said.actor, said.verb)
    target, place = _target(floor, said.tail, said.verb)
    start = floor.of(said.actor)
    end = find_place(floor, said.actor, place or f"{word} {target}")
    return [_step(floor, said, kind, (start, end), target)]


def _take(floor: Floor, said: _Said) -> list[Move]:
    tail = said.tail
    if re.fullmatch(r"(?:to |at |on )?ball", tail):
        holder = next((one for one in floor.balls if isinstance(one, str)), None)
        if holder is None:
            raise WrongPlace("nobody has the ball")
        tail = holder
    return _against(floor, _Said(said.actor, said.verb, tail, said.said), "run", "on")


def _touch(floor: Floor, said: _Said) -> list[Move]:
    return _against(floor, said, "run", "behind" if is_defender(said.actor) else "near")


def _relate(floor: Floor, said: _Said) -> list[Move]:
    """Read "denies 2", "fronts 5", "helps", "helps at the rim"."""
    _no_ball(floor, said.actor, said.verb)
    start = floor.of(said.actor)
    word = next(word for stem, word in RELATION_STEMS.items() if said.verb.startswith(stem))
    found = re.fullmatch(rf"(?:on |off |up )?({ID})?(?: ?(?:at|in|on|from) (.+))?", said.tail)
    if said.tail and not found:
        raise WrongPlace(f"'{said.verb}' needs a player: '{said.verb} 2'")
    place = found[2] if found and found[2] else f"{word} {found[1]}" if found and found[1] else word
    return [_step(floor, said, "run", (start, find_place(floor, said.actor, place)))]


def _stay(floor: Floor, said: _Said) -> list[Move]:
    at = floor.of(said.actor)
    return [Move("stay", said.actor, (at, at), None, said.said)]


def _closeout(floor: Floor, said: _Said) -> list[Move]:
    _no_ball(floor, said.actor, said.verb)
    start = floor.of(said.actor)
    words = _place_words(said.tail) or "on"
    return [_step(floor, said, "closeout", (start, find_place(floor, said.actor, words)))]


def _box_out(floor: Floor, said: _Said) -> list[Move]:
    tail = said.tail or (said.actor[1:] if is_defender(said.actor) else "")
    return _against(floor, _Said(said.actor, said.verb, tail, said.said), "box-out", "on")


def _trap(floor: Floor, said: _Said) -> list[Move]:
    return _against(floor, said, "trap", "near")


def _bluff(floor: Floor, said: _Said) -> list[Move]:
    start = floor.of(said.actor)
    tail = re.sub(r"^(?:at|on|to|toward|towards|down on)\s+", "", said.tail)
    ball = floor.ball_point()
    if tail in {"", "ball", "driver", "dribbler"}:
        if ball is None:
            raise WrongPlace("there is no ball to bluff at")
        goal = ball
    else:
        goal = floor.of(mark_of(tail)) if re.fullmatch(ID, tail) else find_place(floor, said.actor, tail)
    return [_step(floor, said, "bluff", (start, toward(start, goal, 9.0)))]


def _screen(floor: Floor, said: _Said) -> list[Move]:
    """Read a screen: it is set on the defender of the player it is for, on the screener's side."""
    _no_ball(floor, said.actor, said.verb)
    target, place = _target(floor, said.tail, said.verb)
    start = floor.of(said.actor)
    guard = f"x{target}" if is_attacker(target) and f"x{target}" in floor.at else target
    victim = floor.of(guard)
    end = find_place(floor, said.actor, place) if place else toward_full(start, victim, 2.5)
    return [_step(floor, said, "screen", (start, end), guard)]


def _hand_off(floor: Floor, said: _Said) -> list[Move]:
    """Read a hand-off: the receiver runs to the giver, unless already within a step or two."""
    _needs_ball(floor, said.actor, "hand off")
    target, place = _target(floor, said.tail, said.verb)
    if place:
        raise WrongPlace(
            "first bring the ball there ('1 dribbles to the left wing'), then '1 hands off to 2'"
        )
    giver, start = floor.of(said.actor), floor.of(target)
    moves: list[Move] = []
    if math.dist(giver, start) > 5.0:
        moves.append(
            _step(floor, _Said(target, "runs", "", said.said), "run", (start, toward_full(start, giver, 3.0)))
        )
    floor.balls[floor.balls.index(said.actor)] = target
    moves.append(Move("hand-off", said.actor, (giver, floor.of(target)), target, said.said))
    return moves


_ACTS = {
    "run": _run,
    "dribble": _dribble,
    "pass": _pass,
    "shot": _shot,
    "collect": _collect,
    "take": _take,
    "touch": _touch,
    "closeout": _closeout,
    "box-out": _box_out,
    "trap": _trap,
    "bluff": _bluff,
    "screen": _screen,
    "relation": _relate,
    "stay": _stay,
    "hand-off": _hand_off,
}
