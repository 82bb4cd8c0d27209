"""A coach's own key inside the sheet, at the top or the bottom, in any usual layout.

``bo = no box out``, ``dr: driven past;  m: middle``, ``Key: lc late closeout, bw ball watching``, columns
of code and words, several pairs a line. What the words mean ``meant`` decides; what they leave open is asked
about once.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from planner.film.legend_pairs import CODE, LONGEST_CODE, shouted, split_pairs
from planner.film.meant import Meant, meant
from planner.film.shorthand import in_full
from planner.film.wording import Lexicon
from planner.film.words import plain, stem, tokens, words
from planner.text import clean_line

_HEAD = re.compile(
    r"^[\s#*=_\[(-]*(?P<words>[a-z]+(?: [a-z]+){0,3})\s*(?P<mark>[:=]|[-–—]+(?:\s|$)|[\])]?\s*$)"
)
_FEW = 2
_UNDERSTOOD = 0.6
_SHORT = 3
"""Words that a code may stand for which names no mistake."""


@dataclass(slots=True)
class Legend:
    """Codes read from a sheet (code -> breakdown id or meaning), the lines they took, what went wrong.

    ``stated`` holds what a key says of the sheet's own habits, such as ``last number = points``;
    ``unknown`` holds codes that stand for no breakdown; ``asked`` holds line, words and reason of each that
    stands for nothing we know.
    """

    codes: dict[str, str] = field(default_factory=dict)
    lines: set[int] = field(default_factory=set)
    problems: list[str] = field(default_factory=list)
    unknown: set[str] = field(default_factory=set)
    stated: list[tuple[str, str]] = field(default_factory=list)
    asked: list[tuple[int, str, str]] = field(default_factory=list)
    short: dict[str, str] = field(default_factory=dict)
    """Codes that stand for words of ours which name no mistake by themselves: ``bs`` for ``ball screen``."""

    def in_full(self, line: str) -> str:
        """Return a line with such codes written as the words they stand for."""
        return in_full(line, self.short, self.codes)

    @property
    def known(self) -> dict[str, str]:
        """Return every code with what it means; one that stands for no breakdown is neutral."""
        return dict.fromkeys(sorted(self.unknown), "neutral") | self.codes


@dataclass(slots=True)
class _Line:
    """One line that may belong to a key: its pairs, and what they mean."""

    number: int
    pairs: list[tuple[str, str]]
    read: list[tuple[str, Meant | None]]
    whole: bool
    trade: int = 0
    """Pairs that stand for words of ours which name no mistake."""

    @property
    def understood(self) -> int:
        return sum(one is not None for _, one in self.read) + self.trade


def read_legend(lines: Sequence[tuple[int, str]], lexicon: Lexicon) -> Legend:
    """Find the key in (number, cleaned line) pairs.

    A line that starts with a word such as ``key:`` is one, as are the lines below such a word standing
    alone. Elsewhere lines of pairs are a key where they are that throughout and most of what they say is
    known; a single line must say so with equals signs.
    """
    return _Reader(lines, lexicon).legend()


class _Reader:
    def __init__(self, lines: Sequence[tuple[int, str]], lexicon: Lexicon) -> None:
        self.lines = lines
        self.lexicon = lexicon
        self.out = Legend()
        self.block: list[_Line] = []

    def legend(self) -> Legend:
        inside = False
        for number, text in self.lines:
            low = plain(text)
            head = self._headed(low)
            if head is not None:
                self._close()
                self.out.lines.add(number)
                inside = not head or self._take(head, number, told=True)
            elif not low.strip():
                self._close()
                inside = inside and not self.out.codes
            elif inside:
                inside = self._take(low, number, told=True)
                if not inside:
                    self._loose(low, number)
            else:
                self._loose(low, number)
        self._close()
        return self.out

    def _headed(self, low: str) -> str | None:
        """Return what follows a word such as ``key:`` that starts a line, None when none does."""
        match = _HEAD.match(low)
        if not match:
            return None
        said = tuple(match["words"].split())
        for size in range(len(said), 0, -1):
            if self.lexicon.within("legend", said[:size]) and (
                size == len(said) or not match["mark"].strip()
            ):
                return low[match.end() :].strip() if size == len(said) else None
        return None

    def _loose(self, low: str, number: int) -> None:
        """Keep a line of pairs that no word announces until it is seen what stands around it."""
        line = self._line(low, number, told=False)
        bare = shouted(self._text(number)) if line is None else []
        if bare:
            line = _Line(number, bare, [self._understood(code, said) for code, said in bare], True)
        if line is None or not line.whole:
            self._close()
            return
        self.block.append(line)

    def _close(self) -> None:
        block, self.block = self.block, []
        pairs = sum(len(line.pairs) for line in block)
        known = sum(line.understood for line in block)
        known += sum(_good_or_theirs(said, self.lexicon) for line in block for _, said in line.pairs)
        stated = any(_states(code, said, self.lexicon) for line in block for code, said in line.pairs)
        if pairs > _FEW and known >= _UNDERSTOOD * pairs:
            for line in block:
                self._keep(line)
            return
        for line in block:
            marked = "=" in plain(self._text(line.number))
            if marked and line.pairs and (line.understood == len(line.pairs) or (stated and line.understood)):
                self._keep(line)

    def _text(self, number: int) -> str:
        return next(text for one, text in self.lines if one == number)

    def _take(self, low: str, number: int, *, told: bool) -> bool:
        line = self._line(low, number, told=told)
        if line is None:
            return False
        self._keep(line)
        return True

    def _line(self, low: str, number: int, *, told: bool) -> _Line | None:
        pairs, whole = split_pairs(low, told=told)
        if not pairs:
            return None
        read: list[tuple[str, Meant | None]] = []
        for code, said in pairs:
            if _states(code, said, self.lexicon):
                read.append((code, None))
                continue
            read.append(self._understood(code, said))
        open_ones = [said for (_, said), (_, made) in zip(pairs, read, strict=True) if made is None]
        return _Line(number, pairs, read, whole, sum(_trade(said, self.lexicon) for said in open_ones))

    def _understood(self, code: str, said: str) -> tuple[str, Meant | None]:
        """Return code and meaning; ``no box out = nx`` is a key written the other way round."""
        made = meant(said, self.lexicon)
        if made is not None and made.id and _good_or_theirs(said, self.lexicon):
            made = None
        if CODE.fullmatch(said) and len(said) <= LONGEST_CODE and len(words(said)) == 1:
            turned = meant(code, self.lexicon)
            known = self.lexicon.whole(words(code))
            if turned is not None and (made is None or (known is not None and len(words(code)) > 1)):
                return said, turned
        return code, made

    def _keep(self, line: _Line) -> None:
        self.out.lines.add(line.number)
        for (code, said), (name, made) in zip(line.pairs, line.read, strict=True):
            if _states(code, said, self.lexicon):
                self.out.stated.append((code, said))
            elif made is not None:
                self.out.codes[name] = made.target
                if name == code and meant(said, self.lexicon, bare=False) is None:
                    self.out.short[name] = said
            elif _trade(said, self.lexicon):
                self.out.short[name] = said
            elif not _aside(said, self.lexicon):
                why = f"the key's '{clean_line(code, 24)}' stands for no breakdown we know"
                self.out.problems.append(f"line {line.number}: {why}")
                self.out.asked.append((line.number, clean_line(said, 120), why))
                self.out.unknown.add(name)
            else:
                self.out.unknown.add(name)


def _states(code: str, said: str, lexicon: Lexicon) -> bool:
    """Say whether a pair tells where numbers stand and what they are: ``last number = points``."""
    left, right = set(words(code)), set(words(said))
    tells = {word for phrase in lexicon.groups["who"] for word in phrase}
    about = "#" in code or bool(
        left & {"number", "num", "numbers", "no", "digit", "nr", "jersey", "last", "first"}
    )
    return about and (bool(right & tells) or bool(right & {"points", "pts", "pt", "scored", "score"}))


def _trade(said: str, lexicon: Lexicon) -> bool:
    """Say whether a code stands for nothing but words of the trade, of which a mistake may be made."""
    spelled = words(said)
    named = [word.text for word in lexicon.canonical(spelled, spelling=False)]
    plays = {(word,) for word in named} & (lexicon.groups["topics"] | lexicon.groups["plays"])
    return len(spelled) <= _SHORT and bool(plays) and all(word in lexicon.known for word in spelled)


def _aside(said: str, lexicon: Lexicon) -> bool:
    """Say whether a pair is about something else than breakdowns: a play of ours, points, a shot."""
    kinds = {spot.meaning.kind for spot in lexicon.spots(words(said))}
    about = set(words(said)) & {
        "points",
        "pts",
        "pt",
        "time",
        "timeout",
        "player",
        "possession",
        "quarter",
        "half",
    }
    credit = any((word.text,) in lexicon.groups["credit"] for word in lexicon.canonical(words(said)))
    if _good_or_theirs(said, lexicon):
        return True
    return bool(kinds & {"stop", "clean", "missed", "neutral", "praised"}) or bool(about) or credit


def _good_or_theirs(said: str, lexicon: Lexicon) -> bool:
    """Say whether a key's words praise (``good trip``) or tell what they did by themselves."""
    told = words(said)
    praised = bool(told) and len(told) <= _FEW + 1 and (stem(told[0]),) in lexicon.groups["praise"]
    return praised or (told[:1] in (["they"], ["their"]) and bool({"themselves", "own", "away"} & set(told)))


def swaps(codes: Iterable[str]) -> dict[str, str]:
    """Return a plain word for each code that notes would not hold as one word (``2r``, ``b+``)."""
    made = {}
    for code in codes:
        kinds = [(one.kind, one.text) for one in tokens(code)]
        if kinds != [("word", code)] and " " not in code:
            made[code] = "codeword" + "".join(chr(ord("a") + ord(char) % 26) for char in code)
    return made
