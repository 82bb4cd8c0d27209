"""Small vocabularies and games for the tests of the need room."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping

from planner.data import drill_library
from planner.drills.library import read_vocabulary
from planner.drills.vocabulary import Breakdown, Principle, Vocabulary
from planner.need.estimate import WatchedGame, WatchedTrip

START = dt.date(2031, 11, 3)
LATER = dt.date(2033, 6, 1)


def breakdown(
    name: str,
    principle: str,
    rate: float = 4.0,
    cost: float = 0.4,
    second: str | None = None,
    first_share: float = 1.0,
) -> Breakdown:
    """Return a breakdown with a title made from its id."""
    return Breakdown(
        name, name.replace("-", " ").capitalize(), principle, second, "", first_share, rate, cost
    )


def small() -> Vocabulary:
    """Return three principles and five breakdowns, one of them shared."""
    return Vocabulary(
        tuple(
            Principle(one, one.replace("-", " ").capitalize(), "") for one in ("box-out", "closeout", "talk")
        ),
        (
            breakdown("no-box-out", "box-out", 7.0, 0.4),
            breakdown("inside-lost", "box-out", 2.0, 0.5),
            breakdown("late-closeout", "closeout", 5.0, 0.3),
            breakdown("unmatched", "closeout", 3.0, 0.6, second="talk", first_share=0.7),
            breakdown("no-talk", "talk", 4.0, 0.1),
        ),
    )


def shipped() -> Vocabulary:
    """Return the library's own vocabulary."""
    folder = drill_library()
    texts = [(folder / name).read_text("utf-8") for name in ("principles.toml", "breakdowns.toml")]
    vocabulary, problems = read_vocabulary(*texts)
    assert not problems
    return vocabulary


def game(
    number: int,
    counts: Mapping[str, int],
    possessions: int = 60,
    trips: Iterable[WatchedTrip] = (),
    chances: Mapping[str, int] | None = None,
) -> WatchedGame:
    """Return the game of day ``number``."""
    day = START + dt.timedelta(days=number)
    return WatchedGame(f"game-{number}", day, possessions, counts, tuple(trips), chances)


def trip(points: int, *seen: str, first: str | None = None) -> WatchedTrip:
    """Return a possession with its breakdowns."""
    return WatchedTrip(points, {one: seen.count(one) for one in seen}, first)
