"""Whom we meet: how often an opponent's offence makes such breakdowns happen, beside the average.

From scouted film (their offence against others) and our own games against them. What is expected comes from
other scouted games and other own games, the library's usual rates weighing as much as a few games. The
whole is brought to the same level first, since another defence and another evening's note-taking stand
behind it: the factors say what they go at, not how good they are. Each factor is gamma-Poisson and shrunk to
1 (as if ``PULL`` occurrences had been seen where that many were expected). All these weights are our choice,
no source. It only suggests.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from planner.drills.vocabulary import Vocabulary
from planner.need.estimate import WatchedGame
from planner.need.gamma import Gamma
from planner.need.settings import TAIL
from planner.season.evidence import feeding

PULL = 8.0
USUAL_WEIGHT = 180.0
"""Possessions that the library's usual rates weigh."""
THIN = 1.3
"""Games differ by more than chance; counts tell so many times less."""
STEP = 0.05
MOST = 3.0


@dataclass(frozen=True, slots=True)
class Tendency:
    """One principle: seen and expected, and the factor with its 90 % interval."""

    principle: str
    seen: int
    expected: float
    factor: float
    low: float
    high: float

    @property
    def suggested(self) -> float | None:
        """Return the exposure to set, None where the interval holds 1."""
        if self.low <= 1.0 <= self.high:
            return None
        return min(MOST, round(round(self.factor / STEP) * STEP, 2))

    def as_json(self) -> dict[str, Any]:
        """Return the tendency as plain values."""
        return {
            "principle": self.principle,
            "seen": self.seen,
            "expected": self.expected,
            "factor": self.factor,
            "low": self.low,
            "high": self.high,
            "suggested": self.suggested,
        }


@dataclass(frozen=True, slots=True)
class Report:
    """An opponent's tendencies, the strongest first; ``level`` is how much was seen in all beside usual."""

    scouted: int
    met: int
    possessions: int
    level: float
    tendencies: tuple[Tendency, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the report as plain values."""
        return {
            "scouted_games": self.scouted,
            "own_games": self.met,
            "possessions": self.possessions,
            "level": self.level,
            "tendencies": [one.as_json() for one in self.tendencies],
        }


def scout(
    theirs: tuple[Sequence[WatchedGame], Sequence[WatchedGame]],
    others: tuple[Sequence[WatchedGame], Sequence[WatchedGame]],
    vocabulary: Vocabulary,
    off: frozenset[str] = frozenset(),
) -> Report:
    """Return the report on an opponent; each pair is (scouted games, own games): theirs, and all others."""
    expected = dict.fromkeys(vocabulary.breakdown_by_id, 0.0)
    for watched, rest in zip(theirs, others, strict=True):
        over = sum(one.possessions for one in watched)
        for name, rate in _usual(rest, vocabulary).items():
            expected[name] += rate * over
    games = [one for side in theirs for one in side]
    seen = {name: sum(one.counts.get(name, 0) for one in games) for name in expected}
    kept = [name for name in expected if name not in off]
    awaited = math.fsum(expected[name] for name in kept)
    level = sum(seen[name] for name in kept) / awaited if awaited > 0 else 0.0
    found = [
        _tendency(one.id, feeding(vocabulary, one.id, off), seen, expected, level)
        for one in vocabulary.principles
        if level > 0 and feeding(vocabulary, one.id, off)
    ]
    return Report(
        scouted=len(theirs[0]),
        met=len(theirs[1]),
        possessions=sum(one.possessions for one in games),
        level=level,
        tendencies=tuple(sorted(found, key=lambda one: (-abs(math.log(one.factor)), one.principle))),
    )


def _usual(games: Sequence[WatchedGame], vocabulary: Vocabulary) -> dict[str, float]:
    """Return breakdown -> rate per possession: the library's, moved by the games."""
    over = sum(one.possessions for one in games)
    return {
        one.id: (USUAL_WEIGHT * one.usual_rate / 100 + sum(game.counts.get(one.id, 0) for game in games))
        / (USUAL_WEIGHT + over)
        for one in vocabulary.breakdowns
    }


def _tendency(
    principle: str,
    breakdowns: frozenset[str],
    seen: Mapping[str, int],
    expected: Mapping[str, float],
    level: float,
) -> Tendency:
    counted = sum(seen[one] for one in breakdowns)
    awaited = level * math.fsum(expected[one] for one in sorted(breakdowns))
    belief = Gamma(PULL + counted / THIN, PULL + awaited / THIN)
    return Tendency(
        principle, counted, awaited, belief.mean, belief.quantile(TAIL), belief.quantile(1.0 - TAIL)
    )
