"""Who is charged with what is told over film."""

from __future__ import annotations

import pytest

from planner.film.charged import charged, weights
from planner.film.narration import Narration
from tests.film.talking import talked, the_telling

TEAM = frozenset({"2", "5", "8", "14", "20", "33", "44"})


def who(narration: Narration, said: str, told: str = "no-box-out", **more: bool) -> tuple[str, ...]:
    talk = talked(narration, said, TEAM, told=told, **more)
    return charged(talk, the_telling(talk, told))


@pytest.mark.parametrize(
    ("said", "players"),
    [
        ("eight [never boxed out]", ("8",)),
        ("[eight never boxed out]", ("8",)),
        ("forty four and eight [are late getting back]", ("44", "8")),
        ("[late closeout] by thirty three", ("33",)),
        ("six shoots it and here eight [never boxed out]", ("8",)),
    ],
)
def test_who_is_named_beside_it(narration: Narration, said: str, players: tuple[str, ...]) -> None:
    """The player named at the start of it or before it did it, or the one named to it."""
    assert who(narration, said) == players


def test_what_nobody_did(narration: Narration) -> None:
    """What nobody did is charged to the one named after it, not to one named before."""
    assert who(narration, "eight shoots and [nobody boxed out]", collective=True) == ()
    assert who(narration, "[nobody boxed out] number eight that's you", collective=True) == ("8",)


@pytest.mark.parametrize(
    ("said", "told", "players"),
    [
        ("look at eight / he [is nowhere near the shooter when it is caught]", "late-closeout", ("8",)),
        ("fourteen you are dancing out there [she just runs right round you]", "blown-by", ("14",)),
        ("twenty on the weak side [his head is turned the whole time]", "ball-watching", ("20",)),
        ("lovely job by five / now thirty three [he bites on the fake and jumps]", "left-feet", ("33",)),
        ("their eight drives at fourteen and [he goes round him like a cone]", "blown-by", ("14",)),
        ("[the guard walks straight past you] forty four", "blown-by", ("44",)),
        ("five and twenty [you both chase the ball and their big is alone]", "missed-switch", ("5", "20")),
    ],
)
def test_who_is_meant(narration: Narration, said: str, told: str, players: tuple[str, ...]) -> None:
    """A player goes with his own mistake: a breath before, beside a count, after praise, with another."""
    assert who(narration, said, told) == players


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("great help by five there / next clip and [nobody says a word on the screen]", "no-talk"),
        ("eight gets by his man and scores for us / [who has the guy in the corner]", "unmatched"),
        ("it is twenty to fourteen now / [all five of us jog back and watch them run]", "slow-back"),
    ],
)
def test_who_is_only_named(narration: Narration, said: str, told: str) -> None:
    """Who is praised, attacks, or is no player but a score is not charged with what nobody did."""
    assert who(narration, said, told) == ()


def test_nobody_named_is_nobody_charged(narration: Narration) -> None:
    """Where nobody is named, nobody is charged."""
    assert who(narration, "and [he never boxed out]") == ()


def test_weights_name_clues(narration: Narration) -> None:
    """The weights are a few hundred, all within reason, and nobody has one."""
    made = weights()
    assert 100 < len(made) < 600
    assert all(abs(weight) < 10 for weight in made.values())
    assert "none" in made
