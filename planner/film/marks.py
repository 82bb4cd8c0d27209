"""Period and game clock, in the forms coaches write them, at the head of a line or alone on it."""

from __future__ import annotations

import re
from dataclasses import dataclass

_ORDINAL = {"1st": 1, "2nd": 2, "3rd": 3, "4th": 4, "first": 1, "second": 2, "third": 3, "fourth": 4}
_NAMES = "quarter|qtr|qrt|quart|q|half|period|per|overtime|ot"
_PERIOD = re.compile(
    rf"""
    (?P<lead>q(?:tr|uarter)?|h(?:alf)?|p(?:er(?:iod)?)?|ot|overtime)\s?[.#]?\s?(?P<n1>[0-9])(?![0-9]|:[0-9])
    |(?P<n2>[0-9])\s?(?P<tail>q(?:tr|uarter)?|h(?:alf)?|ot)(?![a-z0-9])
    |(?P<ordinal>1st|2nd|3rd|4th|first|second|third|fourth)(?:\s+(?P<named>{_NAMES}))?(?![a-z-])
    |(?P<plain>ot|overtime)(?![a-z])
    """,
    re.VERBOSE,
)
_FILM = re.compile(r"(?P<h>[0-9]{1,2}):(?P<m>[0-9]{2}):(?P<s>[0-9]{2})(?:[.,][0-9]{1,3})?(?![0-9:])")
_CLOCK = re.compile(
    r"(?P<m>[0-9]{0,3}):(?P<s>[0-9]{2})(?:\.[0-9])?(?![0-9:])"
    r"|(?P<m2>[0-9]{1,2})[.'](?P<s2>[0-9]{2})(?![0-9.])"
    r"|(?P<m3>[0-9]{1,2})\s?m\s?(?P<s3>[0-9]{2})s?(?![a-z0-9])"
)
_TIGHT = re.compile(r"(?P<m>[0-9]{1,2})(?P<s>[0-9]{2})(?![0-9:.])")
_INSIDE = re.compile(r"(?<![\w:.])(?P<m>[0-9]{1,2}):(?P<s>[0-9]{2})(?![0-9:])")
_INSIDE_PERIOD = re.compile(r"(?<![\w#-])(?:q[1-9]|[1-4]q|h[12]|ot[1-9]?)(?![\w:])")
_GAP = re.compile(r"(?:[\s,;|/@(\[\])]|:(?!\d)|[-–—]+(?=[\s0-9]))*")
_AFTER = re.compile(
    r"(?:\s+(?:left(?=\s*(?:[,;|/:)\]0-9#+(]|[-–—]\s|$))|remaining|to go|to play))?"
    r"\s*[,;|/:)\]]*\s*(?:[-–—]+(?=\s+\S)|[|/]\s)?\s*"
)
_OPENING = re.compile(r"[\[(]+(?=[0-9qhpo])")
_BULLET = re.compile(r"[-*•–—▪◦]\s+(?=[^\s=])")
_NUMBERED = re.compile(
    r"(?:poss(?:ession)?|trip|clip|play|def)\.?\s*#?\s*(?P<a>[0-9]{1,3})\s*(?:[.):,]|-(?=\s))?\s*(?=\S|$)"
    r"|(?P<b>[0-9]{1,3})[.)]\s+(?=\S)"
    r"|#?(?P<c>[0-9]{1,3})\s*[.):]?\s+(?=(?:q[1-9]|h[12]|ot|[1-4]q)\b)"
    r"|#(?P<d>[0-9]{1,3})\s*[.):]?\s+(?=[0-9]{1,2}:[0-9]{2})"
    r"|(?P<loose>[0-9]{1,3})[\s,|;]+(?=[0-9]{1,2}:[0-9]{2})"
)
_ASIDE = re.compile(r"(?<=\w)\s*\([^()]*\)\s*$")
_HALF_TIME = re.compile(r"(?:half|halftime|half time|half-time|ht|at the half|second|2nd)")
_PERIOD_ASIDE = re.compile(
    r"\s*[,;:(–—-]+\s*(?:[a-z]+\s?){0,3}(?:\d{1,3}\s?(?:on|-\s?\d{1,3}|onwards?|and up|ff?)?)?[\s).:]*"
)
_LIMITS = {"Q": 12, "H": 20, "O": 5}
"""Longest minutes of a quarter, a half and an overtime in the rulebooks in use."""


@dataclass(frozen=True, slots=True)
class Head:
    """What stands before the notes of a line; ``rest`` is the notes, ``fault`` says why it cannot be.

    ``clock`` is ``"08:42"``, ``film`` a time of the film as ``"00:01:02.000"``.
    """

    rest: str
    period: str | None = None
    clock: str | None = None
    film: str | None = None
    bullet: bool = False
    number: int | None = None
    fault: str | None = None

    @property
    def timed(self) -> bool:
        """Say whether a clock or a film time is given."""
        return self.clock is not None or self.film is not None


