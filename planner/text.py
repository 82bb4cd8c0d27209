"""The one place where text from outside is made safe to keep, show and print."""

from __future__ import annotations

import re
import unicodedata

LINE_LIMIT = 2_000
"""Characters kept of one line; a longer one is cut and ends in an ellipsis."""

_BIDI = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_DROPPED_CATEGORIES = frozenset({"Cc", "Cs", "Co", "Cn"})
_ESCAPE = re.compile(
    r"\x1b\[[0-?]*[ -/]*[@-~]"  # CSI
    r"|\x1b[\]PX^_].*?(?:\x1b\\|\x07|$)"  # OSC, DCS, SOS, PM, APC
    r"|\x1b[@-Z\\^_]"
    r"|\x9b[0-?]*[ -/]*[@-~]",
    re.DOTALL,
)


def clean_line(raw: str, limit: int = LINE_LIMIT) -> str:
    """Return one printable line: NFC, no escapes, controls, bidi overrides or private-use characters.

    Tabs and line breaks become single spaces; ends are trimmed.
    """
    if len(raw) <= limit and raw.isascii() and raw.isprintable():
        return raw.strip()
    text = raw[: limit * 4]
    text = _ESCAPE.sub("", text)
    text = re.sub(r"[\t\r\n\v\f\u2028\u2029\x85]+", " ", text)
    text = unicodedata.normalize("NFC", "".join(c for c in text if _kept(c)))
    text = text.strip()
    return text if len(text) <= limit else text[: limit - 1].rstrip() + "…"


def clean_block(raw: str, limit: int = 20_000) -> str:
    """Return cleaned text that may hold several lines, joined by line feeds."""
    lines = (clean_line(line) for line in raw[:limit].splitlines())
    return "\n".join(lines).strip()


def _kept(char: str) -> bool:
    if char in _BIDI or char == "\ufeff":
        return False
    return unicodedata.category(char) not in _DROPPED_CATEGORIES


def plural(count: int, one: str, many: str | None = None) -> str:
    """Return ``"1 drill"`` or ``"3 drills"``."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def listed(words: list[str] | tuple[str, ...], last: str = "and") -> str:
    """Return ``"a, b and c"``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"
