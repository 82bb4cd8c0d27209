"""The markers of a stretch of talk, a team's own phrases in it, and who is charged."""

from __future__ import annotations

import pytest

from planner.film.charged import charged
from planner.film.narration import Narration, load_narration
from planner.film.spoken import sentence
from planner.film.stance import Stretch
from planner.film.telling import Telling
from planner.film.wording import Lexicon


@pytest.fixture(scope="module")
def narration(lexicon: Lexicon) -> Narration:
    return load_narration(lexicon.narration)


def heard(narration: Narration, lexicon: Lexicon, said: str) -> Stretch:
    return Stretch(narration.numerals.joined(sentence(said)), narration, lexicon)


@pytest.mark.parametrize(
    ("said", "stance"),
    [
        ("if nobody boxes out", "condition"),
        ("last week nobody boxed out", "past"),
        ("their big fell asleep", "theirs"),
        ("great box out", "praise"),
        ("take a look at it again", "repeat"),
        ("i take that back", "retraction"),
        ("next one", "clip"),
    ],
)
def test_markers(narration: Narration, lexicon: Lexicon, said: str, stance: str) -> None:
    """Words that say how to take what stands near them are marked, inside longer talk too."""
    assert stance in {mark.what.stance for mark in heard(narration, lexicon, said).marks}


def test_a_marker_inside_a_longer_one_says_nothing(narration: Narration, lexicon: Lexicon) -> None:
    """``If you look`` points at something and is no condition."""
    marks = heard(narration, lexicon, "if you look nobody boxed out").marks
    assert "condition" not in {mark.what.stance for mark in marks}


def test_own_phrases(narration: Narration, lexicon: Lexicon) -> None:
    """A team's own phrase is found where it stands, and the library's phrases are not its own."""
    taught = lexicon.with_words({"wet noodle": "reach-foul"})
    assert list(heard(narration, taught, "he does the wet noodle and no box out").own()) == [
        (3, 5, "reach-foul")
    ]
    assert list(heard(narration, lexicon, "no box out").own()) == []


@pytest.mark.parametrize(
    ("said", "start", "end", "players"),
    [
        ("twelve never boxed out", 1, 4, ("12",)),
        ("twelve never boxed out", 0, 4, ("12",)),
        ("forty four and fifteen are late getting back", 3, 7, ("44", "15")),
        ("late closeout by twenty one", 0, 2, ("21",)),
        ("six shoots it and here fifteen never boxed out", 5, 9, ("15",)),
    ],
)
def test_who_is_charged(
    narration: Narration, lexicon: Lexicon, said: str, start: int, end: int, players: tuple[str, ...]
) -> None:
    """The player named at the start of it or before it did it, or the one named to it."""
    words = heard(narration, lexicon, said).words
    assert charged(words, Telling("no-box-out", start, end, 1.0), -1, len(words)) == players


def test_what_nobody_did(narration: Narration, lexicon: Lexicon) -> None:
    """What nobody did is charged to the one named after it, not to one named before."""
    words = heard(narration, lexicon, "twelve shoots and nobody boxed out").words
    assert charged(words, Telling("no-box-out", 3, 6, 1.0, collective=True), -1, len(words)) == ()
    words = heard(narration, lexicon, "nobody boxed out number twelve that's you").words
    told = Telling("no-box-out", 0, 3, 1.0, collective=True)
    assert charged(words, told, -1, len(words)) == ("12",)
