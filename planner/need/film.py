"""Watched games as one table: games by breakdowns, with exposure, age and blame settled."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from planner.drills.vocabulary import Vocabulary
from planner.need.estimate import WatchedGame, WatchedTrip
from planner.need.settings import NeedSettings
from planner.text import listed, plural

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True)
class Film:
    """The film up to a date, oldest game first.

    ``counts`` and ``exposure`` are games x breakdowns, exposure in possessions (where chances were counted:
    the possessions in which the team usually meets that many). ``weights`` is 2^(-games ago / half-life).
    """

    ids: tuple[str, ...]
    games: tuple[WatchedGame, ...]
    counts: NDArray[Any]
    exposure: NDArray[Any]
    ago: NDArray[Any]
    weights: NDArray[Any]
    possessions: int
    notes: tuple[str, ...]


def gather(
    games: Sequence[WatchedGame], vocabulary: Vocabulary, as_of: dt.date, settings: NeedSettings
) -> Film:
    """Return the table of the games up to ``as_of``; the order in which they are given does not matter."""
    import numpy as np

    kept = sorted((one for one in games if one.date <= as_of and one.possessions > 0), key=_order)
    ids = tuple(one.id for one in vocabulary.breakdowns)
    tallies = [_blamed(one, settings) for one in kept]
    counts = np.array([[tally.get(name, 0) for name in ids] for tally in tallies], dtype=float)
    counts = counts.reshape(len(kept), len(ids))
    exposure, odd = _exposures(kept, ids, counts)
    ago = _ages([one.date for one in kept])
    return Film(
        ids=ids,
        games=tuple(kept),
        counts=counts,
        exposure=exposure,
        ago=ago,
        weights=np.exp2(-ago / settings.half_life_games),
        possessions=sum(one.possessions for one in kept),
        notes=tuple(_notes(games, kept, set(ids), as_of, settings)) + odd,
    )


def first_cause(trip: WatchedTrip, off: Collection[str] = ()) -> str | None:
    """Return the breakdown a possession is charged to when only the first counts, None if unknown.

    One that is switched off takes no blame: it falls on the next.
    """
    seen = [name for name, times in trip.breakdowns.items() if times > 0]
    kept = [name for name in seen if name not in off]
    if trip.first in seen:
        return trip.first if trip.first in kept else next(iter(kept), None)
    return kept[0] if len(kept) == 1 else None


def _order(game: WatchedGame) -> tuple[dt.date, str, int, list[tuple[str, int]]]:
    return game.date, game.game, game.possessions, sorted(game.counts.items())


def _ages(dates: Sequence[dt.date]) -> NDArray[Any]:
    """Return how many games were played on later days; games of one day are equally old."""
    import numpy as np

    days = np.array([date.toordinal() for date in dates], dtype=int)
    return len(days) - np.searchsorted(days, days, side="right").astype(float)


def _blamed(game: WatchedGame, settings: NeedSettings) -> Mapping[str, int]:
    """Return the counts; under first blame, less those that came after another in their possession."""
    if settings.blame == "all":
        return game.counts
    tally = dict(game.counts)
    for trip in every_trip(game):
        first = first_cause(trip, settings.off)
        if first is None:
            continue
        for name, times in trip.breakdowns.items():
            later = times - 1 if name == first else times
            tally[name] = max(0, tally.get(name, 0) - later)
    return tally


def every_trip(game: WatchedGame) -> Iterator[WatchedTrip]:
    """Yield the possessions written down one by one; those of unknown points as if they gave none."""
    yield from game.trips
    for chain in game.chains:
        seen: dict[str, int] = {}
        for name in chain:
            seen[name] = seen.get(name, 0) + 1
        yield WatchedTrip(0, seen, next(iter(chain), None))


def _exposures(
    games: Sequence[WatchedGame], ids: Sequence[str], counts: NDArray[Any]
) -> tuple[NDArray[Any], tuple[str, ...]]:
    """Return exposures in possessions, and a note for each breakdown seen where no chance was counted."""
    import numpy as np

    possessions = np.array([one.possessions for one in games], dtype=float)
    exposure = np.tile(possessions[:, None], (1, len(ids)))
    notes = []
    counted = {name for one in games for name in one.chances or ()}
    for column, name in enumerate(ids):
        if name not in counted:
            continue
        chances = np.array([(one.chances or {}).get(name, -1) for one in games], dtype=float)
        odd = (chances >= 0) & (chances < counts[:, column])
        if odd.any():
            notes.append(f"'{name}' was seen more often than it had chances; possessions are used there.")
        usable = (chances >= 0) & ~odd
        per_possession = chances[usable].sum() / max(possessions[usable].sum(), 1.0)
        if per_possession > 0:
            exposure[usable, column] = chances[usable] / per_possession
    return exposure, tuple(notes)


def _notes(
    games: Sequence[WatchedGame],
    kept: Sequence[WatchedGame],
    known: set[str],
    as_of: dt.date,
    settings: NeedSettings,
) -> list[str]:
    notes = []
    if not kept:
        notes.append("No film yet: these are the library's usual numbers, not this team's.")
    empty = sum(one.date <= as_of and one.possessions <= 0 for one in games)
    if empty:
        notes.append(f"{plural(empty, 'game')} left out: nobody said how many possessions were watched.")
    strange = sorted({name for one in kept for name in one.counts} - known)
    if strange:
        notes.append(f"Not in the vocabulary, so not counted: {listed(strange)}.")
    if settings.blame == "first":
        notes += _unsure(kept, settings)
    return notes


def _unsure(kept: Sequence[WatchedGame], settings: NeedSettings) -> list[str]:
    """Say where the first cause cannot be told from the rest."""
    notes = []
    trips = [trip for one in kept for trip in every_trip(one)]
    unsure = sum(
        sum(name not in settings.off for name in trip.breakdowns) > 1
        and first_cause(trip, settings.off) is None
        for trip in trips
    )
    if unsure:
        several = f"{plural(unsure, 'possession')} with several breakdowns"
        notes.append(f"{several} and no word on which came first: all of them count.")
    counted = sum(sum(one.counts.values()) for one in kept)
    alone = counted - sum(sum(trip.breakdowns.values()) for trip in trips)
    if alone > 0:
        notes.append(f"{plural(alone, 'breakdown')} only counted, not written by possession: all count.")
    return notes
