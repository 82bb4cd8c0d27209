"""The bytes of a note as text: UTF-8, UTF-16 and Windows text told apart, what is no text refused."""

from __future__ import annotations

import re

from planner.film.bounds import CAPTION_BYTES, TEXT_BYTES, megabytes
from planner.problem import Refusal

_HEAD = 400
"""Bytes in which captions show that they are some."""
_BINARY_SHARE = 0.02
_FEW = 4
_CONTROLS = re.compile(r"[\x00-\x08\x0e-\x1a\x1c-\x1f]")
_MARKS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
_CAPTIONS = (".vtt", ".srt")
_WEBVTT = re.compile(r"(?:\ufeff|\xef\xbb\xbf)?WEBVTT(?:[ \t\r\n]|$)")
_SUBRIP = re.compile(
    r"(?:\ufeff|\xef\xbb\xbf)?\s*\d+[ \t]*(?:\r\n|\n|\r)\d{1,3}:\d\d:\d\d[,.]\d{1,3}[ \t]*-->"
)


def is_captions(file: str, text: str) -> bool:
    """Say whether a note is captions: its beginning shows it, or else its name says so."""
    return bool(_WEBVTT.match(text) or _SUBRIP.match(text)) or file.lower().endswith(_CAPTIONS)


def decode(file: str, data: bytes) -> str:
    """Return the text of a note.

    Raises:
        Refusal: the bytes are empty, too many, or no text.

    """
    most = CAPTION_BYTES if is_captions(file, data[:_HEAD].decode("latin-1")) else TEXT_BYTES
    if len(data) > most:
        raise Refusal(f"'{file}' is larger than {megabytes(most)}; give one game per file.")
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
