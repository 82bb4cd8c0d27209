"""Bytes to an Intake."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.film.bounds import TEXT_BYTES
from planner.film.intake import Intake
from planner.film.read import MOST_LINES, read_note
from planner.film.wording import Lexicon
from planner.problem import Refusal

Read = Callable[..., Intake]
SHEET = "Q1 8:42 2 no-box-out 21 – café\nQ1 8:20 0 stop\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_encodings(lexicon: Lexicon, encoding: str) -> None:
    """UTF-8, UTF-16 and Windows text read alike."""
    data = SHEET.encode(encoding)
    intake = read_note("a.txt", data, lexicon)
    assert [(s.breakdown, s.players, s.text) for s in intake.sightings] == [
        ("no-box-out", ("21",), "Q1 8:42 2 no-box-out 21 – café")
    ]
    assert intake.digest == hashlib.sha256(data).hexdigest()
    assert (intake.file, intake.kind) == ("a.txt", "sheet")


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"  \r\n\t\n",
        b"\xef\xbb\xbf",
        b"\x89PNG\r\n\x1a\n" + bytes(range(32)) * 9,
        b"\x00" * 40,
        b"\xff\xfe\x00",
    ],
)
def test_empty_and_binary_are_refused(lexicon: Lexicon, data: bytes) -> None:
    """Empty and binary files are refused in one sentence that names the file."""
    with pytest.raises(Refusal, match=r"^'x\.txt' is .*\.$"):
        read_note("x.txt", data, lexicon)


def test_bounds(lexicon: Lexicon) -> None:
    """2 MB and 20,000 lines are the bounds; just inside them is read."""
    with pytest.raises(Refusal, match="2 MB"):
        read_note("x.txt", b"a" * (TEXT_BYTES + 1), lexicon)
    with pytest.raises(Refusal, match="20,000"):
        read_note("x.txt", b"\n".join([b"stop"] * (MOST_LINES + 1)), lexicon)
    assert len(read_note("x.txt", b"\n".join([b"stop"] * 2000), lexicon).trips) == 2000


def test_names_are_heard_in_captions(lexicon: Lexicon) -> None:
    """In captions too a name of the roster is its player's jersey."""
    said = "00:01.000 --> 00:05.000\nquillon never boxed out he just watched the shot go up"
    data = f"WEBVTT\n\n{said}\n".encode()
    (one,) = read_note("film.vtt", data, lexicon, {"12"}, names={"quillon": "12"}).sightings
    assert one.players == ("12",)


def test_outside_text_is_cleaned(lexicon: Lexicon) -> None:
    """Escape sequences and bidi overrides reach neither texts nor names."""
    intake = read_note(
        "a\x1b[2J\u202e.txt", "Q1 8:42 2 bo 21 \x1b[31mred\u202e\nxx yy \x1b]0;t\x07 zz 7\n".encode(), lexicon
    )
    told = [intake.file, *(s.text for s in intake.sightings), *(u.text + u.why for u in intake.unclear)]
    assert not any(char in text for text in told for char in "\x1b\u202e\x07")


@settings(max_examples=150, deadline=None)
@given(
    st.one_of(
        st.binary(max_size=300), st.text(max_size=300).map(lambda text: text.encode("utf-8", "replace"))
    )
)
def test_any_bytes(read_bytes: Read, data: bytes) -> None:
    """Any bytes give an Intake, the same one each time, or a Refusal."""
    try:
        intake = read_bytes(data)
    except Refusal:
        return
    assert intake == read_bytes(data)
    sound(intake)


PIECES = st.sampled_from(
    [
        *[
            "0",
            "2",
            "3",
            "7",
            "21",
            "4",
            "00",
            "#5",
            "+2",
            "-2",
            "(2)",
            "(21)",
            "x2",
            "x",
            "2pts",
            "made",
            "for",
            "and",
            "&",
            ",",
            ";",
            "/",
            "-",
            ".",
            ":",
            "=",
            "->",
            "then",
            "also",
        ],
        "\n",
        "\n\n",
        "\n  ",
        "Q1",
        "8:42",
        "Q2 7:10",
        "8.20",
        "H1",
        "OT 2:00",
        "1.",
        "stop",
        "clean",
        "good",
        "no",
        "no-box-out",
        "bo",
        "late",
        "closeout",
        "ball watching",
        "totals:",
        "possessions: 9",
        "key:",
        "bo = no tag",
        "|||",
        "Date: 2026-11-20",
        "vs Elm",
    ]
)


@settings(max_examples=300, deadline=None)
@given(st.lists(PIECES, max_size=40).map(" ".join), st.one_of(st.none(), st.just({"21", "4", "00"})))
def test_any_heap_of_notes(read_bytes: Read, text: str, roster: set[str] | None) -> None:
    """Any heap of what coaches write gives a sound Intake or a Refusal."""
    try:
        intake = read_bytes(text.encode(), roster)
    except Refusal:
        return
    sound(intake)
    assert roster is None or all(player in roster for one in intake.sightings for player in one.players)


def sound(intake: Intake) -> None:
    """Check what holds of every reading."""
    numbers = [trip.number for trip in intake.trips]
    assert numbers == list(range(1, len(numbers) + 1))
    assert intake.possessions is None or intake.possessions >= len(numbers)
    assert all(trip.points is None or 0 <= trip.points <= 5 for trip in intake.trips)
    for one in intake.sightings:
        assert one.count >= 1
        assert 0.0 < one.sure <= 1.0
        assert len(set(one.players)) == len(one.players)
        assert all(player.isdigit() and len(player) <= 2 for player in one.players)
        assert one.possession is None or intake.trips[one.possession - 1].points == one.points
    assert all(one.why and one.line for one in intake.unclear)


def test_speed(lexicon: Lexicon) -> None:
    """A sheet of 60 possessions is read in a few milliseconds (best of five; generous for a busy machine)."""
    lines = [
        f"Q{q} {m}:{s:02d} 2 no-box-out 21, late on the closeout 4"
        for q in (1, 2, 3, 4)
        for m in (7, 5, 3)
        for s in (5, 15, 25, 35, 45)
    ]
    data = "\n".join(lines).encode()
    taken = []
    for _ in range(5):
        start = time.perf_counter()
        assert len(read_note("x", data, lexicon).trips) == 60
        taken.append(time.perf_counter() - start)
    assert min(taken) < 0.04


def test_long_lines_are_no_trap(lexicon: Lexicon) -> None:
    """Lines made to be slow are not."""
    start = time.perf_counter()
    for text in (
        "|" * 2000 + "a",
        "bo " + "| " * 900 + "x",
        "1 " * 1000,
        "and " * 500,
        "- " * 1000,
        "(" * 2000,
        "8:" * 900,
        "no box out, " * 150,
    ):
        read_note("x", f"Q1 8:42 2 bo 21\n{text}\n".encode(), lexicon)
    assert time.perf_counter() - start < 5.0
