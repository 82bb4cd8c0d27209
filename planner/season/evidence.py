"""Did it work? A principle's rate before an emphasis and under it, by an exact two-rate test.

An emphasis is a spell in which the coach's factor stands above 1. Games up to the day it began count as
before (from the end of an earlier spell on), games after that day and up to its end as under it. The test
is conditional and central (named in each result); where games differ by more than chance within the two
groups, the evidence is thinned by as much first (quasi-Poisson). The p-values are corrected by Holm's
method (Scandinavian Journal of Statistics 6, 1979) for every principle, whether emphasised or not: any of
them could have been the one that looked bad and so was chosen. It is association, not cause.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal, NamedTuple

from planner.drills.vocabulary import Vocabulary
from planner.need.estimate import WatchedGame
from planner.need.poisson import TwoRates, two_rates
from planner.text import plural

SIGNIFICANT = 0.05
LEAST_GAMES = 2
CORRECTION = "Holm"
NOT_CAUSE = "Association, not cause: opponents, line-ups and chance changed too."
BY_ITSELF = (
    "What is emphasised has mostly just gone badly, and some of a fall after that comes by itself"
    " (regression to the mean)."
)

Verdict = Literal["fewer", "more", "no evidence", "too little film"]


@dataclass(frozen=True, slots=True)
class Spell:
    """A stretch in which a principle was emphasised; ``end`` is the first day without, None if it goes on."""

    principle: str
    factor: float
    start: dt.date
    end: dt.date | None = None


def spells(emphases: Iterable[tuple[str, float, dt.date]], until: dt.date) -> tuple[Spell, ...]:
    """Return the spells begun by ``until``, oldest first.

    ``emphases`` are (principle, factor, since) in the order given; a later one of the same day replaces the
    earlier. ``factor`` of a spell is the highest it had.
    """
    by_principle: dict[str, dict[dt.date, float]] = {}
    for principle, factor, since in emphases:
        if since <= until:
            by_principle.setdefault(principle, {})[since] = factor
    found = []
    for principle, changes in by_principle.items():
        open_one: Spell | None = None
        for day, factor in sorted(changes.items()):
            if open_one is None and factor > 1:
                open_one = Spell(principle, factor, day)
            elif open_one is not None and factor > 1:
                open_one = replace(open_one, factor=max(factor, open_one.factor))
            elif open_one is not None:
                found.append(replace(open_one, end=day))
                open_one = None
        if open_one is not None:
            found.append(open_one)
    return tuple(sorted(found, key=lambda one: (one.start, one.principle)))


@dataclass(frozen=True, slots=True)
class Group:
    """The games on one side: how many, what was seen, and in how many possessions."""

    games: int
    seen: int
    possessions: int

    @property
    def rate(self) -> float:
        """Return the rate per 100 possessions."""
        return 100.0 * self.seen / self.possessions if self.possessions else 0.0

    def as_json(self) -> dict[str, Any]:
        """Return the group as plain values."""
        return {
            "games": self.games,
            "seen": self.seen,
            "possessions": self.possessions,
            "rate_per_100": self.rate,
        }


@dataclass(frozen=True, slots=True)
class Evidence:
    """One emphasis and what came of it.

    ``test`` compares under (first) with before (second); ``thin`` is by how much the evidence was thinned.
    ``adjusted`` is its p-value corrected for ``looks`` looks. ``minutes`` were spent under it; the two
    others are minutes a week, before and under.
    """

    spell: Spell
    before: Group
    under: Group
    test: TwoRates | None
    thin: float
    minutes: float
    weekly_before: float
    weekly_under: float
    adjusted: float | None = None
    looks: int = 1

    @property
    def verdict(self) -> Verdict:
        """Return what may be said."""
        if self.test is None or self.adjusted is None:
            return "too little film"
        if self.adjusted >= SIGNIFICANT:
            return "no evidence"
        return "fewer" if self.test.first < self.test.second else "more"

    @property
    def words(self) -> str:
        """Return the verdict in one plain sentence."""
        if self.test is None:
            games = f"{plural(self.before.games, 'game')} before, {self.under.games} under it"
            return f"Too little film to compare: {games} (at least {LEAST_GAMES} each)."
        rates = f"{self.before.rate:.1f} per 100 before, {self.under.rate:.1f} under it"
        if self.verdict == "no evidence":
            return f"No evidence of a change: {rates}."
        return f"Seen {'less' if self.verdict == 'fewer' else 'more'} often than chance explains: {rates}."

    def as_json(self) -> dict[str, Any]:
        """Return the evidence as plain values."""
        return {
            "principle": self.spell.principle,
            "factor": self.spell.factor,
            "since": self.spell.start.isoformat(),
            "ended": self.spell.end.isoformat() if self.spell.end else None,
            "before": self.before.as_json(),
            "under": self.under.as_json(),
            "test": self.test.as_json() if self.test else None,
            "thinned": self.thin,
            "p_adjusted": self.adjusted,
            "correction": CORRECTION,
            "looks": self.looks,
            "minutes": self.minutes,
            "minutes_per_week_before": self.weekly_before,
            "minutes_per_week_under": self.weekly_under,
            "verdict": self.verdict,
            "sentence": f"{self.words} {NOT_CAUSE}",
        }


def feeding(vocabulary: Vocabulary, principle: str, off: frozenset[str] = frozenset()) -> frozenset[str]:
    """Return the breakdowns that count for a principle before all others (half or more of each)."""
    return frozenset(
        one.id for one in vocabulary.breakdowns if one.id not in off and one.shares.get(principle, 0.0) >= 0.5
    )


def seen_in(game: WatchedGame, breakdowns: frozenset[str]) -> int:
    """Return how often any of the breakdowns was seen in a game."""
    return sum(count for name, count in game.counts.items() if name in breakdowns)


class Counted(NamedTuple):
    """A game boiled down to one number: how often something was seen, and in how many possessions."""

    date: dt.date
    seen: int
    possessions: int


def counted(games: Iterable[WatchedGame], breakdowns: frozenset[str]) -> list[Counted]:
    """Return the games as counts of these breakdowns together."""
    return [
        Counted(one.date, seen_in(one, breakdowns), one.possessions) for one in games if one.possessions > 0
    ]


def judge(
    found: Sequence[Spell],
    games: Sequence[WatchedGame],
    minutes: Sequence[tuple[dt.date, Mapping[str, float]]],
    vocabulary: Vocabulary,
    until: dt.date,
    off: frozenset[str] = frozenset(),
) -> tuple[Evidence, ...]:
    """Return the evidence of each spell, in the order given, corrected for all looks together.

    ``minutes`` are (date, minutes per principle), one a practice.
    """
    told = []
    known: dict[str, list[Counted]] = {}
    for at, spell in enumerate(found):
        earlier = [one for one in found[:at] if one.principle == spell.principle]
        since = max((one.end or one.start for one in earlier), default=dt.date.min)
        if spell.principle not in known:
            known[spell.principle] = counted(games, feeding(vocabulary, spell.principle, off))
        told.append(_one(spell, since, known[spell.principle], minutes, until))
    return _corrected(told, len(vocabulary.principles))


def _one(
    spell: Spell,
    since: dt.date,
    games: Sequence[Counted],
    minutes: Sequence[tuple[dt.date, Mapping[str, float]]],
    until: dt.date,
) -> Evidence:
    end = min(spell.end or dt.date.max, until + dt.timedelta(days=1))
    before = [one for one in games if since < one.date <= spell.start]
    under = [one for one in games if spell.start < one.date <= min(end, until)]
    test, thin = compare([before, under])
    first = min([date for date, _ in minutes if date > since], default=spell.start)
    spent = _spent(minutes, spell.principle, spell.start, end)
    spent_before = _spent(minutes, spell.principle, since, spell.start)
    return Evidence(
        spell=spell,
        before=group(before),
        under=group(under),
        test=test,
        thin=thin,
        minutes=spent,
        weekly_before=_weekly(spent_before, (spell.start - first).days),
        weekly_under=_weekly(spent, (end - spell.start).days),
    )


def _spent(
    minutes: Sequence[tuple[dt.date, Mapping[str, float]]], principle: str, start: dt.date, end: dt.date
) -> float:
    return math.fsum(parts.get(principle, 0.0) for date, parts in minutes if start <= date < end)


def group(games: Sequence[Counted]) -> Group:
    """Return what was seen in some games, added up."""
    return Group(len(games), sum(one.seen for one in games), sum(one.possessions for one in games))


def compare(sides: Sequence[Sequence[Counted]]) -> tuple[TwoRates | None, float]:
    """Return the second side's rate against the first's, and by how much the evidence was thinned.

    None where a side has fewer than two games. Where games differ by more than chance within the sides
    (Pearson's chi-square over its degrees of freedom above 1), counts and possessions are divided by that.
    """
    if any(len(side) < LEAST_GAMES for side in sides):
        return None, 1.0
    first, second = (group(side) for side in sides)
    statistic = sum(_chi_square(side) for side in sides)
    degrees = sum(len(side) - 1 for side in sides)
    thin = max(1.0, statistic / degrees)
    test = two_rates(
        round(second.seen / thin),
        second.possessions / thin,
        round(first.seen / thin),
        first.possessions / thin,
    )
    return test, thin


def _chi_square(side: Sequence[Counted]) -> float:
    """Return Pearson's statistic of the games about their common rate."""
    total = group(side)
    if not total.seen:
        return 0.0
    rate = total.seen / total.possessions
    return math.fsum((one.seen - rate * one.possessions) ** 2 / (rate * one.possessions) for one in side)


def p_words(p: float) -> str:
    """Return a p-value as it is printed: three decimals, never 0.000."""
    return f"p {p:.3f}" if p >= 0.001 else "p < 0.001"


def holm(values: Mapping[int, float], looks: int) -> dict[int, float]:
    """Return p-values corrected for ``looks`` looks; those not given are taken to be 1 (Holm 1979)."""
    corrected: dict[int, float] = {}
    highest = 0.0
    for rank, (key, p) in enumerate(sorted(values.items(), key=lambda one: (one[1], one[0]))):
        highest = max(highest, min(1.0, (max(looks, len(values)) - rank) * p))
        corrected[key] = highest
    return corrected


def _corrected(told: Sequence[Evidence], principles: int) -> tuple[Evidence, ...]:
    """Correct for all principles, plus one more look for each further spell of the same principle."""
    tested = {at: one.test.p for at, one in enumerate(told) if one.test is not None}
    looks = principles + len(tested) - len({told[at].spell.principle for at in tested})
    after = holm(tested, looks)
    return tuple(replace(one, adjusted=after.get(at), looks=looks) for at, one in enumerate(told))


def _weekly(minutes: float, days: int) -> float:
    return minutes * 7 / days if days > 0 else 0.0
