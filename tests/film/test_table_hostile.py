"""Files made to do harm: read with a warning or refused in one sentence, soon, and never with a traceback."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.film.intake import Intake
from planner.film.read import MOST_WORDS, read_note
from planner.film.wording import Lexicon
from planner.problem import Refusal

HEAD = "Clock,Pts,Mistake,Player\n"
ROW = "8:42,2,no box out,21\n8:20,0,,\n"


def outcome(lexicon: Lexicon, data: bytes, name: str = "x.csv", within: float = 3.0) -> Intake | str:
    """Return the reading, or the sentence of the refusal; either comes within seconds."""
    began = time.perf_counter()
    found: Intake | str
    try:
        found = read_note(name, data, lexicon)
    except Refusal as refusal:
        found = str(refusal)
        assert found.endswith(".")
        assert "\n" not in found
        assert name in found
    assert time.perf_counter() - began < within
    return found


def right(found: Intake | str) -> bool:
    return isinstance(found, Intake) and [(s.breakdown, s.players) for s in found.sightings] == [
        ("no-box-out", ("21",))
    ]


@pytest.mark.parametrize("name", ["x.csv", "x.tsv", "x.txt", "x"])
def test_refused(lexicon: Lexicon, name: str) -> None:
    """Empty, binary, oversized and formatted files are refused."""
    for data in (
        b"",
        b"\n\n\n",
        b",,,\n,,,\n",
        bytes(range(256)) * 40,
        b"a," * 2_500_000,
        b"\0" * 5000,
        b"<html><body><table><tr><td>Mistake</td></tr></table></body></html>",
        b"<?xml version='1.0'?><!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>",
        b"{\\rtf1 no box out 21}",
        b"%PDF-1.7 no box out",
    ):
        found = outcome(lexicon, data, name)
        assert isinstance(found, str) or not found.sightings


def test_one_long_line(lexicon: Lexicon) -> None:
    """One line of megabytes, with or without delimiters and quotes, is soon done with."""
    for data in (
        b"x" * 1_900_000,
        b"no box out," * 170_000,
        b'"' * 1_900_000,
        b'"a,' * 600_000,
        b"Q1 8:42 " + b"bo " * 600_000,
    ):
        for name in ("x.csv", "x.txt"):
            outcome(lexicon, data, name, within=6.0)


def test_ten_thousand_columns(lexicon: Lexicon) -> None:
    """Ten thousand columns are refused; as many empty ones behind the last are not."""
    wide = ",".join(["Mistake", "Player", *(f"c{n}" for n in range(10_000))])
    assert "400 columns" in str(outcome(lexicon, f"{wide}\nno box out,21{',1' * 10_000}\n".encode()))
    tail = "," * 10_000
    assert right(outcome(lexicon, "".join(f"{line}{tail}\n" for line in (HEAD + ROW).splitlines()).encode()))


def test_broken_text(lexicon: Lexicon) -> None:
    """NUL bytes, half-decoded text, UTF-16 with and without mark, and old line ends read alike."""
    text = HEAD + ROW
    for data in (
        text.replace("no box", "no\0 box").encode(),
        text.encode("utf-16"),
        text.encode("utf-16-le"),
        text.replace("\n", "\r").encode(),
        b"\xef\xbb\xbf" + text.encode(),
        text.encode() + "8:00,0,clean café,\n".encode("cp1252"),
        text.encode() + b"8:00,0,clean \xff\xfe\x81,\n",
        text.encode() + "8:00,0,clean Ã©,\n".encode(),
    ):
        assert right(outcome(lexicon, data))


def test_formulas_escapes_and_markup_are_only_text(lexicon: Lexicon) -> None:
    """Formulas, terminal escapes, bidi overrides and markup are plain text that waits to be sorted."""
    evil = [
        "=cmd|' /C calc'!A0",
        "@SUM(1+1)",
        "+1+1",
        "\x1b[2J\x1b]0;x\x07wipe",
        "\u202egnihtyna",
        "<b>zonk</b>",
        "[red]zonk[/]",
    ]
    rows = "".join(f"7:{n:02d},2,{said},21\n" for n, said in enumerate(evil))
    found = outcome(lexicon, (HEAD + ROW + rows).encode())
    assert isinstance(found, Intake)
    assert len(found.unclear) >= len(evil) - 2
    told = [
        *found.problems,
        *(u.text + u.why for u in found.unclear),
        *(s.text for s in found.sightings),
        *found.columns,
    ]
    assert not any(char in text for text in told for char in "\x1b\x07\u202e\0")


def test_impossible_values(lexicon: Lexicon) -> None:
    """Dates that are none, negative points and counts and huge numbers are pointed out, not believed."""
    text = (
        "Date,2026-02-31\nClock,Pts,Mistake,Times\n8:42,-2,no box out,1\n8:20,2,no box out,-4\n"
        "8:00,2,no box out,99999999999999999999\n7:40,1e9,no box out,1e9\n7:20,0,,\n"
    )
    found = outcome(lexicon, text.encode())
    assert isinstance(found, Intake)
    assert [one.line for one in found.sightings] == [3]
    assert found.heading.date is None
    assert any("2026-02-31" in one for one in found.problems)
    assert {one.line for one in found.unclear} == {3, 4, 5, 6}


def test_slow_matching(lexicon: Lexicon) -> None:
    """Notes made of misspelt words, or of one word over and over, are refused beyond a game's length."""
    few = "\n".join(
        "Q1 8:42 " + " ".join(f"{chr(97 + n % 26)}loseuot{n}x{chr(97 + row % 26)}" for n in range(40))
        for row in range(MOST_WORDS // 90)
    )
    outcome(lexicon, few.encode(), "x.txt", within=8.0)
    outcome(lexicon, b"no " * 600_000, "x.txt")
    for text in ("late closeuot\n" * 15_000, ("late " * 300 + "\n") * 400):
        assert "20,000" in str(outcome(lexicon, text.encode()[:1_999_999], "x.txt"))


@pytest.fixture(scope="module")
def judged(lexicon: Lexicon) -> Callable[[bytes, str], object]:
    """Return ``outcome`` with its lexicon (which is slow to print when a property fails)."""

    def judge(data: bytes, name: str) -> object:
        return outcome(lexicon, data, name)

    return judge


@settings(max_examples=200, deadline=None)
@given(
    st.one_of(
        st.binary(max_size=400),
        st.text(max_size=200).map(lambda one: (HEAD + one).encode("utf-8", "replace")),
    ),
    st.sampled_from(["x.csv", "x.tsv", "x.xlsx", "x.txt", "x"]),
)
def test_any_bytes(judged: Callable[[bytes, str], object], data: bytes, name: str) -> None:
    """Any bytes under any name give a reading or a refusal."""
    assert judged(data, name)
