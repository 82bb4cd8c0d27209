"""One row of a table read: when it was, what went wrong, who it was, and what could not be read of it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from planner.film import table_words as word
from planner.film.amends import again, ditto, mistaken, swapped
from planner.film.asides import settled
from planner.film.charge import Charge, charge
from planner.film.counts import MOST_COUNTED
from planner.film.intake import Unclear
from planner.film.items import MOST_POINTS
from planner.film.marks import clock_fault
from planner.film.meant import meant
from planner.film.points import Habits, score
from planner.film.sentences import read_notes
from planner.film.shorthand import spelled_out
from planner.film.table_cells import Row
from planner.film.table_columns import Header
from planner.film.table_contents import Column, total_row
from planner.film.table_players import Named, Squad, in_jerseys, players_in
from planner.film.table_values import EMPTY, clock_of, film_text, period_in, seconds_of, tally, whole
from planner.film.wording import Lexicon
from planner.film.words import plain, words
from planner.problem import Refusal
from planner.text import clean_line

_HABIT = Habits(lead=False)
_SAYS_ENOUGH = frozenset({"stop", "clean", "missed", "neutral", "praised"})
_ENDED = frozenset({"stop", "missed"})
MOST_WORDS = 20_000
"""Words in cells of breakdowns of one table; a game's film holds far fewer."""
_PARTED = re.compile(r"[;,/|+\n]")
_STRETCH = 6
_FREE_THROWS = re.compile(r"(?<![\d/])([0-3])\s?/\s?[1-3](?![\d/])")
_HIGHEST_COUNT_OF_A_POSSESSION = 5


@dataclass(frozen=True, slots=True)
class Said:
    """What one cell of breakdowns says: charges, meanings besides, points, and what was not understood."""

    charges: tuple[Charge, ...]
    meanings: frozenset[str]
    points: int | None
    odd: tuple[str, ...]


@dataclass(slots=True)
class Event:
    """One row; ``film`` and ``end`` are times of the film, ``number`` is the possession's own."""

    row: Row
    period: str | None = None
    clock: str | None = None
    film: str | None = None
    end: str | None = None
    number: int | None = None
    points: int | None = None
    charges: list[Charge] = field(default_factory=list)
    clean: bool = False
    """No breakdown stands in the row, read or not."""
    unclear: list[Unclear] = field(default_factory=list)