def period_of(match: re.Match[str]) -> str | None:
    """Return ``Q1``, ``H2``, ``P3``, ``OT`` or ``OT2``; None for a number no game has."""
    if match["plain"]:
        return "OT"
    kind = match["lead"] or match["tail"] or match["named"] or "p"
    number = int(match["n1"] or match["n2"] or _ORDINAL[match["ordinal"]])
    letter = {"q": "Q", "h": "H", "o": "OT"}.get(kind[0], "P")
    most = {"Q": 4, "H": 2, "OT": 9, "P": 9}[letter]
    if not 1 <= number <= most:
        return None
    return "OT" if (letter, number) == ("OT", 1) else f"{letter}{number}"


def heading_period(line: str) -> str | None:
    """Return the period when a line in plain form says nothing else: ``Q2``, ``--- 2nd half ---``."""
    bare = _ASIDE.sub("", line).strip(" \t-–—=*_~#>[]():.|")
    match = _PERIOD.fullmatch(bare)
    if match is None and _HALF_TIME.fullmatch(bare):
        return "H2"
    if match is None:
        opened = _PERIOD.match(bare)
        match = opened if opened and _PERIOD_ASIDE.fullmatch(bare[opened.end() :]) else None
        match = match if match and (match["named"] or match["lead"] or match["tail"]) else None
    return period_of(match) if match else None


def read_head(line: str) -> Head:
    """Split a line in plain form into numbering, period, clock and the rest."""
    at, bullet, number = _opening(line)
    period, at = _period_at(line, at)
    if period == "?":
        return Head(line, fault="no such period")
    film = _FILM.match(line, at)
    if film:
        start = f"{int(film['h']):02d}:{film['m']}:{film['s']}.000"
        return Head(line[_AFTER.match(line, film.end()).end() :], period, None, start, bullet, number)  # type: ignore[union-attr]
    clock = _CLOCK.match(line, at) or (_TIGHT.match(line, at) if period else None)
    if not clock:
        return _without_clock(line, at, period, bullet, number)
    end = clock.end()
    if period is None:
        period, end = _period_at(line, _GAP.match(line, end).end(), clock=end)  # type: ignore[union-attr]
        if period == "?":
            return Head(line, fault="no such period")
    rest = line[_AFTER.match(line, end).end() :]  # type: ignore[union-attr]
    return _timed(Head(rest, period, bullet=bullet, number=number), clock)


def _opening(line: str) -> tuple[int, bool, int | None]:
    at = 0
    bullet = _BULLET.match(line)
    if bullet:
        at = bullet.end()
    number = _NUMBERED.match(line, at)
    if number:
        at = number.end()
    opening = _OPENING.match(line, at)
    if opening:
        at = opening.end()
    told = number[number.lastgroup] if number and number.lastgroup else None
    return at, bool(bullet), int(told) if told else None


def _period_at(line: str, at: int, clock: int | None = None) -> tuple[str | None, int]:
    """Return the period at a place and where it ends; an ordinal alone counts only before a clock."""
    back = at if clock is None else clock
    match = _PERIOD.match(line, at)
    if not match:
        return None, back
    end = match.end()
    if match["ordinal"] and not match["named"]:
        gap = _GAP.match(line, end)
        if clock is not None or not gap or not _CLOCK.match(line, gap.end()):
            return None, back
    period = period_of(match)
    if clock is None:
        end = _GAP.match(line, end).end()  # type: ignore[union-attr]
    return period or "?", end


def _without_clock(line: str, at: int, period: str | None, bullet: bool, number: int | None) -> Head:
    """Look for a clock anywhere in the notes; there it must be written with a colon."""
    rest = line[at:]
    inside = _INSIDE.search(rest)
    if not inside:
        return Head(rest, period, bullet=bullet, number=number)
    told = _INSIDE_PERIOD.search(rest) if period is None else None
    cuts = sorted([inside.span(), *([told.span()] if told else [])], reverse=True)
    if told:
        found = _PERIOD.fullmatch(told.group())
        period = period_of(found) if found else None
    for start, end in cuts:
        rest = f"{rest[:start]} , {rest[end:]}"
    rest = re.sub(r"^[\s,]+|[\s,@]+$|[(\[][\s,]*[)\]]", "", rest)
    return _timed(Head(rest, period, bullet=bullet, number=number), inside)


def clock_fault(minutes: int, seconds: int, period: str | None) -> str | None:
    """Return why a game clock cannot show this in a period, None when it can."""
    limit = _LIMITS.get((period or "-")[0], 20)
    if seconds <= 59 and minutes * 60 + seconds <= limit * 60:
        return None
    where = f" in {period}" if period else ""
    return f"the clock cannot show {minutes}:{seconds:02d}{where}"


def _timed(head: Head, clock: re.Match[str]) -> Head:
    parts = clock.groupdict()
    minutes = int(parts.get("m") or parts.get("m2") or parts.get("m3") or 0)
    seconds = int(parts.get("s") or parts.get("s2") or parts.get("s3") or 0)
    fault = clock_fault(minutes, seconds, head.period)
    text = f"{minutes:02d}:{seconds:02d}"
    return Head(head.rest, head.period, text, None, head.bullet, head.number, fault)
