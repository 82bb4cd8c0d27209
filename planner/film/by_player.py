"""Sheets that count by players: ``#21: bo 3, lc 2``, a number over its counts, ``bo: 21 x3, 4``."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from planner.film.by_breakdown import by_breakdown
from planner.film.counts import Count, count_list
from planner.film.items import jersey
from planner.film.rows import Row
from planner.film.wording import Lexicon
from planner.film.words import words

_PLAYER = (
    r"(?P<mark>\#\s?|no\.?\s|nr\.?\s|number\s|player\s|jersey\s)?(?P<n>\d{1,2})(?!\d|:\d|/\d|\s?(?:pts|points|poss))"
    r"(?:\s*\([^)]*\))?(?:'s)?"
)
_PAIR = re.compile(
    r"^[\s*=_>•–—#-]*(?:no\.?\s?|number\s|\#)?(?P<a>\d{1,2})\s*(?:and|&|\+|/)\s*(?:no\.?\s?|number\s|\#)?(?P<b>\d{1,2})"
    r"(?:\s*[,(-]?\s*(?:as a pair|together|both|as a team|pair|combined)\s*\)?)?\s*[:=–—-]*\s*$"
)
_TEAM = (
    r"(?P<team>all of us|nobody in particular|no one in particular|whole group"
    r"|everyone else|team|nobody|no one|none|everyone|everybody|all|group|unassigned|whole team|no name"
    r"|shared|general|us|no number|not sure who|unknown|\?+)(?:'s)?(?:\s*\([^)]*\))?(?:\s+stuff|\s+mistakes)?"
)
_ALONE = re.compile(
    rf"^[\s*=_>•–—-]*(?:#{{2,}}\s*)?[(\[{{<]?(?:{_PLAYER}[)\]}}>]?(?P<more>(?:\s+[a-z.'-]+){{0,3}})(?:\s*\([^)]*\))?"
    rf"|{_TEAM}(?:\s*[,/(–—-]\D{{0,50}})?)"
    r"\s*[:;=*_|.,~/>)→\]–—-]*\s*$"
)
_LEAD = re.compile(
    rf"^[\s*>•–—-]*(?:[(\[{{<]?{_PLAYER}[)\]}}>]?(?P<name>(?:\s+[a-z.'-]+){{0,2}}?)|[(\[{{<]?{_TEAM})[)\]}}>]?"
    r"\s*(?P<colon>[:=;~|/>→»]|[-–—]+>?(?=\s)|\.{1,}(?=\s)|\.{2,}|\*{2}|\)|(?<=[)\]}>])\s|\s{2,}"
    r"|(?<=[#]\d)\s|(?<=[#]\d\d)\s|(?(team)\s|(?!)))\s*[:–—-]*\s*(?P<rest>\S.*)$"
)
_SAID_OF = re.compile(
    r"^[\s*>•–—-]*(?P<mark>\#)?(?P<n>\d{1,2})(?P<name>)(?P<team>)(?P<colon>\s+)(?P<rest>[a-z].*(?:\b(?:\d{1,2}(?:x|\s?times)?|x\s?\d{1,2}|once|twice|times)\b|\|).*)$"
)
_CALLED = re.compile(
    r"^[\s*•–—-]*(?P<name>[a-z.'-]+(?:\s[a-z.'-]+)?)\s*(?:#|\(\s*#?|no\.?\s)?(?P<n>\d{1,2})\)?(?=\s*(?:[:=–—-]|$))"
)
_BULLET = re.compile(r"\s*[-*•–—▪◦·+]\s+")
_SHARED = re.compile(
    r"^[\s*•–—-]*(?P<said>[a-z][a-z '/&-]*?)\s*[:(-]?\s*"
    r"(?P<who>#?\d{1,2}(?:\s*(?:&|and|/|\+|,)\s*#?\d{1,2})+)\)?"
    r"\s*(?:together|both)?\s*(?:[-–—:=]+\s*)?x?\s?(?P<n>\d{1,2})\s*(?:x|times)$"
)
_ENDING = re.compile(r"^[\s*>•–—-]*#?\d{1,2}\s+[a-z].*[a-z)]\s*[-–:=]?\s*(?P<n>\d{1,2})$")
_COUNTED_OF = re.compile(
    r"^[\s*>•–—-]*#?\d{1,2}\s+[a-z].*(?:\b(?:x\s?\d{1,2}|\d{1,2}\s?x|once|twice|times)|\|)\s*$"
)
_FEW = 2
_MANY = 3
"""A higher number beside a breakdown is no points of one possession."""
_MOST = 25
"""No player makes one mistake more often in a game."""
_ALIKE = 0.8
_RUNNING = 0.7
_PAIRS = 0.9
_ENDED = frozenset({"stop", "clean", "missed"})
_STRANGERS = 0.1
"""Share of lines with a clock, or telling how a possession ended, that a sheet of counts may hold."""
_ASIDE = re.compile(r"\bx\s?\d|\d\s?x\b|\s[il|]{2,}(?:\s|$)|^\W*[a-z]+\s?:\s")
"""Counts of something else, and what is labelled as praise: no ends of possessions."""
_NUMBERED = re.compile(r"\s*(?:#|no\.?\s?)?(?P<n>\d{1,3})(?!\d|[:.]\d\d)")


@dataclass(frozen=True, slots=True)
class Tally:
    """What one line counts for players together, mostly one; for none where it is nobody's in particular."""

    row: Row
    players: tuple[str, ...]
    counts: Sequence[Count]


