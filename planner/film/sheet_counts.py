"""What a typed sheet yields, and how the lines that only count go into it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from planner.film.by_player import PlayerCounts
from planner.film.counts import MOST_COUNTED, Count, count_list, count_row, counted_section, ranked
from planner.film.intake import Reading, Sighting, Unclear
from planner.film.rows import Row
from planner.film.trips import written
from planner.film.wording import Lexicon

_STRANGERS = 0.15
"""Share of lines with a clock, points or players that a section of counts may hold besides."""
_FEW = 5
_MOST_POINTS = 4


class Sheet(Reading):
    """What a sheet yields."""

    def ask(self, row: Row, why: str) -> None:
        """Keep a line as unclear."""
        self.unclear.append(Unclear(row.text, why, row.number, row.head.film))


def take_counts(
    out: Sheet,
    row: Row,
    counts: Sequence[Count] | None,
    roster: Collection[str] | None,
    players: Sequence[str] = (),
) -> None:
    """Add what a line counts, for players or for nobody in particular."""
    if counts is None:
        out.ask(row, "no number beside a breakdown in a sheet that counts")
        return
    who = tuple(one for one in players if roster is None or one in roster)
    for one in players:
        if one not in who:
            out.ask(row, f"no player {one} on the roster; the breakdown is counted")
    for made in counts:
        if made.aside or not made.count:
            continue
        if made.breakdown is None:
            out.ask(row, f"'{made.said}' is no breakdown we know")
        elif made.count > MOST_COUNTED:
            out.ask(row, f"{made.count} of one breakdown in one game cannot be")
        else:
            seen = Sighting(made.breakdown, row.number, players=who, count=made.count, sure=made.sure)
            out.sightings.append(replace(seen, text=row.text))


def take_players(out: Sheet, read: PlayerCounts, rows: Sequence[Row], roster: Collection[str] | None) -> None:
    """Count what stands under each player."""
    out.problems += read.problems
    for one in read.tallies:
        take_counts(out, one.row, one.counts, roster, one.players)
    for row in rows:
        if row.kind == "notes" and row.number not in read.lines and any(c.isdigit() for c in row.low):
            out.ask(row, "no count of a player could be read from it")


def section_counts(
    notes: Sequence[Row], lexicon: Lexicon, roster: Collection[str] | None, *, watched: bool
) -> dict[int, list[Count] | None] | None:
    """Return what each line counts where a section only counts, None where it tells of possessions.

    A few lines with a clock, points or players may stand among them; numbers in front may rank them.
    """
    said = {row.number: row.low if row.head.number is None else row.head.rest for row in notes}
    counts = {row.number: count_row(said[row.number], lexicon) for row in notes if not row.timed}
    plainly = [row for row in notes if not row.timed and row.head.number is None]
    if sum(counts[row.number] is None for row in plainly) > len(plainly) // 2:
        led = ranked([row.low for row in plainly], lexicon, watched=watched)
        counts |= {row.number: line for row, line in zip(plainly, led or (), strict=False)}
    lines = [counts.get(row.number) for row in notes]
    other = [row for row, line in zip(notes, lines, strict=True) if line is None]
    few = _STRANGERS * len(notes)
    shown = sum(written(row) for row in other) > few or sum(row.timed or row.goes_on for row in other) > few
    numbered = [row for row in notes if row.head.number is not None]
    if shown or (numbered and not _ranked(numbered, counts)):
        return None
    if not counted_section(lines, watched=watched, roster=roster):
        return None
    for row in other:
        bare = count_list(said[row.number], lexicon) if not row.timed else None
        if bare is not None and all(one.breakdown and one.count == 1 for one in bare):
            counts[row.number] = bare
    return counts


def _ranked(numbered: Sequence[Row], counts: Mapping[int, list[Count] | None]) -> bool:
    """Say whether numbers rank what is counted: no points of a possession are so high."""
    told = [one for row in numbered for one in counts.get(row.number) or ()]
    return len(told) >= _FEW and any(one.count > _MOST_POINTS for one in told)


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
