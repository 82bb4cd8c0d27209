"""Seeded practices for measuring: the shipped library as it is, or varied to any number of drills."""

from __future__ import annotations

import datetime as dt
import functools
import random
from dataclasses import replace

from planner.build.brief import Brief, FixedBlock, GymWindow, Rules, SquadPlayer, Weight
from planner.desk.library import load_library
from planner.drills.card import SHARE_UNIT, Drill, Minutes
from planner.drills.vocabulary import Stage

START = 16 * 60


@functools.cache
def shipped() -> tuple[Drill, ...]:
    """Return the drills of the shipped library, of every kind."""
    return load_library().drills


def varied(count: int) -> tuple[Drill, ...]:
    """Return ``count`` cards: the shipped ones, then copies with other shares, minutes, effort and stage."""
    base = shipped()
    plain = [one for one in base if one.kind == "drill"]
    made = list(base[:count])
    for number in range(len(made), count):
        dice = random.Random(number)
        one = plain[number % len(plain)]
        made.append(_vary(one, f"{one.id}-{number}", dice))
    return tuple(made)


def _vary(one: Drill, name: str, dice: random.Random) -> Drill:
    shares = {p: max(1, units + dice.choice((-2, -1, 0, 1, 2))) for p, units in one.shares.items()}
    while sum(shares.values()) > SHARE_UNIT:
        largest = max(shares, key=lambda p: (shares[p], p))
        shares[largest] -= 1
    low = max(3, one.minutes.min + dice.choice((-1, 0, 1)))
    high = max(low + 1, one.minutes.max + dice.choice((-2, 0, 2)))
    effort = min(9, max(1, one.effort + dice.choice((-1, 0, 1))))
    minutes = Minutes(low, (low + high) // 2, high)
    return replace(one, id=name, shares=shares, minutes=minutes, effort=effort)


def practice(seed: int, drills: tuple[Drill, ...], minutes: int) -> Brief:
    """Return a practice of ``minutes`` for an invented team in mid-season, the same for the same seed."""
    dice = random.Random(f"practice {seed}")
    principles = sorted({p for one in drills for p in one.shares})
    plain = sorted(one.id for one in drills if one.kind == "drill")
    stages: list[Stage | None] = [None, Stage.WALK, Stage.GUIDED, Stage.CONTESTED]
    gym = dice.choice(
        (
            (),
            (GymWindow(START, START + dice.choice((20, 30)), 1),),
            (GymWindow(START + 45, START + 60, 1),),
            (GymWindow(START + minutes - 30, START + minutes, 1),),
        )
    )
    fixed = dice.choice(((), (FixedBlock("Offence", 12, 30),), (FixedBlock("Free throws", 6, "last", 2),)))
    ran = dice.sample(plain, 12)
    return Brief(
        date=dt.date(2026, 11, 24),
        start=START,
        minutes=minutes,
        squad=tuple(SquadPlayer(str(number)) for number in range(dice.choice((10, 12, 13, 14)))),
        drills=drills,
        weights={
            one: Weight(
                need=round(8 * dice.random() ** 2 + 0.3, 2),
                carry_over=round(30 * dice.random(), 1),
                passed=dice.choice(stages),
            )
            for one in principles
        },
        warm_up_minutes=dice.choice((8, 10, 12)),
        cool_down_minutes=5,
        gym=gym,
        fixed=fixed,
        ran_last=frozenset(ran[:6]),
        ran_before=frozenset(ran[6:]),
        rules=Rules(load_ceiling=dice.choice((None, None, minutes * 4.2))),
    )
