"""Small invented seasons: games as counts, practices as drills of some minutes."""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path

from planner.desk.desk import Desk
from planner.desk.words import vocabulary
from planner.drills.vocabulary import Vocabulary
from planner.need.estimate import WatchedGame
from planner.season.record import DonePractice, DoneSegment

MONDAY = dt.date(2027, 1, 4)


@cache
def words() -> Vocabulary:
    """Return the shipped vocabulary."""
    return vocabulary(Desk(Path("nowhere"), MONDAY))


def game(day: int, possessions: int = 60, **seen: int) -> WatchedGame:
    """Return a game so many days after a Monday; breakdowns are named with underscores."""
    counts = {name.replace("_", "-"): count for name, count in seen.items()}
    return WatchedGame(f"g{day}", MONDAY + dt.timedelta(days=day), possessions, counts)


def practice(
    day: int, rating: int | None = None, absent: tuple[str, ...] = (), number: str = "", **minutes: float
) -> DonePractice:
    """Return a practice so many days after a Monday, each principle for its minutes."""
    segments = tuple(
        DoneSegment("drill", name, round(length * 60), shares={name.replace("_", "-"): 20})
        for name, length in minutes.items()
    )
    return DonePractice(number, MONDAY + dt.timedelta(days=day), 1095, segments, absent, rating)


def scored(day: int, drill: str, stops: int, tries: int, stage: str | None = None) -> DonePractice:
    """Return a practice of one scored drill."""
    one = DoneSegment("drill", drill, 600, drill, stage, {}, 5, stops, tries)
    return DonePractice("", MONDAY + dt.timedelta(days=day), 1095, (one,))
