"""What a drill's diagrams must hold besides being readable."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from itertools import combinations

from planner.court.frame import Frame, is_coach, is_defender
from planner.court.geometry import Point
from planner.court.places import MARGIN
from planner.court.spots import tidy
from planner.drills.card import Drill
from planner.problem import Problem
from planner.text import plural

BALL_ACTIONS = frozenset({"pass", "dribble", "shot", "hand-off", "screen"})
ACTIONS_IN_ONE_PICTURE = 3
MOVES_IN_ONE_PICTURE = 8
PAINT_TOLERANCE = 1.0
"""Feet a defender's middle may be outside the lane line with a foot still in the paint."""


def check(drill: Drill, frames: Sequence[Frame]) -> list[Problem]:
    """Return what is wrong with a drill's diagrams, each fault with the drill's file."""
    if not frames:
        return []
    said = [
        *_floor_faults(drill, frames),
        *_people_faults(drill, frames),
        *_ball_faults(drill, frames),
        *_help_faults(drill, frames),
        *_length_faults(frames),
    ]
    return [Problem(drill.file or drill.id, None, one) for one in dict.fromkeys(said)]


def in_paint(frame: Frame, point: Point) -> bool:
    """Return whether someone standing at ``point`` has a foot in the paint at the defended basket."""
    court = frame.court
    x, y = court.across(point) if frame.attack_far else point
    return abs(x) <= court.lane + PAINT_TOLERANCE and -1.0 <= y <= court.free_throw_line + PAINT_TOLERANCE


def _floor_faults(drill: Drill, frames: Sequence[Frame]) -> list[str]:
    faults = []
    for number, frame in enumerate(frames, 1):
        for mark, point in [*frame.players.items(), *frame.ends.items()]:
            if _outside(frame, point):
                faults.append(f"diagram {number}: {mark} is off the court at {_feet(point)}")
        things = [one for one in [*frame.cones, *frame.waiting] if _outside(frame, one)]
        faults += [f"diagram {number}: something is off the court at {_feet(one)}" for one in things]
    if drill.layout == "full" and not any(one.whole for one in frames):
        faults.append('a full-court drill has no full-court diagram: write court = "full"')
    if drill.layout != "full" and any(one.whole for one in frames):
        faults.append("a drill on half courts is drawn on a full one")
    return faults


def _outside(frame: Frame, point: Point) -> bool:
    x, y = point
    deep = frame.court.length if frame.whole else frame.court.half
    return abs(x) > frame.court.side + MARGIN or not -MARGIN <= y <= deep + MARGIN


def _feet(point: Point) -> str:
    return f"[{point[0]:.0f}, {point[1]:.0f}]"


def _people_faults(drill: Drill, frames: Sequence[Frame]) -> list[str]:
    faults = []
    for number, frame in enumerate(frames, 1):
        people = [one for one in frame.players if not is_coach(one)]
        if len(people) > drill.players_max:
            crowd = plural(len(people), "player")
            faults.append(f"diagram {number}: {crowd}, but the drill is for at most {drill.players_max}")
        for one, two in combinations(sorted(frame.players), 2):
            if math.dist(frame.players[one], frame.players[two]) < 0.5:
                faults.append(f"diagram {number}: {one} and {two} stand on the same place")
    return faults


def _ball_faults(drill: Drill, frames: Sequence[Frame]) -> list[str]:
    uses_ball = any(re.search(r"\bballs?\b", tidy(one)) for one in drill.equipment)
    if uses_ball and not any(one.balls for one in frames):
        return ['the drill needs a ball, but no diagram shows one: write ball = "1"']
    return []


def _help_faults(drill: Drill, frames: Sequence[Frame]) -> list[str]:
    if drill.main_principle != "help-side":
        return []
    faults = []
    for number, frame in enumerate(frames, 1):
        for mark, point in sorted(_helpers(frame)):
            if not in_paint(frame, point):
                faults.append(
                    f"diagram {number}: {mark} helps at {_feet(point)}, without a foot in the paint"
                )
    shown = any(
        is_defender(mark) and in_paint(frame, point)
        for frame in frames
        for mark, point in [*frame.players.items(), *frame.ends.items()]
    )
    crowded = any(len(one.defenders) > 1 and len(one.attackers) > 1 for one in frames)
    if crowded and not shown:
        faults.append("no diagram of this help-side drill shows a defender with a foot in the paint")
    return faults


def _helpers(frame: Frame) -> list[tuple[str, Point]]:
    """Return the defenders the diagram says are in help, with where they are."""
    found = [
        (mark, frame.players[mark])
        for mark, words in frame.places.items()
        if is_defender(mark) and mark in frame.players and tidy(words).startswith("help")
    ]
    found += [
        (move.actor, move.path[-1])
        for move in frame.moves
        if is_defender(move.actor) and re.search(r"\bhelps?\b", tidy(move.said))
    ]
    return found


def _length_faults(frames: Sequence[Frame]) -> list[str]:
    faults = []
    for number, frame in enumerate(frames, 1):
        if len(frame.moves) > MOVES_IN_ONE_PICTURE:
            faults.append(
                f"diagram {number}: {len(frame.moves)} moves are too many to read; use two pictures"
            )
    actions = sum(one.kind in BALL_ACTIONS for one in frames[0].moves)
    if len(frames) == 1 and actions > ACTIONS_IN_ONE_PICTURE:
        faults.append(f"{actions} actions with the ball in one picture: use two or more diagrams")
    return faults
