"""What a note went through before it came here: quoted mail, marks of emphasis, ticks in boxes.

All of it is taken off line by line, and what is struck through with it; a line that held nothing else is left
blank, so that line numbers hold.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

_QUOTED = re.compile(r"^\s*>")
_QUOTES = re.compile(r"^\s*(?:>[ \t]?)+")
_MAIL = re.compile(r"^\s*(?:from|to|cc|bcc|sent|reply-to)\s*:\s*\S", re.IGNORECASE)
_SUBJECT = re.compile(r"^\s*subject\s*:\s*(?:(?:re|fwd?|aw|wg)\s*:\s*)*", re.IGNORECASE)
_WROTE = re.compile(
    r"^\s*(?:on\b.{3,90}\bwrote\s*:|-{2,}\s*(?:original|forwarded) message\s*-{2,}"
    r"|begin forwarded message\s*:?|sent from my\b.*|get outlook\b.*)\s*$",
    re.IGNORECASE,
)
_EMPHASIS = re.compile(r"(?<![*_~`])(\*\*|__|`)(?=[^\s*_~`,.;])(.+?)(?<=[^\s*_~`])\1(?![*_~`])")
_NUMBER_BOLD = re.compile(r"^(\W{0,4}?)(\*\*|__)(#?\d{1,3})\2(?=\s+\S)")
_STARRED = re.compile(r"(?<![\w*])\*(?=[^\s*])([^*]{1,200}?)(?<=[^\s*])\*(?![\w*])")
_STARRED_POINTS = re.compile(r"(?<=\S)\s+\*([0-4])\*\s*$")
_STRUCK = re.compile(r"~~(?=\S)[^~]{1,300}(?<=\S)~~")
_DEFINED = re.compile(r"(?<![\w(])[^\W\d_]{1,5}\s?\(\s*=\s*([^()=]{3,40})\)")
_BOX = re.compile(r"^(\s*[-*+]\s*)?\[[ xX]?\]\s+(?=\S)")
_TITLED = re.compile(r"^\s*#{2,6}\s+(?=[^\W\d_]{2})")
_BREAK = re.compile(r"<br\s*/?>", re.IGNORECASE)
_SIGNED = re.compile(r"^\s*(?:--|—|__+)\s*$")
_QUOTED_LINES = 3
_QUOTED_SHARE = 0.25
_HEAD_LINES = 15
_SIGNATURE = 4


def unwrapped(lines: Sequence[str]) -> list[str]:
    """Return as many lines without mail headers, quoting, emphasis and signature."""
    found = list(lines)
    filled = [line for line in found if line.strip()]
    quoted = sum(bool(_QUOTED.match(line)) for line in filled)
    if quoted >= _QUOTED_LINES and quoted >= _QUOTED_SHARE * len(filled):
        found = [_QUOTES.sub("", line) for line in found]
    found = _without_mail(found)
    return [_plain(line) if _marked(line) else line for line in found]


def _without_mail(lines: list[str]) -> list[str]:
    heads = [at for at, line in enumerate(lines[:_HEAD_LINES]) if _MAIL.match(line)]
    if len(heads) > 1:
        for at in heads:
            lines[at] = ""
        for at in range(min(_HEAD_LINES, len(lines))):
            lines[at] = _SUBJECT.sub("", lines[at])
    lines = ["" if _WROTE.match(line) else line for line in lines]
    signed = next((at for at in range(len(lines) - 1, -1, -1) if _SIGNED.match(lines[at])), None)
    if signed is not None and len(heads) > 1:
        after = [line for line in lines[signed + 1 :] if line.strip()]
        if len(after) <= _SIGNATURE and not any(char.isdigit() for line in after for char in line):
            lines[signed:] = [""] * (len(lines) - signed)
    return lines


def _marked(line: str) -> bool:
    return any(mark in line for mark in ("*", "__", "~~", "`", "[", "(=", "( =", "##", "<br", "<BR"))


def _plain(line: str) -> str:
    line = _BREAK.sub("; ", line)
    line = _TITLED.sub("", line)
    line = _DEFINED.sub(r"\1", _STRUCK.sub("", line))
    line = _NUMBER_BOLD.sub(r"\1\3:", line)
    line = _STARRED_POINTS.sub(r" . \1", _EMPHASIS.sub(r"\2", _EMPHASIS.sub(r"\2", line)))
    return _BOX.sub(r"\1", _STARRED.sub(r"\1", line))
