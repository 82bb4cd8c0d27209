"""What a line takes back and what it only supposes."""

from __future__ import annotations

import pytest

from planner.film.asides import settled
from planner.film.read import read_note
from planner.film.wording import Lexicon


def seen(line: str, lexicon: Lexicon) -> list[tuple[str, tuple[str, ...]]]:
    read = read_note("notes.txt", f"Q1\n8:00 {line}\n7:00 stop\n".encode(), lexicon)
    return [(one.breakdown, one.players) for one in read.sightings if one.possession == 1]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("no box out 12, no wait thats 21", [("no-box-out", ("21",))]),
        ("12 no wait thats 21 no box out", [("no-box-out", ("21",))]),
        ("no box out 12, scratch that, late closeout 12", [("late-closeout", ("12",))]),
        ("no box out 34 ?? -- no, 34 had him", []),
        ("if 12 doesn't box out we are dead", []),
        ("almost beat backdoor, stop", []),
        ("12 should have boxed out", [("no-box-out", ("12",))]),
    ],
)
def test_taken_back(lexicon: Lexicon, line: str, expected: list[tuple[str, tuple[str, ...]]]) -> None:
    """A correction replaces what it corrects; what is only supposed is not counted."""
    assert seen(line, lexicon) == expected


def test_points_taken_back(lexicon: Lexicon) -> None:
    """A small number corrects the points, not the player."""
    read = read_note("notes.txt", b"Q1\n8:00 +2 no box out 21 no wait thats 3\n7:00 stop\n", lexicon)
    assert (read.trips[0].points, read.sightings[0].players) == (3, ("21",))


def test_other_notes_stay(lexicon: Lexicon) -> None:
    """A line that takes nothing back is left as it stands."""
    assert settled("2 no box out 21, late help 4", lexicon) == "2 no box out 21, late help 4"


@pytest.mark.parametrize(
    ("notes", "left"),
    [
        ("bo 13.. no its 6", "bo 6"),
        ("reach 45 (xx not 45, 24) +0", "reach 24"),
        ("22 no, 2 closes out late", "2 closes out late"),
        ("21 late. no, i have looked again, it was 12, not 21, who was late.", "12 late."),
        ("lc 20, strike lc 20, he was there", ", he was there"),
    ],
)
def test_more_ways_to_take_back(lexicon: Lexicon, notes: str, left: str) -> None:
    """Corrections in brackets, after dots, in a sentence of their own, and struck codes hold."""
    said = " ".join(settled(notes, lexicon).replace(" ,", ",").split())
    assert left.strip(" ,") in said
    gone = {"13", "45", "21"} & set(notes.replace(",", " ").replace(".", " ").split())
    assert not gone & set(said.replace(",", " ").replace(".", " ").split())
