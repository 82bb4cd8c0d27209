"""What film looks like in words: a reading before it is added, the letters, the running counts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from planner.film.entry import Entry, counts, in_words, settled
from planner.film.intake import Intake
from planner.text import plural


def reading_text(intake: Intake, titles: Mapping[str, str]) -> str:
    """Return what a film note would add: possessions, breakdowns, what is unclear, what is wrong."""
    seen = Counter[str]()
    for one in intake.seen:
        seen[one.breakdown] += one.count
    heard = Counter(one.breakdown for one in intake.proposals)
    watched = plural(intake.possessions, "possession") if intake.possessions else "possessions unknown"
    lines = [f"{intake.file}: {watched}, {plural(seen.total(), 'breakdown')} seen"]
    told = [one for one in (intake.heading.date, intake.heading.opponent) if one]
    if told:
        lines.append(f"of the game {' v '.join(told)}")
    lines += [f"     {column}" for column in intake.columns]
    lines += [f"{count:4}  {titles.get(one, one)}" for one, count in _ranked(seen)]
    if heard:
        lines.append(f"\nProposed, to be answered afterwards ({heard.total()}):")
        lines += [f"{count:4}  {titles.get(one, one)}" for one, count in _ranked(heard)]
    if intake.unclear:
        lines.append(f"\nNot clear, to be sorted afterwards ({len(intake.unclear)}):")
        lines += [f"  ? {_place(one.line, one.start)}{one.text}\n      {one.why}" for one in intake.unclear]
    if intake.problems:
        lines.append("\nTo know:")
        lines += [f"  ! {one}" for one in intake.problems]
    return "\n".join(lines)


def _place(line: int | None, start: str | None) -> str:
    return f"line {line}: " if line is not None else f"{start}: " if start else ""


def _ranked(seen: Mapping[str, int]) -> Sequence[tuple[str, int]]:
    return sorted(seen.items(), key=lambda one: (-one[1], one[0]))


def legend_text(letters: Mapping[str, str], titles: Mapping[str, str], width: int, rows: int = 4) -> str:
    """Return the letters in columns, as wide as they fit; none is left out."""
    cells = [f"{letter} {titles.get(one, one)}" for letter, one in letters.items()]
    across = max(1, -(-len(cells) // rows))
    wide = max(12, width // across)
    columns = [cells[start : start + rows] for start in range(0, len(cells), rows)]
    lines = []
    for row in range(rows):
        parts = [f"{_cut(column[row], wide - 1):<{wide}}" for column in columns if row < len(column)]
        lines.append("".join(parts).rstrip())
    return "\n".join(line for line in lines if line)


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else text[: width - 1] + "…"


def counts_text(entry: Entry, titles: Mapping[str, str], width: int, rows: int) -> str:
    """Return what has been entered so far, the most frequent first."""
    trips = entry.trips
    said = [one.points for one in trips if one.points is not None]
    lines = [plural(len(trips), "possession")]
    if said:
        stops = plural(sum(one == 0 for one in said), "stop")
        lines.append(f"{plural(sum(said), 'point')} on {len(said)}, {stops}")
    lines.append("")
    ranked = _ranked(counts(trips))
    lines += [_cut(f"{count:3} {titles.get(one, one)}", width) for one, count in ranked]
    if len(lines) > rows:
        lines = [*lines[: rows - 1], f"    and {len(lines) - rows + 1} more"]
    return "\n".join(lines)


def recent_text(entry: Entry, titles: Mapping[str, str], rows: int) -> str:
    """Return the last possessions that are done, one a line."""
    first = max(0, len(entry.done) - rows)
    return "\n".join(
        f"{number:3} {one.period or '':3} {in_words(one, titles)}"
        for number, one in enumerate(entry.done[first:], first + 1)
    )


def now_text(entry: Entry, titles: Mapping[str, str]) -> str:
    """Return the possession being entered, in words, with what waits for the next key."""
    closed = settled(entry)
    words = in_words(closed.now, titles) if not closed.now.empty else ""
    hints = []
    if entry.asked:
        hints.append("points: 0 to 5?")
    elif entry.digits:
        hints.append(f"jersey {entry.digits}_" if entry.to_last else f"jersey {entry.digits}_ waits")
    elif entry.waiting:
        hints.append(f"{', '.join(entry.waiting)}: which breakdown?")
    elif entry.joining:
        hints.append("and who else?")
    return "   ".join([words or ("…" if not hints else ""), *hints]).strip()
