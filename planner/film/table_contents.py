"""What the contents of a column say of it, where its header leaves that open; rows of totals."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from planner.film import table_words as word
from planner.film.items import jersey
from planner.film.marks import heading_period
from planner.film.table_cells import Row
from planner.film.table_players import Squad
from planner.film.table_values import EMPTY, clock_of, period_in, seconds_of, tally, whole
from planner.film.wording import Lexicon
from planner.film.words import plain, words

_COUNTED = 0.8
_READ = 0.4
_JERSEY = re.compile(r"(?:#|no\.?\s?|player\s)?(?P<n>\d{1,2})")
_MOST_POINTS = 5
_SCORE = re.compile(r"\d+\s*[-:\u2013]\s*\d+")
_SCORE_SHARE = 0.2
_RISING = 0.9
_FAINT = 0.2
_SOME = 4
_FEW_PAIRED = 2
_ENDED = re.compile(
    r"\W*(?:made?\b|miss|stop|turnover|to\b|foul|fts?\b|steal|block|score|layup|[0-3]\s?/\s?[1-3]|x\b|-|and.?1|no\b|[0-4]\s?p)"
)


@dataclass(frozen=True, slots=True)
class Column:
    """One column: place, header as written, meaning (see ``table_words``) and what a count counts."""

    at: int
    header: str
    meaning: str
    subject: str = ""

    def described(self) -> str:
        """Return how the column was read, in words."""
        told = {
            word.OF: f"the count of {self.subject}",
            word.BY: f"the count for player {self.subject}",
            word.IN: f"the count in {self.subject}",
            word.START: "start in the film",
            word.END: "end in the film",
            word.WATCHED: "possessions watched",
        }.get(self.meaning, self.meaning)
        header = self.header or f"number {self.at + 1}"
        if self.meaning in (word.IGNORE, word.TOTAL, word.COMMENT):
            return (
                f"column '{header}' not counted"
                if self.meaning != word.IGNORE
                else f"column '{header}' not read"
            )
        return f"column '{header}' read as {told}"


class Settler:
    """Decides by contents what headers leave open."""

    def __init__(self, named: list[Column], below: Sequence[Row], lexicon: Lexicon, squad: Squad) -> None:
        self.columns = named
        self.lexicon = lexicon
        self.squad = squad
        self.below = [row for row in below if len(row.cells) > 1 and not total_row(row.cells)]

    def settle(self) -> list[Column]:
        """Return the columns with every meaning settled."""
        self._each(word.OF, self._of)
        self._breakdowns()
        self._each(word.IGNORE, self._counts_of_part)
        self._each(word.NUMBER, self._number)
        self._each(word.TIME, self._time)
        self._each(word.POINTS, self._points)
        self._each(word.TOTAL, self._total)
        self._more_breakdowns()
        self._misnamed()
        self._unknown()
        self._beside()
        self._repeated()
        return self.columns

    def _each(self, meaning: str, decide: Callable[[Column], Column]) -> None:
        self.columns = [decide(one) if one.meaning == meaning else one for one in self.columns]

    def _has(self, *meanings: str) -> bool:
        return any(one.meaning in meanings for one in self.columns)

    def _cells(self, at: int) -> list[str]:
        return [cell for row in self.below if (cell := row.cell(at))]

    def _counted(self, at: int) -> bool:
        cells = self._cells(at)
        fit = sum(
            tally(cell) is not None or bool(_JERSEY.fullmatch(plain(cell))) or self._players(cell)
            for cell in cells
        )
        return fit >= _COUNTED * len(cells)

    def _players(self, cell: str) -> bool:
        return all(
            _JERSEY.fullmatch(part) or part in self.squad.names
            for part in re.split(r"[\s,;/&+]+", plain(cell))
        )

    def _of(self, one: Column) -> Column:
        """Keep a breakdown as header only over counts; over text it is the first row of data."""
        return one if self._counted(one.at) else replace(one, meaning=word.IGNORE, subject="")

    def _breakdowns(self) -> None:
        """Settle columns that may hold breakdowns: notes do when no other column does."""
        if self._has(word.BREAKDOWN, word.OF):
            self.columns = [
                replace(one, meaning=word.COMMENT) if one.meaning == word.MAYBE else one
                for one in self.columns
            ]
            return
        maybe = [one for one in self.columns if one.meaning in (word.MAYBE, word.COMMENT, word.RESULT)]
        maybe += [one for one in self.columns if one.meaning == word.IGNORE]
        shares = {one.at: self._share(one.at) for one in maybe}
        best = max(shares, key=lambda at: (shares[at], -at), default=None)
        if best is not None and shares[best] < _READ:
            best = None
        series = {word.series(one.header) for one in self.columns if one.at == best} - {None}
        self.columns = [
            replace(one, meaning=word.BREAKDOWN)
            if one.at == best or (word.series(one.header) in series and one in maybe)
            else replace(one, meaning=word.COMMENT)
            if one.meaning == word.MAYBE
            else one
            for one in self.columns
        ]

    def _more_breakdowns(self) -> None:
        """Take columns of mistakes beside the first, as unlike a remark: ``Slip A``, ``Slip B``."""
        held = [one for one in self.columns if one.meaning == word.BREAKDOWN]
        if not held or self._has(word.OF, word.COUNT, word.BY):
            return
        alike = {word.normal(one.header).split()[0] for one in held if word.normal(one.header)}
        self.columns = [
            replace(one, meaning=word.BREAKDOWN)
            if one.meaning in (word.IGNORE, word.MAYBE)
            and set(word.normal(one.header).split()) & alike
            and self._share(one.at) >= _READ
            else one
            for one in self.columns
        ]

    def _beside(self) -> None:
        """Take the column beside a second one of mistakes, set as that of the first, as its players."""
        held = [one.at for one in self.columns if one.meaning == word.BREAKDOWN]
        who = [one.at for one in self.columns if one.meaning == word.PLAYER]
        if len(held) <= len(who) or not who or len(held) < _FEW_PAIRED:
            return
        apart = next((at - first for at in who for first in held if abs(at - first) == 1), None)
        for first in held if apart is not None else ():
            at = first + (apart or 0)
            if 0 <= at < len(self.columns) and self.columns[at].meaning == word.IGNORE:
                cells = [cell for cell in self._cells(at) if plain(cell) not in EMPTY]
                if cells and sum(self._players(cell) for cell in cells) >= _COUNTED * len(cells):
                    self.columns[at] = replace(self.columns[at], meaning=word.PLAYER)

    def _misnamed(self) -> None:
        """Take another column for the breakdowns where the one its header names holds none."""
        held = [one for one in self.columns if one.meaning == word.BREAKDOWN]
        if not held or max(self._share(one.at) for one in held) >= _FAINT:
            return
        loose = (word.IGNORE, word.COMMENT, word.MAYBE, word.RESULT, word.PLAYER, word.COUNT, word.POSSESSION)
        shares = {one.at: self._share(one.at) for one in self.columns if one.meaning in loose}
        best = max(shares, key=lambda at: (shares[at], -at), default=None)
        if best is None or shares[best] < _READ:
            return
        self.columns = [
            replace(one, meaning=word.BREAKDOWN)
            if one.at == best
            else replace(one, meaning=word.IGNORE)
            if one in held
            else one
            for one in self.columns
        ]

    def _share(self, at: int) -> float:
        cells = [cell for cell in self._cells(at) if plain(cell) not in EMPTY]
        read = sum(
            any(s.meaning.kind == "breakdown" for s in self.lexicon.spots(words(plain(c)))) for c in cells
        )
        return read / len(cells) if cells else 0.0

    def _counts_of_part(self, one: Column) -> Column:
        """Take a jersey, a name or a period over counts as a column of counts beside breakdowns."""
        if (
            not self._has(word.BREAKDOWN)
            or not one.header
            or not self._cells(one.at)
            or not self._counted(one.at)
        ):
            return one
        low = plain(one.header).strip()
        period = heading_period(low)
        if period:
            return replace(one, meaning=word.IN, subject=period)
        number = _JERSEY.fullmatch(low)
        who = jersey(number["n"]) if number else self.squad.names.get(low)
        return replace(one, meaning=word.BY, subject=who) if who else one

    def _number(self, one: Column) -> Column:
        """Decide on ``#`` and ``No.``: 1, 2, 3 ... are possessions, others players or counts."""
        if one.header and not word.normal(one.header) and not self._cells(one.at):
            return replace(one, meaning=word.IGNORE)
        values = [value for cell in self._cells(one.at) if (value := whole(cell)) is not None]
        steps = [b - a in (0, 1) or b == 1 for a, b in itertools.pairwise(values)]
        rising = len(values) > 1 and sum(steps) >= _RISING * len(steps)
        if values and rising and values[0] in (0, 1) and len(set(values)) > 1:
            return replace(one, meaning=word.IGNORE if self._has(word.POSSESSION) else word.POSSESSION)
        if self._has(word.PLAYER):
            return replace(one, meaning=word.IGNORE if self._has(word.COUNT) else word.COUNT)
        return replace(one, meaning=word.PLAYER)

    def _time(self, one: Column) -> Column:
        """Decide on ``Time``: the film's runs up and beyond any period, the game clock runs down."""
        cells = self._cells(one.at)
        if self._has(word.CLOCK):
            return replace(one, meaning=word.IGNORE if self._has(word.START) else word.START)
        film_times = sum(seconds_of(cell) is not None for cell in cells)
        clocks = [clock for cell in cells if (clock := clock_of(cell)) is not None]
        long = sum(cell.count(":") == 2 and not cell.endswith(":00") for cell in cells)
        if len(clocks) < film_times or long or any(m * 60 + s > 1200 for m, s in clocks):
            return replace(one, meaning=word.START)
        rises = sum(b > a for a, b in itertools.pairwise(clocks))
        falls = sum(b < a for a, b in itertools.pairwise(clocks))
        film = rises > falls and not self._has(word.PERIOD)
        return replace(one, meaning=word.START if film else word.CLOCK)

    def _points(self, one: Column) -> Column:
        """Leave a running score alone: its numbers are no points of one possession."""
        values = [value for cell in self._cells(one.at) if (value := whole(cell)) is not None]
        high = sum(value > _MOST_POINTS for value in values)
        texts = sum(bool(_SCORE.fullmatch(cell)) for cell in self._cells(one.at))
        if texts or (high > _SCORE_SHARE * max(1, len(values)) and len(values) > 2):
            return replace(one, meaning=word.IGNORE)
        return one

    def _total(self, one: Column) -> Column:
        alone = self._has(word.BREAKDOWN) and not self._has(word.COUNT, word.BY, word.IN, word.OF)
        return (
            replace(one, meaning=word.COUNT)
            if alone and self._counted(one.at) and self._cells(one.at)
            else one
        )

    def _unknown(self) -> None:
        """Read columns whose headers say nothing, where their contents leave no doubt."""
        numbering = self._numbering()
        for place, one in enumerate(self.columns):
            if one.meaning != word.IGNORE or word.header_meaning(one.header):
                continue
            cells = self._cells(one.at)
            if not cells:
                continue
            if not self._has(word.CLOCK, word.START) and all(":" in c and clock_of(c) for c in cells):
                self.columns[place] = self._time(replace(one, meaning=word.TIME))
            elif not self._has(word.PERIOD) and all(whole(c) is None and period_in(c) for c in cells):
                self.columns[place] = replace(one, meaning=word.PERIOD)
            elif not self._has(word.PLAYER, word.OF) and self._jerseys(cells):
                self.columns[place] = replace(one, meaning=word.PLAYER)
            elif one.at == numbering:
                self.columns[place] = replace(one, meaning=word.POSSESSION)
            elif not self._has(word.POINTS, word.RESULT, word.OF) and self._scores(cells):
                self.columns[place] = replace(one, meaning=word.POINTS)

    def _numbering(self) -> int | None:
        """Return the column that numbers the possessions: of those that run 1, 2, 3, the one with most."""
        if self._has(word.POSSESSION):
            return None
        running = {
            one.at: len(set(cells))
            for one in self.columns
            if one.meaning == word.IGNORE
            and not word.header_meaning(one.header)
            and self._running(cells := self._cells(one.at))
        }
        return max(running, key=lambda at: (running[at], -at), default=None)

    def _jerseys(self, cells: Sequence[str]) -> bool:
        """Say whether cells hold players: jerseys marked so, or numbers neither points nor running."""
        held = [cell for cell in cells if plain(cell) not in EMPTY]
        fit = [cell for cell in held if self._players(cell)]
        if not held or len(fit) < _COUNTED * len(held):
            return False
        numbers = [int(n) for cell in fit for n in re.findall(r"\d+", cell)]
        high = sum(number > _MOST_POINTS for number in numbers)
        return all("#" in cell for cell in fit) or (
            high * 3 >= len(numbers) and len(set(numbers)) < len(numbers) and not self._running(cells)
        )

    def _running(self, cells: Sequence[str]) -> bool:
        values = [value for cell in cells if (value := whole(cell.lstrip("#").rstrip(".)"))) is not None]
        if len(values) < _SOME or len(values) < _COUNTED * len(cells) or values[0] not in (0, 1):
            return False
        steps = [b - a in (0, 1) or b == 1 for a, b in itertools.pairwise(values)]
        return sum(steps) >= _RISING * len(steps) and len(set(values)) > 2

    def _scores(self, cells: Sequence[str]) -> bool:
        """Say whether cells tell how possessions ended: 0 to 3, made or missed."""
        values = [whole(cell) for cell in cells]
        low = sum(value is not None and 0 <= value <= _MOST_POINTS for value in values)
        told = low + sum(
            value is None and bool(_ENDED.match(plain(cell)))
            for cell, value in zip(cells, values, strict=True)
        )
        return (
            len(cells) >= _SOME
            and told >= _COUNTED * len(cells)
            and any(value in (0, None) for value in values)
        )

    def _repeated(self) -> None:
        """Keep the first of columns that can be there only once."""
        seen: set[str] = set()
        once = (word.PERIOD, word.CLOCK, word.START, word.END, word.POSSESSION, word.COUNT, word.POINTS)
        for place, one in enumerate(self.columns):
            if one.meaning in once and one.meaning in seen:
                self.columns[place] = replace(one, meaning=word.IGNORE)
            seen.add(one.meaning)
        if word.POINTS in seen:
            self.columns = [
                replace(c, meaning=word.COMMENT) if c.meaning == word.RESULT else c for c in self.columns
            ]


_TOTALS = frozenset(
    {
        "total",
        "totals",
        "tot",
        "sums",
        "subtotal",
        "subtotals",
        "sum",
        "average",
        "avg",
        "mean",
        "median",
        "overall",
    }
)
_OF_TOTALS = frozenset(
    {
        "team",
        "game",
        "grand",
        "sub",
        "all",
        "of",
        "the",
        "for",
        "half",
        "quarter",
        "period",
        "per",
        "first",
        "second",
    }
)


def total_row(cells: Sequence[str]) -> bool:
    """Say whether a row holds totals or averages: one of its first cells says that and nothing else."""
    return any(_total(cell) for cell in [cell for cell in cells if cell][:3])


def _total(cell: str) -> bool:
    if len(cell) > 40 or not cell[-1:].strip("0123456789"):
        return False
    said = word.normal(cell).split()
    rest = [one for one in said if one not in _TOTALS and one not in _OF_TOTALS and not period_in(one)]
    return not rest and any(one in _TOTALS for one in said)
