"""The coach's own totals in a sheet: never counted, only compared with what was read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from planner.film.counts import Count, count_line, points_counted, without_points
from planner.film.heading import Said, read_heading, watched_number, without_watched
from planner.film.intake import Possession, Sighting
from planner.film.rows import Row
from planner.film.wording import Lexicon
from planner.text import clean_line

_EDGE = " \t*=_.:-–—"


@dataclass(slots=True)
class Totals:
    """Counts and points that the sheet's own totals tell, each with its line."""

    counts: list[tuple[int, Count]] = field(default_factory=list)
    points: tuple[int, int] | None = None
    problems: list[str] = field(default_factory=list)


def read_totals(rows: Sequence[Row], said: Said, lexicon: Lexicon) -> Totals:
    """Read the rows of totals; possessions told there go into ``said``."""
    totals = Totals()
    for row in rows:
        if row.kind == "totals":
            _read(row, said, lexicon, totals)
    return totals


def compare(totals: Totals, sightings: Sequence[Sighting], trips: Sequence[Possession]) -> list[str]:
    """Return what the totals say otherwise than the sheet."""
    problems = list(totals.problems)
    for line, total in totals.counts:
        read = sum(one.count for one in sightings if one.breakdown == total.breakdown)
        if read != total.count:
            problems.append(
                f"line {line}: the total says {total.count} {total.breakdown}, the sheet has {read}"
            )
    points = [trip.points for trip in trips if trip.points is not None]
    if totals.points and points and len(points) == len(trips) and sum(points) != totals.points[0]:
        told, line = totals.points
        problems.append(f"line {line}: the total says {told} points, the sheet has {sum(points)}")
    return problems


def last_block(rows: Sequence[Row], lexicon: Lexicon) -> list[Row]:
    """Return the lines of counts that end a sheet without a word such as ``totals``, set apart by a blank.

    Below possessions with clocks they are the coach's own totals.
    """
    at = len(rows)
    while at and rows[at - 1].kind != "notes":
        at -= 1
    end = at
    while at and rows[at - 1].kind == "notes" and not rows[at - 1].timed:
        at -= 1
    block = list(rows[at:end])
    if not block or not at or rows[at - 1].kind == "notes" or any(row.indent or row.goes_on for row in block):
        return []
    counts: list[Count] = []
    for row in block:
        line = count_line(row.low, lexicon)
        if line is None or any(one.breakdown is None for one in line):
            return []
        counts += line
    apart = len(block) > 1 or len(counts) > 2
    return block if apart and len({one.breakdown for one in counts}) == len(counts) else []


def _read(row: Row, said: Said, lexicon: Lexicon, totals: Totals) -> None:
    low = _without_label(row.low.strip(_EDGE), lexicon)
    watched = watched_number(low)
    if watched is not None:
        read_heading(f"possessions: {watched}", row.number, said, preamble=True)
        low = without_watched(low)
    points = points_counted(low)
    if points is not None:
        totals.points = (points, row.number)
        low = without_points(low)
    for part in low.replace(";", ",").split(","):
        if not part.strip(_EDGE + "|/"):
            continue
        counts = count_line(part, lexicon)
        if counts is None or any(one.breakdown is None for one in counts):
            totals.problems.append(f"line {row.number}: total '{clean_line(part, 40)}' could not be read")
        else:
            totals.counts += [(row.number, one) for one in counts]


def _without_label(low: str, lexicon: Lexicon) -> str:
    labels = sorted((" ".join(phrase) for phrase in lexicon.groups["totals"]), key=len, reverse=True)
    label = next((one for one in labels if low.startswith(one)), "")
    return low[len(label) :].lstrip(_EDGE)
