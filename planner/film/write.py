"""A film note in the canonical form of a typed sheet, which reads back to the same sightings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from planner.film.intake import Intake, Possession, Sighting
from planner.problem import Refusal


def write_sheet(intake: Intake) -> str:
    """Return the sheet of an intake: headings, then one possession a line, or one count a line.

    Kept: heading, possessions, and for each possession period, clock, points, breakdowns, players and
    counts. Lines, wording and sureness are not. A possession without a period reads back with the
    period before it, and text in the heading ends where a separator would end it.

    Raises:
        Refusal: the note both counts and writes possessions one by one.

    """
    counted = [one for one in intake.sightings if one.possession is None]
    if counted and intake.trips:
        raise Refusal(f"'{intake.file}' both counts and writes possessions; it cannot be one sheet.")
    lines = _heading(intake)
    if counted:
        lines += [f"{one.breakdown}: {one.count}" for one in counted]
    elif intake.trips:
        lines += ["# period clock points breakdowns", *_possessions(intake)]
    return "\n".join(lines) + "\n"


def _heading(intake: Intake) -> list[str]:
    told = {
        "Date": intake.heading.date,
        "Opponent": intake.heading.opponent,
        "Venue": intake.heading.venue,
        "Possessions": intake.possessions,
    }
    return [f"{label}: {value}" for label, value in told.items() if value is not None]


def _possessions(intake: Intake) -> Iterable[str]:
    seen: dict[int, list[Sighting]] = {}
    for one in intake.sightings:
        seen.setdefault(one.possession or 0, []).append(one)
    clocks: set[tuple[str | None, str]] = set()
    period: str | None = None
    for trip in intake.trips:
        noted = seen.get(trip.number, [])
        clock = _clock(trip, noted)
        if clock is None and trip.period and trip.period != period:
            yield trip.period
        period = trip.period or period
        number = f"{trip.number}. " if clock is None or (period, clock) in clocks else ""
        head = f"{trip.period} {clock}" if clock and trip.period else clock or ""
        clocks.add((period, clock or ""))
        first, *more = _notes(noted)
        yield number + " ".join(part for part in (head, _points(trip, noted), first) if part)
        yield from (f"  {line}" for line in more)


def _clock(trip: Possession, noted: Sequence[Sighting]) -> str | None:
    if trip.clock:
        return trip.clock.removeprefix("0")
    start = noted[0].start if noted else None
    return start.split(".")[0] if start else None


def _points(trip: Possession, noted: Sequence[Sighting]) -> str:
    ended = {None: "clean", 0: "0 stop"}.get(trip.points, f"{trip.points} clean")
    if not noted:
        return ended
    return "" if trip.points is None else str(trip.points)


def _notes(noted: Sequence[Sighting]) -> list[str]:
    """Return lines of notes: a new one where a breakdown comes again."""
    lines: list[list[Sighting]] = [[]]
    for one in noted:
        if any(said.breakdown == one.breakdown for said in lines[-1]):
            lines.append([])
        lines[-1].append(one)
    return [", ".join(_note(one) for one in line) for line in lines]


def _note(one: Sighting) -> str:
    times = f" x{one.count}" if one.count > 1 else ""
    players = " & ".join(one.players)
    return f"{one.breakdown}{times} {players}".rstrip()
