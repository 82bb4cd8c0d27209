"""Counts by breakdowns that name players."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.film.by_breakdown import listed
from tests.film.conftest import Read

EXPECTED = {
    ("no-box-out", ("21",)): 3,
    ("no-box-out", ("4",)): 1,
    ("late-closeout", ("8",)): 2,
    ("no-talk", ()): 6,
}


@pytest.mark.parametrize(
    "lines",
    [
        ("no box out: 21 x3, 4", "late closeout: 8 x2", "no talk: team x6"),
        ("no box out (4): 21 (3), 4 (1)", "late closeout (2): 8 (2)", "no talk (6): team (6)"),
        ("no box out 4 - 21, 21, 21, 4", "late closeout 2 - 8, 8", "no talk 6 - team x6"),
        ("4 no box out: 3x #21, 1x #4", "2 late closeout: 2x #8", "6 no talk: 6x team"),
        (
            "no box out -> 21 3 times, 4",
            "late closeout -> 8 twice",
            "no talk -> team x6",
        ),
        ("no box out", "- 21 x3", "- 4", "late closeout", "- 8 x2", "no talk", "- team x6"),
    ],
)
def test_players_behind_what_they_did(read: Read, lines: tuple[str, ...]) -> None:
    """Players and how often each, behind a breakdown or below it, with its total or without."""
    made = read("\n".join(("50 possessions", *lines)))
    counted: Counter[tuple[str, tuple[str, ...]]] = Counter()
    for one in made.sightings:
        counted[one.breakdown, one.players] += one.count
    assert counted == EXPECTED
    assert (made.possessions, made.trips) == (50, ())


def test_possessions_are_no_counts(read: Read) -> None:
    """Lines that end in points and stops are possessions, whatever brackets they use."""
    made = read("no box out 33 (2)\nstop (0)\nlate closeout 5 (3)\nstop (0)\nno tag 3 (2)\nstop (0)\n")
    assert made.possessions == 6
    assert all(one.count == 1 and one.possession for one in made.sightings)


@given(st.text(alphabet="0123456789 x#,()team:-=|", max_size=60))
def test_any_list_is_bounded(text: str) -> None:
    """Whatever stands there, nobody is counted more often than a game allows."""
    assert all(who is None or 0 <= count <= 12 for who, count in listed(text) or ())


def test_strokes_before_who(read: Read) -> None:
    """Strokes or a count stand before the players in brackets; what two made together is told as such."""
    text = "\n".join(
        (
            "No box out        IIII I     (7 x2, 12, 30, 7)",
            "Gave the middle   x3         (12)",
            "No rotation       II",
            "Missed switch     I          (7 and 30 together)",
            "Back cut          II no, III (12 x3)",
            "No talk           x2         (whole team)",
            "Their travels     x9",
        )
    )
    made = read(text)
    counted: Counter[tuple[str, tuple[str, ...]]] = Counter()
    for one in made.sightings:
        counted[one.breakdown, one.players] += one.count
    assert counted == Counter(
        {
            ("no-box-out", ("7",)): 3,
            ("no-box-out", ("12",)): 1,
            ("no-box-out", ("30",)): 1,
            ("gave-middle", ("12",)): 3,
            ("no-rotation", ()): 2,
            ("missed-switch", ("7", "30")): 1,
            ("back-cut", ("12",)): 3,
            ("no-talk", ()): 2,
        }
    )
    assert made.possessions is None
