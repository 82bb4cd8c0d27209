"""Caption files cut into timed cues: WebVTT after the grammar of the W3C, and SubRip; bad cues are told."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from planner.film.bounds import CAPTION_BYTES, megabytes
from planner.problem import Refusal
from planner.text import LINE_LIMIT, clean_line

MOST_CUES = 50_000
_ARROW = "-->"
_STRICT = re.compile(r"(?:\d{2,}:)?[0-5]\d:[0-5]\d\.\d{3}")
_STRICT_SUBRIP = re.compile(r"\d{2,}:[0-5]\d:[0-5]\d,\d{3}")
_READABLE = re.compile(r"(?:(\d{1,6}):)?([0-5]?\d):([0-5]?\d)(?:[.,](\d{1,3}))?")
_TIMING = re.compile(r"\s*(\S+?)(\s*)-->(\s*)(\S+)(.*)", re.ASCII)
_HEADER = re.compile(r"WEBVTT(?:[ \t].*)?")
_SKIPPED = re.compile(r"NOTE(?:[ \t].*)?|(?:STYLE|REGION|ATTRIBUTES)[ \t]*")
_TAG = re.compile(r"</?[a-zA-Z0-9][^<>]{0,500}>|<>|\{\\[^{}]{0,100}\}")
_SEARCHED = 40


@dataclass(frozen=True, slots=True)
class Cue:
    """What was said from ``start`` to ``end`` (milliseconds); ``line`` is the line of its timing."""

    start: int
    end: int
    text: tuple[str, ...]
    line: int


@dataclass(slots=True)
class Cues:
    """The cues of a file in its own order; ``lost`` holds (line, text, why) of text without a time."""

    cues: list[Cue] = field(default_factory=list)
    lost: list[tuple[int, str, str]] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)


def timestamp(milliseconds: int) -> str:
    """Return ``01:02:03.004``, as WebVTT writes an instant."""
    seconds, thousandths = divmod(milliseconds, 1000)
    minutes, second = divmod(seconds, 60)
    hour, minute = divmod(minutes, 60)
    return f"{hour:02d}:{minute:02d}:{second:02d}.{thousandths:03d}"


def instant(text: str) -> int | None:
    """Return the milliseconds of ``[hh:]mm:ss.ttt`` (a comma as in SubRip is read too), None if it is none.

    Minutes and seconds end at 59: ``60:00.000`` is no hour (W3C WebVTT, timestamp syntax).
    """
    found = _READABLE.fullmatch(text)
    if not found:
        return None
    hour, minute, second, fraction = found.groups()
    whole = (int(hour or 0) * 60 + int(minute)) * 60 + int(second)
    return whole * 1000 + int((fraction or "0").ljust(3, "0"))


def is_captions(text: str) -> bool:
    """Say whether a text is a caption file: it starts as WebVTT, or an early line holds a cue's times."""
    lines = text.lstrip("\ufeff")[:8000].splitlines()[:_SEARCHED]
    return bool(lines and _HEADER.fullmatch(lines[0])) or any(_times(line) for line in lines)


def read_cues(text: str) -> Cues:
    """Return the cues of a caption file; whatever is wrong with a cue is told and the rest is read.

    Raises:
        Refusal: more than 5 MB or than 50,000 cues.

    """
    if len(text) > CAPTION_BYTES:
        raise Refusal(f"The captions are larger than {megabytes(CAPTION_BYTES)}; give one film per file.")
    if text.count(_ARROW) > MOST_CUES:
        raise Refusal(f"The captions hold more than {MOST_CUES:,} cues; give one film per file.")
    lines = re.split(r"\r\n|\n|\r", text.removeprefix("\ufeff").replace("\0", "\ufffd"))
    return _Reader(lines).read()


def _times(line: str) -> tuple[int, int] | None:
    found = _TIMING.fullmatch(line)
    if not found:
        return None
    start, end = instant(found[1]), instant(found[4])
    return None if start is None or end is None else (start, end)


class _Reader:
    def __init__(self, lines: list[str]) -> None:
        self.lines = lines
        self.made = Cues()
        self.webvtt = bool(_HEADER.fullmatch(lines[0]))
        self.latest = 0

    def read(self) -> Cues:
        for first, block in self._blocks():
            head = block[0]
            if self.webvtt and (_SKIPPED.fullmatch(head) or (first == 1 and _HEADER.fullmatch(head))):
                continue
            self._block(first, block)
        return self.made

    def _blocks(self) -> Iterator[tuple[int, list[str]]]:
        """Yield (line number, lines) of each run of lines; a line with an arrow starts a run of its own.

        The line before an arrow is the cue's name, and stays with it.
        """
        start, timed = 1, False
        block: list[str] = []
        for number, line in enumerate(self.lines, 1):
            if not line.strip(" \t\f"):
                if block:
                    yield start, block
                start, block, timed = number + 1, [], False
                continue
            if _ARROW in line and (timed or len(block) > 1) and not self._note(block):
                name = [block.pop()] if block[-1].strip().isdecimal() and len(block) > 1 else []
                yield start, block
                start, block = number - len(name), name
            timed = timed or _ARROW in line
            start = start if block else number
            block.append(line)
        if block:
            yield start, block

    def _note(self, block: list[str]) -> bool:
        return self.webvtt and bool(_SKIPPED.fullmatch(block[0]))

    def _block(self, first: int, block: list[str]) -> None:
        at = next((at for at, line in enumerate(block[:2]) if _ARROW in line), None)
        said = _payload(block if at is None else block[at + 1 :])
        if at is None:
            if any(said):
                self._lose(first, said, "no time stands above it")
            return
        number = first + at
        times = _times(block[at])
        if times is None:
            self._lose(number, said, f"'{clean_line(block[at], 60)}' is no time of a cue")
            return
        start, end = times
        self._check(number, block[at], start, end)
        if any(len(line) > LINE_LIMIT for line in block):
            self._fault(number, f"a line of it is longer than {LINE_LIMIT:,} letters; the rest is left out")
        if said:
            self.made.cues.append(Cue(start, max(start, end), said, number))

    def _check(self, number: int, line: str, start: int, end: int) -> None:
        found = _TIMING.fullmatch(line)
        assert found is not None
        form = _STRICT if self.webvtt else _STRICT_SUBRIP
        exact = form.fullmatch(found[1]) and form.fullmatch(found[4]) and found[2] and found[3]
        if self.webvtt and not exact:
            self._fault(
                number, f"times are written [hh:]mm:ss.ttt, not '{clean_line(line, 60)}'; read as meant"
            )
        if end <= start:
            self._fault(number, "the cue ends before it starts; read at its start")
        if start < self.latest:
            self._fault(number, "the cue starts before the one above it; read where it stands")
        self.latest = start

    def _lose(self, number: int, said: tuple[str, ...], why: str) -> None:
        self._fault(number, f"{why}; its text waits to be sorted" if said else why)
        if said:
            self.made.lost.append((number, " ".join(said), why))

    def _fault(self, number: int, what: str) -> None:
        self.made.problems.append(f"line {number}: {what}")


def _payload(lines: list[str]) -> tuple[str, ...]:
    """Return the words of a cue line by line, without tags and escapes."""
    plain = (clean_line(html.unescape(_TAG.sub("", line))) for line in lines)
    return tuple(line for line in plain if line)
