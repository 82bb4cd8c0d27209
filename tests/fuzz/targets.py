"""Every reader of outside bytes, with its samples; what each may do with any bytes at all."""

from __future__ import annotations

import dataclasses
import datetime as dt
import functools
import io
import json
import tempfile
import warnings
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from planner import data
from planner.problem import Problem
from tests.running import is_clean

ROOT = Path(__file__).parent.parent
Reader = Callable[[bytes], object]


@dataclass(frozen=True)
class Target:
    """A reader of bytes: it returns values or raises one Refusal; anything else is a fault."""

    name: str
    samples: Sequence[bytes]
    read: Reader


def _files(*patterns: str) -> list[bytes]:
    found = [
        one.read_bytes() for pattern in patterns for one in sorted((ROOT / "data" / "film").rglob(pattern))
    ]
    return [one for one in found if one]


@functools.cache
def _library() -> Any:
    from planner.desk.library import load_library

    return load_library()


@functools.cache
def _words() -> Any:
    from planner.film.wording import load_lexicon

    folder = data.drill_library() / "wording"
    files = [(one.name, one.read_text("utf-8")) for one in sorted(folder.glob("*.toml"))]
    return load_lexicon(files, _library().vocabulary)[0]


def _note(name: str, raw: bytes) -> object:
    from planner.film.read import read_note

    return read_note(name, raw, _words(), frozenset({"0", "00", "4", "7", "12", "21", "44"}))


def _table_samples() -> list[bytes]:
    return _files("*.csv", "*.tsv") or [
        b"Period,Clock,Breakdown,Player,Points\nQ1,8:42,no tag,7,2\nQ1,8:20,late closeout,12,3\n",
        b"Time;Mistake;#;Pts\n00:12;ball watching;21;2\n00:40;no talk;;0\n",
    ]


def _workbook_samples() -> list[bytes]:
    from openpyxl import Workbook

    found = [one for one in _files("*.xlsx") if len(one) < 100_000]
    for table in _table_samples()[:4]:
        book = Workbook()
        sheet = book.active
        assert sheet is not None
        for row in table.decode("utf-8", "replace").splitlines()[:40]:
            sheet.append([int(one) if one.isdigit() else one.replace("\x00", "") for one in row.split(",")])
        kept = io.BytesIO()
        book.save(kept)
        found.append(kept.getvalue())
    return found


def _captions_samples() -> list[bytes]:
    cue = b"WEBVTT\n\n00:00:01.000 --> 00:00:04.000\nno tag by seven, two points\n\n"
    cue += b"00:01:02.000 --> 00:01:05.500\nnobody talked\n"
    return [*_files("*.vtt", "*.srt")[:40], cue, cue.replace(b"WEBVTT\n\n", b"1\n").replace(b".", b",")]


def _drill(raw: bytes) -> object:
    from planner.court.diagram import read_diagrams
    from planner.court.geometry import read_court
    from planner.drills.library import read_drill_and_rows

    text = raw.decode("utf-8", "replace")
    drill, rows, problems = read_drill_and_rows("own.toml", text, _library().vocabulary)
    court = read_court("school.toml", (data.drill_library() / "courts" / "school.toml").read_text("utf-8"))[0]
    assert court is not None
    return drill, problems, read_diagrams("own.toml", list(rows), court, text)


def _court(raw: bytes) -> object:
    from planner.court.geometry import read_court

    return read_court("court.toml", raw.decode("utf-8", "replace"))


def _calendar(raw: bytes) -> object:
    from planner.paper.calendar_event import Asked
    from planner.paper.calendar_reader import read_calendar

    asked = Asked("Marrowby Otters", "America/Chicago", dt.date(2027, 1, 1), dt.date(2028, 12, 31))
    return read_calendar("school.ics", raw, asked)


def _calendar_samples() -> list[bytes]:
    def event(*lines: str) -> bytes:
        body = ("BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//school//EN", "BEGIN:VEVENT", *lines)
        return "\r\n".join((*body, "END:VEVENT", "END:VCALENDAR", "")).encode()

    return [
        event(
            "UID:g1@x",
            "DTSTART:20270212T180000",
            "DTEND:20270212T200000",
            "SUMMARY:Marrowby Otters v Quillhaven",
        ),
        event(
            "UID:c1@x",
            "DTSTART;VALUE=DATE:20270218",
            "SUMMARY:Gym closed",
            "RRULE:FREQ=WEEKLY;COUNT=4;BYDAY=TH",
        ),
        event(
            "UID:r1@x",
            "DTSTART;TZID=Europe/Oslo:20270301T190000",
            "DURATION:PT2H",
            "SUMMARY:Gym closed: exams",
            "RRULE:FREQ=MONTHLY;UNTIL=20271231T000000Z",
            "EXDATE;TZID=Europe/Oslo:20270401T190000",
        ),
        event(
            "UID:m1@x",
            "DTSTART:20270301T190000Z",
            "SUMMARY:Otters at Marlow\r\n  Lane\\, again",
            "STATUS:CANCELLED",
        ),
    ]


