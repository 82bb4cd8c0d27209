"""Any film note in, one Intake out: the bytes decoded, the kind of note chosen, the reader called."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Collection

from planner.film.intake import Intake
from planner.film.sheet import read_sheet
from planner.film.wording import Lexicon
from planner.problem import Refusal
from planner.text import clean_line

MOST_BYTES = 2_000_000
MOST_LINES = 20_000
_BINARY_SHARE = 0.02
_FEW = 4
_CONTROLS = re.compile(r"[\x00-\x08\x0e-\x1a\x1c-\x1f]")
_MARKS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))


def read_note(name: str, data: bytes, lexicon: Lexicon, roster: Collection[str] | None = None) -> Intake:
    """Return what a film note yields. ``roster`` holds the team's jerseys, None when they are not known.

    UTF-8 (with or without mark), UTF-16 and Windows text are read.

    Raises:
        Refusal: the note is empty, no text, longer than 2 MB or than 20,000 lines.

    """
    file = clean_line(name, 200) or "note"
    lines = decode(file, data).splitlines()
    if len(lines) > MOST_LINES:
        raise Refusal(f"'{file}' has {len(lines):,} lines, more than {MOST_LINES:,}; give one game per file.")
    sheet = read_sheet(lines, lexicon, roster)
    return Intake(
        file=file,
        kind="sheet",
        digest=hashlib.sha256(data).hexdigest(),
        possessions=sheet.possessions,
        trips=tuple(sheet.trips),
        sightings=tuple(sheet.sightings),
        unclear=tuple(sheet.unclear),
        problems=tuple(sheet.problems),
        heading=sheet.heading,
    )


def decode(file: str, data: bytes) -> str:
    """Return the text of a note.

    Raises:
        Refusal: the bytes are empty, too many, or no text.

    """
    if len(data) > MOST_BYTES:
        raise Refusal(f"'{file}' is larger than 2 MB; give one game per file.")
    text = _text(data)
    if text is None:
        raise Refusal(f"'{file}' is no text; save the notes as a plain text file (.txt).")
    if not text.strip("\ufeff \t\r\n\f\v\0"):
        raise Refusal(f"'{file}' is empty; write one possession a line, such as 'Q1 8:42 2 no-box-out 21'.")
    if len(_CONTROLS.findall(text)) > max(_FEW, _BINARY_SHARE * len(text)):
        raise Refusal(f"'{file}' is no text; save the notes as a plain text file (.txt).")
    return text


def _text(data: bytes) -> str | None:
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return _decoded(data, encoding)
    zeros = data[:2000].count(0)
    if zeros > 0.2 * len(data[:2000]):
        return _decoded(data, "utf-16-be" if data[:1] == b"\0" else "utf-16-le")
    text = _decoded(data, "utf-8")
    return text if text is not None else data.decode("cp1252", errors="replace")


def _decoded(data: bytes, encoding: str) -> str | None:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError:
        return None
