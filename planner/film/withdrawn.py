"""What a line takes back at its end, or answers with a no: ``reach, no that's clean``."""

from __future__ import annotations

import re

from planner.film.asides import without_last
from planner.film.wording import Lexicon

_TAKEN = (
    r"(?:take (?:that|it|this) back|takes? (?:that|it) back"
    r"|(?:cross|strike|take) (?:that|it|this|that one|this one) (?:out|off)|ignore (?:me|that|this|it)"
    r"|i was wrong(?: there)?|forget (?:it|that|this|that one)|scratch that|doesn'?t count"
    r"|don'?t count (?:it|that|this)|bad call|wrong call"
    r"|(?:that was |was |it'?s |it was )?(?:the )?ref'?s (?:mistake|error))"
)
_AT_END = re.compile(rf"[\s,;.:–—(-]*\b(?:so |then |but |and )*(?:i |i'll |we )*{_TAKEN}\W*$")
_ANSWERED = re.compile(
    r"[\s,;.:?–—-]+(?:hang on,? |hold on,? )?\bno,?\s+"
    r"(?:that'?s|that was|they'?re|he'?s|she'?s|it'?s|he was|she was|it was|his|her)\b"
    r"[^.;|\d]{0,24}?\b(?:up|fine|clean|ok|okay|good|there|legal)\b"
)


def withdrawn(notes: str, lexicon: Lexicon) -> str:
    """Return the notes of a line in plain form without the mistake that they take back themselves."""
    match = _AT_END.search(notes) or _ANSWERED.search(notes)
    if not match:
        return notes
    return f"{without_last(notes[: match.start()], lexicon)[0]} {notes[match.end() :]}"
