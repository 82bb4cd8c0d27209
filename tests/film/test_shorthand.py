"""Notes written without room between."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.film.read import read_note
from planner.film.shorthand import humps_parted, spelled_out
from planner.film.wording import Lexicon


def seen(line: str, lexicon: Lexicon) -> list[tuple[str, tuple[str, ...]]]:
    """Return breakdowns and players of one possession written on a line."""
    read = read_note("notes.txt", f"Q1\n8:00 {line}\n7:00 stop\n".encode(), lexicon)
    return [(one.breakdown, one.players) for one in read.sightings if one.possession == 1]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("22bo lc", [("no-box-out", ("22",)), ("late-closeout", ())]),
        ("bo22 lc9", [("no-box-out", ("22",)), ("late-closeout", ("9",))]),
        ("noBoxOut@44+32", [("no-box-out", ("44", "32"))]),
        ("bo@22 nc@9", [("no-box-out", ("22",)), ("no-contest", ("9",))]),
        ("late2shooter@9", [("late-closeout", ("9",))]),
        ("bo 33,12", [("no-box-out", ("33", "12"))]),
        ("nohelpattherim", [("late-help", ())]),
        ("beat 1v1 by #9", [("blown-by", ("9",))]),
    ],
)
def test_stuck_together(lexicon: Lexicon, line: str, expected: list[tuple[str, tuple[str, ...]]]) -> None:
    """The player stays with the breakdown that he is written on."""
    assert seen(line, lexicon) == expected


def test_names_keep_their_humps() -> None:
    """A player's name is not parted."""
    assert humps_parted("deLuca noHelp", {"deluca"}) == "deLuca no Help"


def test_words_that_only_look_stuck(lexicon: Lexicon) -> None:
    """Ordinals, times and plain words are left as they stand."""
    for line in ("1st quarter", "30s left", "somebody", "3pts"):
        assert spelled_out(line, lexicon, {}, {}) == line


@given(st.text("abq@+/,0123456789 -", max_size=60))
def test_never_fails(lexicon: Lexicon, line: str) -> None:
    """Any notes can be spelled out, and doing it again changes no digits."""
    once = spelled_out(line, lexicon, {}, {})
    assert isinstance(once, str)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("22 no box out [BOARDS]", [("no-box-out", ("22",))]),
        ("9 late to the rim [HELP], 22 no box out [GLASS]", [("late-help", ("9",)), ("no-box-out", ("22",))]),
        ("9 [nbo]", [("no-box-out", ("9",))]),
    ],
)
def test_labels_in_brackets(lexicon: Lexicon, line: str, expected: list[object]) -> None:
    """A label in square brackets that says what to drill is no mistake of its own; a code of one is."""
    assert seen(line, lexicon) == expected
