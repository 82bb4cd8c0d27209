from __future__ import annotations

import numpy as np
import pytest

from planner.need.estimate import WatchedGame
from planner.season.scouting import Report, scout
from tests.season.kit import MONDAY, game, words


def usual(
    number: int, times: float = 1.0, dice: np.random.Generator | None = None, **more: float
) -> WatchedGame:
    """Return a game of 60 possessions at the usual rates, all ``times`` as many, some ``more``."""
    counts = {}
    for one in words().breakdowns:
        expected = 0.6 * one.usual_rate * times * more.get(one.principle.replace("-", "_"), 1.0)
        counts[one.id] = int(dice.poisson(expected)) if dice else round(expected)
    return WatchedGame(str(number), MONDAY, 60, counts)


def of(report: Report, principle: str) -> float | None:
    return next(one.suggested for one in report.tendencies if one.principle == principle)


def test_what_an_offence_goes_at_is_suggested() -> None:
    """Twice the box-out breakdowns in three games: an exposure above 1 is suggested, for that alone."""
    report = scout(([usual(n, box_out=2.5) for n in range(3)], []), ([], []), words())
    assert report.tendencies[0].principle == "box-out"
    found = of(report, "box-out")
    assert found is not None
    assert 1.1 < found < 2.5, "shrunk towards 1"
    assert [one.principle for one in report.tendencies if one.suggested and one.suggested > 1] == ["box-out"]


def test_thorough_notes_are_no_tendency() -> None:
    """Twice as much of everything is another evening's note-taking: no factor moves."""
    report = scout(([usual(n, times=2.0) for n in range(3)], []), ([], []), words())
    assert report.level == pytest.approx(2.0, abs=0.2)
    assert all(one.suggested is None for one in report.tendencies)


def test_chance_alone_suggests_next_to_nothing() -> None:
    """Usual offences, 40 of them (seed fixed): of 14 principles each, fewer than one in ten is suggested."""
    dice = np.random.default_rng(3)
    told = [
        one.suggested is not None
        for _ in range(40)
        for one in scout(([usual(0, dice=dice), usual(1, dice=dice)], []), ([], []), words()).tendencies
    ]
    assert sum(told) < 0.1 * len(told)


def test_our_own_games_against_them_count_against_our_own_average() -> None:
    """A defence that always boxes out badly says nothing about one opponent of it."""
    own = [usual(n, box_out=2.5) for n in range(12)]
    report = scout(([], own[:2]), ([], own[2:]), words())
    assert report.met == 2
    assert of(report, "box-out") is None


def test_other_scouted_games_are_the_average() -> None:
    """What all offences do is not their tendency."""
    all_do = [usual(n, transition=2.0) for n in range(12)]
    report = scout((all_do[:2], []), (all_do[2:], []), words())
    assert of(report, "transition") is None


def test_film_without_a_breakdown_suggests_nothing() -> None:
    """Nothing seen, nothing told."""
    report = scout(([game(0)], []), ([], []), words())
    assert report.level == 0.0
    assert report.tendencies == ()


def test_what_is_switched_off_takes_no_part() -> None:
    """A breakdown that is not taught moves no factor."""
    off = frozenset(one.id for one in words().breakdowns if one.principle == "box-out")
    report = scout(([usual(n, box_out=2.5) for n in range(3)], []), ([], []), words(), off)
    assert "box-out" not in {one.principle for one in report.tendencies}
