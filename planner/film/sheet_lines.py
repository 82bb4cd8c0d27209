"""What one line of a sheet is, told by itself: a title, a possession, a line that repeats another."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from planner.film.amends import again, number_meant
from planner.film.charge import Charge
from planner.film.points import Habits, Scored
from planner.film.rows import Row
from planner.film.second_looks import looked_again, number_looked_at, same_trip
from planner.film.trips import SCORING, Trip

_AND_NEXT = re.compile(r"\W*(?:and|then)\b")
_TITLE_WORDS = 2
_MOST_LED = 4


def titled(row: Row, scored: Scored) -> bool:
    """Say whether a first line of plain words is a possession only by a bare number in it."""
    if row.timed or row.head.number is not None or row.words < _TITLE_WORDS:
        return False
    said = any(one.kind in ("breakdown", "points", "paren") for one in row.items)
    return not said and not row.meanings & {"stop", "missed", "clean"} and bool(scored.used)


def tells(row: Row, scored: Scored) -> bool:
    """Say whether a line tells of a possession at all."""
    if row.timed or row.head.number is not None or scored.points is not None:
        return True
    if any(one.kind == "breakdown" for one in row.items):
        return True
    empty = not row.items or all(one.kind == "break" for one in row.items)
    return empty or bool(row.meanings & {"stop", "clean", "missed"})


def within(row: Row, habit: Habits) -> Habits:
    """Return the hand for a line that goes on a possession: a number before words is a player."""
    told = any(
        one.kind == "breakdown" or (one.kind == "word" and one.text not in SCORING) for one in row.items
    )
    high = row.items[0].value > _MOST_LED
    return replace(habit, lead=False, lead_sure=False) if told or high else habit


def repeated(row: Row, scored: Scored, before: Sequence[Trip]) -> list[Charge]:
    """Return the mistakes of the possession that a line repeats, one of those ``before`` it."""
    said = row.head.rest
    number = number_meant(said)
    meant = [one for one in before if number is not None and one.row.head.number == number]
    source = (meant or (before if number is None else []))[-1:]
    players = [
        one.text
        for at, one in enumerate(row.items)
        if one.kind in ("jersey", "number") and at not in scored.used and one.text != str(number)
    ]
    return again(said, [one for trip in source for _, one in trip.charges], players)


def looked_back(row: Row, scored: Scored, trips: Sequence[Trip], period: str | None) -> Trip | None:
    """Return the possession that a line with a clock or number looks at a second time."""
    said, number = row.head.rest, row.head.number
    last = trips[-1] if trips else None
    if last is None or (number is None and not row.head.timed):
        return None
    told = number_looked_at(said)
    if told is not None and told != number:
        return next((one for one in reversed(trips) if one.row.head.number == told), None)
    if " ".join(said.split()) in last.said:
        return None
    if same_trip(said):
        return last
    again = looked_again(said)
    if number is not None and number == last.row.head.number and last.row.head.clock == row.head.clock:
        fits = not last.told or not scored.used or scored.points == last.points
        return last if again or (fits and not row.head.timed) else None
    moment = period, row.head.clock or row.head.film
    if number is None and again:
        return next((one for one in trips if moment == _moment(one)), None)
    return None


def _moment(trip: Trip) -> tuple[str | None, str | None]:
    """Return when a possession was: its period, its clock or film time."""
    return trip.period, trip.row.head.clock or trip.row.head.film


def listed_anew(row: Row, scored: Scored, current: Trip | None) -> bool:
    """Say whether an ``and`` only leads on to the next of a list: it has its bullet and its points."""
    if current is None or not (row.head.bullet and current.row.head.bullet):
        return False
    return row.indent == current.row.indent and scored.points is not None and bool(_AND_NEXT.match(row.low))
