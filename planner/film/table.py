"""Tables of film, a row per event, possession, player or game, read to the same Intake as a sheet.

How rows are taken:

* rows with a possession's number, clock or film time are possessions, rows that share it one and the same;
  where every row holds a breakdown and no points, they are events, and how many possessions were watched is
  not known;
* rows with counts of breakdowns and none of these are counts;
* totals are compared and never counted, a row pasted twice counts once.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from planner.film import table_words as word
from planner.film.heading import Said as Told
from planner.film.heading import read_heading, watched_number
from planner.film.intake import Heading, Reading, Sighting, Unclear
from planner.film.marks import heading_period
from planner.film.table_cells import Grid, Row, cut, delimiters_in, lines_of
from planner.film.table_columns import Columns, Header, find_header
from planner.film.table_contents import total_row
from planner.film.table_players import Squad
from planner.film.table_rows import Event, RowReader, jerseys_in
from planner.film.table_trips import Trip, in_trips
from planner.film.table_values import tally, whole
from planner.film.wording import Lexicon
from planner.film.words import plain, words
from planner.problem import Refusal
from planner.text import plural

_TRIED = 240
"""Lines in which the delimiter and the header are looked for."""
_MANY = 8
_TITLE = 40
_LABELS = frozenset({word.DATE, word.OPPONENT, word.VENUE, word.WATCHED})
_ONE_TICK = 3
_OF_ALL = frozenset(
    {"all", "everyone", "everybody", "players", "together", "group", "girls", "boys", "squad"}
)
_AGREED = 0.7
"""Share of columns whose sum a last row with a label of its own must tell to be their total."""
_SUMMED = 2
_SUMS = re.compile(r"\b(?:in all|altogether|totals?|sums?|my count|by my count|all told)\b")
_VERSUS = re.compile(r"^\s*(?:vs?\.?|versus|against)\s+", re.IGNORECASE)


@dataclass(slots=True)
class TableReading(Reading):
    """What tables yield; ``columns`` says in words how each column was read, ``header`` keys corrections."""

    columns: tuple[str, ...] = ()
    header: str = ""


def find_table(
    file: str, text: str, lexicon: Lexicon, squad: Squad, columns: Columns, *, must: bool
) -> tuple[Grid, Header] | None:
    """Return the table in a text with its header; None when it is none.

    ``must`` says that the file's name promises a table.

    Raises:
        Refusal: it is a table with too many rows or columns.

    """
    lines = lines_of(text)
    best: tuple[int, str, Header] | None = None
    refusal: Refusal | None = None
    for delimiter in delimiters_in(lines):
        try:
            grid = cut(file, lines[:_TRIED], delimiter)
        except Refusal as fault:
            refusal = refusal or fault
            continue
        header = find_header(grid, lexicon, squad, columns, strict=not must)
        known = sum(one.meaning != word.IGNORE for one in header.columns) if header else 0
        if header and (best is None or known > best[0]):
            best = known, delimiter, header
    if best is None:
        if must and refusal is not None:
            raise refusal
        return None
    return cut(file, lines, best[1]), best[2]


def sheet_lines(grid: Grid) -> list[str]:
    """Return the rows of a table without a header as lines that a sheet could hold."""
    lines: list[str] = []
    for row in grid.rows:
        lines += [""] * (row.number - len(lines) - 1)
        filled = [cell for cell in row.cells if cell]
        counted = len(filled) == 2 and whole(filled[1]) is not None and whole(filled[0]) is None
        lines.append((": " if counted else ", ").join(filled))
    return lines


def read_tables(
    file: str, tables: Sequence[tuple[Grid, Header]], lexicon: Lexicon, squad: Squad
) -> TableReading:
    """Read tables that share one header (the sheets of a workbook, or just one).

    Raises:
        Refusal: they hold the film of several games, or more words than one game's film.

    """
    reader = _Reader(file, tables[0][1], lexicon, squad)
    for grid, header in tables:
        reader.add(grid, header)
    return reader.result()


class _Reader:
    def __init__(self, file: str, header: Header, lexicon: Lexicon, squad: Squad) -> None:
        self.file = file
        self.header = header
        self.lexicon = lexicon
        self.squad = squad
        self.told = Told()
        self.events: list[Event] = []
        self.totals: list[Row] = []
        self.ended = False
        """Totals have begun: what follows without a number or time is no possession."""
        self.games: dict[str, None] = {}
        self.watched: list[int] = []
        self.period: str | None = None
        self.out = TableReading(
            columns=tuple(
                one.described() for one in header.columns if one.header or one.meaning != word.IGNORE
            ),
            header=header.key,
        )

    def add(self, grid: Grid, header: Header) -> None:
        """Read one table: what stands above its header, its rows, what stands below."""
        self.out.problems += grid.problems
        for row in grid.rows[: header.at]:
            self._above(row)
        body = [row for row in grid.rows[header.at + 1 :] if not row.blank]
        body = self._without_sum(body, header)
        single = header.has(word.POSSESSION, word.CLOCK, word.START)
        jerseys = single and jerseys_in(body, header)
        reader = RowReader(self.file, header, self.lexicon, self.squad, jerseys=jerseys)
        reader.carried = heading_period(plain(grid.part)) or self.period
        titles = grid.rows[header.at].cells
        for row in body:
            if row.cells == titles or self._aside(row, reader):
                continue
            if self._second(row, header):
                self._add_second(Grid([one for one in grid.rows if one.number >= row.number]), row, reader)
                break
            self._game(row, header)
            self.events.append(reader.read(row))

    def _add_second(self, rest: Grid, row: Row, before: RowReader) -> None:
        """Read a table with other columns below the first."""
        header = find_header(rest, self.lexicon, self.squad, Columns())
        played = header is not None and header.has(
            word.POSSESSION, word.CLOCK, word.START, word.POINTS, word.RESULT
        )
        if header is None or header.at != 0 or not played:
            self.out.problems.append(f"line {row.number}: a second table starts here; only the first is read")
            return
        told = self.out.columns
        self.out.columns = (
            *told,
            *(one.described() for one in header.columns if one.described() not in told),
        )
        self.period = before.carried
        self.add(rest, header)

    def _above(self, row: Row) -> None:
        filled = [cell for cell in row.cells if cell]
        if not filled:
            return
        labelled = len(filled) == 2 and not filled[0].endswith((":", "="))
        text = (": " if labelled and word.header_meaning(filled[0]) in _LABELS else ", ").join(filled)
        for one in (text, *(filled if len(filled) > 2 else ())):
            if read_heading(one, row.number, self.told, preamble=True):
                break

    def _aside(self, row: Row, reader: RowReader) -> bool:
        """Take a row that is no data: totals, a period alone, a label with its value."""
        placed = self.header.all(word.POSSESSION, word.CLOCK, word.START)
        bare = bool(placed) and not any(row.cell(one.at) for one in placed)
        if total_row(row.cells):
            self.totals.append(row)
            self.ended = self.ended or bare
            return True
        if bare and (self.ended or _SUMS.search(plain(row.text))):
            return True
        filled = [cell for cell in row.cells if cell]
        if len(filled) == 1 and (period := heading_period(plain(filled[0]))):
            reader.carried = period
            return True
        if len(row.cells) == 1 and len(self.header.columns) > 2 and whole(filled[0]) is None:
            if not read_heading(row.text, row.number, self.told, preamble=False) and any(
                spot.meaning.kind == "breakdown" for spot in self.lexicon.spots(words(row.text))
            ):
                why = "it stands outside the columns of the table; it is not counted"
                self.out.unclear.append(Unclear(row.text, why, row.number, None))
            return True
        if len(filled) > 2 or not (
            word.header_meaning(filled[0].rstrip(":= ")) in _LABELS or watched_number(plain(row.text))
        ):
            return False
        return read_heading(
            ": ".join(one.rstrip(":= ") for one in filled), row.number, self.told, preamble=False
        )

    def _second(self, row: Row, header: Header) -> bool:
        meanings = [word.header_meaning(cell) for cell in row.cells if cell and len(cell) <= _TITLE]
        known = [one for one in meanings if one is not None]
        filled = sum(bool(cell) for cell in row.cells)
        telling = word.BREAKDOWN in known or (len(known) > 2 and 2 * len(known) >= filled)
        return len(known) > 1 and telling and word.header_key(row.cells) != header.key

    def _game(self, row: Row, header: Header) -> None:
        said = [row.cell(one.at) for one in header.all(word.DATE, word.OPPONENT)]
        if any(said):
            self.games.setdefault(" ".join(said).casefold())
        if len(self.games) > 1:
            where = f"'{self.file}' (line {row.number})"
            raise Refusal(f"{where} holds the film of more than one game; give one game per file.")
        for meaning in (word.DATE, word.OPPONENT, word.VENUE):
            titled = header.first(meaning)
            if titled is not None and not self.events and (value := _VERSUS.sub("", row.cell(titled.at))):
                read_heading(f"{meaning}: {value}", row.number, self.told, preamble=True)
        column = header.first(word.WATCHED)
        if column is not None and (watched := whole(row.cell(column.at))):
            self.watched.append(watched)

    def _without_sum(self, body: list[Row], header: Header) -> list[Row]:
        """Take off a last row without any label that holds the sums of the columns above."""
        counted = header.all(word.OF, word.COUNT, word.BY, word.IN)
        if not counted or len(body) < 3 or len(header.columns) == len(counted):
            return body
        *above, last = [row for row in body if not total_row(row.cells)] or body
        places = {one.at for one in counted}
        labels = [cell for at, cell in enumerate(last.cells) if cell and at not in places]
        sums = [sum(tally(row.cell(one.at)) or 0 for row in above) for one in counted]
        told = [tally(last.cell(one.at)) for one in counted]
        agreed = sum(a == b for a, b in zip(sums, told, strict=True))
        told_so = any(set(words(plain(cell))) <= _OF_ALL and words(plain(cell)) for cell in labels)
        enough = agreed >= _AGREED * len(sums) if told_so else agreed == len(sums) and not labels
        if sum(sums) == 0 or not enough or len([one for one in sums if one]) < _SUMMED:
            return body
        self.out.problems.append(f"line {last.number}: holds the sums of the rows above; not counted")
        return [row for row in body if row is not last]

    def result(self) -> TableReading:
        """Put the rows together."""
        out = self.out
        once = self._once()
        if self._by_possession(once):
            trips = in_trips(once, self.header, out.problems)
            out.trips = [one.possession() for one in trips]
            out.sightings = [seen for trip in trips for event in trip.events for seen in _seen(event, trip)]
            out.sightings.sort(key=lambda one: one.line or 0) if len({e.row.number for e in once}) == len(
                once
            ) else None
        else:
            out.sightings = [seen for event in once for seen in _seen(event, None)]
        for event in self.events:
            out.unclear += dict.fromkeys(event.unclear)
        out.problems += self.told.problems
        self._compare()
        self._watched()
        out.heading = Heading(self.told.date, self.told.opponent, self.told.venue)
        if not out.trips and not out.sightings:
            out.problems.append("no possession and no count was found")
        return out

    def _once(self) -> list[Event]:
        """Return the rows without those pasted twice: every cell and the clock the same."""
        seen: dict[tuple[str | None, tuple[str, ...]], Event] = {}
        once: list[Event] = []
        for event in self.events:
            key = event.period, event.row.cells
            before = seen.get(key) if event.clock or event.film else None
            if before is None or not (event.period or event.film or before is once[-1]):
                seen[key] = event
                once.append(event)
                continue
            self.out.problems.append(
                f"line {event.row.number}: the same as line {before.row.number}; counted once"
            )
            event.unclear.clear()
        return once

    def _by_possession(self, events: Sequence[Event]) -> bool:
        header = self.header
        clean = any(event.clean for event in events)
        if header.has(word.POSSESSION):
            return True
        if header.has(word.CLOCK, word.START):
            return clean or header.has(word.POINTS, word.RESULT, word.OF)
        if header.has(word.OF):
            plain_rows = not header.has(word.PLAYER, word.PERIOD, word.DATE, word.OPPONENT, word.WATCHED)
            few = all(one.count <= _ONE_TICK for event in events for one in event.charges)
            points = header.has(word.POINTS, word.RESULT) and not header.has(word.PLAYER) and len(events) > 1
            return few and (points or (plain_rows and len(events) > _MANY))
        return header.has(word.POINTS, word.RESULT) and clean and not header.has(word.COUNT, word.BY, word.IN)

    def _compare(self) -> None:
        counted = self.header.all(word.OF, word.COUNT)
        if len(self.totals) != 1:
            return
        row = self.totals[0]
        for one in counted:
            told = tally(row.cell(one.at))
            read = sum(seen.count for seen in self.out.sightings if one.subject in ("", seen.breakdown))
            if told is not None and row.cell(one.at) and told != read:
                name = one.subject or "breakdowns"
                self.out.problems.append(
                    f"line {row.number}: the total says {told} {name}, the table has {read}"
                )

    def _watched(self) -> None:
        out, written = self.out, len(self.out.trips)
        told = self.told.watched
        if told is None and self.watched and not out.trips:
            same = len(set(self.watched)) == 1
            if not self.header.has(word.PLAYER):
                told = (sum(self.watched), 0)
            elif same:
                told = (self.watched[0], 0)
        if told and told[0] < written:
            out.problems.append(
                f"line {told[1]}: says {plural(told[0], 'possession')}, but {written} are written and used"
            )
        if told:
            out.possessions = max(told[0], written)
        elif written:
            out.possessions = written


def _seen(event: Event, trip: Trip | None) -> list[Sighting]:
    return [
        Sighting(
            breakdown=one.breakdown,
            line=event.row.number,
            start=event.film,
            end=event.end,
            players=tuple(dict.fromkeys(one.players)),
            points=trip.points if trip is not None else event.points,
            count=one.count,
            sure=one.sure,
            text=event.row.text,
            possession=trip.number if trip is not None else None,
        )
        for one in event.charges
    ]
