"""What is known of a defence, as numbers with intervals."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class WatchedTrip:
    """One defensive possession for the cost model: points allowed, and breakdown id -> times seen in it.

    ``first`` is the breakdown that came first, where the note says; it matters only when the first cause
    alone is to be charged. Where it is given, ``breakdowns`` stand in the order of the note.
    """

    points: int
    breakdowns: Mapping[str, int]
    first: str | None = None


@dataclass(frozen=True, slots=True)
class WatchedGame:
    """One game's film, boiled down.

    ``possessions`` is the exposure. ``counts`` maps breakdown id to times seen. ``trips`` are the
    possessions whose points are known, clean ones included; empty for count-only notes.
    ``chances`` maps breakdown id to counted chances of that kind, where the coach counted them.
    ``chains`` are the possessions of unknown points, each as its breakdowns in the order of the note.
    """

    game: str
    date: dt.date
    possessions: int
    counts: Mapping[str, int]
    trips: tuple[WatchedTrip, ...] = ()
    chances: Mapping[str, int] | None = None
    chains: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class BreakdownEstimate:
    """Rate per 100 defensive possessions with its interval, cost in points per occurrence, and evidence.

    ``film_share`` is how much of the rate is film and how much (1 - film_share) is what was believed before.
    ``prior`` says where that belief comes from: ``"library"`` or ``"season"``.
    ``recent`` is the raw rate per 100 of the last games, oldest first. ``sentence`` says it all in plain
    words; ``trend`` says how it has moved lately, and is empty unless that is more than noise.
    """

    breakdown: str
    count: int
    rate_per_100: float
    low: float
    high: float
    cost: float
    cost_low: float
    cost_high: float
    film_share: float
    cost_film_share: float
    prior: str
    overdispersed: bool
    recent: tuple[float, ...]
    sentence: str = ""
    trend: str = ""

    @property
    def points_per_100(self) -> float:
        """Return the points it costs per 100 possessions."""
        return self.rate_per_100 * self.cost

    def as_json(self) -> dict[str, Any]:
        """Return the estimate in the words of the JSON contract."""
        return {
            "breakdown": self.breakdown,
            "count": self.count,
            "rate_per_100": self.rate_per_100,
            "low": self.low,
            "high": self.high,
            "cost": self.cost,
            "cost_low": self.cost_low,
            "cost_high": self.cost_high,
            "film_share": self.film_share,
            "cost_film_share": self.cost_film_share,
            "prior": self.prior,
            "overdispersed": self.overdispersed,
            "recent": list(self.recent),
            "points_per_100": self.points_per_100,
            "sentence": self.sentence,
            "trend": self.trend,
        }


@dataclass(frozen=True, slots=True)
class PrincipleNeed:
    """Expected points lost per 100 defensive possessions through one principle, with a 90 % interval.

    ``rate_per_100`` is the share-weighted rate of its breakdowns, ``cost`` the mean points per occurrence,
    ``share`` its part of the total need. ``emphasis`` and ``exposure`` are the factors already applied.
    ``film_share`` and ``cost_film_share`` are how much of its rates and costs is film, weighted by what each
    breakdown loses; ``recent`` and ``trend`` are as for a breakdown, over all that feed the principle.
    """

    principle: str
    points_per_100: float
    low: float
    high: float
    rate_per_100: float
    cost: float
    share: float
    emphasis: float = 1.0
    exposure: float = 1.0
    carry_over_minutes: float = 0.0
    sentence: str = ""
    film_share: float = 0.0
    cost_film_share: float = 0.0
    recent: tuple[float, ...] = ()
    trend: str = ""

    def as_json(self) -> dict[str, Any]:
        """Return the need in the words of the JSON contract."""
        return {
            "principle": self.principle,
            "points_per_100": self.points_per_100,
            "low": self.low,
            "high": self.high,
            "rate_per_100": self.rate_per_100,
            "cost": self.cost,
            "share": self.share,
            "emphasis": self.emphasis,
            "exposure": self.exposure,
            "carry_over_minutes": self.carry_over_minutes,
            "sentence": self.sentence,
            "film_share": self.film_share,
            "cost_film_share": self.cost_film_share,
            "recent": list(self.recent),
            "trend": self.trend,
        }


@dataclass(frozen=True, slots=True)
class Followed:
    """In how many possessions ``then`` came after ``first``, which came before all others."""

    first: str
    then: str
    times: int

    def as_json(self) -> dict[str, Any]:
        """Return the pair as plain values."""
        return {"first": self.first, "then": self.then, "times": self.times}


@dataclass(frozen=True, slots=True)
class Needs:
    """The whole picture as of a date; principles by falling need, breakdowns by falling points lost.

    ``blame`` says what was charged: every breakdown of a possession (``"all"``) or the first alone
    (``"first"``). ``followed`` says what came after what, most often first.
    """

    as_of: dt.date
    possessions: int
    games: int
    principles: tuple[PrincipleNeed, ...]
    breakdowns: tuple[BreakdownEstimate, ...]
    notes: tuple[str, ...] = ()
    blame: str = "all"
    followed: tuple[Followed, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Return the needs in the words of the JSON contract."""
        return {
            "as_of": self.as_of.isoformat(),
            "possessions": self.possessions,
            "games": self.games,
            "principles": [one.as_json() for one in self.principles],
            "breakdowns": [one.as_json() for one in self.breakdowns],
            "notes": list(self.notes),
            "blame": self.blame,
            "followed": [one.as_json() for one in self.followed],
        }
