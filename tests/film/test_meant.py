"""What labels mean."""

from __future__ import annotations

import pytest

from planner.film.meant import meant, overruled, told
from planner.film.wording import Lexicon
from planner.film.words import words


@pytest.mark.parametrize(
    ("label", "breakdown"),
    [
        ("no body on the shot", "no-box-out"),
        ("post lets him catch it too deep", "easy-catch"),
        ("hedger doesn't get back to his man", "slow-recover"),
        ("two chase the ball on the switch", "missed-switch"),
        ("box out", "no-box-out"),
        ("loses shtr off scrn", "lost-off-screen"),
    ],
)
def test_labels(lexicon: Lexicon, label: str, breakdown: str) -> None:
    """Words of a key name a breakdown, by a phrase or by likeness, clipped words too."""
    made = meant(label, lexicon)
    assert made is not None
    assert made.target == breakdown


@pytest.mark.parametrize(
    "label", ["deflections", "charges drawn", "purple hippo", "", "their best player", "steals"]
)
def test_labels_that_name_no_breakdown(lexicon: Lexicon, label: str) -> None:
    """What is done well, or unknown, is never taken for a breakdown."""
    made = meant(label, lexicon)
    assert made is None or not made.id


def test_bare_actions(lexicon: Lexicon) -> None:
    """Outside a key the bare name of an action does not say that it failed."""
    assert meant("box out", lexicon, bare=False) is None
    assert meant("no box out", lexicon, bare=False) is not None


def test_clean_stays_clean(lexicon: Lexicon) -> None:
    """A key's word for a possession without mistakes keeps that meaning."""
    made = meant("no mistakes", lexicon)
    assert made is not None
    assert (made.kind, made.target) == ("clean", "clean")


def test_told_in_other_words(lexicon: Lexicon) -> None:
    """Words that no phrase foresaw are read when they sound like one mistake; theirs are not."""
    read = told(words("showed him the lane instead of the sideline"), lexicon, player=True)
    assert read is not None
    assert read[0] == "gave-middle"
    assert read[1] < 1
    assert told(words("they inbound under the basket and score"), lexicon, player=False) is None
    assert told(words("swung it three times and found the open man"), lexicon, player=True) is None


def test_the_whole_overrules_a_part(lexicon: Lexicon) -> None:
    """A short phrase inside gives way when the words around it clearly tell of another breakdown."""
    said = words("guy runs right through the middle of the lane and nobody bumps him")
    assert overruled("gave-middle", said, lexicon) == "free-cutter"
    assert overruled("no-talk", words("nobody talks on it"), lexicon) == "no-talk"