class RowReader:
    """Reads the rows of one table; ``jerseys`` says that its ticks are jerseys."""

    def __init__(
        self, file: str, header: Header, lexicon: Lexicon, squad: Squad, *, jerseys: bool = False
    ) -> None:
        self.file = file
        self.header = header
        self.lexicon = lexicon
        self.squad = squad
        self.jerseys = jerseys
        self.pairs = _pairs(header)
        self.comments = header.all(word.COMMENT)
        self.counted = header.all(word.OF)
        self.parts = header.all(word.BY, word.IN)
        self.count = header.first(word.COUNT)
        self.period = header.first(word.PERIOD)
        self.clock = header.first(word.CLOCK)
        self.start, self.end = header.first(word.START), header.first(word.END)
        self.number = header.first(word.POSSESSION)
        self.points = header.first(word.POINTS, word.RESULT)
        self.habit = replace(_HABIT, paren_players=self.points is not None)
        self.carried: str | None = None
        self.before: Event | None = None
        self.last: tuple[Charge, ...] = ()
        self._words = 0
        self._said: dict[tuple[str, bool, bool], Said] = {}

    def read(self, row: Row) -> Event:
        """Return what a row says."""
        event = Event(row)
        event.period = self._period(row)
        self._times(event)
        if self.number is not None:
            event.number = _number(row.cell(self.number.at))
        if self._puts_right(event):
            return event
        for breakdown, players in self.pairs:
            self._breakdown(event, breakdown, players)
        for column in self.comments:
            if self.lexicon.starts("also", words(event.row.cell(column.at))[:3]):
                self._breakdown(event, column, ())
        self._counted(event)
        self._points(event)
        event.clean = not event.charges and not event.unclear
        for column in self.comments:
            pair = mistaken(plain(row.cell(column.at)))
            if pair is not None:
                swapped(event.charges, *pair)
        self.before = event if event.charges else self.before
        return event

    def _puts_right(self, event: Event) -> bool:
        """Take a row that only says who made the mistake of the row before: ``8 not 24``."""
        if self.before is None or self.counted or self.parts:
            return False
        columns = [one for pair in self.pairs for one in (pair[0], *pair[1])]
        said = [plain(event.row.cell(one.at)) for one in columns]
        pair = next((made for one in said if (made := mistaken(one)) is not None), None)
        return pair is not None and swapped(self.before.charges, *pair)

    def ask(self, event: Event, text: str, why: str) -> None:
        """Keep something of a row as unclear."""
        event.unclear.append(Unclear(text, why, event.row.number, event.film))

    def _period(self, row: Row) -> str | None:
        if self.period is not None:
            self.carried = period_in(row.cell(self.period.at), self.period.header) or self.carried
        return self.carried

    def _times(self, event: Event) -> None:
        for column, name in ((self.start, "film"), (self.end, "end")):
            text = event.row.cell(column.at) if column is not None else ""
            if column is None or text in EMPTY:
                continue
            seconds = seconds_of(text)
            if seconds is None:
                self.ask(event, event.row.text, f"'{text}' is no time of the film; the row is counted")
            else:
                setattr(event, name, film_text(seconds))
        text = event.row.cell(self.clock.at) if self.clock is not None else ""
        if text in EMPTY:
            return
        clock = clock_of(text)
        fault = clock_fault(*clock, event.period) if clock else f"'{text}' is no clock"
        if clock is None or fault:
            self.ask(event, event.row.text, f"{fault}; the row is counted")
        else:
            event.clock = f"{clock[0]:02d}:{clock[1]:02d}"

    def _breakdown(self, event: Event, column: Column, players: Sequence[Column]) -> None:
        text = event.row.cell(column.at)
        named = [players_in(event.row.cell(one.at), self.squad) for one in players]
        beside = [number for one in named for number in one.jerseys]
        times = self._times_counted(event, text)
        if plain(text) in EMPTY:
            return
        said = self.said(text, label=True)
        if not said.charges and self.last and ditto(plain(text)):
            said = replace(said, charges=tuple(again(plain(text), self.last, ())), odd=())
        self.last = said.charges or self.last
        told = f"{text} {' '.join('#' + one for one in beside)}".strip()
        for one in said.charges:
            ours = self._ours(event, beside or one.players)
            for count, who in times:
                charged = [*ours, *(self._ours(event, who) if count else ())]
                self._charge(event, Charge(one.breakdown, one.sure, charged, (count or 1) * one.count), count)
        rest = "; the rest of the row is counted"
        for why in said.odd:
            self.ask(event, told, why + rest)
        if said.charges:
            self._strangers(event, named)
        elif not said.odd and not said.meanings & _SAYS_ENOUGH:
            self.ask(event, told, f"'{clean_line(text, 60)}' is no breakdown we know{rest}")
        if said.meanings & _ENDED and event.points is None:
            event.points = 0
        if said.points is not None:
            event.points = said.points

    def _charge(self, event: Event, made: Charge, count: int | None) -> None:
        if count == 0:
            return
        if not 0 < made.count <= MOST_COUNTED:
            self.ask(event, event.row.text, f"{made.count} of one breakdown cannot be; it is not counted")
        else:
            event.charges.append(made)

    def _times_counted(self, event: Event, text: str) -> list[tuple[int | None, list[str]]]:
        """Return how often the breakdown of a row is counted, and for whom: (None, []) where nothing says."""
        if self.parts:
            return [
                (self._tally(event, one, text), [one.subject] if one.meaning == word.BY else [])
                for one in self.parts
            ]
        if self.count is None or event.row.cell(self.count.at) == "":
            return [(None, [])]
        return [(self._tally(event, self.count, text), [])]

    def _tally(self, event: Event, column: Column, text: str) -> int:
        cell = event.row.cell(column.at)
        count = tally(cell)
        if count is None or count < 0:
            told = f"{text}: {cell}".strip(" :")
            self.ask(event, told, f"'{clean_line(cell, 40)}' is no count; it is not counted")
            return 0
        return count

    def _counted(self, event: Event) -> None:
        named = [players_in(event.row.cell(one.at), self.squad) for one in self.header.all(word.PLAYER)]
        beside = [number for one in named for number in one.jerseys]
        before = len(event.charges)
        for column in self.counted:
            cell = event.row.cell(column.at)
            if not cell:
                continue
            if self._holds_jerseys(cell):
                who = players_in(cell, self.squad)
                event.charges.append(Charge(column.subject, 1.0, who.jerseys or beside))
                self._strangers(event, [who])
                continue
            count = self._tally(event, column, column.header)
            self._charge(event, Charge(column.subject, 1.0, list(beside), count), count)
        if self.counted and len(event.charges) > before:
            self._strangers(event, named)

    def _holds_jerseys(self, cell: str) -> bool:
        if plain(cell) in EMPTY:
            return False
        if self.jerseys:
            return bool(players_in(cell, self.squad).jerseys or players_in(cell, self.squad).strangers)
        return tally(cell) is None and not players_in(cell, self.squad).unknown

    def _ours(self, event: Event, players: Sequence[str]) -> list[str]:
        if self.squad.jerseys is None:
            return list(players)
        for one in players:
            if one not in self.squad.jerseys:
                self._stranger(event, one)
        return [one for one in players if one in self.squad.jerseys]

    def _strangers(self, event: Event, named: Sequence[Named]) -> None:
        for one in named:
            for number in one.strangers:
                self._stranger(event, number)
            for name in one.unknown:
                self.ask(
                    event,
                    event.row.text,
                    f"no player '{clean_line(name, 40)}' on the roster; the breakdown is counted",
                )

    def _stranger(self, event: Event, number: str) -> None:
        self.ask(event, event.row.text, f"no player {number} on the roster; the breakdown is counted")

    def _points(self, event: Event) -> None:
        text = event.row.cell(self.points.at) if self.points is not None else ""
        if plain(text) in EMPTY:
            return
        value = whole(text)
        if value is not None and 0 <= value <= MOST_POINTS:
            event.points = value
        elif value is not None:
            self.ask(event, event.row.text, f"{value} points on one possession cannot be; the row is counted")
        else:
            line = _FREE_THROWS.search(text)
            if line:
                event.points = int(line[1])
                return
            said = self.said(text, result=True)
            told = 0 if said.meanings & _ENDED and said.points is None else said.points
            event.points = told if told is not None else event.points

    def said(self, text: str, *, label: bool = False, result: bool = False) -> Said:
        """Return what a cell says; the same wording is read once. A ``label`` is known to name a breakdown.

        Raises:
            Refusal: the table holds more words than the film of one game.

        """
        key = text, label, result
        if key not in self._said:
            self._words += len(text.split())
            if self._words > MOST_WORDS:
                raise Refusal(
                    f"'{self.file}' holds more than {MOST_WORDS:,} words of notes; give one game per file."
                )
            low = in_jerseys(plain(text), self.squad.names, self.lexicon.known)
            self._said[key] = _read(low, self.lexicon, _HABIT if result else self.habit, label=label)
        return self._said[key]


