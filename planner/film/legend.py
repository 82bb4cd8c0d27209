"""A coach's own key inside the sheet, at the top or the bottom, in any usual layout.

``bo = no box out``, ``dr: driven past;  m: middle``, ``Key: lc late closeout, bw ball watching``, columns
of code and words, several pairs a line. What the words mean ``meant`` decides; what they leave open is asked
about once.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from planner.film.meant import Meant, meant
from planner.film.wording import Lexicon
from planner.film.words import plain, tokens, words
from planner.text import clean_line

_MARKS = ("=", ":", "→", "->", "–", "—", "-")
_MARK = {
    mark: re.compile(rf"\s*{re.escape(mark)}>?\s*" if mark in "=:" else rf"\s+{re.escape(mark)}\s+")
    for mark in _MARKS
}
_APART = re.compile(r"\s{2,}|\t|[;|•]|,(?=\s)|(?:^|\s)/(?=\s)")
_WIDE = re.compile(r"\s{2,}|\t")
_STRONG = re.compile(r"\s*[;|•]\s*")
_LOOSE = re.compile(r"^\s*(?P<code>\S{1,8})\s+(?P<said>\S.*)$")
_CODE = re.compile(r"[a-z0-9/.+*'&-]*[a-z][a-z0-9/.+*'& -]*")
_ROW = re.compile(r"[\s(]*(?:[#*•]+\s*)?")
_HEAD = re.compile(
    r"^[\s#*=_\[(-]*(?P<words>[a-z]+(?: [a-z]+){0,3})\s*(?P<mark>[:=]|[-–—]+(?:\s|$)|[\])]?\s*$)"
)
_NO_CODE = re.compile(
    r"(?:q[1-9]|[1-4]q|h[12]|[12]h|ot\d?|date|game|opp|opponent|vs|us|team|final|score|film)"
)
_LONGEST_CODE = 12
_FEW = 2
_UNDERSTOOD = 0.6


@dataclass(slots=True)
class Legend:
    """Codes read from a sheet (code -> breakdown id or meaning), the lines they took, what went wrong.

    ``stated`` holds what a key says of the sheet's own habits, such as ``last number = points``;
    ``unknown`` holds codes that stand for no breakdown; ``asked`` holds line, words and reason of each code
    that stands for nothing we know.
    """

    codes: dict[str, str] = field(default_factory=dict)
    lines: set[int] = field(default_factory=set)
    problems: list[str] = field(default_factory=list)
    unknown: set[str] = field(default_factory=set)
    stated: list[tuple[str, str]] = field(default_factory=list)
    asked: list[tuple[int, str, str]] = field(default_factory=list)


@dataclass(slots=True)
class _Line:
    """One line that may belong to a key: its pairs, and what they mean."""

    number: int
    pairs: list[tuple[str, str]]
    read: list[tuple[str, Meant | None]]
    whole: bool

    @property
    def understood(self) -> int:
        return sum(one is not None for _, one in self.read)


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
        if line is None or not line.whole:
            self._close()
            return
        self.block.append(line)

    def _close(self) -> None:
        block, self.block = self.block, []
        pairs = sum(len(line.pairs) for line in block)
        known = sum(line.understood for line in block)
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
        pairs, whole = split_pairs(low, self.lexicon, told=told)
        if not pairs:
            return None
        read: list[tuple[str, Meant | None]] = []
        for code, said in pairs:
            if _states(code, said, self.lexicon):
                read.append((code, None))
                continue
            read.append(self._understood(code, said))
        return _Line(number, pairs, read, whole)

    def _understood(self, code: str, said: str) -> tuple[str, Meant | None]:
        """Return code and meaning; ``no box out = nx`` is a key written the other way round."""
        made = meant(said, self.lexicon)
        if _CODE.fullmatch(said) and len(said) <= _LONGEST_CODE and len(words(said)) == 1:
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
            elif not _aside(code, said, self.lexicon):
                why = f"the key's '{clean_line(code, 24)}' stands for no breakdown we know"
                self.out.problems.append(f"line {line.number}: {why}")
                self.out.asked.append((line.number, clean_line(said, 120), why))
                self.out.unknown.add(name)
            else:
                self.out.unknown.add(name)


def split_pairs(low: str, lexicon: Lexicon, *, told: bool) -> tuple[list[tuple[str, str]], bool]:
    """Return the (code, words) pairs of a line in plain form, and whether they are all it says."""
    low = low.strip().strip("()[]{}").strip()
    for mark in _MARKS:
        found = list(_MARK[mark].finditer(low))
        if not found:
            continue
        pairs, whole = _marked(low, found)
        if not pairs or (not told and any(not _plausible(code, said, mark) for code, said in pairs)):
            continue
        return pairs, whole
    return (_columns(low) or _listed(low, lexicon), True) if told else ([], False)


def _marked(low: str, found: Sequence[re.Match[str]]) -> tuple[list[tuple[str, str]], bool]:
    """Cut a line at its marks; the code stands before each, behind what parts it from the words before."""
    first = low[: found[0].start()].strip()
    wide = _WIDE.split(first)
    first = wide[-1] if len(wide) > 1 else first
    codes, said = [first], []
    for at, mark in enumerate(found):
        last = at + 1 == len(found)
        between = low[mark.end() : len(low) if last else found[at + 1].start()]
        if last:
            said.append(between)
            break
        cut = _cut(between)
        if cut is None:
            said[len(said) :] = [between]
            codes.append("")
            continue
        said.append(between[: cut[0]])
        codes.append(between[cut[1] :].strip())
    pairs: list[tuple[str, str]] = []
    for code, raw in zip(codes, said, strict=True):
        words_of = raw.strip(" \t,;|/•.)")
        if not code and pairs:
            pairs[-1] = pairs[-1][0], f"{pairs[-1][1]} {words_of}"
        elif code and words_of and len(code) <= 40:
            pairs.append((code.strip(" *•-"), words_of))
    pairs = [(code, words_of) for code, words_of in pairs if code]
    return pairs, bool(pairs) and all(code for code in codes)


def _cut(between: str) -> tuple[int, int] | None:
    """Return where the words of one pair end and the code of the next begins."""
    for apart in (_STRONG, _WIDE, _APART):
        gaps = [gap for gap in apart.finditer(between) if gap.end() < len(between.rstrip())]
        if gaps and len(between[gaps[-1].end() :].strip()) <= 30:
            return gaps[-1].start(), gaps[-1].end()
    space = between.rstrip().rfind(" ")
    return (space, space + 1) if space > 0 else None


def _columns(low: str) -> list[tuple[str, str]]:
    """Return pairs set in columns of code and words with nothing but room between."""
    cells = [cell.strip() for cell in _WIDE.split(low) if cell.strip()]
    if len(cells) < 2 or len(cells) % 2:
        return []
    pairs = list(zip(cells[::2], cells[1::2], strict=True))
    return pairs if all(_CODE.fullmatch(code) and len(code) <= _LONGEST_CODE for code, _ in pairs) else []


def _listed(low: str, _: Lexicon) -> list[tuple[str, str]]:
    """Return pairs such as ``lc late closeout, bw ball watching``."""
    pairs = []
    for part in re.split(r"[,;|]|\s{2,}", low):
        match = _LOOSE.match(part)
        if not part.strip():
            continue
        if not match or not _CODE.fullmatch(match["code"]) or re.search(r"\d", match["said"]):
            return []
        pairs.append((match["code"], match["said"].strip()))
    return pairs


def _plausible(code: str, said: str, mark: str) -> bool:
    """Say whether a pair that nothing announces can be one of a key; ``bo 21 = 2`` and ``bo: 7`` cannot."""
    if re.search(r"\d", said) and not re.search(r"\b1 (?:on|v|pass)|[12]nd|1st|1v1|1on1", said):
        return False
    if mark == "=":
        return bool(words(code) or "#" in code) and bool(words(said))
    short = len(code) <= 6 and _CODE.fullmatch(code) and not _NO_CODE.fullmatch(code)
    return bool(short) and bool(words(said))


def _states(code: str, said: str, lexicon: Lexicon) -> bool:
    """Say whether a pair tells where numbers stand and what they are: ``last number = points``."""
    left, right = set(words(code)), set(words(said))
    tells = {word for phrase in lexicon.groups["who"] for word in phrase}
    about = "#" in code or bool(
        left & {"number", "num", "numbers", "no", "digit", "nr", "jersey", "last", "first"}
    )
    return about and (bool(right & tells) or bool(right & {"points", "pts", "pt", "scored", "score"}))


def _aside(_: str, said: str, lexicon: Lexicon) -> bool:
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
    return bool(kinds & {"stop", "clean", "missed", "neutral", "praised"}) or bool(about) or credit


def swaps(codes: Iterable[str]) -> dict[str, str]:
    """Return a plain word for each code that notes would not hold as one word (``2r``, ``b+``)."""
    made = {}
    for code in codes:
        kinds = [(one.kind, one.text) for one in tokens(code)]
        if kinds != [("word", code)] and " " not in code:
            made[code] = "codeword" + "".join(chr(ord("a") + ord(char) % 26) for char in code)
    return made
