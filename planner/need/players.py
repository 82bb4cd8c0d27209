"""Who was charged with what: where to look first, never a ranking.

Counts of one player are small, so each is drawn towards the team's mean (gamma-Poisson, moments in closed
form). Players are listed by jersey. Without line-ups the exposure is the team's, which favours those who
sit; this is always said.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from planner.drills.vocabulary import Vocabulary
from planner.need.gamma import Gamma
from planner.need.settings import TAIL
from planner.need.shrink import shrink
from planner.text import plural

LIKELY = 2.0 / 3.0
"""A player goes first where it is at least this likely that his rate is above the team's (our choice)."""
FEWEST = 5
"""Fewer charges than this in all tell nobody apart (our choice)."""


@dataclass(frozen=True, slots=True)
class PlayerFilm:
    """One game: jersey -> breakdown -> times charged, and how many breakdowns nobody was charged with.

    ``defended`` maps jersey to possessions on the floor, where somebody wrote it down; empty otherwise.
    """

    game: str
    possessions: int
    charged: Mapping[str, Mapping[str, int]]
    unnamed: int = 0
    defended: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PlayerLine:
    """One player: times charged, possessions defended (None: not known), rate per 100 drawn to the mean.

    The rate is None where nothing is known, such as for one who was not on the floor.
    ``first_in`` names the principles in which this player goes first.
    """

    jersey: str
    count: int
    defended: int | None
    per_100: float | None
    low: float | None
    high: float | None
    first_in: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Return the line as plain values."""
        return {
            "jersey": self.jersey,
            "count": self.count,
            "defended": self.defended,
            "per_100": self.per_100,
            "low": self.low,
            "high": self.high,
            "first_in": list(self.first_in),
        }


@dataclass(frozen=True, slots=True)
class Players:
    """Everyone on the roster by jersey; ``known`` is whether line-ups stand behind the rates.

    ``per_100`` is the mean over players; ``unnamed`` counts breakdowns nobody was charged with.
    """

    known: bool
    games: int
    per_100: float
    lines: tuple[PlayerLine, ...]
    unnamed: int
    cautions: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the picture as plain values."""
        return {
            "line_ups_known": self.known,
            "games": self.games,
            "per_100": self.per_100,
            "players": [one.as_json() for one in self.lines],
            "unnamed": self.unnamed,
            "cautions": list(self.cautions),
        }


def jersey_order(jersey: str) -> tuple[int, int, str]:
    """Return the key that sorts jerseys 0, 00, 4, 10, then those that are no numbers."""
    if jersey.isascii() and jersey.isdigit():
        return int(jersey), len(jersey), jersey
    return 10**12, 0, jersey


def charged_players(
    film: Sequence[PlayerFilm],
    roster: Iterable[str],
    vocabulary: Vocabulary,
    off: Collection[str] = (),
) -> Players:
    """Return who was charged how often, by jersey.

    Where line-ups are known for a game or more, only those games count. Breakdowns switched off do not.
    """
    squad = sorted(set(roster), key=jersey_order)
    known, kept = _told(film)
    every = _wanted(vocabulary, off)
    counts, over = _sums(kept, squad, every, known)
    beliefs = _beliefs(counts, over)[0]
    firsts = {one.id: set(goes_first(film, squad, vocabulary, one.id, off)) for one in vocabulary.principles}
    lines = tuple(
        _line(
            jersey,
            counts[jersey],
            round(over[jersey]) if known else None,
            beliefs.get(jersey),
            tuple(principle for principle, first in firsts.items() if jersey in first),
        )
        for jersey in squad
    )
    total = math.fsum(over.values())
    return Players(
        known,
        len(kept),
        100.0 * sum(counts.values()) / total if total else 0.0,
        lines,
        sum(one.unnamed for one in kept),
        _cautions(film, kept, squad, known),
    )


