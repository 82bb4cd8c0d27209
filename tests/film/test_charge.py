"""Players to breakdowns."""

from __future__ import annotations

import pytest

from planner.film.charge import charge
from planner.film.items import read_items
from planner.film.points import Habits
from planner.film.wording import Lexicon
from tests.film.conftest import Read

Charges = list[tuple[str, tuple[str, ...], int]]


def charged(lexicon: Lexicon, text: str) -> Charges:
    made = charge(read_items(text, lexicon), frozenset(), Habits(), lexicon)
    return [(one.breakdown, tuple(one.players), one.count) for one in made.charges]


def odd(lexicon: Lexicon, text: str) -> list[str]:
    return charge(read_items(text, lexicon), frozenset(), Habits(), lexicon).odd


BO, LC, BW = "no-box-out", "late-closeout", "ball-watching"


@pytest.mark.parametrize(
    ("text", "charges"),
    [
        ("no-box-out 21", [(BO, ("21",), 1)]),
        ("#4 late closeout", [(LC, ("4",), 1)]),
        ("21 & 4 ball watching", [(BW, ("21", "4"), 1)]),
        ("21, 4 ball watching", [(BW, ("21", "4"), 1)]),
        ("7 + 15 ball watching", [(BW, ("7", "15"), 1)]),
        ("bo 21, 4; lc 12", [(BO, ("21", "4"), 1), (LC, ("12",), 1)]),
        ("bo 21 lc 4", [(BO, ("21",), 1), (LC, ("4",), 1)]),
        ("21 bo 4 lc", [(BO, ("21",), 1), (LC, ("4",), 1)]),
        ("bo / lc 4", [(BO, (), 1), (LC, ("4",), 1)]),
        ("bo 4, lc + bw 5 and bo 21", [(BO, ("4",), 1), (LC, (), 1), (BW, ("5",), 1), (BO, ("21",), 1)]),
        ("bo 21 and 4 lc", [(BO, ("21",), 1), (LC, ("4",), 1)]),
        ("21 late closeout while ball watching", [(LC, ("21",), 1), (BW, ("21",), 1)]),
        ("bo21 lc12", [(BO, ("21",), 1), (LC, ("12",), 1)]),
        ("bo 0, bw 00", [(BO, ("0",), 1), (BW, ("00",), 1)]),
        ("bo 0 & 1", [(BO, ("0", "1"), 1)]),
        ("21 and 1 ball watching", [(BW, ("21", "1"), 1)]),
        ("bo x2", [(BO, (), 2)]),
        ("bo x2 21, lc 4 twice", [(BO, ("21",), 2), (LC, ("4",), 2)]),
        ("no box out 21, nobody boxed out", [(BO, ("21",), 1)]),
        ("nobody boxed out, no box out 21", [(BO, ("21",), 1)]),
    ],
)
def test_charges(lexicon: Lexicon, text: str, charges: Charges) -> None:
    """Players go to the breakdown they stand with, in every usual order and with every separator."""
    assert charged(lexicon, text) == charges


@pytest.mark.parametrize(
    ("text", "charges"),
    [
        ("9 dies on the pick, never gets over the screen, he stopped", [("died-on-screen", ("9",), 1)]),
        ("9 late closeout, then 9 late closeout again", [(LC, ("9",), 1), (LC, ("9",), 1)]),
        ("9 hands down by his sides, no contest", [("no-contest", ("9",), 1)]),
        ("4 turns his back, pass goes past his ear", [("turned-back", ("4",), 1)]),
        ("4 boxed out then watched, ball bounces twice", [("no-pursuit", ("4",), 1)]),
    ],
)
def test_one_mistake_is_told_once(lexicon: Lexicon, text: str, charges: Charges) -> None:
    """What tells the same mistake of the same player in more words, or how it went on, is not another."""
    assert charged(lexicon, text) == charges


@pytest.mark.parametrize(
    "text", ["12 tags, never sprints out to his shooter", "4 did show, 9 slow back to his man"]
)
def test_what_was_done_first_is_not_asked_about(lexicon: Lexicon, text: str) -> None:
    """An action done before it went wrong leaves nothing open."""
    assert charged(lexicon, text)
    assert odd(lexicon, text) == []


def test_who_needed_no_help_is_not_charged(lexicon: Lexicon) -> None:
    """A player named only as one who needed no help did nothing wrong."""
    assert charged(lexicon, "11 leaves the strong corner to help when 3 didn't need it") == [
        ("strong-side-help", ("11",), 1)
    ]


@pytest.mark.parametrize(
    "text", ["xq 7", "bo 21, dat closeout 4", "box out 21", "not ball watching", "bo 21, zz", "bo #123"]
)
def test_what_is_not_understood_is_said(lexicon: Lexicon, text: str) -> None:
    """What may be a breakdown but is not sure enough is said and never dropped."""
    assert len(odd(lexicon, text)) == 1


@pytest.mark.parametrize(
    "text", ["bo 21, kicked it to the corner", "bo 21 - great pass", "good closeout 4, bo 21"]
)
def test_commentary_is_let_be(lexicon: Lexicon, text: str) -> None:
    """Free commentary beside a breakdown raises nothing and charges nobody."""
    assert odd(lexicon, text) == []
    assert charged(lexicon, text) == [(BO, ("21",), 1)]


@pytest.mark.parametrize(
    ("notes", "expected"),
    [
        ("roll man not tagged. It was #19's tag", [("no-tag", ("19",))]),
        ("nobody stopped the ball; put it down to 14 and 31 together", [("ball-not-stopped", ("14", "31"))]),
        ("nobody rotated behind, that was for 12", [("no-rotation", ("12",))]),
        ("nobody rotates to 42s man", [("no-rotation", ())]),
        ("28 helps (nice), no rotation", [("no-rotation", ())]),
        ("44 hedged ok, slow to recover", [("slow-recover", ("44",))]),
        ("no talk and 8 and 33 missed switch", [("no-talk", ()), ("missed-switch", ("8", "33"))]),
    ],
)
def test_whose_it_was(read: Read, notes: str, expected: list[tuple[str, tuple[str, ...]]]) -> None:
    """Who is named behind, who helped, and whose man was left are told apart."""
    intake = read(f"Q1 8:42 {notes}")
    assert [(one.breakdown, one.players) for one in intake.sightings] == expected
