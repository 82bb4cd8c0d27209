"""What drills need to be run with, read off their cards, beside what the team has."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.build.brief import Pin, Rules, Weight
from planner.build.candidates import find_candidates
from planner.build.check import check_plan
from planner.build.equipment import short_of, things
from planner.build.make import make_plan
from planner.build.stations import why_no_pair
from planner.drills.vocabulary import Stage
from planner.problem import Refusal
from tests.build import kit

PADS = kit.drill(1, equipment=("2 blocking pads", "3 balls"), stage=Stage.GUIDED, shares={"box-out": 15})
PLAIN = kit.drill(2, equipment=("1 ball",), stage=Stage.GUIDED, shares={"closeout": 12})


@pytest.mark.parametrize(
    ("line", "players", "needs"),
    [
        ("2 balls", 12, [(2, "balls")]),
        ("a whiteboard", 12, [(1, "a whiteboard")]),
        ("1 ball for each pair", 11, [(6, "ball")]),
        ("1 ball for two players", 12, [(6, "ball")]),
        ("1 ball for each three", 12, [(4, "ball")]),
        ("1 ball for each player", 11, [(11, "ball")]),
        ("chalk, or 6 cones", 12, [(1, "chalk"), (6, "cones")]),
        ("4 to 6 clips of at most fifteen seconds", 12, [(4, "clips of at most fifteen seconds")]),
        ("2 blocking pads if you have them", 12, []),
    ],
)
def test_lines_of_the_cards_are_read(line: str, players: int, needs: list[tuple[int, str]]) -> None:
    """The ways in which the library's cards say what they need are read as so many of something."""
    assert [(one.count, one.name) for one in things(line, players)] == needs


@pytest.mark.parametrize(
    ("owned", "missing"),
    [
        ({}, ""),
        ({"chairs": 0}, ""),
        ({"pads": 2}, ""),
        ({"pad": 1}, "needs 2 pad, you have 1"),
        ({"blocking pads": 0}, "needs 2 blocking pads, you have none"),
        ({"pads": 9, "blocking pads": 1}, "needs 2 blocking pads, you have 1"),
        ({"pads": 2, "balls": 2}, "needs 3 balls, you have 2"),
    ],
)
def test_what_is_missing_is_said(owned: dict[str, int], missing: str) -> None:
    """Only what the team spoke of can be missing; the most exact name counts."""
    assert short_of([(PADS, 12)], owned) == missing


def test_another_way_will_do() -> None:
    """Of two things either of which will do, one is enough; one never spoken of is there."""
    chalk = replace(PLAIN, equipment=("chalk, or 6 cones",))
    assert short_of([(chalk, 12)], {"cones": 0}) == ""
    assert short_of([(chalk, 12)], {"cones": 0, "chalk": 1}) == ""
    assert "you have" in short_of([(chalk, 12)], {"cones": 5, "chalk": 0})


@given(st.text(max_size=40), st.integers(1, 20))
def test_no_line_breaks_it(line: str, players: int) -> None:
    """Whatever a card says is read as things with a number of at least one, or not at all."""
    for one in things(line, players):
        assert one.count >= 0
    short_of([(replace(PLAIN, equipment=(line,)), players)], {"ball": 1})


def test_a_drill_that_lacks_something_is_not_offered() -> None:
    """A drill short of pads is left out with its reason, and refused where it is pinned."""
    brief = kit.brief((PADS, PLAIN), equipment={"pads": 1}, minutes=40)
    found, out = find_candidates(brief)
    assert [one.drill.id for one in found] == [PLAIN.id]
    assert [(one.drill, one.why) for one in out] == [(PADS.id, "needs 2 pads, you have 1")]
    with pytest.raises(Refusal, match="needs 2 pads, you have 1"):
        make_plan(replace(brief, pins=(Pin(PADS.id),)))


def test_two_baskets_need_twice_as_much() -> None:
    """With pads for one basket a drill runs at one; beside another drill that needs none it is a station."""
    brief = kit.brief(
        (PADS, PLAIN),
        equipment={"pads": 2},
        minutes=23,
        warm_up_minutes=0,
        cool_down_minutes=0,
        rules=Rules(waiting=0.3),
        squad=kit.squad(12),
    )
    brief = replace(brief, weights={"box-out": Weight(3.0), "closeout": Weight(3.0)})
    found, _ = find_candidates(brief)
    assert [one.twin is None for one in found] == [True, False]
    assert why_no_pair(PADS, PLAIN, brief) == ""
    assert "needs 4 pads" in why_no_pair(PADS, replace(PADS, id="other"), brief)
    plan = make_plan(brief)
    assert check_plan(plan, brief) == []
    assert len(plan.turns) == 2, "at two baskets fewer wait, and the pads are enough for one"
    short = replace(brief, equipment={"pads": 1})
    assert any("needs 2 pads" in one for one in check_plan(plan, short))
