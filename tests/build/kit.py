"""Invented drills and briefs for the tests of the build room."""

from __future__ import annotations

import datetime as dt
import random
from typing import Any

from planner.build.brief import Brief, SquadPlayer, Weight
from planner.drills.card import Drill, Minutes, Scoring
from planner.drills.vocabulary import Stage

PRINCIPLES = (
    *("on-ball", "closeout", "help-side", "strong-side", "bluff-recover", "ball-screen", "tag"),
    *("off-ball-screen", "post", "box-out", "transition", "vision", "talk", "fouling"),
)


def drill(number: int, **fields: Any) -> Drill:
    """Return a drill with plain defaults."""
    given: dict[str, Any] = {
        "id": f"drill-{number:03d}",
        "title": f"Drill {number}",
        "kind": "drill",
        "stage": Stage.CONTESTED,
        "shares": {"box-out": 16},
        "players_min": 4,
        "players_max": 15,
        "half_courts": 1,
        "layout": "half",
        "minutes": Minutes(5, 8, 12),
        "effort": 5,
        "equipment": (),
        "set_up": "Two lines.",
        "how": "Go.",
        "cues": ("Find a body",),
        "faults": (),
        "scoring": Scoring("A stop is a stop.", "stops", 7, 10),
    }
    return Drill(**{**given, **fields})


def random_drills(count: int, seed: int) -> tuple[Drill, ...]:
    """Return ``count`` drills of all kinds, the same for the same seed."""
    dice = random.Random(seed)
    made = []
    for number in range(count):
        main = PRINCIPLES[number % len(PRINCIPLES)]
        others = dice.sample([one for one in PRINCIPLES if one != main], dice.choice((0, 1, 1, 2)))
        shares = {main: dice.choice((8, 10, 12, 14, 16))}
        shares |= {one: dice.choice((1, 2, 3)) for one in others}
        stage = dice.choice(list(Stage))
        full = dice.random() < 0.2
        low = dice.choice((4, 5, 6))
        usual = low + dice.choice((2, 3, 4))
        effort = {1: (2, 3), 2: (4, 5), 3: (6, 7), 4: (7, 8)}[stage.rank]
        made.append(
            drill(
                number,
                stage=stage,
                shares=shares,
                half_courts=2 if full else 1,
                layout="full" if full else dice.choice(("half", "half", "half", "stations")),
                minutes=Minutes(low, usual, usual + dice.choice((2, 4, 6))),
                effort=dice.choice(effort),
                players_min=dice.choice((4, 6, 8)),
                players_max=dice.choice((12, 15)),
            )
        )
    return tuple(made)


def squad(size: int) -> tuple[SquadPlayer, ...]:
    """Return a squad with jerseys from 4 up and positions in turn."""
    return tuple(SquadPlayer(str(number + 4), ("guard", "wing", "big")[number % 3]) for number in range(size))


def brief(drills: tuple[Drill, ...], **fields: Any) -> Brief:
    """Return a brief for 100 minutes and twelve players."""
    given: dict[str, Any] = {
        "date": dt.date(2026, 11, 26),
        "start": 16 * 60 + 30,
        "minutes": 100,
        "squad": squad(12),
        "drills": drills,
        "weights": weights(1),
        "warm_up_minutes": 12,
        "cool_down_minutes": 5,
    }
    return Brief(**{**given, **fields})


def weights(seed: int) -> dict[str, Weight]:
    """Return needs of a team mid-season: a few large ones, many small ones."""
    dice = random.Random(seed)
    return {
        one: Weight(
            need=round(8 * dice.random() ** 2 + 0.5, 2),
            carry_over=round(30 * dice.random(), 1),
            passed=dice.choice([None, Stage.WALK, Stage.GUIDED, Stage.CONTESTED]),
        )
        for one in PRINCIPLES
    }
