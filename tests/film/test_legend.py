"""Legends inside the sheet."""

from __future__ import annotations

import pytest

from planner.film.legend import read_legend
from planner.film.meant import meant
from planner.film.read import read_note
from planner.film.wording import Lexicon


def legend(lexicon: Lexicon, *lines: str) -> tuple[dict[str, str], set[int], int]:
    read = read_legend(list(enumerate(lines, 1)), lexicon)
    return read.codes, read.lines, len(read.problems)


def test_pairs(lexicon: Lexicon) -> None:
    """``code = phrase`` is a legend wherever it stands, also several on a line or turned round."""
    assert legend(lexicon, "bo = no box out") == ({"bo": "no-box-out"}, {1}, 0)
    assert legend(lexicon, "xx = no tag, yy = late help") == ({"xx": "no-tag", "yy": "late-help"}, {1}, 0)
    assert legend(lexicon, "no tag = qq") == ({"qq": "no-tag"}, {1}, 0)


def test_told_legends(lexicon: Lexicon) -> None:
    """After ``key:`` looser pairs count, on that line or the lines below it up to a blank."""
    assert legend(lexicon, "K: lc late closeout, g good") == ({"lc": "late-closeout", "g": "clean"}, {1}, 0)
    codes, lines, _ = legend(lexicon, "Legend", "xx - no tag", "yy: late help", "", "zz: no talk")
    assert codes == {"xx": "no-tag", "yy": "late-help"}
    assert lines == {1, 2, 3}


def test_unknown_codes_are_problems(lexicon: Lexicon) -> None:
    """A told code for nothing we know is pointed out."""
    assert legend(lexicon, "key: zz = purple hippo") == ({}, {1}, 1)


def test_codes_for_words_of_the_trade(lexicon: Lexicon) -> None:
    """A code that stands for an action or a play is written in full, and asks nothing."""
    key = "Key: bs = ball screen, hg = hedge, bx = box out"
    text = f"{key}\nQ1\n8:00 died on bs 7\n7:20 hg late 9\n7:00 bx 12\n6:30 stop"
    read = read_note("notes.txt", text.encode(), lexicon)
    assert [(one.breakdown, one.players) for one in read.sightings] == [
        ("died-on-screen", ("7",)),
        ("late-show", ("9",)),
        ("no-box-out", ("12",)),
    ]
    assert read.unclear == ()


@pytest.mark.parametrize(
    ("said", "target"),
    [
        ("nice possession", "clean"),
        ("they threw it away themselves", "stop"),
        ("they travel", "stop"),
        ("they score on the break", "neutral"),
    ],
)
def test_keys_of_good_trips_and_losses(lexicon: Lexicon, said: str, target: str) -> None:
    """Praise and what they lost by themselves are no breakdown, however few words tell it."""
    made = meant(said, lexicon)
    assert made is not None
    assert made.target == target


def test_notes_are_no_legend(lexicon: Lexicon) -> None:
    """A possession with points behind an equals sign is no legend."""
    assert legend(lexicon, "Q1 8:42 no box out 21 = 2", "bo 21 = 2") == ({}, set(), 0)


def test_several_on_a_line_and_at_the_bottom(lexicon: Lexicon) -> None:
    """Pairs parted by room or semicolons are read, also with no word that announces them."""
    codes, lines, problems = legend(
        lexicon, "BD = beat off the dribble   LC = late getting out to the shooter"
    )
    assert (codes, lines, problems) == ({"bd": "blown-by", "lc": "late-closeout"}, {1}, 0)
    codes, lines, _ = legend(
        lexicon,
        "1. dr 9",
        "",
        "dr: driven past;  w: weak side too wide;",
        "q: no voices;  ac: outnumbered, went all in",
    )
    assert codes == {"dr": "blown-by", "w": "far-from-paint", "q": "no-talk", "ac": "over-commit"}
    assert lines == {3, 4}


def test_columns_and_headings(lexicon: Lexicon) -> None:
    """Columns of code and words are read under any usual heading, and what is no breakdown is let be."""
    codes, lines, problems = legend(
        lexicon,
        "MY CODES",
        "nb   no body on the shot      xs   blew the switch",
        "TO   timeout",
        "",
        "1. nb 4",
    )
    assert codes == {"nb": "no-box-out", "xs": "missed-switch", "to": "neutral"}
    assert (lines, problems) == ({1, 2, 3}, 0)


def test_a_key_may_state_the_hand(lexicon: Lexicon) -> None:
    """What a key says of numbers is no code."""
    read = read_legend([(1, "bo = no box out   last number = points"), (2, "# after code = who")], lexicon)
    assert read.codes == {"bo": "no-box-out"}
    assert ("last number", "points") in read.stated


def test_unknown_codes_are_asked_about_once(lexicon: Lexicon) -> None:
    """Lines that use a code the key explains in unknown words are not asked about one by one."""
    lines = [
        "key",
        "zz = purple hippo",
        "bo = no box out",
        "",
        *(f"{n}. zz {n}" for n in range(1, 7)),
        "7. bo 4",
    ]
    made = read_note("notes.txt", "\n".join(lines).encode(), lexicon)
    assert [one.line for one in made.unclear] == [2]
    assert [one.breakdown for one in made.sightings] == ["no-box-out"]
    assert made.possessions == 7


def test_codes_that_are_no_words(lexicon: Lexicon) -> None:
    """A code with a digit or a sign in it is read all the same."""
    made = read_note(
        "notes.txt", b"2r = no second rotation, b+ = no box out\n1. 2r\n2. b+ 4\n3. stop\n", lexicon
    )
    assert [one.breakdown for one in made.sightings] == ["no-rotation", "no-box-out"]


def test_codes_in_capitals(lexicon: Lexicon) -> None:
    """A key without marks is known by codes in capitals before small letters, several a line."""
    codes, lines, _ = legend(lexicon, "ZB no box out / ZL late closeout", "ZM gave middle / ZQ mute, no talk")
    assert codes == {"zb": "no-box-out", "zl": "late-closeout", "zm": "gave-middle", "zq": "no-talk"}
    assert lines == {1, 2}
    assert legend(lexicon, "Late closeout / No box out", "BO 12 / LC 4")[0] == {}


def test_what_was_good_or_theirs_is_no_breakdown(lexicon: Lexicon) -> None:
    """A key's word for a good trip or their own mistake counts nothing."""
    codes, lines, _ = legend(
        lexicon, "ok = good trip", "to = they gave it away themselves", "zb = no box out"
    )
    assert {key for key, meant in codes.items() if meant == "no-box-out"} == {"zb"}
    assert not set(codes.values()) - {"no-box-out", "clean", "stop", "neutral"}
    assert lines == {1, 2, 3}
