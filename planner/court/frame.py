"""One picture of a drill: who stands where, who has the ball, and what happens next."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from planner.court.geometry import Court, Point

MoveKind = Literal[
    "run", "closeout", "bluff", "dribble", "pass", "shot", "screen", "box-out", "trap", "hand-off", "stay"
]
Ball = str | Point
"""Where a ball is: a player's mark, or a point on the floor."""

MARK = re.compile(r"x?[1-9]|C[1-4]?")
"""Attackers 1 to 9, defenders x1 to x9, coaches C (and C1 to C4)."""


def is_defender(mark: str) -> bool:
    """Return whether the mark is a defender's."""
    return mark.startswith("x")


def is_coach(mark: str) -> bool:
    """Return whether the mark is a coach's."""
    return mark.startswith("C")


def is_attacker(mark: str) -> bool:
    """Return whether the mark is an attacker's."""
    return mark[:1].isdigit()


@dataclass(frozen=True, slots=True)
class Move:
    """One action. ``path`` runs from where the actor is to where the action ends, in feet.

    ``target`` is the player a pass or hand-off goes to, or whom a screen, trap or box-out is set on. A
    bluff's path leads out only: the actor is back at its start afterwards. Staying and calling leave no mark.
    """

    kind: MoveKind
    actor: str
    path: tuple[Point, ...]
    target: str | None
    said: str


@dataclass(frozen=True, slots=True)
class Frame:
    """One picture. ``players`` are the places at its start, ``ends`` at its end, in feet.

    ``places`` keeps the words a place was given in, where this frame gave it. ``balls`` and ``end_balls``
    name the holder, or the point of a loose ball. ``depth`` is how much of a half court is drawn (0 for all).
    """

    court: Court
    whole: bool
    attack_far: bool
    caption: str
    players: Mapping[str, Point]
    places: Mapping[str, str]
    balls: tuple[Ball, ...]
    moves: tuple[Move, ...]
    ends: Mapping[str, Point]
    end_balls: tuple[Ball, ...]
    cones: tuple[Point, ...] = ()
    waiting: tuple[Point, ...] = ()
    depth: float = 0.0

    @property
    def attackers(self) -> tuple[str, ...]:
        """Return the attackers' marks in order."""
        return tuple(sorted(one for one in self.players if is_attacker(one)))

    @property
    def defenders(self) -> tuple[str, ...]:
        """Return the defenders' marks in order."""
        return tuple(sorted(one for one in self.players if is_defender(one)))

    @property
    def length(self) -> float:
        """Return how deep the drawn part of the floor is, in feet."""
        return self.court.length if self.whole else self.depth or self.court.half

    def deepest(self) -> float:
        """Return how far from the end line the farthest thing in the picture is, in feet."""
        points = [*self.players.values(), *self.cones, *self.waiting]
        points += [one for one in self.balls if not isinstance(one, str)]
        points += [one for move in self.moves for one in move.path]
        return max((y for _, y in points), default=0.0)

    @property
    def basket(self) -> Point:
        """Return the basket the defence guards."""
        return self.court.across(self.court.basket) if self.attack_far else self.court.basket
