"""Lines that only count: ``no box out 7``, ``late closeout: 4``, ``bo ||||| ||``."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from planner.film.wording import Lexicon
from planner.film.words import words

MOST_COUNTED = 300
"""More of one breakdown in one game is not believed."""
_SPLIT = re.compile(r"[,;](?!\d)|\s/\s")
_BY_NUMBER = re.compile(
    r"^(?P<said>.*?[^\W\d_][./]?)\s*(?P<mark>[:=]|[-–—]+>?|x(?=\s?\d)|\()?\s*x?\s?"
    r"(?P<n>\d{1,6})\)?(?P<tail>\s*(?:x|times))?$"
)
_BY_STROKES = re.compile(
    r"^(?P<said>.*?[^\W\d_])(?:\s*[:=-])?\s*"
    r"(?P<strokes>(?:[|/\\!]|\b[il]{2,6}\b)(?:\s*(?:[|/\\!]|\b[il]{1,6}\b))*)$"
)
_NUMBER_FIRST = re.compile(r"^(?P<n>\d{1,6})\s?(?P<mark>x)\s*(?P<said>[^\W\d_].*)$")
_DIGITS = re.compile(r"[0-9](?![0-9]*(?:st|nd|rd|th)\b)")
_LONGEST = 300
_POINTS = re.compile(
    r"\b(?:points|pts)(?:\s+(?:allowed|against|given up|conceded))?\s*[:=-]?\s*(?P<n>\d{1,3})\b"
)


@dataclass(frozen=True, slots=True)
class Count:
    """A breakdown counted on a line; ``said`` is the wording, ``breakdown`` None where it is unknown."""

    said: str
    breakdown: str | None
    count: int
    sure: float
    strong: bool
    """The mark between wording and number (colon, strokes, x) shows that it is a count and no jersey."""
    strokes: bool = False


def count_line(low: str, lexicon: Lexicon) -> list[Count] | None:
    """Return what a line in plain form counts, or None when it is no line of counts throughout."""
    if len(low) > _LONGEST:
        return None
    counts = [_segment(part.strip(" .\t-–—*•"), lexicon) for part in _SPLIT.split(low) if part.strip()]
    if not counts or any(one is None for one in counts):
        return None
    return [one for one in counts if one is not None]


def points_counted(low: str) -> int | None:
    """Return the points a line of totals tells."""
    match = _POINTS.search(low)
    return int(match["n"]) if match else None


def without_points(low: str) -> str:
    """Return the line with its total of points cut out."""
    return _POINTS.sub(" ", low)


def counted_section(
    lines: Sequence[list[Count] | None], *, watched: bool, roster: Collection[str] | None
) -> bool:
    """Decide whether the lines of a section without clocks, stops and points are counts.

    They are when the lines of counts outweigh the others two to one, no breakdown comes twice (unless in
    strokes), and it is shown that the numbers are no jerseys: by a colon, strokes or an x, by the
    possessions watched being told, or by there being two lines or more with numbers that are not all on
    the roster.
    """
    shaped = [one for line in lines if line is not None for one in line if one.breakdown]
    lines_shaped = sum(line is not None and any(one.breakdown for one in line) for line in lines)
    if not shaped or lines_shaped < 2 * sum(line is None for line in lines):
        return False
    named = [one.breakdown for one in shaped if not one.strokes]
    if len(set(named)) < len(named):
        return False
    if watched or any(one.strong for one in shaped):
        return True
    jerseys = roster is not None and all(str(one.count) in roster for one in shaped)
    return lines_shaped > 1 and not jerseys


def _segment(part: str, lexicon: Lexicon) -> Count | None:
    match = _BY_STROKES.match(part)
    if match and not _DIGITS.search(match["said"]):
        count = sum(not char.isspace() for char in match["strokes"])
        made = _count(match["said"], count, lexicon, strong=True, strokes=True)
        if made.breakdown:
            return made
    match = _BY_NUMBER.match(part) or _NUMBER_FIRST.match(part)
    if not match or _DIGITS.search(match["said"]):
        return None
    strong = bool(match["mark"]) or bool(match.groupdict().get("tail"))
    return _count(match["said"], int(match["n"]), lexicon, strong=strong)


def _count(said: str, count: int, lexicon: Lexicon, *, strong: bool, strokes: bool = False) -> Count:
    spot = lexicon.whole(words(said))
    known = spot is not None and spot.meaning.kind == "breakdown"
    breakdown = spot.meaning.id if spot is not None and known else None
    return Count(said.strip(" :=-–—"), breakdown, count, spot.sure if spot else 1.0, strong, strokes)
