"""Whole sentences weighed."""

from __future__ import annotations

import pytest

from planner.film.sentences import read_notes
from planner.film.wording import Lexicon


def named(text: str, lexicon: Lexicon, *, label: bool = False) -> list[str]:
    return [one.text for one in read_notes(text, lexicon, label=label) if one.kind == "breakdown"]


@pytest.mark.parametrize(
    ("said", "breakdown"),
    [
        ("the guard up top dribbles from end to end and 12 hovers beside the ball", "ball-not-stopped"),
        ("8 is planted beside a shooter two passes away, heels far outside the lane", "far-from-paint"),
    ],
)
def test_a_sentence_no_phrase_foresaw(lexicon: Lexicon, said: str, breakdown: str) -> None:
    """What no piece between commas names, the sentence as a whole may."""
    assert named(said, lexicon) == [breakdown]


@pytest.mark.parametrize(
    "said",
    ["they ran a nice set for their shooter in the corner", "our offense was bad, 12 took a terrible shot"],
)
def test_talk_of_others_is_left(lexicon: Lexicon, said: str) -> None:
    """What the other team did, and our own attack, is no mistake of our defence."""
    assert named(said, lexicon) == []


def test_a_denial_stands(lexicon: Lexicon) -> None:
    """What is denied is not read as a mistake, however like one the words are."""
    assert named("12 was not ball watching on this one at all", lexicon) == []


@pytest.mark.parametrize(
    ("said", "names"),
    [
        ("good box out 00 (smallest guy on the floor)", False),
        ("good box out 12 on the biggest guy on the floor", False),
        ("good box out 12 but then flat feet and never went for the rebound", True),
    ],
)
def test_praise_is_turned_only_by_a_word_that_turns_it(lexicon: Lexicon, said: str, names: bool) -> None:
    """What is done well stays so, however like a mistake it sounds, until a word takes it back."""
    read = read_notes(said, lexicon)
    assert any(one.kind == "breakdown" for one in read) is names
