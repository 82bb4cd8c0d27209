"""Who may be named in talk over film."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.film.mentions import Mention, mentions
from planner.film.narration import Narration
from planner.film.talk import Talk
from tests.film.talking import spoken

Named = tuple[list[Mention], list[Mention]]
TEAM = frozenset({"2", "4", "8", "20", "44", "52"})


def named(narration: Narration, said: str, roster: frozenset[str] | None = TEAM) -> Named:
    words = spoken(narration, said, roster)
    return mentions(words, Talk(words, ()).pauses, roster)


def players(narration: Narration, said: str, roster: frozenset[str] | None = TEAM) -> list[str]:
    return [one.players[0] for one in named(narration, said, roster)[0]]


@pytest.mark.parametrize(
    ("said", "jerseys"),
    [
        ("eight you are asleep", ["8"]),
        ("44 is asleep and 8 is too", ["44", "8"]),
        ("look at that fifty two asleep", ["52"]),
        ("twenty two for them is loose", []),
        ("the score is nine to seven", []),
        ("twenny never looks", ["20"]),
        ("ate is asleep", ["8"]),
        ("number to is asleep", ["2"]),
        ("forty for is asleep", ["44"]),
        ("one hundred and 144 of them", []),
        ("we lead forty four to twenty", []),
        ("it is forty to twenty eight now", []),
        ("four foot eight and he sleeps", []),
    ],
)
def test_numbers_of_ours(narration: Narration, said: str, jerseys: list[str]) -> None:
    """Jerseys of the roster are found in digits, words and misheard; a ten and a unit are one number."""
    assert players(narration, said) == jerseys


def test_what_sounds_like_a_number_is_one_only_where_nobody_else_is_meant(narration: Narration) -> None:
    """``Forty for`` is 44 only where nobody wears 40."""
    assert players(narration, "forty for the win", TEAM | {"40"}) == ["40"]


def test_a_number_that_may_count_something_is_doubtful(narration: Narration) -> None:
    """A number before ``on the`` may be a player and is kept, with a doubt."""
    (one,) = named(narration, "eight on the far side sleeps")[0]
    assert (one.players, one.doubtful) == (("8",), True)
    (one,) = named(narration, "eight sleeps")[0]
    assert (one.players, one.doubtful) == (("8",), False)


def test_numbers_that_count_clips_are_no_players(narration: Narration) -> None:
    """Numbers that open what is said, each one more than the last, count clips."""
    team = frozenset({"6", "8", "9", "30"})
    said = "six they swing it / okay seven thirty sleeps / clip eight arms down / nine and out"
    assert players(narration, said, team) == ["30"]
    assert players(narration, "six they swing it / thirty sleeps / eight arms down", team) == ["6", "30", "8"]


def test_players_may_be_gone_through_in_order(narration: Narration) -> None:
    """A few numbers in a row that are all worn by players of ours may be those; many in a row count clips."""
    team = frozenset({"5", "6", "7", "8", "9"})
    said = "five arms down / six arms down / seven arms down / eight arms down"
    assert players(narration, said, team) == ["5", "6", "7", "8"]
    assert players(narration, f"{said} / nine arms down", team) == []


def test_names_never_count_clips(narration: Narration) -> None:
    """Players called by name one after the other are players, whatever they wear."""
    called = {f"player{letter}": str(at) for at, letter in enumerate("abcdef", 5)}
    called |= {"ocho five": "A1", "seis seven": "A2"}
    team = narration.numerals.with_roster(called.values(), called)
    words = spoken(narration, " / ".join(f"{name} arms down" for name in called), None, team)
    assert [one.players[0] for one in mentions(words, Talk(words, ()).pauses, team.roster)[0]] == [
        *called.values()
    ]


def test_two_named_together(narration: Narration) -> None:
    """Two who are named within a breath may be charged together, the same one twice is no two."""
    pairs = named(narration, "eight and forty four both sleep")[1]
    assert [one.players for one in pairs] == [("8", "44")]
    assert [one.players for one in pairs[0].parts] == [("8",), ("44",)]
    assert named(narration, "eight sleeps / forty four sleeps")[1] == []
    assert named(narration, "eight sleeps eight sleeps")[1] == []
    assert named(narration, "eight " + "and then " * 8 + "forty four")[1] == []


def test_without_a_roster_a_doubtful_number_counts_only_after_sure_ones(narration: Narration) -> None:
    """Of a team that is not known, a number that may count is a player once he is named twice."""
    doubtful = "eight on the far side sleeps"
    assert players(narration, doubtful, None) == []
    assert players(narration, f"eight jogs and eight walks and {doubtful}", None) == ["8", "8", "8"]


WORDS = ("eight", "forty", "four", "two", "to", "number", "twenty", "and", "52", "the", "/", "on")


@given(st.lists(st.sampled_from(WORDS), max_size=30))
def test_mentions_stand_in_order(narration: Narration, words: list[str]) -> None:
    """Whatever is said, mentions are of our players, in order, and do not share words."""
    single, pairs = named(narration, " ".join(words))
    assert all(one.players[0] in TEAM for one in single)
    assert all(one.end <= two.start for one, two in pairwise(single))
    assert all(one.end > one.start for one in single)
    assert all(set(pair.parts) <= set(single) for pair in pairs)
