"""What speaks for and against charging somebody."""

from __future__ import annotations

import pytest

from planner.film.clues import clues
from planner.film.narration import Narration
from tests.film.talking import talked, the_telling

TEAM = frozenset({"2", "5", "8", "14", "33"})


def found(
    narration: Narration, said: str, who: tuple[str, ...], roster: frozenset[str] | None = TEAM
) -> set[str]:
    talk = talked(narration, said, roster)
    return next(set(told) for players, told in clues(talk, the_telling(talk)) if players == who)


@pytest.mark.parametrize(
    ("said", "who", "clue"),
    [
        ("eight [never turns round]", "8", "before words 0"),
        ("eight and now he [never turns round]", "8", "before words 2"),
        ("eight / he [never turns round]", "8", "before silence 3"),
        ("so [eight never turns round]", "8", "in words 0"),
        ("[never turns round] eight", "8", "after words 0"),
        ("eight and fourteen [never turn]", "8", "before number 1"),
        ("eight and fourteen [never turn]", "14", "before number 0"),
        ("eight and fourteen [never turn]", "8", "first of two"),
        ("eight and fourteen [never turn]", "14", "second of two"),
        ("eight nice work [he never turns]", "8", "before between good"),
        ("eight [he never turns]", "8", "before head he"),
        ("their eight [never turns]", "8", "before < they"),
        ("eight you [never turn]", "8", "before > you"),
        ("{eight is late now} and [nobody turns round]", "8", "before at the start of another"),
        ("eight {is late now} and [nobody turns round]", "8", "before opens another"),
        ("eight {is late now} and [nobody turns round]", "8", "before nearer tellings 1"),
        ("eight {is late now} and [nobody turns round]", "8", "before told between 1"),
        ("eight on the wing [never turns]", "8", "doubtful"),
        ("two [never turns]", "2", "tiny"),
    ],
)
def test_clues_of_one(narration: Narration, said: str, who: str, clue: str) -> None:
    """Place, silence, words beside and between and what else is told are clues."""
    assert clue in found(narration, said, (who,))


def test_clues_of_two(narration: Narration) -> None:
    """Two named together have clues of their own: how they are joined and what follows."""
    both = found(narration, "eight and fourteen are [both asleep on it]", ("8", "14"))
    assert {"two", "two no-box-out", "two before", "two and", "two both", "two are"} <= both
    apart = found(narration, "eight he waits fourteen he waits [no body on him]", ("8", "14"))
    assert {"two apart 0", "two alike"} <= apart


def test_nobody_is_the_first_choice(narration: Narration) -> None:
    """That nobody is charged is always a choice, and what nobody did speaks for it."""
    talk = talked(narration, "[nobody hits him]", TEAM, collective=True)
    assert clues(talk, the_telling(talk)) == [((), ["none", "none no-box-out", "none collective"])]


def test_an_unknown_team(narration: Narration) -> None:
    """Without a roster it counts how often a number is said, once there is much talk."""
    said = "eight sleeps and eight [never turns]"
    long = said + " and so on" * 100
    assert "unknown said 2" in found(narration, long, ("8",), None)
    for short in (found(narration, said, ("8",), None), found(narration, long, ("8",))):
        assert not any(one.startswith("unknown") for one in short)
