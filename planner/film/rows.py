"""The lines of a sheet sorted by what they are, before any possession is made of them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Literal

from planner.film.asides import settled
from planner.film.heading import Said, read_heading
from planner.film.items import Item
from planner.film.legend import Legend, swaps
from planner.film.marks import Head, heading_period, read_head
from planner.film.second_looks import without_reference
from planner.film.sentences import read_notes
from planner.film.shorthand import humps_parted, spelled_out
from planner.film.table_players import in_jerseys
from planner.film.withdrawn import withdrawn
from planner.film.wording import Lexicon
from planner.film.words import number_word, plain, words
from planner.text import LINE_LIMIT, clean_line

RowKind = Literal["blank", "comment", "period", "heading", "totals", "remark", "notes"]
_TAB = 4
_COMMENT = re.compile(r"//|#(?!\s?\d)|;|%|--(?=\s*[a-z])(?!.*\d)")
_NUMBERED_COMMENT = re.compile(r"#\s\d")
_INLINE = re.compile(r"\s//.*$")
_DOTS = re.compile(r"^\s*(?:\.{2,}|…|&|\+(?=\s*[a-z])|->(?=\s*[a-z])|\\)\s*")
_ALSO = re.compile(r"^\s*(?P<word>[a-z]+(?: [a-z]+)?)\b[\s:,-]*")
_OPEN_END = re.compile(r"(?:\.{2,}|…|[,&+]|\band)\s*$")
_SCORED = re.compile(r"\b(?:points|pts)\b[\s:=a-z]{0,20}\d{2}|(?<!\d)\d{2}\s*(?:points|pts)\b")
"""More points than one possession has: a total."""
_HEADED = re.compile(r"#{1,6}\s+(?=\S)")
_TITLED = re.compile(r"#{2,6}\s+(?=\S)")
_DAY = r"(?:mon|tues?|wed(?:nes)?|thu(?:rs)?|fri|satur|sat|sun)(?:day)?"
_CLOSING = re.compile(
    rf"(?:to[ -]?do(?: list)?|tmrw?|tmw|tomorrow|next (?:practice|week|time|game|session)|homework|reminders?"
    rf"|(?:for |at |in |on )?(?:practice|training|{_DAY})(?: practice| training)?|plan(?: for \w+)?"
    rf"|takeaways?"
    rf"|(?:to |things to |what to )?(?:fix|work on|drill)|priorit(?:y|ies)|p\.?s\.?"
    rf"|drills?(?: for \w+)?|after the game)\W*$"
)
"""Headings below which nothing tells of the film any more."""
_LEAD_IN = r"\W*(?:(?:so|well|ok(?:ay)?|and|oh|anyway)[\s,]+)*"
_SUMMED_UP = re.compile(
    rf"{_LEAD_IN}(?:by my (?:count|adding|sums?|reckoning|maths?|pencil)|my (?:sum|count|adding|tally"
    rf"|total|reckoning)\b"
    rf"|that(?:'s| is| makes) \d{{2,3}} |if i(?:'ve| have)? (?:counted|added)|(?:and )?that'?s (?:it"
    rf"|the lot|all)\b)"
)
_AFTERWARDS = re.compile(
    rf"{_LEAD_IN}(?:tmrw?|tmw|tomorrow|remind me|note to self|don'?t forget"
    rf"|(?:for|on|next|this) {_DAY}\b|{_DAY}\s*[:=–—-]|(?:next )?(?:practice|training)\s*[:=–—-]|to[ -]?do\b"
    rf"|(?:i|we) (?:count|make it|counted|make that)\b"
    rf"|our (?:o|off?en[cs]e|own off?en[cs]e|attack|shooting|spacing)\s*(?:[:=–—-]|was\b|is\b))"
)
"""How lines start that sum up, look ahead or speak of our own attack."""
_WORTH = re.compile(
    r"(?:[:;]\s*|[,;:]?\s*(?:\band\s+|\bso\s+)?(?:\b(?:it|that|which|this)(?:'s|\s+(?:was|is|makes|made))|\b(?:it|which|that)\s+costs?(?:\s+us)?)\s+)"
    r"(?:another\s+)?(?P<n>two|three|four|nothing|none|nil|zero)(?:\s+(?:more|again|points?|pts))?"
    r"(?=\s*(?:[.;!]|$|,\s+and\b))"
    r"|(?<=[.;!])\s*(?P<m>two|three|four)\s+more(?=\s*(?:[.;!]|$))|,\s*(?P<k>two|three)(?=\s*,\s+and\b)"
)
_NOTHING = re.compile(
    r"\b(?:they|she|he|and|but|who) (?:got|get|gets|scored?|made) nothing\b"
    r"|\bnothing (?:came|comes) of (?:it|that)\b"
    r"|\bno harm(?: done)?\b|\b(?:we )?got away with it\b"
)
"""What says that a possession cost nothing."""
_WORTHS = ("two", "three", "four", "nothing", "none", "nil", "zero")
_LONGEST_TITLE = 10
_HALF = 3
_SCORES = frozenset({"points", "paren"})
_SHOWN = frozenset({"breakdown", "points", "paren"})
_ENDED = frozenset({"stop", "clean", "missed"})


@dataclass(slots=True)
class Row:
    """One line: where it stands, what it is, and for notes its head and items.

    ``goes_on`` means that the line itself says it belongs to the possession before; ``left_open`` that its
    own end asks for more; ``doubtful`` that it may be a title as well as a possession.
    """

    number: int
    text: str
    low: str
    indent: int
    kind: RowKind = "notes"
    head: Head = field(default_factory=lambda: Head(""))
    items: list[Item] = field(default_factory=list)
    period: str | None = None
    goes_on: bool = False
    left_open: bool = False
    doubtful: bool = False
    mended: bool = False
    """Something on the line was taken back."""

    @property
    def timed(self) -> bool:
        """Say whether the line carries a clock."""
        return self.head.timed or self.head.fault is not None

    @property
    def meanings(self) -> set[str]:
        """Return the kinds of meaning other than breakdowns."""
        return {one.text for one in self.items if one.kind == "meaning"}

    @property
    def words(self) -> int:
        """Return how many words are left unexplained."""
        return sum(one.kind == "word" for one in self.items)

    @property
    def starts_sheet(self) -> bool:
        """Say whether the line can be the first possession (a title cannot)."""
        if self.timed or self.head.number is not None or any(one.kind in _SHOWN for one in self.items):
            return True
        if any(one.kind == "jersey" for one in self.items):
            return True
        lead = bool(self.items) and self.items[0].kind == "number"
        return (bool(self.meanings & _ENDED) and self.words == 0) or (lead and self.words == 0)


def cleaned(raw: str) -> str:
    """Return ``clean_line`` of a line, at once where there is nothing to clean."""
    if len(raw) <= LINE_LIMIT and raw.isascii() and raw.isprintable():
        return raw.strip()
    return clean_line(raw)


def sort_rows(
    lines: Sequence[str],
    lexicon: Lexicon,
    legend: Legend,
    said: Said,
    names: Mapping[str, str] | None = None,
    readings: Sequence[Sequence[str]] | None = None,
    known: dict[str, tuple[Item, ...]] | None = None,
) -> list[Row]:
    """Return a row for every line; what headings say goes into ``said``.

    ``names`` are what players are called -> jersey; ``readings`` say how each line is laid out, a row each
    (see ``layout``), and are the lines themselves when nothing is given. ``known`` keeps what notes were read
    as, for the same lines laid out another way.
    """
    sorter = _Sorter(lexicon, legend, said, names or {}, {} if known is None else known)
    rows = [
        sorter.row(number, raw, read)
        for number, raw in enumerate(lines, 1)
        for read in (readings[number - 1] if readings else (raw,))
    ]
    return _plain_numbering(rows)


class _Sorter:
    def __init__(
        self,
        lexicon: Lexicon,
        legend: Legend,
        said: Said,
        names: Mapping[str, str],
        known: dict[str, tuple[Item, ...]],
    ) -> None:
        self.names = names
        self.known = known
        self.lexicon = lexicon
        self.legend = legend
        self.swapped = swaps(legend.known)
        self.said = said
        self.begun = False
        self.totals = False
        self.apart = False
        """The line before is blank."""
        self.closed: RowKind | None = None
        """What the lines below a heading such as ``Totals`` or ``Tomorrow`` are."""

    def row(self, number: int, raw: str, read: str) -> Row:
        """Return the row of a line as written (``raw``) and as it is to be read."""
        text = cleaned(raw)
        told = text if read is raw else cleaned(read)
        low = plain(told)
        if len(low) == len(told):
            low = plain(humps_parted(_INLINE.sub("", told), self.names))
        spread = raw[:400].expandtabs(_TAB)
        row = Row(number, text, low, len(spread) - len(spread.lstrip()))
        row.kind = self._kind(row)
        self.apart = row.kind == "blank"
        if row.kind in ("blank", "period") or row.head.timed:
            self.totals = False
        if row.kind == "notes":
            self.begun = self.begun or row.starts_sheet
        return row

    def _kind(self, row: Row) -> RowKind:
        if not row.low.strip(" \t*_=~–—-"):
            return "blank"
        if row.number in self.legend.lines:
            return "comment"
        if _HEADED.match(row.low):
            self.closed = None
            self._close(row.low)
        if self._comment(row.low):
            return self._titled(row)
        row.period = heading_period(row.low)
        if row.period:
            self.closed = None
            return "period"
        self._close(row.low)
        self._read(row)
        if row.timed or row.low.startswith("poss "):
            self.closed = None
        return "notes" if row.timed else self.closed or self._plain(row)

    def _titled(self, row: Row) -> RowKind:
        """Return what a comment is: under two marks or more it may be the heading of a player."""
        if not _TITLED.match(row.low) or self.closed:
            return "comment"
        row.low = _HEADED.sub("", row.low, count=1)
        return "heading"

    def _plain(self, row: Row) -> RowKind:
        if self.begun and row.head.number is None and self._afterwards(row):
            return "remark"
        first = words(row.low)[:4]
        if self._totals(row, first):
            return "totals"
        return "remark" if self._remark(row, first) else self._untimed(row)

    def _close(self, low: str) -> None:
        """Notice a heading below which nothing tells of the film: totals, or what to do tomorrow."""
        bare = low.strip(" #*_=~:.-–—")
        if not self.begun or not bare:
            return
        if _CLOSING.fullmatch(bare):
            self.closed = "remark"
        elif self.apart and not any(char.isdigit() for char in low):
            said = words(bare)
            if len(said) <= _LONGEST_TITLE and self.lexicon.starts("totals", said[:4]):
                self.closed = "totals"

    def _afterwards(self, row: Row) -> bool:
        """Say whether a line sums up or looks ahead and tells of no possession by its points."""
        if _SUMMED_UP.match(row.low):
            return True
        return bool(_AFTERWARDS.match(row.low)) and not any(
            one.kind in ("points", "paren") and one.value <= _HALF for one in row.items
        )

    def _untimed(self, row: Row) -> RowKind:
        shown = any(one.kind in _SHOWN or one.kind == "jersey" for one in row.items)
        if not shown and row.head.number is None:
            if read_heading(row.text, row.number, self.said, preamble=not self.begun):
                return "heading"
            if not self.begun and not row.starts_sheet and not self._odd(row):
                row.doubtful = bool(row.meanings & _ENDED)
                return "notes" if row.doubtful else "remark"
        return "notes"

    def _read(self, row: Row) -> None:
        row.head = read_head(in_jerseys(row.low, self.names, self.lexicon.known).strip())
        rest = withdrawn(row.head.rest, self.lexicon)
        if not row.timed:
            rest, row.goes_on = self._marker(rest)
        if row.timed or row.head.number is not None:
            rest = without_reference(rest)
        if any(one in rest for one in _WORTHS):
            rest = _WORTH.sub(_in_points, rest)
        told = settled(rest, self.lexicon)
        row.mended, rest = told != rest, told
        rest = spelled_out(rest, self.lexicon, self.legend.known, self.swapped)
        row.left_open = bool(_OPEN_END.search(rest)) and bool(words(rest))
        if rest not in self.known:
            self.known[rest] = tuple(read_notes(rest, self.lexicon))
        row.items = list(self.known[rest])
        small = row.items[-1:] and row.items[-1].kind == "number" and row.items[-1].value <= _HALF
        nothing = ("nothing" in rest or "harm" in rest or "away" in rest) and _NOTHING.search(rest)
        if nothing and not small and not any(one.kind in _SCORES for one in row.items):
            row.items += [Item("break", "."), Item("points", "worded", 0)]

    def _marker(self, rest: str) -> tuple[str, bool]:
        dots = _DOTS.match(rest)
        if dots:
            return rest[dots.end() :], True
        also = _ALSO.match(rest)
        size = self.lexicon.starts("also", words(also["word"])) if also else 0
        if not also or not size or len(words(rest)) == size:
            return rest, False
        said = also["word"].split()
        cut = also.end() if size == len(said) else len(said[0]) + rest.index(said[0])
        return rest[cut:], True

    def _comment(self, low: str) -> bool:
        if _NUMBERED_COMMENT.match(low):
            return not self.lexicon.spots(words(low))
        return bool(_COMMENT.match(low))

    def _totals(self, row: Row, first: list[str]) -> bool:
        opens = re.match(r"[^\w]*[a-z]", row.low) is not None
        size = self.lexicon.starts("totals", first) if opens else 0
        said = row.low if row.head.number is None else row.head.rest
        self.totals = self.totals or bool(size)
        named = any(one.kind == "breakdown" for one in row.items)
        return self.totals or (bool(_SCORED.search(said)) and not named)

    def _remark(self, row: Row, first: list[str]) -> bool:
        if row.head.number is not None or not first or first[0] in self.legend.known:
            return False
        low = row.low
        size = self.lexicon.starts("remarks", first)
        return bool(size) and (
            not self.begun or bool(re.match(r"\s*[a-z .]+?\s*[:,=-]", low)) or len(first) > size + 1
        )

    def _odd(self, row: Row) -> bool:
        return any(one.kind == "number" for one in row.items) and row.words <= 3


def _in_points(match: re.Match[str]) -> str:
    """Write ``and it was two`` at the end of a sentence as points."""
    said = match["n"] or match["m"] or match["k"]
    value = 0 if said in ("nothing", "none", "nil") else number_word(said)
    return f" . {value} pts "


def _runs(values: Sequence[int]) -> bool:
    """Say whether numbers run 1, 2, 3 ..., from 1 again in another half."""
    again = sum(b == 1 for b in values[1:])
    steps = all(b - a == 1 or (b == 1 and a > _HALF) for a, b in pairwise(values))
    return steps and values[0] <= 2 and again <= 3


def _plain_numbering(rows: list[Row]) -> list[Row]:
    """Take bare 1, 2, 3 ... that start untimed lines as numbering, and 1 to 4 before clocks as periods."""
    notes = [row for row in rows if row.kind == "notes"]
    bare = [row for row in notes if not row.timed and row.items and row.items[0].kind == "number"]
    values = [row.items[0].value for row in bare]
    if len(values) >= 4 and _runs(values):
        for row in bare:
            row.head = replace(row.head, number=row.items[0].value)
            del row.items[0]
    timed = [row for row in notes if row.head.timed and row.head.number is not None]
    numbers = [row.head.number or 0 for row in timed]
    if len(numbers) > 4 and max(numbers) <= 4 and numbers == sorted(numbers):
        for row in timed:
            row.head = replace(row.head, period=f"P{row.head.number}", number=None)
    return rows
