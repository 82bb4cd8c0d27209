"""A sample of the fuzzing of every reader; ``python -m tests.fuzz.run --count 20000`` is the long form."""

from __future__ import annotations

import io
import os
import random
import subprocess
import sys
import zipfile

import pytest

from planner.problem import Refusal
from tests.fuzz.mutate import mutated
from tests.fuzz.targets import Target, check, quietly, targets

if os.name == "nt":
    pytest.skip("timers and memory limits are POSIX's", allow_module_level=True)
from tests.fuzz import run

ZONE = b"""BEGIN:VCALENDAR\r
BEGIN:VEVENT\r
UID:r1@x\r
DTSTART;TZID=Europe:20270301T190000\r
SUMMARY:Gym closed: exams\r
RRULE:FREQ=MONTHLY;COUNT=2\r
EXDATE;TZID=Europe:20270401T190000\r
END:VEVENT\r
END:VCALENDAR\r
"""
PHONE = targets()["phone"].samples[0].replace(b"480", b"9" * 400)
FOUND: list[tuple[str, bytes]] = [
    ("calendar", ZONE),  # the folder of zones was opened as if it were a zone
    ("court", b'id = "x"\nunit = "ft"\nlength = ' + b"9" * 400),  # larger than any floating-point number
    ("phone", PHONE),
]
"""Inputs that once ended in a fault."""


def _bomb(part: bytes, times: int) -> bytes:
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("[Content_Types].xml", b"<Types/>")
        for number in range(times):
            packed.writestr(f"xl/worksheets/sheet{number}.xml", part)
    return kept.getvalue()


def test_every_reader_takes_damaged_samples() -> None:
    """Values or one refusal come of each, in bounded time and memory, in a program of its own."""
    order = [sys.executable, "-m", "tests.fuzz.run", "--count", "120", "--seed", "7"]
    done = subprocess.run(order, capture_output=True, text=True, timeout=280, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.count(": 120 inputs") == len(targets())
    assert done.stdout.endswith("0 faults\n")


@pytest.mark.parametrize(("name", "raw"), FOUND)
def test_what_was_found_once_stays_mended(name: str, raw: bytes) -> None:
    """An input that once ended in a fault ends in values or a refusal."""
    assert run.bounded(targets()[name], raw) in {"values", "refused"}


@pytest.mark.parametrize("name", sorted(targets()))
def test_the_samples_can_be_read(name: str) -> None:
    """Damage begins from what is sound: every sample gives values."""
    target = targets()[name]
    assert target.samples
    for raw in target.samples:
        check(quietly(target.read, raw))


def test_the_same_seed_gives_the_same_inputs() -> None:
    """A finding can be made again from its seed."""
    samples = [b"Q1 8:42 no tag 7\n", b"Q2 8:20 stop\n"]
    made = [[mutated(random.Random(n), samples[0], samples) for n in range(200)] for _ in range(2)]
    assert made[0] == made[1]
    assert len(set(made[0])) > 150


def _raises(_raw: bytes) -> object:
    raise ZeroDivisionError


def _endless(_raw: bytes) -> object:
    while True:
        pass


@pytest.mark.parametrize(
    ("read", "said"),
    [
        (_raises, "ZeroDivisionError at test_readers.py"),
        (_endless, "more than 0.1 s"),
        (lambda _: "a\x1b[31m", "not cleaned"),
        (lambda _: "a\ud800", "UnicodeEncodeError"),
    ],
)
def test_a_reader_that_fails_is_seen(read: object, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Faults, endless work and text that is not cleaned are findings."""
    monkeypatch.setattr(run, "SECONDS", 0.1)
    assert said in run.bounded(Target("broken", [b"x"], read), b"x")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (_bomb(b" " * 13_000_000, 1), "unpacks to far more"),
        (_bomb(b"x", 500), "unpacks to far more"),
        (_bomb(b"<!DOCTYPE a [<!ENTITY b 'cccc'>]><a>&b;</a>", 1), "holds a document type"),
        (b"PK\x03\x04" + b"\0" * 5_000_001, "larger than 5 MB"),
        (b"PK\x03\x04" + b"\0" * 400, "damaged or no workbook"),
    ],
)
def test_archives_are_bounded_before_they_are_unpacked(raw: bytes, said: str) -> None:
    """A workbook's size, parts and unpacked size are limited, and it may declare no entities."""
    with pytest.raises(Refusal, match=said):
        targets()["workbook"].read(raw)


@pytest.mark.parametrize("name", ["sheet", "table", "captions", "calendar", "drill"])
def test_a_large_file_is_read_or_refused_in_time(name: str) -> None:
    """Samples repeated up to a megabyte stay within the time allowed for large files."""
    target = targets()[name]
    raw = target.samples[0]
    assert run.bounded(target, raw * (1_000_000 // len(raw))) in {"values", "refused"}
