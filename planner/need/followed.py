"""What one breakdown led to: the first of a possession told from those that came after it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence

from planner.need.estimate import Followed, WatchedGame
from planner.need.film import every_trip, first_cause


def followed(games: Sequence[WatchedGame], off: Collection[str] = ()) -> tuple[Followed, ...]:
    """Return how often a breakdown came after the first of its possession, most often first.

    Possessions count once for each pair. It is an order in time, not a proof that one caused the other.
    """
    pairs: Counter[tuple[str, str]] = Counter()
    for game in games:
        for trip in every_trip(game):
            first = first_cause(trip, off)
            if first is not None:
                later = (one for one, times in trip.breakdowns.items() if times > 0)
                pairs.update((first, one) for one in later if one != first and one not in off)
    ranked = sorted(pairs.items(), key=lambda one: (-one[1], one[0]))
    return tuple(Followed(first, then, times) for (first, then), times in ranked)
