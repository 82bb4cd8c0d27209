"""Two stretches of the season, or of two seasons, side by side."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from planner.drills.vocabulary import Vocabulary
from planner.need.estimate import WatchedGame
from planner.need.poisson import TwoRates
from planner.problem import Refusal
from planner.season.evidence import CORRECTION, SIGNIFICANT, Group, compare, counted, feeding, group, holm
from planner.season.minutes import principle_minutes
from planner.season.record import DonePractice


@dataclass(frozen=True, slots=True)
class Stretch:
    """A period (both days included) with what was logged and watched in it."""

    since: dt.date
    until: dt.date
    practices: tuple[DonePractice, ...]
    games: tuple[WatchedGame, ...]

    @property
    def weeks(self) -> float:
        """Return its length in weeks."""
        return ((self.until - self.since).days + 1) / 7

    @property
    def rating(self) -> float | None:
        """Return the mean rating of the sessions that were rated."""
        known = [one.rating for one in self.practices if one.rating is not None]
        return sum(known) / len(known) if known else None

    def as_json(self) -> dict[str, Any]:
        """Return the period as plain values."""
        minutes = sum(one.seconds for one in self.practices) / 60
        return {
            "since": self.since.isoformat(),
            "until": self.until.isoformat(),
            "weeks": self.weeks,
            "practices": len(self.practices),
            "minutes": minutes,
            "minutes_per_week": minutes / self.weeks,
            "games": len(self.games),
            "possessions": sum(one.possessions for one in self.games),
            "mean_rating": self.rating,
        }


@dataclass(frozen=True, slots=True)
class Compared:
    """A principle in both periods: minutes, share of the taught minutes, what was seen, and the test.

    ``test`` compares the second (first of the test) with the first; ``adjusted`` is corrected (Holm).
    """

    principle: str
    minutes: tuple[float, float]
    shares: tuple[float, float]
    seen: tuple[Group, Group]
    test: TwoRates | None
    adjusted: float | None = None

    @property
    def verdict(self) -> str:
        """Return what may be said of the rates."""
        if self.test is None or self.adjusted is None:
            return "too little film"
        if self.adjusted >= SIGNIFICANT:
            return "no evidence"
        return "fewer" if self.test.first < self.test.second else "more"

    def as_json(self) -> dict[str, Any]:
        """Return the row as plain values."""
        return {
            "principle": self.principle,
            "minutes": list(self.minutes),
            "minutes_share": list(self.shares),
            "seen": [one.as_json() for one in self.seen],
            "test": self.test.as_json() if self.test else None,
            "p_adjusted": self.adjusted,
            "correction": CORRECTION,
            "verdict": self.verdict,
        }


def side_by_side(
    first: Stretch, second: Stretch, vocabulary: Vocabulary, off: frozenset[str] = frozenset()
) -> tuple[Compared, ...]:
    """Return every principle in both periods, in the order of the vocabulary.

    Raises:
        Refusal: the periods share days.

    """
    if first.since <= second.until and second.since <= first.until:
        raise Refusal("The two periods share days; compare periods that do not.")
    minutes = [principle_minutes(one.practices) for one in (first, second)]
    totals = [sum(one.values()) for one in minutes]
    rows = []
    for one in vocabulary.principles:
        games = [counted(side.games, feeding(vocabulary, one.id, off)) for side in (first, second)]
        spent = [part.get(one.id, 0.0) for part in minutes]
        share = [value / total if total else 0.0 for value, total in zip(spent, totals, strict=True)]
        seen = [group(side) for side in games]
        test = compare(games)[0] if feeding(vocabulary, one.id, off) else None
        rows.append(Compared(one.id, (spent[0], spent[1]), (share[0], share[1]), (seen[0], seen[1]), test))
    after = holm({at: row.test.p for at, row in enumerate(rows) if row.test is not None}, len(rows))
    return tuple(replace(row, adjusted=after.get(at)) for at, row in enumerate(rows))


def difference(row: Compared, lengths: Sequence[float]) -> float:
    """Return by how many minutes a week the second period gave a principle more than the first."""
    return row.minutes[1] / lengths[1] - row.minutes[0] / lengths[0]