def _phone(raw: bytes) -> object:
    from planner.paper.phone import read_phone_log

    return read_phone_log(raw, "practice.json")


def _phone_samples() -> list[bytes]:
    from planner.paper import phone

    segments = [
        {"seconds": 480, "stops": None, "tries": None},
        {"seconds": 720, "stops": 7, "tries": 10},
    ]
    log = {
        "file": phone.FILE,
        "version": phone.VERSION,
        "plan": "0" * 32,
        "date": "2027-01-14",
        "start": "16:10",
        "began": "16:12",
        "segments": segments,
        "absent": ["12"],
        "rating": 6,
    }
    return [json.dumps(log).encode(), json.dumps(log, indent=1).encode()]


def _keys(raw: bytes) -> object:
    from planner.screens import keymap

    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / keymap.FILE).write_bytes(raw)
        return keymap.read_keys(Path(folder))


@functools.cache
def _archives() -> tuple[bytes, ...]:
    """Return a copy and an export of a small store, as the program writes them."""
    from planner.desk import upkeep
    from planner.desk.desk import Desk
    from tests.running import NOW, TODAY
    from tests.store.making import fill

    with tempfile.TemporaryDirectory() as folder:
        desk = Desk(Path(folder) / "home", TODAY, lambda: NOW)
        with desk.store.session() as session:
            fill(session)
        made = [upkeep.back_up(desk), upkeep.export(desk, Path(folder) / "all.zip")]
        made.append(upkeep.export(desk, Path(folder) / "all.json"))
        desk.close()
        return tuple(one.read_bytes() for one in made if isinstance(one, Path))


def _archive(raw: bytes) -> object:
    from planner.desk.copies import own_members, unzipped
    from planner.desk.exporting import is_export, read_into

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "brought.zip"
        path.write_bytes(raw)
        if is_export(path):
            own = read_into(path, Path(folder) / "made.db", "'brought'")
            return sorted(own or {})
        return sorted(own_members(unzipped(path, "'brought'")[1], "'brought'"))


@functools.cache
def targets() -> Mapping[str, Target]:
    """Return every reader by name."""
    drills = [
        one.read_bytes()
        for one in sorted(data.drill_library().rglob("*.toml"))
        if "[[diagram]]" in one.read_text("utf-8")
    ]
    courts = [one.read_bytes() for one in sorted((data.drill_library() / "courts").glob("*.toml"))]
    keys = [b'"film.watch" = "z"\n"tomorrow.left" = "f5,ctrl+l"\n', b'[tomorrow]\nleft = "comma"\n']
    found = (
        Target("sheet", _files("*.txt"), lambda raw: _note("film.txt", raw)),
        Target("table", _table_samples(), lambda raw: _note("film.csv", raw)),
        Target("workbook", _workbook_samples(), lambda raw: _note("film.xlsx", raw)),
        Target("captions", _captions_samples(), lambda raw: _note("film.vtt", raw)),
        Target("drill", drills[:30], _drill),
        Target("court", courts, _court),
        Target("calendar", _calendar_samples(), _calendar),
        Target("phone", _phone_samples(), _phone),
        Target("keys", keys, _keys),
        Target("archive", _archives(), _archive),
    )
    return {one.name: one for one in found}


def texts(value: object) -> Iterable[str]:
    """Return every text inside a value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Problem):
        yield value.file
        yield value.what
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for one in dataclasses.fields(value):
            yield from texts(getattr(value, one.name))
    elif isinstance(value, Mapping):
        for key, one in value.items():
            yield from texts(key)
            yield from texts(one)
    elif isinstance(value, list | tuple | set | frozenset):
        for one in value:
            yield from texts(one)


def check(found: object) -> None:
    """Assert that nothing hostile came through: no control, escape, turned-round or half character."""
    for one in texts(found):
        assert is_clean(one), f"not cleaned: {one[:80]!r}"
        one.encode("utf-8")


def quietly(read: Reader, raw: bytes) -> object:
    """Read with warnings as errors, as the tests run."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        return read(raw)
