"""Text made fit to be set in type: clean, limited, and breakable where a word is too long for its line."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata

from planner.problem import Refusal
from planner.text import clean_line

_LONGEST_WORD = 26
_BREAK_EVERY = 20
_MOST_MARKS = 3
_BREAK = "\u200b"
_PAPERS = {"a4": "a4", "letter": "us-letter"}
_JOINERS = frozenset("\u200c\u200d")
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def printable(raw: str, limit: int = 200) -> str:
    """Return ``raw`` as one line that can be set: cleaned, at most ``limit`` characters, no endless word.

    Invisible format characters other than the joiners of scripts go; more than three marks on a letter go;
    a word of more than 26 letters gets places where the line may break.
    """
    line = clean_line(raw, limit)
    return " ".join(_breakable(word) for word in _without_piles(line).split())


def paper_size(paper: str) -> str:
    """Return what the typesetter calls a paper.

    Raises:
        Refusal: it is none of ours.

    """
    if paper not in _PAPERS:
        raise Refusal(f"There is no paper '{printable(paper, 20)}' here; use letter or a4.")
    return _PAPERS[paper]


def shortened(raw: str, limit: int) -> str:
    """Return as much of ``raw`` as ends where a thought ends, within ``limit`` characters.

    Whole sentences if one fits, else up to a semicolon, colon or comma, else whole words.
    """
    line = clean_line(raw, 4 * limit)
    if len(line) <= limit:
        return printable(line, limit)
    head = line[:limit]
    for ends in (r"[.!?](?=\s)", r";(?=\s)", r"[,:](?=\s)", r"(?=\s)"):
        found = [match.end() for match in re.finditer(ends, head)]
        if found and found[-1] >= limit // 3:
            return printable(head[: found[-1]].rstrip(" ;,:"), limit)
    return printable(line, limit)


def without_breaks(text: str) -> str:
    """Return text taken back from paper without the break points that ``printable`` put in."""
    return text.replace(_BREAK, "")


def _without_piles(line: str) -> str:
    out: list[str] = []
    marks = 0
    for char in line:
        category = unicodedata.category(char)
        if category == "Cf" and char not in _JOINERS:
            continue
        marks = marks + 1 if category in {"Mn", "Me"} else 0
        if marks <= _MOST_MARKS:
            out.append(char)
    return "".join(out)


def _breakable(word: str) -> str:
    if len(word) <= _LONGEST_WORD:
        return word
    out: list[str] = []
    since = 0
    for char in word:
        joined = unicodedata.category(char).startswith("M") or char in _JOINERS
        if since >= _BREAK_EVERY and not joined and out[-1] not in _JOINERS:
            out.append(_BREAK)
            since = 0
        out.append(char)
        since += 1
    return "".join(out)


def day_in_words(day: dt.date) -> str:
    """Return ``"Thursday 3 December 2026"``, in English whatever the machine speaks."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def sentence(text: str) -> str:
    """Return the text with a full stop, unless it ends in a mark of its own."""
    return text if not text or re.search(r"[.!?…:]$", text) else text + "."