def _read(low: str, lexicon: Lexicon, habit: Habits, *, label: bool) -> Said:
    low = spelled_out(settled(low, lexicon), lexicon, {}, {})
    items = read_notes(low, lexicon, label=label)
    scored = score(items, habit)
    made = charge(items, scored.used, habit, lexicon)
    meanings = frozenset(one.text for one in items if one.kind == "meaning")
    odd = list(made.odd)
    if label and not made.charges and not meanings:
        players = [one.text for one in items if one.kind in ("jersey", "number")]
        named = [meant(part, lexicon) for part in (low, *_PARTED.split(low)) if words(part)]
        found = next((one for one in named if one is not None and one.id), None)
        if found is not None:
            return Said((Charge(found.id, found.sure, players),), meanings, scored.points, ())
    if made.charges:
        odd += [one for one in _strange(low, lexicon) if not any(one in said for said in odd)]
    return Said(tuple(made.charges), meanings, scored.points, tuple(odd))


def _strange(low: str, lexicon: Lexicon) -> list[str]:
    """Return the short stretches beside a breakdown that say nothing we know: a second one, perhaps."""
    found = []
    for stretch in _PARTED.split(low):
        said = words(stretch)
        new = [word for word in said if word not in lexicon.known]
        if new and len(said) <= _STRETCH and not lexicon.spots(said) and not lexicon.loose(said):
            found.append(f"'{' '.join(said)}' is no breakdown we know")
    return found


def _pairs(header: Header) -> list[tuple[Column, list[Column]]]:
    """Return each column of breakdowns with the columns of its players: as many of each are pairs."""
    breakdowns, players = header.all(word.BREAKDOWN), header.all(word.PLAYER)
    if len(breakdowns) > 1 and len(players) == len(breakdowns):
        return [(one, [players[at]]) for at, one in enumerate(breakdowns)]
    return [(one, players) for one in breakdowns]


def _number(text: str) -> int | None:
    value = whole(text.lstrip("#").strip())
    return value if value is not None and value >= 0 else None


def jerseys_in(rows: Sequence[Row], header: Header) -> bool:
    """Say whether ticks per possession are jerseys: some are higher than any count of one possession."""
    rows = [row for row in rows if not total_row(row.cells)]
    values = [tally(row.cell(one.at)) or 0 for one in header.all(word.OF) for row in rows]
    return any(value > _HIGHEST_COUNT_OF_A_POSSESSION for value in values)
