"""What a typed sheet yields, and how the lines that only count go into it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace

from planner.film.by_player import PlayerCounts
from planner.film.counts import MOST_COUNTED, Count
from planner.film.intake import Heading, Possession, Sighting, Unclear
from planner.film.rows import Row


@dataclass(slots=True)
class Sheet:
    """What a sheet yields; the parts of an Intake."""

    trips: list[Possession] = field(default_factory=list)
    sightings: list[Sighting] = field(default_factory=list)
    unclear: list[Unclear] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    possessions: int | None = None
    heading: Heading = field(default_factory=Heading)

    def ask(self, row: Row, why: str) -> None:
        """Keep a line as unclear."""
        self.unclear.append(Unclear(row.text, why, row.number, row.head.film))


def take_counts(
    out: Sheet,
    row: Row,
    counts: Sequence[Count] | None,
    roster: Collection[str] | None,
    player: str | None = None,
) -> None:
    """Add what a line counts, for a player or for nobody in particular."""
    if counts is None:
        out.ask(row, "no number beside a breakdown in a sheet that counts")
        return
    known = player is None or roster is None or player in roster
    if not known:
        out.ask(row, f"no player {player} on the roster; the breakdown is counted")
    who = (player,) if player is not None and known else ()
    for one in counts:
        if one.aside or not one.count:
            continue
        if one.breakdown is None:
            out.ask(row, f"'{one.said}' is no breakdown we know")
        elif one.count > MOST_COUNTED:
            out.ask(row, f"{one.count} of one breakdown in one game cannot be")
        else:
            seen = Sighting(one.breakdown, row.number, players=who, count=one.count, sure=one.sure)
            out.sightings.append(replace(seen, text=row.text))


def take_players(out: Sheet, read: PlayerCounts, rows: Sequence[Row], roster: Collection[str] | None) -> None:
    """Count what stands under each player."""
    for one in read.tallies:
        take_counts(out, one.row, one.counts, roster, one.player)
    for row in rows:
        if row.kind == "notes" and row.number not in read.lines and any(c.isdigit() for c in row.low):
            out.ask(row, "no count of a player could be read from it")


def praised(rows: Sequence[Row]) -> set[int]:
    """Return the lines under a word of praise (``the good stuff``), up to a blank one."""
    inside, found = False, set()
    for row in rows:
        bare = not any(one.kind in ("breakdown", "number", "jersey", "points", "break") for one in row.items)
        if row.kind == "blank":
            inside = False
        elif bare and row.items and row.meanings & {"clean", "praised"}:
            inside = True
        if inside:
            found.add(row.number)
    return found
