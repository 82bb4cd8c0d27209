"""The lines of a coach's key cut into codes and their words, in any usual layout."""

from __future__ import annotations

import re
from collections.abc import Sequence

from planner.film.words import words

_MARKS = ("=", ":", "→", "->", "–", "—", "-")
_MARK = {
    mark: re.compile(rf"\s*{re.escape(mark)}>?\s*" if mark in "=:" else rf"\s+{re.escape(mark)}\s+")
    for mark in _MARKS
}
_APART = re.compile(r"\s{2,}|\t|[;|•]|,(?=\s)|(?:^|\s)/(?=\s)")
_WIDE = re.compile(r"\s{2,}|\t")
_STRONG = re.compile(r"\s*[;|•]\s*")
_LOOSE = re.compile(r"^\s*(?P<code>\S{1,8})\s+(?P<said>\S.*)$")
CODE = re.compile(r"[a-z0-9/.+*'&-]*[a-z][a-z0-9/.+*'& -]*")
_NO_CODE = re.compile(
    r"(?:q[1-9]|[1-4]q|h[12]|[12]h|ot\d?|date|game|opp|opponent|vs|us|team|final|score|film)"
)
LONGEST_CODE = 12


def split_pairs(low: str, *, told: bool) -> tuple[list[tuple[str, str]], bool]:
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
    return (_columns(low) or _listed(low), True) if told else ([], False)


def _marked(low: str, found: Sequence[re.Match[str]]) -> tuple[list[tuple[str, str]], bool]:
    """Cut a line at its marks; a code stands before each, behind whatever parts it from the words before."""
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
    meanings = [one.strip(" \t,;|/•.)") for one in said]
    for code, words_of in zip(codes, meanings, strict=True):
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
    return pairs if all(CODE.fullmatch(code) and len(code) <= LONGEST_CODE for code, _ in pairs) else []


def _listed(low: str) -> list[tuple[str, str]]:
    """Return pairs such as ``lc late closeout, bw ball watching``."""
    pairs = []
    for part in re.split(r"[,;|•]|\s/\s|\s{2,}", low):
        match = _LOOSE.match(part)
        if not part.strip():
            continue
        if not match or not CODE.fullmatch(match["code"]) or re.search(r"\d", match["said"]):
            return []
        pairs.append((match["code"], match["said"].strip()))
    return pairs


def _plausible(code: str, said: str, mark: str) -> bool:
    """Say whether a pair that nothing announces can be one of a key; ``bo 21 = 2`` and ``bo: 7`` cannot."""
    if re.search(r"\d", said) and not re.search(r"\b1 (?:on|v|pass)|[12]nd|1st|1v1|1on1", said):
        return False
    if mark == "=":
        return bool(words(code) or "#" in code) and bool(words(said))
    short = len(code) <= 6 and CODE.fullmatch(code) and not _NO_CODE.fullmatch(code)
    return bool(short) and bool(words(said))
