"""A coach's own legend inside the sheet: ``bo = no box out``, ``Key: lc late closeout, bw ball watching``."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from planner.film.wording import MEANINGS, Lexicon
from planner.film.words import plain, words
from planner.text import clean_line

_PAIR = re.compile(r"^\s*(?P<code>[^\s=:,;][^=:,;]{0,24}?)\s*(?:=|:|[-–—]+>?(?=\s)|→)\s*(?P<said>\S.*)$")
_LOOSE = re.compile(r"^\s*(?P<code>\S{1,8})\s+(?P<said>\S.*)$")
_PREFIX = re.compile(r"^\s*(?P<word>[a-z]+)\s*(?P<mark>[:=]|[-–—]\s|$)")
_CODE = re.compile(r"[a-z0-9/.+*'-]*[a-z][a-z0-9/.+*' -]*")


@dataclass(slots=True)
class Legend:
    """Codes read from a sheet (code -> breakdown id or meaning), the lines they took, and what went wrong."""

    codes: dict[str, str] = field(default_factory=dict)
    lines: set[int] = field(default_factory=set)
    problems: list[str] = field(default_factory=list)


def read_legend(lines: list[tuple[int, str]], lexicon: Lexicon) -> Legend:
    """Find the legend in (number, cleaned line) pairs.

    A line that starts with a word such as ``key:`` is one, as are the lines after such a word standing
    alone, up to a blank line; elsewhere only ``code = phrase`` with a phrase we know.
    """
    legend = Legend()
    inside = False
    for number, text in lines:
        low = plain(text)
        prefix = _PREFIX.match(low)
        if prefix and lexicon.within("legend", (prefix["word"],)):
            rest = low[prefix.end() :].strip()
            inside = not rest
            if rest:
                _take(rest, number, legend, lexicon, told=True)
            legend.lines.add(number)
        elif not low.strip():
            inside = False
        elif inside:
            inside = _take(low, number, legend, lexicon, told=True)
        elif "=" in low:
            _take(low, number, legend, lexicon, told=False)
    return legend


def _take(low: str, number: int, legend: Legend, lexicon: Lexicon, *, told: bool) -> bool:
    """Take the pairs of one line; without ``told`` every pair must be understood or the line is no legend."""
    pairs = [_pair(part, told) for part in re.split(r"[,;|]", low) if part.strip()]
    if not pairs or any(pair is None for pair in pairs):
        if told and any(pairs):
            legend.problems.append(f"line {number}: part of the legend could not be read")
        elif not any(pairs):
            return False
    read = dict(_understood(pair, lexicon) for pair in pairs if pair)
    if not told and not all(read.values()):
        return False
    for code, meant in read.items():
        if meant:
            legend.codes[code] = meant
        else:
            legend.problems.append(
                f"line {number}: the legend's '{clean_line(code, 24)}' stands for no breakdown we know"
            )
    legend.lines.add(number)
    return True


def _pair(part: str, told: bool) -> tuple[str, str] | None:
    match = _PAIR.match(part) or (_LOOSE.match(part) if told else None)
    if not match or not _CODE.fullmatch(match["code"].strip()) or not words(match["code"]):
        return None
    if re.search(r"\d", match["said"]) and not told:
        return None
    return match["code"].strip(), match["said"].strip()


def _understood(pair: tuple[str, str], lexicon: Lexicon) -> tuple[str, str | None]:
    """Return code and meaning; ``no box out = nx`` is a legend written the other way round."""
    code, said = pair
    meant = _meant(said, lexicon)
    if meant is None and _CODE.fullmatch(said) and len(said) <= 8:
        turned = _meant(code, lexicon)
        return (said, turned) if turned else (code, None)
    return code, meant


def _meant(said: str, lexicon: Lexicon) -> str | None:
    spots = lexicon.spots(words(said))
    named = {spot.meaning.id for spot in spots if spot.meaning.kind == "breakdown"}
    if named:
        return named.pop() if len(named) == 1 else None
    whole = lexicon.whole(words(said))
    return whole.meaning.kind if whole and whole.meaning.kind in MEANINGS else None
