"""The talk of a whole film, and who is named near what it tells."""

from __future__ import annotations

import pytest

from planner.film.narration import Narration
from tests.film.talking import BREATH, spoken, talked, the_telling


def near(narration: Narration, said: str, roster: frozenset[str]) -> list[tuple[str, ...]]:
    talk = talked(narration, said, roster)
    return [one.players for one in talk.near(the_telling(talk))]


TEAM = frozenset({"5", "8", "14", "33"})


def test_silence_stands_before_each_word(narration: Narration) -> None:
    """Pauses are the silence before each word; a breath ends what goes before and after a word."""
    talk = talked(narration, "fourteen sleeps / and he wakes", TEAM)
    assert talk.pauses == [0, 0, BREATH, 0, 0]
    assert (talk.before(0), talk.before(1), talk.before(2), talk.before(3)) == (".", "#", ".", "and")
    assert (talk.after(1), talk.after(2), talk.after(5)) == ("sleeps", ".", ".")


def test_who_is_near(narration: Narration) -> None:
    """Players before, in and after a telling are near it, and two named together too."""
    said = "eight turns and fourteen [stands while five watches it] go then thirty three"
    every = near(narration, said, TEAM)
    assert every[:4] == [("8",), ("14",), ("5",), ("33",)]
    assert ("8", "14") in every


@pytest.mark.parametrize(
    "said",
    [
        "eight " + "so " * 61 + "[nobody hits him]",
        "[nobody hits him] " + "so " * 17 + "eight",
        "eight / so / so / so / so / so / so / so / so [nobody hits him]",
    ],
)
def test_who_is_too_far_away(narration: Narration, said: str) -> None:
    """Who was named many words or many breaths before, or well after, is not near."""
    assert near(narration, said, TEAM) == []


def test_of_many_the_nearest_are_looked_at(narration: Narration) -> None:
    """However many are named, twelve are looked at, and those next to the telling are among them."""
    said = "eight five " * 15 + "[nobody hits him] " + "fourteen thirty three " * 6
    talk = talked(narration, said, TEAM)
    told = the_telling(talk)
    single = [one for one in talk.near(told) if not one.parts]
    assert len(single) == 12
    assert {told.start - 1, told.end} <= {one.start for one in single}


def test_what_is_told_from_a_place_to_another(narration: Narration) -> None:
    """Only what is told rather than not counts as told."""
    talk = talked(narration, "so [eight sleeps now] and {five is late there} too", TEAM)
    first, second = ((one.start, one.end) for one in talk.told)
    assert talk.starting(0, 100) == [first, second]
    assert talk.starting(second[0], second[0]) == [second]
    talk.told[0].odds = -1.0
    again = type(talk)(talk.words, talk.told, talk.roster)
    assert again.starting(0, 100) == [second]


def test_how_often_each_is_named(narration: Narration) -> None:
    """Every mention of a player is counted."""
    talk = talked(narration, "eight and five and eight [sleeps here]", TEAM)
    assert talk.often == {"8": 2, "5": 1}
    assert len(spoken(narration, "a b / c")) == 3
