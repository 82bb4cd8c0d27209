"""A team's own words: what of a line can be taught, and what the line says once it is."""

from __future__ import annotations

import pytest

from planner.film.learnt import detail, learnable, question, usable, wording
from planner.film.read import read_note
from planner.film.wording import Lexicon


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Q1 8:42 2 zonk 21", "zonk"),
        ("Q2 7:10 zonk #4, no box out 21", "zonk"),
        ("zonk #21", "zonk"),
        ("3. 8:20 +2 lazy nail man 4 & 12", "lazy nail man"),
        ("- 00:01:02 Lazy Nail Man", "lazy nail man"),
    ],
)
def test_learnable(lexicon: Lexicon, text: str, said: str) -> None:
    """The wording taught is the one stretch nobody knows, without clock, jerseys and points."""
    assert learnable(text, lexicon) == said


@pytest.mark.parametrize(
    "text",
    [
        "Q1 8:42 2 no box out 21",
        "Q1 8:42 2 21",
        "Q1 8:42 ball 21",
        "Q1 8:42 x 21",
        "Q1 8:42 zonk, blurb 21",
        "one two many words here that nobody will ever write twice like this",
        "",
        "the of a",
    ],
)
def test_not_learnable(lexicon: Lexicon, text: str) -> None:
    """Known wording, everyday words, single letters, sentences and two strange stretches teach nothing."""
    assert learnable(text, lexicon) is None


def test_wording_groups_lines() -> None:
    """Lines that differ in clock, players and points only are worded alike."""
    lines = ["Q1 8:42 2 Zonk 21", "Q3 1:07 zonk #4", "zonk", "12. zonk (3)"]
    assert {wording(one) for one in lines} == {"zonk"}
    assert wording("Q1 8:42 2 21") == ""


def test_detail(lexicon: Lexicon) -> None:
    """Once the wording is known, players of ours, count and points come from the line itself."""
    told = detail("Q1 8:42 2pts zonk x3 21 & 99", "zonk", "no-tag", lexicon, {"21", "4"})
    assert (told.players, told.count, told.points) == (("21",), 3, 2)
    assert detail("nothing of the kind", None, "no-tag", lexicon, None).players == ()


def test_learnt_words_are_read(lexicon: Lexicon) -> None:
    """A learnt wording is read in the next sheet and the next table."""
    taught = lexicon.with_words({"lazy nail man": "far-from-paint", "zonk": "clean"})
    sheet = read_note("a.txt", b"Q1 8:42 2 lazy nail man 21\nQ1 8:20 zonk\n", taught)
    assert [one.breakdown for one in sheet.sightings] == ["far-from-paint"]
    assert (sheet.unclear, sheet.possessions) == ((), 2)
    table = read_note("a.csv", b"Clock,Mistake\n8:42,Lazy nail man\n8:20,zonk\n8:00,no tag\n", taught)
    assert [one.breakdown for one in table.sightings] == ["far-from-paint", "no-tag"]
    assert (table.unclear, table.possessions) == ((), 3)


def test_stored_words_are_checked(lexicon: Lexicon) -> None:
    """What a stored setting holds is used only as far as it still means something."""
    stored = {"zonk": "no-tag", "gone": "no-such-thing", "fine": "clean", 3: "no-tag", "odd": 7}
    assert usable(stored, lexicon) == {"zonk": "no-tag", "fine": "clean"}
    assert usable(["zonk"], lexicon) == {}
    assert usable(None, lexicon) == {}


def test_questions() -> None:
    """A line that only asks who it was is told from one that nobody understood."""
    assert question("no player 99 on the roster; the breakdown is counted") == "99"
    assert question("no player 'kim' on the roster; the breakdown is counted") == "kim"
    assert question("'zonk' is no breakdown we know; the rest of the row is counted") is None
