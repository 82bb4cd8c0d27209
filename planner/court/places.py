"""Working out where a place described in words is, given who stands where."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

from planner.court.frame import Ball, is_attacker, is_defender
from planner.court.geometry import Court, Point
from planner.court.spots import STEP, find_spot, nearest_names, tidy

ARM = 3.0
"""Feet between a defender and the player guarded."""

MARGIN = 3.0
"""Feet beyond the lines that a diagram still shows (inbounder, coach)."""

ID = r"(?:x[1-9]|[1-9]|c[1-4]|c)(?![\w'])"
_RELATIONS = "on|gap|deny|help|front|behind|split|trail|near|beside"
_RELATION = re.compile(rf"({_RELATIONS})(?: (?:of |on )?({ID}))?$")
_BETWEEN = re.compile(r"(?:halfway )?between (.+?) and (.+)$")
_STEPPED = re.compile(
    r"(?:(one|two|three|[1-9]) )?(?:steps? )(inside|outside|above|below|left of|right of) (.+)$"
)
_HOW_MANY = {None: 1, "one": 1, "two": 2, "three": 3}
_FEET = re.compile(r"\[? ?(-?\d{1,3}(?:\.\d+)?) ?, ?(-?\d{1,3}(?:\.\d+)?) ?\]?")
_LEADING = re.compile(r"^(?:to|at|in|into|toward|towards|onto|from|back to|out to)\s+")


class WrongPlace(ValueError):
    """A place that cannot be worked out; the text says why."""


@dataclass(slots=True)
class Floor:
    """Who is where at one moment, while a diagram is being read."""

    court: Court
    whole: bool = False
    attack_far: bool = False
    at: dict[str, Point] = field(default_factory=dict)
    balls: list[Ball] = field(default_factory=list)

    @property
    def basket(self) -> Point:
        """Return the basket the defence guards."""
        return self.court.across(self.court.basket) if self.attack_far else self.court.basket

    def ball_point(self) -> Point | None:
        """Return where the first ball is."""
        for one in self.balls:
            if not isinstance(one, str):
                return one
            if one in self.at:
                return self.at[one]
        return None

    def of(self, mark: str) -> Point:
        """Return where a player is.

        Raises:
            WrongPlace: nobody with that mark is on the floor.

        """
        if mark not in self.at:
            raise WrongPlace(f"{mark} is not on the floor")
        return self.at[mark]


def mark_of(word: str) -> str:
    """Return the mark as it is kept: coaches in capitals, players in lower case."""
    return word.upper() if word.lower().startswith("c") else word.lower()


def toward(start: Point, end: Point, feet: float) -> Point:
    """Return the point ``feet`` from ``start`` towards ``end``, at most half-way."""
    gap = math.dist(start, end)
    part = min(feet / gap, 0.5) if gap else 0.0
    return start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part


def away(start: Point, other: Point, feet: float) -> Point:
    """Return the point ``feet`` from ``start`` directly away from ``other``."""
    gap = math.dist(start, other) or 1.0
    return start[0] - (other[0] - start[0]) * feet / gap, start[1] - (other[1] - start[1]) * feet / gap


def find_place(floor: Floor, who: str, words: str) -> Point:
    """Return the point described by ``words`` for player ``who``.

    Knows named spots, "between A and B", "a step outside A", "the ball", players ("2") and relations ("on 2",
    "gap 2", "deny 2", "help 2", "front 5", "behind 5", "split 2", "trail 2", "near 2"); a defender's relation
    without a number means the player of the same number.

    Raises:
        WrongPlace: the words name no place, or a player who is not there.

    """
    text = _LEADING.sub("", tidy(words), count=1)
    if found := _RELATION.fullmatch(text):
        return _related(floor, who, found[1], found[2])
    if found := _BETWEEN.fullmatch(text):
        (ax, ay), (bx, by) = (_thing(floor, found[1]), _thing(floor, found[2]))
        return (ax + bx) / 2, (ay + by) / 2
    if found := _STEPPED.fullmatch(text):
        count = _HOW_MANY.get(found[1]) or int(found[1])
        return _stepped(floor, _thing(floor, found[3]), found[2], count * STEP)
    if re.fullmatch(ID, text):
        return _related(floor, who, "on" if _opposed(who, mark_of(text)) else "near", text)
    if text == "ball":
        return _at_the_ball(floor, who)
    return _thing(floor, text)


def _opposed(who: str, other: str) -> bool:
    return is_defender(who) and is_attacker(other)


def _thing(floor: Floor, words: str) -> Point:
    """Return a named spot or where a player stands."""
    text = tidy(words)
    if re.fullmatch(ID, text):
        return floor.of(mark_of(text))
    if found := _FEET.fullmatch(text):
        return float(found[1]), float(found[2])
    spot = find_spot(floor.court, text)
    if spot is None:
        known = nearest_names(floor.court, text)
        hint = f"; did you mean '{known[0]}'?" if known else ""
        raise WrongPlace(f"no place called '{text}'{hint}")
    if not floor.whole and spot[1] > floor.court.half + MARGIN:
        raise WrongPlace(f"'{text}' is not on a half court: write court = \"full\"")
    return spot


def _at_the_ball(floor: Floor, who: str) -> Point:
    ball = floor.ball_point()
    if ball is None:
        raise WrongPlace("there is no ball on the floor")
    for one in floor.balls:
        if isinstance(one, str):
            return _related(floor, who, "on" if _opposed(who, one) else "near", one)
    return ball


def _stepped(floor: Floor, base: Point, way: str, feet: float) -> Point:
    x, y = base
    if way in {"inside", "outside"}:
        return toward(base, floor.basket, feet) if way == "inside" else away(base, floor.basket, feet)
    turn = -1.0 if floor.attack_far else 1.0
    shift = {"above": (0.0, feet), "below": (0.0, -feet), "left of": (-feet, 0.0), "right of": (feet, 0.0)}[
        way
    ]
    return x + turn * shift[0], y + turn * shift[1]


def _related(floor: Floor, who: str, word: str, other: str | None) -> Point:
    if other is None and not is_defender(who):
        raise WrongPlace(f"'{word}' needs a player: '{word} 2'")
    target = mark_of(other) if other else who[1:]
    at = floor.of(target)
    basket, ball = floor.basket, floor.ball_point()
    if word == "on" or (word == "front" and ball == at):
        return toward(at, basket, ARM)
    if word == "behind":
        return toward(at, basket, 2.5)
    if word == "trail":
        return away(at, basket, ARM)
    if word in {"near", "beside"}:
        return toward(at, floor.at.get(who, basket), 2.5)
    if word in {"help", "split"}:
        return _help(floor, at, split=word == "split")
    if ball is None or ball == at:
        raise WrongPlace(f"'{word} {target}' needs a ball somewhere else")
    if word == "front":
        return toward(at, ball, 2.5)
    if word == "deny":
        return toward(toward(at, ball, 4.0), basket, 1.0)
    return toward(toward(at, ball, math.dist(at, ball) * 0.3), basket, ARM)


def _help(floor: Floor, at: Point, split: bool) -> Point:
    """Return the help place: a foot in the paint towards one's own player, or on the split line."""
    court = floor.court
    x, y = court.across(at) if floor.attack_far else at
    depth = min(max((y + court.basket_y) / 2, court.basket_y + 1.0), court.free_throw_line - 3.0)
    edge = court.lane - 1.0
    place = (0.0 if split else min(max(x, -edge), edge), depth)
    return court.across(place) if floor.attack_far else place
