"""Typed sheets: possessions, one a line or several lines each, or counts; headings, legends and totals.

Lines are possessions unless a section (between period headings) shows that it only counts; see
``counts.counted_section``. A bad line loses only itself.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from planner.film.amends import amended, ditto, mistaken, once, put_right
from planner.film.by_player import by_player
from planner.film.charge import Charge, charge
from planner.film.heading import Said, watched_number
from planner.film.intake import Heading, Possession, Unclear
from planner.film.items import Item
from planner.film.layout import laid_out
from planner.film.legend import Legend, read_legend, swaps
from planner.film.points import Scored, declared, habits, score, stated
from planner.film.rows import Row, cleaned, sort_rows
from planner.film.second_looks import looked_again, unseen
from planner.film.sheet_counts import Sheet, praised, section_counts, take_counts, take_players
from planner.film.sheet_lines import listed_anew, looked_back, repeated, tells, titled, within
from planner.film.squad_lines import named, read_players
from planner.film.tags import without_tags
from planner.film.totals import compare, last_block, read_totals
from planner.film.trips import (
    SCORING,
    Trip,
    bare,
    bulleted,
    counted_off,
    in_blocks,
    opening,
    paragraphs,
    same_clock,
    sections,
    sighting,
    with_notes_below,
)
from planner.film.wording import Lexicon
from planner.text import plural

_REMARK_WORDS = 5
"""More unexplained words than this on a line without clock, points and player make it a remark."""
_CLOCKED = 0.7
_TWICE = "points said twice"
_SILENT = "no breakdown could be read"
_FEW = 5
_POINTED = 0.9
_REPLAY = re.compile(
    r"\W*(?:\d\s+)?(?:re-?play(?:ed)?|rewatch(?:ed)?|same (?:play|clip|poss(?:ession)?) (?:as|again)"
    r"|dup(?:licate)?|repeat)\b"
)
_USUAL = 4
_SUBJECTLESS = re.compile(
    r"\W*(?:but|then|and then|never|still|does(?:n'?t| not)|did(?:n'?t| not))\b(?!\s+(?:#?\d|nobody|no one))"
)
"""How a line goes on that tells what the player named before did next."""
_FIRM = re.compile(r"\s*(?:poss \d|\d{1,2}:\d\d)")
_RESTART = 4
"""A 1 after a higher number than this begins the numbering again."""
_LONG = 7
"""Words of a line that nobody writes twice in the same way."""
_SENTENCE = 3
"""Words of a bullet that can tell of a possession."""
_TALLIED = ("notes", "remark", "heading", "period")
_ENDED = frozenset({"stop", "clean", "missed", "neutral"})


def read_sheet(
    lines: Sequence[str],
    lexicon: Lexicon,
    roster: Collection[str] | None = None,
    names: Mapping[str, str] | None = None,
) -> Sheet:
    """Read the lines of a typed sheet; ``names`` are what players are called -> jersey. Never raises."""
    players = read_players(lines)
    called = without_tags([named(line, players.names) for line in lines], lexicon)
    tabbed = (cleaned(line.replace("\t", "   ")) for line in called)
    legend = read_legend(list(enumerate(tabbed, 1)), lexicon)
    legend.lines |= players.lines
    if legend.codes or legend.unknown:
        plain_words = swaps(legend.known)
        codes = {plain_words.get(code, code): meant for code, meant in legend.known.items()}
        lexicon = lexicon.with_words(codes, codes=True)
    if legend.short:
        called = [legend.in_full(line) for line in called]
    said = Said()
    told = ["" if number in legend.lines else line for number, line in enumerate(called, 1)]
    known: dict[str, tuple[Item, ...]] = {}
    readings = laid_out(told)
    if readings != [[line] for line in told] and not any(
        _FIRM.match(one) for each in readings for one in each
    ):
        plainly = sort_rows(lines, lexicon, legend, Said(), names or {}, [[line] for line in told], known)
        shown = [row for row in plainly if row.kind in _TALLIED]
        if by_player(shown, lexicon, watched=any(watched_number(row.low) for row in plainly)) is not None:
            readings = [[line] for line in told]
    rows = sort_rows(lines, lexicon, legend, said, names or {}, readings, known)
    sheet = _Reader(rows, said, legend, lexicon, roster).sheet()
    sheet.unclear[:0] = [Unclear(text, why, number) for number, text, why in legend.asked]
    return sheet


class _Reader:
    def __init__(
        self,
        rows: list[Row],
        said: Said,
        legend: Legend,
        lexicon: Lexicon,
        roster: Collection[str] | None,
    ) -> None:
        self.rows = rows
        self.said = said
        self.lexicon = lexicon
        self.roster = roster
        self.out = Sheet(problems=[*legend.problems])
        self.trips: list[Trip] = []
        self.current: Trip | None = None
        self.lost = False
        self.again = False
        self.blank = False
        self.open_end = False
        self.period: str | None = None
        self.round = 0
        self.last_number = 0
        self.seen: dict[tuple[str | None, int, str | None, int | None, str], Trip] = {}
        notes = [row for row in rows if row.kind == "notes"]
        apart = last_block(rows, lexicon)
        own = {row.number for row in apart}
        self.listed = bulleted(notes)
        firm = [
            row
            for row in notes
            if (row.starts_sheet or (self.listed and row.head.bullet))
            and not row.goes_on
            and row.number not in own
        ]
        timed = sum(row.timed for row in firm)
        self.clocked = timed > 0 and timed >= _CLOCKED * len(firm)
        self.headed = with_notes_below(rows)
        self.heads = {row.number for row in rows if row.head.bullet} & self.headed
        self.prose = paragraphs([row.text for row in rows])
        self.blocks = not self.prose and in_blocks(rows)
        self.numbered = counted_off(rows)
        if self.clocked or self.blocks or self.numbered:
            for row in apart:
                row.kind = "totals"
        numbered = sum(row.head.number is not None for row in firm)
        told = declared(row.low for row in rows if row.kind == "comment")
        blocks = self.blocks or (self.numbered and 2 * numbered < len(firm))
        self.declared = told is not None
        learnt = habits([row.items for row in (opening(rows) if blocks else firm)])
        self.habit = told or stated(learnt, legend.stated)
        scored = sum(score(row.items, self.habit).points is not None for row in firm)
        self.pointed = len(firm) > _FEW and scored >= _POINTED * (len(firm) - 1)
        self.totals = read_totals(rows, said, lexicon)

    def sheet(self) -> Sheet:
        watched = self.said.watched is not None
        rows = [row for row in self.rows if row.kind in _TALLIED]
        tallies = None if self.declared else by_player(rows, self.lexicon, watched=watched)
        if tallies is not None:
            take_players(self.out, tallies, self.rows, self.roster)
        else:
            for section in sections(self.rows):
                self._section(section)
        self._close()
        return self.out

    def _section(self, rows: list[Row]) -> None:
        apart = praised(rows)
        notes = [row for row in rows if row.kind == "notes" and row.number not in apart]
        watched = self.said.watched is not None
        counts = None
        if not self.declared:
            counts = section_counts(notes, self.lexicon, self.roster, watched=watched)
        if counts is not None:
            for row in notes:
                if not row.timed:
                    take_counts(self.out, row, counts[row.number], self.roster)
            return
        for row in rows:
            if row.kind == "period":
                self.period, self.current, self.lost = row.period, None, False
            elif row.kind == "blank":
                self.blank = True
            elif row.kind == "notes":
                self._notes(row)

    def _notes(self, row: Row) -> None:
        self.period = row.head.period or self.period
        scored = score(row.items, self.habit)
        goes_on = self._looks_back(row, scored) or self._goes_on(row, scored)
        if goes_on and row.items and row.items[0].kind == "number":
            scored = score(row.items, within(row, self.habit))
        if not self._puts_right(row, scored):
            self._sorted(row, scored, goes_on=goes_on)

    def _looks_back(self, row: Row, scored: Scored) -> bool:
        """Go back to the possession that a line looks at a second time."""
        back = looked_back(row, scored, self.trips, self.period)
        if back is not None:
            self.current, self.lost, self.again = back, False, False
        return back is not None

    def _sorted(self, row: Row, scored: Scored, *, goes_on: bool) -> None:
        """Take a line as a possession, as what goes on one, or as what could not be read."""
        blank, self.blank = self.blank, False
        fault = row.head.fault or scored.fault
        if row.doubtful and not goes_on and row.meanings & {"stop", "missed"}:
            self._unclear(row, "a title or a possession? it is counted")
            self._take(row, scored, goes_on=False)
        elif row.doubtful or (not self.trips and not goes_on and titled(row, scored)):
            self._unclear(row, "a title or a possession?")
        elif goes_on and self.lost:
            self._unclear(row, "it goes on a possession that could not be read")
        elif fault:
            self._faulty(row, scored, fault, goes_on=goes_on)
        elif not goes_on and not tells(row, scored) and not self._opens_one(row):
            self._unclear(row, "neither a possession nor a breakdown could be read from it")
        elif not goes_on and self._stray(row, scored, blank):
            self._unclear(row, "a remark or a possession? it is not written like the others")
        elif _REPLAY.match(row.head.rest):
            self.out.problems.append(f"line {row.number}: shows a possession again; not counted")
        else:
            self._take(row, scored, goes_on=goes_on)
        self.open_end = row.left_open

    def _faulty(self, row: Row, scored: Scored, fault: str, *, goes_on: bool) -> None:
        """Keep a line that cannot be; a possession with a clock or number counts whatever its points say."""
        marked = row.timed or row.head.number is not None or (self.prose and fault.startswith(_TWICE))
        if not row.head.fault and not goes_on and marked:
            self._unclear(row, f"{fault}; the possession is counted without points")
            self._take(row, scored, goes_on=False)
            return
        self._unclear(row, fault)
        if not goes_on:
            self.current, self.lost = None, True

    def _puts_right(self, row: Row, scored: Scored) -> bool:
        """Take a line that only says who made a mistake told before: ``the reach was 15 not 20``."""
        marked = row.timed or row.head.number is not None or row.mended or bool(scored.used)
        if marked or not mistaken(row.head.rest):
            return False
        told = [one.text for one in row.items if one.kind == "breakdown"]
        players = [one.text for one in row.items if one.kind in ("jersey", "number")]
        before = [one for trip in self.trips for _, one in trip.charges]
        if not put_right(row.head.rest, told, players, before):
            return False
        self.out.problems.append(f"line {row.number}: says who it was; charged so")
        return True

    def _goes_on(self, row: Row, scored: Scored) -> bool:
        """Say whether a line belongs to the possession before it."""
        if row.timed or row.head.number is not None or (self.current is None and not self.lost):
            return False
        return not (self.prose and self.blank) and self._follows(row, scored)

    def _follows(self, row: Row, scored: Scored) -> bool:
        """Say whether an unmarked line goes on, as it is set and as this hand writes."""
        if listed_anew(row, scored, self.current):
            return False
        outer = self.current.row.indent if self.current is not None else 0
        if row.goes_on or (self.open_end and not self.blank) or row.indent > outer:
            return True
        if self.current is None:
            return False
        if self.blank and not (self.numbered and self._goes_on_below(row)):
            return False
        if self.numbered:
            return True
        if self.blocks or (self.current.block and not (self.current.told and scored.used)):
            return True
        if not self.clocked:
            return False
        only_points = bool(row.items) and all(one.kind in ("points", "paren") for one in row.items)
        bulleted = row.head.bullet and not self.current.row.head.bullet
        return bulleted or (only_points and not self.current.told)

    def _opens_one(self, row: Row) -> bool:
        """Say whether a line is a possession though it tells of none: a bullet of many, or notes below."""
        one_of_many = self.listed and bool(self.trips) and row.head.bullet and row.indent == 0
        said = row.head.rest.strip()
        full = len(said.split()) >= _SENTENCE and not said.startswith("(")
        return row.number in self.heads or (one_of_many and full)

    def _goes_on_below(self, row: Row) -> bool:
        """Say whether a line below a blank one belongs to the one above: a list, or its first notes."""
        assert self.current is not None
        return row.head.bullet or (self.current.bare and not self.current.charges)

    def _stray(self, row: Row, scored: Scored, blank: bool) -> bool:
        if row.timed or row.head.number is not None:
            return False
        if self.listed and not row.head.bullet and (not self.trips or not scored.used):
            return True
        if scored.used:
            return False
        if self.numbered or (self.pointed and not self.trips and scored.points is None):
            return True
        if not self.clocked:
            return False
        player = any(one.kind in ("jersey", "number", "paren") for one in row.items)
        return not player and (row.words > _REMARK_WORDS or (blank and row.words > 1))

    def _take(self, row: Row, scored: Scored, *, goes_on: bool) -> None:
        trip = self.current if goes_on else self._start(row)
        if trip is None:
            return
        said = " ".join(row.head.rest.split())
        if goes_on and self.again and said in trip.said:
            return
        if looked_again(said) and trip.told:
            scored = replace(scored, points=None)
        if scored.points is not None and trip.told and scored.used and trip.points != scored.points:
            self._unclear(row, f"points said twice: {trip.points} and {scored.points}")
            return
        trip.said.append(said)
        if scored.used or trip.points is None:
            trip.points = scored.points if scored.points is not None else trip.points
            trip.told = trip.told or bool(scored.used)
        if (
            scored.points
            and any(one == Item("meaning", "stop") for one in row.items)
            and " stop " in f" {said} "
        ):
            self.out.problems.append(
                f"line {row.number}: says stop and {plural(scored.points, 'point')}; the points are counted"
            )
        self._charge(row, scored, trip)

    def _start(self, row: Row) -> Trip | None:
        """Return a new possession, the last one for a clock repeated, None for a line pasted twice."""
        said = " ".join(row.head.rest.split())
        self._restart(row.head.number)
        key = (self.period, self.round, row.head.clock or row.head.film, row.head.number, said)
        last = self.trips[-1] if self.trips else None
        marked = row.head.timed or row.head.number is not None or self.prose
        before = self.seen.get(key) if marked else self._pasted(said)
        if before is not None and (not row.head.timed or self.period is not None or before is last):
            self.current, self.again, self.lost = before, True, False
            self.out.problems.append(f"line {row.number}: the same as line {before.row.number}; counted once")
            return None
        self.again, self.lost = False, False
        if (
            row.head.timed
            and last is not None
            and self.current is last
            and same_clock(last, row, self.period)
        ):
            self.seen[key] = last
            return last
        trip = Trip(row, len(self.trips) + 1, self.period)
        trip.bare = bare(row)
        trip.block = row.head.timed and trip.bare
        self.trips.append(trip)
        self.current = trip
        if marked:
            self.seen[key] = trip
        return trip

    def _pasted(self, said: str) -> Trip | None:
        """Return the possession right before, where a long line without any mark stands again."""
        last = self.trips[-1] if self.trips else None
        long = len(said.split()) >= _LONG
        return (
            last if last is not None and self.current is last and long and last.said[-1:] == [said] else None
        )

    def _restart(self, number: int | None) -> None:
        """Notice where the numbering of possessions begins again, as many hands do at the half."""
        if number is None:
            return
        if number == 1 and self.last_number > _RESTART:
            self.round += 1
        self.last_number = number

    def _charge(self, row: Row, scored: Scored, trip: Trip) -> None:
        made = charge(row.items, scored.used, self.habit, self.lexicon)
        said = row.head.rest
        if not made.charges and ditto(said) and row.number not in self.headed:
            made.charges, made.odd = repeated(row, scored, self.trips[:-1]), []
        elif not made.charges and trip.row is not row:
            told = [one for _, one in trip.charges]
            if amended(said, told):
                trip.charges = [(where, one) for where, one in trip.charges if one in told]
                return
        if row.mended:
            made.charges = once(made.charges)
        if trip.row is not row and looked_again(said):
            made.charges = unseen(made.charges, [one for _, one in trip.charges])
        if trip.row is not row and made.charges and _SUBJECTLESS.match(said) and len(trip.last) == 1:
            made.charges[0].add(() if made.charges[0].players else trip.last)
        named = [
            one.text
            for one in row.items
            if one.kind == "jersey" or (one.kind == "number" and one.value > _USUAL)
        ]
        trip.last = named[-1:] or trip.last
        self._keep(made.charges, row, trip)
        rest = "; the rest of the line is counted" if made.charges else "; the possession is counted"
        for why in made.odd:
            self._unclear(row, why + rest)
        scores = bool(scored.used) and {one.text for one in row.items if one.kind == "word"} <= SCORING
        if not made.charges and not made.odd and row.words and not scores and not row.meanings & _ENDED:
            self._unclear(row, "no breakdown could be read from it; the possession is counted")

    def _keep(self, charges: list[Charge], row: Row, trip: Trip) -> None:
        """Charge a possession; who is on no roster of ours is asked about."""
        for one in charges:
            last = trip.charges[-1][1].players if trip.charges else []
            if one.both and not one.players and len(last) == 2:
                one.add(last)
            strangers = [
                jersey for jersey in one.players if self.roster is not None and jersey not in self.roster
            ]
            for jersey in strangers:
                one.players.remove(jersey)
                self.out.problems.append(f"line {row.number}: no player {jersey} on the roster")
                self._unclear(row, f"no player {jersey} on the roster; the breakdown is counted")
            trip.charges.append((row, one))

    def _close(self) -> None:
        self._answered()
        for trip in self.trips:
            head = trip.row.head
            self.out.trips.append(
                Possession(trip.number, trip.period, head.clock, trip.points, trip.row.number)
            )
            self.out.sightings += [sighting(row, one, trip) for row, one in trip.charges]
        self.out.problems += self.said.problems
        self.out.problems += compare(self.totals, self.out.sightings, self.out.trips)
        self._watched()
        self.out.heading = Heading(self.said.date, self.said.opponent, self.said.venue)
        if not self.out.trips and not self.out.sightings:
            self.out.problems.append("no possession and no count was found")

    def _answered(self) -> None:
        """Ask nothing about a line that only opens a possession told below it: ``P5 / horns, goes right``."""
        opens = {
            trip.row.number
            for trip in self.trips
            if any(row is not trip.row for row, _ in trip.charges)
            and not any(one.kind in ("jersey", "number") for one in trip.row.items)
        }
        self.out.unclear[:] = [
            one for one in self.out.unclear if not (one.line in opens and one.why.startswith(_SILENT))
        ]

    def _watched(self) -> None:
        written, told = len(self.trips), self.said.watched
        counted = any(one.possession is None for one in self.out.sightings)
        if told and told[0] < written:
            self.out.problems.append(
                f"line {told[1]}: says {plural(told[0], 'possession')}, but {written} are written and used"
            )
        if told:
            self.out.possessions = max(told[0], written)
        else:
            self.out.possessions = None if counted or not written else written

    def _unclear(self, row: Row, why: str) -> None:
        self.out.ask(row, why)
