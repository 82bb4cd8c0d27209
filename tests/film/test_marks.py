"""Period and clock."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.film.marks import heading_period, read_head
from planner.film.words import plain


@pytest.mark.parametrize(
    ("line", "period", "clock", "rest"),
    [
        ("q1 8:42 2 bo", "Q1", "08:42", "2 bo"),
        ("1q 8:42 bo", "Q1", "08:42", "bo"),
        ("h2 14:05", "H2", "14:05", ""),
        ("ot 3:10 bo", "OT", "03:10", "bo"),
        ("2ot 3:10 bo", "OT2", "03:10", "bo"),
        ("ot2 3:10 bo", "OT2", "03:10", "bo"),
        ("8.42 bo", None, "08:42", "bo"),
        ("08:42 bo", None, "08:42", "bo"),
        ("2nd 5:20 bo", "P2", "05:20", "bo"),
        ("2nd half 5:20 bo", "H2", "05:20", "bo"),
        ("third quarter 5:20 bo", "Q3", "05:20", "bo"),
        ("p3 4:10 bo", "P3", "04:10", "bo"),
        ("q1 842 2 bo", "Q1", "08:42", "2 bo"),
        ("q4 :42 bo", "Q4", "00:42", "bo"),
        ("[q1 8:42] stop", "Q1", "08:42", "stop"),
        ("q1, 8:42, stop", "Q1", "08:42", "stop"),
        ("8:42 q1 bo", "Q1", "08:42", "bo"),
        ("7:52 - 11 blown by", None, "07:52", "11 blown by"),
        ("7:40 -", None, "07:40", "-"),
        ("7:40 -2 bo", None, "07:40", "-2 bo"),
        ("8:42 left: bo", None, "08:42", "bo"),
        ("q1 8:42 left-feet 4", "Q1", "08:42", "left-feet 4"),
        ("bo 21 (q2 5:12)", "Q2", "05:12", "bo 21"),
        ("q1: bo 21", "Q1", None, "bo 21"),
        ("2nd rotation missing", None, None, "2nd rotation missing"),
    ],
)
def test_heads(line: str, period: str | None, clock: str | None, rest: str) -> None:
    """Period and clock are read in every usual form, and the notes behind them are left whole."""
    head = read_head(line)
    assert (head.period, head.clock, head.rest.strip(), head.fault) == (period, clock, rest, None)


@pytest.mark.parametrize(
    ("line", "number"), [("12) q1 8:42 bo", 12), ("3. bo", 3), ("poss 14: bo", 14), ("#7 q1 8:42", 7)]
)
def test_numbering(line: str, number: int) -> None:
    """The coach's own numbering is read and is no part of the notes."""
    assert read_head(line).number == number
    assert str(number) not in read_head(line).rest


def test_film_time() -> None:
    """Hours, minutes and seconds are a time of the film, not a game clock."""
    head = read_head("1:02:33 bo 21")
    assert (head.film, head.clock, head.rest) == ("01:02:33.000", None, "bo 21")


@pytest.mark.parametrize(
    "line", ["q1 13:00 bo", "q1 8:75 bo", "h1 20:01 bo", "ot 5:30 bo", "34:10 bo", "q5 8:00 bo", "q0 8:00 bo"]
)
def test_clocks_that_cannot_be(line: str) -> None:
    """A clock beyond its period, or a period no game has, is a fault.

    Longest periods (12 minutes a quarter, 20 a half, 5 an overtime): common rule books, from memory.
    """
    assert read_head(line).fault


@pytest.mark.parametrize(
    ("line", "period"),
    [
        ("Q2", "Q2"),
        ("Q2:", "Q2"),
        ("--- 2nd half ---", "H2"),
        ("1st quarter", "Q1"),
        ("OT", "OT"),
        ("*P3*", "P3"),
        ("Q2 bo", None),
        ("21", None),
    ],
)
def test_headings(line: str, period: str | None) -> None:
    """A period alone on a line is a heading; with anything else it is not."""
    assert heading_period(plain(line)) == period


@given(st.text(max_size=80))
def test_no_text_breaks_a_head(line: str) -> None:
    """Any text has a head, and a clock is always two digits each way."""
    head = read_head(plain(line))
    assert head.clock is None or (len(head.clock) >= 5 and head.clock[-3] == ":")