@dataclass(slots=True)
class PlayerCounts:
    """The counts of a sheet by players, and the numbers of all lines that were understood."""

    tallies: list[Tally] = field(default_factory=list)
    lines: set[int] = field(default_factory=set)
    problems: list[str] = field(default_factory=list)


def by_player(rows: Sequence[Row], lexicon: Lexicon, *, watched: bool) -> PlayerCounts | None:
    """Return the counts of a sheet that is parted by players, None when it is none.

    ``rows`` are those that are no blank lines, keys or totals. At least two players must stand at the head
    of counts, and nothing may show possessions: no clocks, no numbers that run 1, 2, 3, no player again and
    again.
    """
    few = _STRANGERS * len(rows)
    ended = sum(
        bool(row.meanings & _ENDED) and not _breaks(row) and not _ASIDE.search(row.low) for row in rows
    )
    if sum(row.head.timed for row in rows) > few or ended > max(1, few):
        return None
    return _Reader(lexicon, watched=watched).read(rows) or _by_breakdowns(rows, lexicon)


def _breaks(row: Row) -> bool:
    return any(one.kind == "breakdown" for one in row.items)


class _Reader:
    def __init__(self, lexicon: Lexicon, *, watched: bool) -> None:
        self.lexicon = lexicon
        self.watched = watched
        self.out = PlayerCounts()
        self.numbers: list[tuple[int, str]] = []
        """Players at the head of counts, each with the section he stands in: a quarter, a half."""
        self.section = 0
        self.sharp = 0
        self.misses = 0
        self.alone = 0
        self.who: tuple[str, ...] = ()
        self.deep = True
        """All counts so far are set below a player."""
        self.inside = False
        self.running = False
        self.headed = False
        self.flat = False
        self.last = 0
        self.seen: dict[str, int] = {}

    def read(self, rows: Sequence[Row]) -> PlayerCounts | None:
        self.running = _running(rows)
        ends = [int(match["n"]) for row in rows if (match := _ENDING.match(row.low))]
        high = self.watched or max(ends, default=0) > _MANY + 1
        self.flat = sum(bool(_COUNTED_OF.match(row.low)) for row in rows) >= _RUNNING * len(rows) or (
            high and len(ends) >= _RUNNING * len(rows)
        )
        self.headed = sum(bool(_ALONE.match(row.low)) and not _below(row) for row in rows) >= _FEW
        for row in rows:
            if row.kind == "period":
                self.section, self.who, self.inside = self.section + 1, (), False
                continue
            if not self._again(row) and not self._read(row) and row.kind == "notes":
                self._other(row)
            self.last = row.number
        return self.out if self._shown() else None

    def _read(self, row: Row) -> bool:
        if self._pair(row):
            return True
        if self.headed and self.inside and _below(row) and self._counts(row):
            return True
        return self._lead(row) or self._head(row) or self._counts(row)

    def _again(self, row: Row) -> bool:
        """Say whether a line of counts stands there a second time."""
        before = self.seen.get(row.low) if self.section == 0 else None
        if before is None or not _LEAD.match(row.low):
            return False
        self.out.lines.add(row.number)
        self.out.problems.append(f"line {row.number}: the same as line {before}; counted once")
        return True

    def _lead(self, row: Row) -> bool:
        low = self._jersey_first(row.low)
        match = _LEAD.match(low) or (_SAID_OF.match(low) if self.watched or self.flat else None)
        counts = count_list(match["rest"], self.lexicon) if match else None
        if match is None or counts is None or (match["name"] and self._names(match["name"])):
            return False
        if (
            match["team"]
            and match["colon"].isspace()
            and (self._apart(row) or not all(one.breakdown or one.aside for one in counts))
        ):
            return False
        self._player(match)
        self._keep(row, counts)
        return True

    def _pair(self, row: Row) -> bool:
        """Take ``No. 4 and No. 21 as a pair`` as the head of what two made together."""
        pair = _PAIR.match(row.low)
        if pair is None or not self.headed:
            return False
        self.who, self.inside = (jersey(pair["a"]), jersey(pair["b"])), True
        self.out.lines.add(row.number)
        return True

    def _apart(self, row: Row) -> bool:
        """Say whether a line stands outside the players, where all counts are set below one."""
        return self.headed and self.deep and bool(self.out.tallies) and not _below(row)

    def _head(self, row: Row) -> bool:
        match = _ALONE.match(self._jersey_first(row.low))
        if match is None or (match["more"] and self._names(match["more"])):
            return False
        if (
            match["more"]
            and not match["mark"]
            and any(one in self.lexicon.known for one in words(match["more"]))
        ):
            return False
        self._player(match)
        self.alone += 1
        self.out.lines.add(row.number)
        return True

    def _jersey_first(self, low: str) -> str:
        """Return a line with ``ana #12`` and ``ana (12):`` as the jersey alone."""
        called = _CALLED.match(low)
        if called is None or any(one in self.lexicon.known for one in words(called["name"])):
            return low
        return f"#{called['n']} {low[called.end() :]}"

    def _names(self, said: str) -> bool:
        """Say whether words beside a number name a breakdown, so that they are no player's name."""
        return count_list(said, self.lexicon) is not None

    def _counts(self, row: Row) -> bool:
        counts = count_list(row.low, self.lexicon) if self.inside and not self._apart(row) else None
        if counts is not None and any(one.breakdown or one.aside for one in counts):
            self._keep(row, counts)
            return True
        return self.inside and self._together(row)

    def _together(self, row: Row) -> bool:
        """Read ``missed switch 12 & 4 together - 2 times``: players named between wording and count."""
        match = _SHARED.match(row.low)
        counts = count_list(f"{match['said']} x{match['n']}", self.lexicon) if match else None
        if match is None or counts is None or len(counts) != 1 or not counts[0].breakdown:
            return False
        self.out.tallies.append(Tally(row, tuple(map(jersey, re.findall(r"\d+", match["who"]))), counts))
        self.out.lines.add(row.number)
        return True

    def _other(self, row: Row) -> None:
        """Take a line without any number, below a blank one, as a heading that is no player's."""
        apart = row.number - self.last > 1
        if apart and self.inside and row.items and not any(char.isdigit() or char == "|" for char in row.low):
            self.who = ()
        if self._apart(row):
            return
        self.misses += self.inside and bool(row.items)

    def _player(self, match: re.Match[str]) -> None:
        self.who = (jersey(match["n"]),) if match["n"] else ()
        self.inside = True
        if match["n"]:
            self.numbers.append((self.section, jersey(match["n"])))
            self.sharp += bool(match["mark"])

    def _keep(self, row: Row, counts: Sequence[Count]) -> None:
        self.out.tallies.append(Tally(row, self.who, counts))
        self.deep = self.deep and _below(row)
        self.out.lines.add(row.number)
        self.seen.setdefault(row.low, row.number)

    def _shown(self) -> bool:
        """Say whether the sheet counts by players, and is no list of possessions."""
        tallies = self.out.tallies
        if len({who for _, who in self.numbers}) < _FEW or self.misses > len(tallies):
            return False
        if len(set(self.numbers)) < _ALIKE * len(self.numbers) and not self._flat():
            return False
        if self.running and 2 * self.sharp < len(self.numbers):
            return False
        counts = [one for tally in tallies for one in tally.counts]
        known = [one for one in counts if one.breakdown or one.aside]
        several = any(len(tally.counts) > 1 for tally in tallies)
        if any(one.count > _MOST and tally.players for tally in tallies for one in tally.counts):
            return False
        told = self.watched or self.alone >= _FEW or several or any(one.count > _MANY for one in counts)
        numbered = any(one.count > 1 or one.strong for one in known) or self._repeats() >= (
            1 if self.watched else _FEW
        )
        return told and numbered and 2 * len(known) >= len(counts)

    def _flat(self) -> bool:
        """Say whether every line counts one mistake of one player: no pair comes twice, most have a count."""
        pairs = [(tally.players, one.breakdown) for tally in self.out.tallies for one in tally.counts]
        told = sum(one.strong or self.flat for tally in self.out.tallies for one in tally.counts)
        return len(set(pairs)) >= _PAIRS * len(pairs) and told >= _RUNNING * len(pairs)

    def _repeats(self) -> int:
        """Return on how many lines a breakdown is written again and again: ``21: bb, bb, lc``."""
        return sum(
            len({one.breakdown for one in tally.counts}) < len(tally.counts) for tally in self.out.tallies
        )


def _below(row: Row) -> bool:
    """Say whether a line is set below another, by a bullet or by room in front."""
    return row.indent > 0 or bool(_BULLET.match(row.low))


def _running(rows: Sequence[Row]) -> bool:
    """Say whether the numbers that start lines mostly go up by one: they number possessions."""
    found = [int(match["n"]) for row in rows if (match := _NUMBERED.match(row.low))]
    steps = [b - a for a, b in itertools.pairwise(found)]
    return len(found) > 1 and sum(step == 1 for step in steps) >= _RUNNING * len(steps)


def _by_breakdowns(rows: Sequence[Row], lexicon: Lexicon) -> PlayerCounts | None:
    found = by_breakdown([row for row in rows if row.kind != "period"], lexicon)
    if found is None:
        return None
    out = PlayerCounts(lines=found.lines)
    for line in found.named:
        one = line.breakdown
        if line.together:
            made = Count(one.said, one.breakdown, line.together, one.sure, strong=True)
            out.tallies.append(Tally(line.row, tuple(who for who, _ in line.who if who), [made]))
            continue
        for player, count in line.who:
            made = Count(one.said, one.breakdown, count, one.sure, strong=True)
            out.tallies.append(Tally(line.row, (player,) if player else (), [made]))
    return out
