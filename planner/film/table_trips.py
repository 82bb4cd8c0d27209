"""Rows of a table put together to possessions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from planner.film import table_words as word
from planner.film.intake import Possession
from planner.film.table_columns import Header
from planner.film.table_rows import Event

_FEW = 5
_MOSTLY = 0.4
"""Share of rows with a possession's own number above which one without any belongs to the row before."""
_RESTART = 4
"""A 1 after a higher number than this begins the numbering again."""


@dataclass(slots=True)
class Trip:
    """One possession and the rows that tell of it; ``points`` None when no row says."""

    number: int
    events: list[Event] = field(default_factory=list)
    points: int | None = None

    def possession(self) -> Possession:
        """Return it as the contract has it."""
        first = self.events[0]
        clock = next((one.clock for one in self.events if one.clock), None)
        return Possession(self.number, first.period, clock, self.points, first.row.number)


def in_trips(events: Sequence[Event], header: Header, problems: list[str]) -> list[Trip]:
    """Return the possessions of a table in its order; what is odd about them goes into ``problems``."""
    restarts = _restarts(events)
    numbered = header.has(word.POSSESSION, word.CLOCK, word.START)
    counted = _MOSTLY * len(events) < sum(event.number is not None for event in events)
    trips: list[Trip] = []
    known: dict[tuple[object, ...], Trip] = {}
    last_key: tuple[object, ...] | None = None
    again, last = 0, 0
    for event in events:
        if event.number is not None and not restarts:
            again += event.number == 1 and last > _RESTART
            last = event.number
        key = _key(event, restarts=restarts)
        if key is not None and key[0] == "number":
            key = (*key, again)
        trip = known.get(key) if key is not None else None
        if trip is not None and not _firm(event, key) and key != last_key:
            trip = None
        goes_on = counted or (event.points is None and not event.clean)
        if key is None and numbered and trips and goes_on:
            trip = trips[-1]
        if trip is None:
            trip = Trip(len(trips) + 1)
            trips.append(trip)
        if key is not None:
            known[key] = trip
            last_key = key
        trip.events.append(event)
        _score(trip, event, problems)
    if header.has(word.POSSESSION):
        _gaps(events, len(trips), restarts=restarts, problems=problems)
    elif len(trips) > _FEW and not any(event.clean for event in events):
        problems.append(
            f"each of the {len(trips)} possessions holds a breakdown; if clean ones were left out,"
            " say how many were watched (--possessions)"
        )
    return trips


def _restarts(events: Sequence[Event]) -> bool:
    """Say whether the possessions are numbered from 1 again in each period."""
    periods: dict[int, set[str | None]] = {}
    for event in events:
        if event.number is not None:
            periods.setdefault(event.number, set()).add(event.period)
    return any(len(one) > 1 for one in periods.values())


def _key(event: Event, *, restarts: bool) -> tuple[object, ...] | None:
    if event.number is not None:
        return "number", event.period if restarts else None, event.number
    if event.clock is not None:
        return "clock", event.period, event.clock
    return ("film", event.film) if event.film is not None else None


def _firm(event: Event, key: tuple[object, ...] | None) -> bool:
    """Say whether a key is one possession's wherever it stands: a clock needs its period for that."""
    return key is None or key[0] != "clock" or event.period is not None


def _score(trip: Trip, event: Event, problems: list[str]) -> None:
    if event.points is None:
        return
    if trip.points is not None and trip.points != event.points:
        more = max(trip.points, event.points)
        problems.append(
            f"line {event.row.number}: points said twice, {trip.points} and {event.points}; {more} is used"
        )
        trip.points = more
        return
    trip.points = event.points


def _gaps(events: Sequence[Event], written: int, *, restarts: bool, problems: list[str]) -> None:
    numbers = [event.number for event in events if event.number is not None]
    if numbers and not restarts and max(numbers) > written and min(numbers) <= 1:
        problems.append(
            f"the possessions are numbered up to {max(numbers)} but {written} are written and used;"
            " say how many were watched (--possessions) if that is wrong"
        )
