"""The markers of a stretch of talk, and a team's own phrases in it."""

from __future__ import annotations

import pytest

from planner.film.narration import Narration
from planner.film.spoken import sentence
from planner.film.stance import Stretch
from planner.film.wording import Lexicon


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
