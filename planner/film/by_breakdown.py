"""Sheets that count by breakdowns and name who: ``no box out (5): 21 x3, 4 x2``, or players listed below."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import zip_longest

from planner.film.counts import ONE_ON_ONE, Count, count_list
from planner.film.items import jersey
from planner.film.rows import Row
from planner.film.wording import Lexicon

_TEAM = r"whole team|team|everyone|everybody|nobody|no one|all of us|all|group|us|unknown|no number|\?+"
_SPACED_TEAM = _TEAM.replace(" ", r"\ ")
_STROKES = r"\|+(?:[|/ ]*\|)?|[il]{2,10}\b|\+{2,}|\*{2,}|✓+"
_ITEM = re.compile(
    rf"""
    (?P<first>\d{{1,2}})x(?:\s+\#?|\#)(?P<after>\d{{1,2}}(?!\d)|{_SPACED_TEAM})(?!\s?x\b)
    |(?:\#|no\.?\s)?(?P<who>\d{{1,2}}(?!\d)|{_SPACED_TEAM})
     (?:\s?x\s?(?P<x>\d{{1,2}})|\s?[(\[]\s?x?\s?(?P<p>\d{{1,2}})\s?x?\s?[)\]]|\s(?P<n>\d{{1,2}})\s?(?:times|x)(?!\w)
       |\s?[-–:=]\s?(?P<d>\d{{1,2}})(?![\d:])|\s(?P<w>once|twice)|\s?(?P<s>{_STROKES}))?
    """,
    re.VERBOSE,
)
_BETWEEN = " ,;/&+.|"
_WORDS = {"once": 1, "twice": 2}
_START = re.compile(rf"#?\d|(?<=[:=|>→–—-])\s*(?:{_TEAM})\b|(?<=\s\s)(?:{_TEAM})\b")
_TOTAL = re.compile(
    r"[(\[]?\s*(?:x\s?|total\s*(?:of\s)?|n\s?=\s?)?(?P<n>\d{1,3})\s*(?:x|total|times|in all)?\s*[)\]]?"
    r"\s*(?P<mark>[:=|,]|[-–—]+>?|→|\s{2,}|(?=\())\s*"
)
_LEADING = re.compile(r"[\s*•–—#-]*(?P<n>\d{1,3})\s*(?:x\s?)?(?=[a-z])")
_BRACKETED = re.compile(r"^[(\[](?P<all>[^()\[\]]*)[)\]]$")
_SUM = re.compile(r"[\s,(\[]+(?:total|tot|sum|count|x|n)\s*$")
_MARKS = r"[|il/]+(?:\s+[|il/]+)*|✓+|\*+|\+{2,}"
_STROKED = re.compile(
    rf"[\s*•–—#-]*(?P<said>[a-z][^()|]*?[a-z.)])(?:\s*[:=–—-]|\s)\s*(?:(?P<strokes>{_MARKS})|x\s?(?P<x>\d{{1,2}}))"
    rf"(?:\s*,?\s*(?:no|sorry|make (?:it|that))\s*,?\s*(?P<mended>{_MARKS}))?"
    r"\s*(?:[(\[](?P<who>[^()\[\]]*)[)\]])?\s*$"
)
_TOGETHER = re.compile(r"\s*\b(?:together|both|as a pair)\b\s*")
_EDGE = " \t*_#•–—=:>|,(→-["
_FEW = 2
_MOSTLY = 2
_MOST = 12
"""No player makes one mistake more often in a game; a higher number is the player."""


@dataclass(slots=True)
class Named:
    """One line: the breakdown, who made it and how often each."""

    row: Row
    breakdown: Count
    who: list[tuple[str | None, int]]
    together: int = 0
    """How often those named made it together, 0 where each made it alone."""


@dataclass(slots=True)
class ByBreakdown:
    """The lines understood, and how many others say something."""

    named: list[Named] = field(default_factory=list)
    lines: set[int] = field(default_factory=set)
    told: int = 0
    misses: int = 0


def by_breakdown(rows: Sequence[Row], lexicon: Lexicon) -> ByBreakdown | None:
    """Return the counts of a sheet parted by breakdowns that names players, None when it is none.

    At least two lines must be so, and it must be shown that the numbers are players counted: one counted more
    than once, or totals that agree.
    """
    found = _Reader(lexicon).read(rows)
    kinds = {one.breakdown.breakdown for one in found.named}
    shown = found.told and len(kinds) >= _FEW and found.misses <= len(found.lines)
    return found if shown else None


class _Reader:
    def __init__(self, lexicon: Lexicon) -> None:
        self.lexicon = lexicon
        self.out = ByBreakdown()
        self.labels: dict[str, Count | None] = {}
        self.lone: list[Named] = []
        """Lines with one bare number: a player where other lines name players, else a count."""
        self.unnamed: list[Named] = []
        """Lines of strokes that name nobody."""
        self.head: Count | None = None

    def read(self, rows: Sequence[Row]) -> ByBreakdown:
        for row, after in zip_longest(rows, rows[1:]):
            low = ONE_ON_ONE.sub(" one on one ", row.low)
            if self._below(row, low):
                continue
            opens = after is not None and _players_only(after.low) and self._heads(row, low)
            if not opens and not self._line(row, low) and not self._heads(row, low):
                self.out.misses += bool(row.items) and row.kind == "notes"
        if self.out.named:
            self.out.named += self.unnamed
            self.out.named.sort(key=lambda one: one.row.number)
        if len(self.lone) <= _MOSTLY * len(self.out.named):
            self.out.named += self.lone
            self.out.named.sort(key=lambda one: one.row.number)
        else:
            self.out.misses += len(self.lone)
        return self.out

    def _line(self, row: Row, low: str) -> bool:
        total, low = _led(low)
        if self._stroked(row, low):
            return True
        start = _START.search(low)
        made = self._label(low[: start.start()]) if start else None
        if start is None or made is None:
            return False
        rest = low[start.start() :]
        who = listed(rest)
        behind = _TOTAL.match(rest)
        if behind and (
            behind["mark"] not in (",", "-", "=") or who is None or sum(k for _, k in who) != len(who)
        ):
            after = listed(_BRACKETED.sub(r"\g<all>", rest[behind.end() :].strip()))
            if after is not None and (who is None or sum(k for _, k in after) == int(behind["n"])):
                total, who = int(behind["n"]), after
        if not who:
            return False
        if len(who) == 1 and who[0][1] == 1 and total is None:
            self.lone.append(Named(row, made, who))
            self.out.lines.add(row.number)
        else:
            self._keep(row, made, who, total)
        return True

    def _stroked(self, row: Row, low: str) -> bool:
        """Read ``box out   IIII II   (5 x3, 14)``: strokes or a count, then who in brackets or nobody."""
        match = _STROKED.match(low)
        made = self._counted(match["said"]) if match else None
        if match is None or made is None:
            return False
        strokes = match["mended"] or match["strokes"]
        total = int(match["x"]) if match["x"] else sum(not char.isspace() for char in strokes)
        text = (match["who"] or "").strip()
        together = _TOGETHER.search(text)
        nobody: list[tuple[str | None, int]] = [(None, total)]
        who = listed(_TOGETHER.sub("", text)) if text else nobody
        if who is None:
            return False
        if len(who) == 1 and who[0][1] == 1:
            who = [(who[0][0], total)]
        if not text:
            self.unnamed.append(Named(row, made, who))
            self.out.lines.add(row.number)
            return True
        self._keep(row, made, who, total)
        if together:
            self.out.named[-1].together = total
        return True

    def _below(self, row: Row, low: str) -> bool:
        who = listed(low.lstrip(" \t*•–—-")) if self.head is not None else None
        if self.head is None or not who:
            return False
        self._keep(row, self.head, who, None)
        return True

    def _heads(self, row: Row, low: str) -> bool:
        """Take a line that holds a breakdown alone, or with its total."""
        self.head = None
        _, said = _led(low)
        match = re.fullmatch(
            r"(?P<said>\D+?)\s*[-–—:=]*\s*[(\[]?\s*(?:total\s*)?(?:\d{1,3})?\s*(?:x|total)?[)\]]?\s*[:=]*",
            said.strip(),
        )
        made = self._label(match["said"]) if match else None
        if match is None or made is None:
            return False
        self.head = made
        self.out.lines.add(row.number)
        return True

    def _keep(self, row: Row, made: Count, who: list[tuple[str | None, int]], total: int | None) -> None:
        counted = sum(count for _, count in who)
        self.out.told += counted > len({player for player, _ in who}) or total == counted
        self.out.lines.add(row.number)
        self.out.named.append(Named(row, made, who))

    def _counted(self, said: str) -> Count | None:
        """Return what a label means that a count stands behind: looser wording is a breakdown there."""
        made = self._label(said)
        counts = count_list(f"{said.replace(',', ' ')} x1", self.lexicon) if made is None else None
        one = counts[0] if counts and len(counts) == 1 else None
        return made or (one if one is not None and one.breakdown else None)

    def _label(self, said: str) -> Count | None:
        said = _SUM.sub("", said.strip(_EDGE)).strip(_EDGE)
        if said not in self.labels:
            counts = count_list(said, self.lexicon) if said else None
            one = counts[0] if counts and len(counts) == 1 else None
            if one is None and "," in said:
                whole = count_list(said.replace(",", " "), self.lexicon)
                one = whole[0] if whole and len(whole) == 1 else None
            self.labels[said] = one if one is not None and one.breakdown else None
        return self.labels[said]


def _players_only(low: str) -> bool:
    """Say whether a line lists players and nothing else."""
    return listed(low.lstrip(" \t*•–—-")) is not None


def _led(low: str) -> tuple[int | None, str]:
    match = _LEADING.match(low)
    return (int(match["n"]), low[match.end() :]) if match else (None, low)


def listed(text: str) -> list[tuple[str | None, int]] | None:
    """Return who a list names and how often, None where it is no such list: ``21 x3, 4, team 2x``."""
    pairs: list[tuple[str, str, bool]] = []
    at = 0
    text = text.strip(_BETWEEN)
    for match in _ITEM.finditer(text):
        if text[at : match.start()].strip(_BETWEEN) not in ("", "and"):
            return None
        at = match.end()
        if match["after"]:
            pairs.append((match["after"], match["first"], True))
            continue
        strokes = "".join((match["s"] or "").split())
        count = (
            match["x"]
            or match["p"]
            or match["n"]
            or match["d"]
            or _WORDS.get(match["w"] or "")
            or len(strokes)
            or 1
        )
        pairs.append((match["who"], str(count), False))
    if not pairs or text[at:].strip(_BETWEEN):
        return None
    if max(int(count) for _, count, _ in pairs) > _MOST and all(who.isdigit() for who, _, _ in pairs):
        pairs = [(count, who, turned) for who, count, turned in pairs]
    if any(int(count) > _MOST for who, count, _ in pairs if who.isdigit()):
        return None
    return [(jersey(who) if who.isdigit() else None, int(count)) for who, count, _ in pairs]