def goes_first(
    film: Sequence[PlayerFilm],
    roster: Iterable[str],
    vocabulary: Vocabulary,
    principle: str,
    off: Collection[str] = (),
) -> tuple[str, ...]:
    """Return, by jersey, who should go first in a drill for a principle; empty where film tells nobody apart.

    Those whose rate of its breakdowns is likely above the team's, at most half of the roster.
    """
    squad = sorted(set(roster), key=jersey_order)
    known, kept = _told(film)
    wanted = {one.id for one in vocabulary.breakdowns if one.principle == principle} - set(off)
    counts, over = _sums(kept, squad, wanted, known)
    if sum(counts.values()) < FEWEST:
        return ()
    beliefs, mean, apart = _beliefs(counts, over)
    if not apart:
        return ()
    sure = {jersey: belief.above(mean) for jersey, belief in beliefs.items()}
    likely = [jersey for jersey in squad if sure.get(jersey, 0.0) >= LIKELY]
    chosen = sorted(likely, key=lambda jersey: -sure[jersey])[: max(1, len(squad) // 2)]
    return tuple(sorted(chosen, key=jersey_order))


def _told(film: Sequence[PlayerFilm]) -> tuple[bool, Sequence[PlayerFilm]]:
    """Return whether line-ups are known, and the games to go by."""
    told = [one for one in film if any(one.defended.values())]
    return bool(told), told or [one for one in film if one.possessions > 0]


def _wanted(vocabulary: Vocabulary, off: Collection[str]) -> set[str]:
    return {one.id for one in vocabulary.breakdowns} - set(off)


def _sums(
    film: Sequence[PlayerFilm], squad: Sequence[str], wanted: Collection[str], known: bool
) -> tuple[dict[str, int], dict[str, float]]:
    """Return charges and possessions per player; a game of unknown possessions counts for neither."""
    counts, over = Counter[str](), Counter[str]()
    for game in film:
        for jersey in squad:
            possessions = game.defended.get(jersey, 0) if known else game.possessions
            charged = game.charged.get(jersey, {}) if possessions > 0 else {}
            counts[jersey] += sum(times for name, times in charged.items() if name in wanted)
            over[jersey] += possessions
    return {one: counts[one] for one in squad}, {one: float(over[one]) for one in squad}


def _beliefs(counts: Mapping[str, int], over: Mapping[str, float]) -> tuple[dict[str, Gamma], float, bool]:
    """Return each player's belief, the mean, and whether more than chance tells them apart."""
    there = [jersey for jersey in counts if over[jersey] > 0]
    if not there or not any(counts[jersey] for jersey in there):
        return {}, 0.0, False
    found = shrink([counts[one] for one in there], [over[one] for one in there])
    # Never lighter than one charge, never heavier than all the film there is.
    usual = found.belief(1.0 / found.mean, math.fsum(over[one] for one in there))
    beliefs = {one: usual.updated([counts[one]], [over[one]]) for one in there}
    return beliefs, found.mean, found.spread > 0


def _line(
    jersey: str, count: int, defended: int | None, belief: Gamma | None, first_in: tuple[str, ...]
) -> PlayerLine:
    if belief is None:
        return PlayerLine(jersey, count, defended, None, None, None, first_in)
    low, high = belief.quantile(TAIL), belief.quantile(1.0 - TAIL)
    return PlayerLine(jersey, count, defended, 100.0 * belief.mean, 100.0 * low, 100.0 * high, first_in)


def _cautions(
    film: Sequence[PlayerFilm], kept: Sequence[PlayerFilm], squad: Sequence[str], known: bool
) -> tuple[str, ...]:
    if not kept:
        return ("No film yet.",)
    said = ["For the coaches, by jersey: it says where to look first, not who is better."]
    if not known:
        said.append(
            "Nobody wrote down who was on the floor: whoever defends more possessions is seen to fail more."
        )
    elif len(kept) < len(film):
        told = f"Line-ups are known for {len(kept)} of {plural(len(film), 'game')}"
        said.append(f"{told}; only those count, and in them only who was on the floor.")
    said.append("Small numbers are drawn towards the team's mean.")
    unnamed = sum(one.unnamed for one in kept)
    if unnamed:
        said.append(f"{plural(unnamed, 'breakdown')} on film name nobody.")
    strangers = sorted({jersey for one in kept for jersey in one.charged} - set(squad), key=jersey_order)
    if strangers:
        said.append(f"Not on the roster, so left out: {', '.join(strangers)}.")
    return tuple(said)
