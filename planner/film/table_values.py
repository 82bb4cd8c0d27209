"""What one cell of a table says: whole numbers, clocks, film times, periods, ticks and tallies."""

from __future__ import annotations

import re

from planner.film.marks import heading_period
from planner.film.words import plain

EMPTY = frozenset({"", "-", "–", "—", ".", "n/a", "na", "none", "nil", "null", "?", "#n/a"})
_NO = frozenset({"0", "no", "n", "false", "f", "o"})
_YES = frozenset(
    {"i", "l", "|", "/", "x", "y", "yes", "true", "t", "✓", "✔", "☑", "✗", "✘", "*", "•", "●", "1x"}
)
_WHOLE = re.compile(r"(?P<n>[+-]?\d{1,9})(?:[.,]0{1,6})?")
_STROKES = re.compile(r"[|/\\!\sIl✓✔x]{2,60}", re.IGNORECASE)
_CLOCK = re.compile(
    r"(?P<m>\d{0,2})[:.,'](?P<s>\d{2})(?:[.,]\d{1,3})?|(?P<h>\d{1,2}):(?P<m3>\d{2}):(?P<s3>\d{2})(?:[.,]\d{1,6})?"
)
_FILM = re.compile(r"(?:(?P<h>\d{1,2}):)?(?P<m>\d{1,3}):(?P<s>\d{2})(?:[.,:](?P<f>\d{1,3}))?")
_SECONDS = re.compile(r"(?P<s>\d{1,5})(?:[.,](?P<f>\d{1,6}))?\s*s?")
_HALF_DAY = re.compile(r"\s*[ap]\.?m\.?$")
_LETTER = re.compile(r"^(?P<word>[a-z]+)")
_LONGEST_FILM = 12 * 3600


def whole(text: str) -> int | None:
    """Return a whole number, ``2``, ``2.0`` or ``2,0``; None for anything else."""
    match = _WHOLE.fullmatch(text)
    return int(match["n"]) if match else None


def tally(text: str) -> int | None:
    """Return how often a cell of a column of counts counts: a number, a tick, strokes, nothing; else None."""
    low = plain(text).strip()
    if low in EMPTY or low in _NO:
        return 0
    if low in _YES:
        return 1
    number = whole(low.removesuffix("x").strip() if re.fullmatch(r"\d+\s*x", low) else low)
    if number is not None:
        return number
    return sum(not char.isspace() for char in low) if _STROKES.fullmatch(low) else None


def clock_of(text: str) -> tuple[int, int] | None:
    """Return minutes and seconds of a game clock; ``8:42:00``, a spreadsheet's idea of 8:42, is 8:42 too."""
    match = _CLOCK.fullmatch(_HALF_DAY.sub("", plain(text)).strip())
    if not match:
        return None
    if match["h"] is None:
        return int(match["m"] or 0), int(match["s"])
    if int(match["h"]) == 0:
        return int(match["m3"]), int(match["s3"])
    return (int(match["h"]), int(match["m3"])) if int(match["s3"]) == 0 else None


def seconds_of(text: str) -> float | None:
    """Return a time of the film in seconds: ``1:02:03.5``, ``12:40``, ``62,5``; None for anything else."""
    low = plain(text).strip()
    match = _FILM.fullmatch(low)
    if match:
        if int(match["s"]) > 59 or (match["h"] and int(match["m"]) > 59):
            return None
        parts = int(match["h"] or 0) * 3600 + int(match["m"]) * 60 + int(match["s"])
        return parts + float(f"0.{match['f'] or 0}")
    match = _SECONDS.fullmatch(low)
    if not match:
        return None
    value = int(match["s"]) + float(f"0.{match['f'] or 0}")
    return value if value < _LONGEST_FILM else None


def film_text(seconds: float) -> str:
    """Return seconds of the film as ``"00:01:02.500"``."""
    millis = round(seconds * 1000)
    hours, rest = divmod(millis, 3_600_000)
    minutes, rest = divmod(rest, 60_000)
    return f"{hours:02d}:{minutes:02d}:{rest // 1000:02d}.{rest % 1000:03d}"


def period_in(text: str, header: str = "") -> str | None:
    """Return ``Q1``, ``H2``, ``P3``, ``OT``; a bare number takes its letter from the column's header."""
    low = plain(text).strip()
    number = whole(low)
    if number is None:
        return heading_period(low)
    if not 1 <= number <= 9:
        return None
    word = _LETTER.match(plain(header).strip())
    letter = word["word"][0] if word else "p"
    if letter == "q":
        return f"Q{number}" if number <= 4 else _overtime(number - 4)
    if letter == "h":
        return f"H{number}" if number <= 2 else _overtime(number - 2)
    return f"P{number}"


def _overtime(number: int) -> str:
    return "OT" if number == 1 else f"OT{number}"
