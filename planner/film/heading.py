"""What a sheet says of its game: date, opponent, venue and possessions watched."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, field

from planner.film.words import plain
from planner.text import clean_line

MOST_POSSESSIONS = 300
"""More than any game has at one end; a larger number is not believed."""
_NAME_LIMIT = 60
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = "(?P<{0}>jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
_ISO = re.compile(r"(?<!\d)(?P<y>\d{4})[-/.](?P<m>\d{1,2})[-/.](?P<d>\d{1,2})(?!\d)")
_DAY_FIRST = re.compile(
    rf"(?<!\d)(?P<d>\d{{1,2}})(?:st|nd|rd|th|\.)?\s+(?:of\s+)?{_MONTH.format('mon')}\.?,?\s+(?P<y>\d{{4}})"
)
_MONTH_FIRST = re.compile(
    rf"\b{_MONTH.format('mon')}\.?\s+(?P<d>\d{{1,2}})(?:st|nd|rd|th)?,?\s+(?P<y>\d{{4}})"
)
_NUMERIC = re.compile(r"(?<!\d)(?P<a>\d{1,2})[/.-](?P<b>\d{1,2})[/.-](?P<y>\d{4}|\d{2})(?!\d)")
_LABEL = re.compile(
    r"^\s*(?P<label>game date|game|date|day|opponent|opponents|opp|versus|against|rival|vs\.?|v\."
    r"|venue|site|place|location|where|home/away|h/a|team|us)\s*(?P<mark>[:=]|[-–—]\s)\s*(?P<value>\S.*)$"
)
_VERSUS = re.compile(r"^\s*(?:vs\.?|v\.|versus|against|@|opp(?:onent)?\.?)\s+(?P<name>\S.*)$")
_TITLE_VERSUS = re.compile(r"\s(?:vs\.?|v\.|v(?=\s+[^\W\d_])|versus|against|@)\s+(?P<name>\S.*)$")
_WATCHED = re.compile(
    r"\b(?:(?:defensive|defence|defense|def\.?|total|all)\s+)?poss(?:essions?|\.)?"
    r"(?:\s+(?:watched|charted|seen|total|in all))*"
    r"\s*(?P<mark>[:=-]|of|was|were)?\s*(?P<after>\d{1,4})(?![\d:])"
    r"|(?<![\d#:])(?P<before>\d{1,4})\s+(?:(?:defensive|def\.?|total|d)\s+)?(?:poss(?:essions?\b|\.|\b)|trips\b)"
)
_VENUE = re.compile(r"\b(home|away|neutral)\b")
_THEIRS = re.compile(r"(?:@|\bat)\s+their\b|@\s*(?:their|them)\b")
_ENDS = re.compile(
    r"\s+[-–—/|]\s+|\s+@(?=\s|$)|\s+at\s+(?:their|our|home)\b|[,;(|\[]|\s+(?=(?:\d|on\s+\d)[\d\s./-]*\b)|\s{3,}"
)


@dataclass(slots=True)
class Said:
    """What headings have said so far; ``watched`` holds number and line of the possessions told."""

    date: str | None = None
    opponent: str | None = None
    venue: str | None = None
    watched: tuple[int, int] | None = None
    problems: list[str] = field(default_factory=list)


def read_heading(text: str, number: int, said: Said, *, preamble: bool) -> bool:
    """Take what one cleaned line says of the game; return whether it said anything.

    ``preamble`` means that no possession was written yet: only then may a title (``Film vs X, 5 Dec 2026``)
    count, afterwards only a labelled line or possessions watched.
    """
    low = plain(text)
    if len(low) != len(text):
        text = low
    found = _labelled(text, low, number, said, preamble=preamble)
    if preamble and not found:
        found = _title(text, low, number, said)
    return _take_watched(low, number, said, preamble=preamble) or found


def watched_number(low: str) -> int | None:
    """Return the possessions a line in plain form tells (``possessions: 58``, ``58 poss``)."""
    match = _WATCHED.search(low)
    return int(match["after"] or match["before"]) if match else None


def without_watched(low: str) -> str:
    """Return the line with what it says of possessions watched cut out."""
    return _WATCHED.sub(" ", low)


def _take_watched(low: str, number: int, said: Said, *, preamble: bool) -> bool:
    match = _WATCHED.search(low)
    if not match:
        return False
    rest = (low[: match.start()] + low[match.end() :]).strip(" \t-–—.:;,/|()")
    if not preamble and rest not in ("", "watched", "total", "charted", "in all"):
        return False
    told = int(match["after"] or match["before"])
    if not 1 <= told <= MOST_POSSESSIONS:
        said.problems.append(f"line {number}: {told} possessions cannot be; it is not used")
    elif said.watched and said.watched[0] != told:
        said.problems.append(
            f"line {number}: says {told} possessions, line {said.watched[1]} says {said.watched[0]};"
            " the first is used"
        )
    else:
        said.watched = said.watched or (told, number)
    return True


def _labelled(text: str, low: str, number: int, said: Said, *, preamble: bool) -> bool:
    match = _LABEL.match(low)
    if not match:
        versus = _VERSUS.match(low) if preamble else None
        if not versus:
            return False
        if low.lstrip().startswith("@") and said.venue is None:
            said.venue = "away"
        _take_name(text[versus.start("name") :], said)
        _take_date(low, number, said, must=False)
        _take_venue(low, said)
        return True
    label, value = match["label"], text[match.start("value") :]
    if label in ("date", "game date", "day"):
        _take_date(low, number, said, must=True)
    elif label in ("venue", "site", "place", "location", "where", "home/away", "h/a"):
        _take_venue(match["value"], said)
    elif label in ("game", "team", "us"):
        return _title(f" {value}", f" {match['value']}", number, said)
    else:
        _take_name(value, said)
        _take_date(low, number, said, must=False)
        _take_venue(low, said)
        if _THEIRS.search(low) and said.venue is None:
            said.venue = "away"
    return True


def _title(text: str, low: str, number: int, said: Said) -> bool:
    found = _take_date(low, number, said, must=False)
    versus = _TITLE_VERSUS.search(low)
    if versus and said.opponent is None:
        _take_name(text[versus.start("name") :], said)
        if "@" in versus.group() and said.venue is None:
            said.venue = "away"
        found = True
    return _take_venue(low, said) or found


def _take_name(value: str, said: Said) -> None:
    value = value.strip()
    if value.startswith("@"):
        said.venue = said.venue or "away"
        value = value[1:].strip()
    name = clean_line(_ENDS.split(_cut_dates(value), maxsplit=1)[0], _NAME_LIMIT).strip(" -–—:.,;")
    if name and said.opponent is None:
        said.opponent = name


def _cut_dates(value: str) -> str:
    low = plain(value)
    if len(low) != len(value):
        return value
    starts = [m.start() for p in (_ISO, _DAY_FIRST, _MONTH_FIRST, _NUMERIC) if (m := p.search(low))]
    return value[: min(starts)] if starts and min(starts) > 0 else value


def _take_venue(low: str, said: Said) -> bool:
    match = _VENUE.search(low)
    if match and said.venue is None:
        said.venue = match[1]
    return bool(match)


def _take_date(low: str, number: int, said: Said, *, must: bool) -> bool:
    read = _date(low)
    if isinstance(read, str):
        said.problems.append(f"line {number}: {read}")
        return True
    if read is None:
        if must:
            said.problems.append(f"line {number}: no date could be read; write it as 2026-11-20")
        return False
    said.date = said.date or read.isoformat()
    return True


def _date(low: str) -> dt.date | str | None:
    """Return the date in a text, a sentence saying why it cannot be one, or None."""
    match = _ISO.search(low)
    if match:
        return _day(int(match["y"]), int(match["m"]), int(match["d"]), match.group())
    match = _DAY_FIRST.search(low) or _MONTH_FIRST.search(low)
    if match:
        return _day(int(match["y"]), _MONTHS.index(match["mon"]) + 1, int(match["d"]), match.group())
    match = _NUMERIC.search(low)
    if not match:
        return None
    first, second, year = int(match["a"]), int(match["b"]), int(match["y"])
    year += 2000 if year < 100 else 0
    if first <= 12 and second <= 12 and first != second:
        return f"the date '{match.group()}' can be read two ways; write it as {year}-11-20"
    month, day = (second, first) if first > 12 else (first, second)
    return _day(year, month, day, match.group())


def _day(year: int, month: int, day: int, text: str) -> dt.date | str:
    try:
        return dt.date(year, month, day)
    except ValueError:
        return f"'{text}' is not a day of the calendar"
