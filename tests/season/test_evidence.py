from __future__ import annotations

import datetime as dt
from collections import Counter

import numpy as np
import pytest

from planner.need.estimate import WatchedGame
from planner.season.evidence import NOT_CAUSE, Spell, feeding, judge, p_words, seen_in, spells
from planner.season.minutes import minutes_by_practice
from tests.season.kit import MONDAY, game, practice, words

SEASONS, GAMES, CUT, WORST = 150, 20, 8, 3
USUAL = np.array([one.usual_rate / 100 for one in words().breakdowns])
NAMES = [one.id for one in words().breakdowns]


def day(number: int) -> dt.date:
    return MONDAY + dt.timedelta(days=number)


def simulated(dice: np.random.Generator, effect: float) -> tuple[list[WatchedGame], list[Spell]]:
    """Return a season whose three worst principles of eight games are emphasised; ``effect`` on their rates.

    Games swing by more than chance (gamma, shape 8) about the library's usual rates.
    """
    games: list[WatchedGame] = []
    chosen: list[str] = []
    helped: frozenset[str] = frozenset()
    for number in range(GAMES):
        rates = 60 * USUAL * dice.gamma(8, 1 / 8, len(USUAL))
        rates *= [effect if name in helped else 1.0 for name in NAMES]
        counts = {name: int(count) for name, count in zip(NAMES, dice.poisson(rates), strict=True)}
        games.append(WatchedGame(str(number), day(5 * number), 60, counts))
        if number == CUT - 1:
            chosen = worst(games)
            helped = frozenset().union(*(feeding(words(), one) for one in chosen))
    return games, [Spell(one, 1.5, games[CUT - 1].date) for one in chosen]


def worst(games: list[WatchedGame]) -> list[str]:
    """Return the principles that looked worst beside the usual, as a coach would choose them."""

    def beside_usual(principle: str) -> float:
        parts = feeding(words(), principle)
        usual = sum(rate for name, rate in zip(NAMES, USUAL, strict=True) if name in parts)
        return sum(seen_in(one, parts) for one in games) / (usual * 60 * len(games))

    return sorted((one.id for one in words().principles), key=beside_usual)[-WORST:]


def verdicts(effect: float) -> Counter[str]:
    dice = np.random.default_rng(1936)
    told: Counter[str] = Counter()
    for _ in range(SEASONS):
        games, found = simulated(dice, effect)
        told.update(one.verdict for one in judge(found, games, [], words(), games[-1].date))
    return told


def test_noise_is_not_celebrated() -> None:
    """Nothing changed, the worst were emphasised and fall back by themselves: 95 % show no evidence or more.

    450 reviews of 150 simulated seasons, seed fixed (our own simulation).
    """
    told = verdicts(effect=1.0)
    assert sum(told.values()) == SEASONS * WORST
    assert told["no evidence"] >= 0.95 * SEASONS * WORST


def test_a_real_change_is_found() -> None:
    """Where the rates are quartered, most reviews say fewer, and hardly any says more."""
    told = verdicts(effect=0.25)
    assert told["fewer"] > 0.8 * SEASONS * WORST
    assert told["more"] == 0


def test_spells_begin_above_one_and_end_at_one() -> None:
    """A raise within a spell is no new one; back to 1 ends it; a later raise begins another."""
    history = [
        ("tag", 1.25, day(0)),
        ("talk", 0.5, day(1)),
        ("tag", 1.5, day(7)),
        ("tag", 1.0, day(20)),
        ("tag", 1.2, day(30)),
        ("post", 1.5, day(99)),
    ]
    assert spells(history, day(40)) == (Spell("tag", 1.5, day(0), day(20)), Spell("tag", 1.2, day(30)))


def test_a_change_of_mind_on_the_same_day_is_the_later_word() -> None:
    """An emphasis given and taken back on one day never was."""
    assert spells([("tag", 2.0, day(3)), ("tag", 1.0, day(3))], day(40)) == ()


def test_games_and_minutes_fall_on_their_side() -> None:
    """The game of the day it began is before; the practice of that day is under it; the end closes both."""
    games = [game(number, no_tag=1, no_box_out=5) for number in (1, 5, 7, 12, 14, 16)]
    done = [practice(number, tag=10) for number in (0, 3, 7, 10, 14)]
    (told,) = judge([Spell("tag", 1.5, day(7), day(14))], games, minutes_by_practice(done), words(), day(60))
    assert (told.before.games, told.under.games) == (3, 2)
    assert told.minutes == pytest.approx(20)
    assert told.weekly_under == pytest.approx(20)
    assert told.weekly_before == pytest.approx(20)
    assert told.before.seen == 3, "a breakdown of another principle does not count"


def test_a_second_spell_begins_after_the_first() -> None:
    """What lies before the end of an earlier spell of the same principle is not its before."""
    games = [game(number, no_tag=2) for number in range(0, 60, 4)]
    found = [Spell("tag", 1.5, day(10), day(20)), Spell("tag", 1.5, day(40))]
    told = judge(found, games, [], words(), day(60))
    assert told[1].before.games == sum(20 < number <= 40 for number in range(0, 60, 4))
    assert told[1].looks == len(words().principles) + 1


def test_too_little_film_says_so_and_the_words_claim_no_cause() -> None:
    """One game before is not compared; every sentence says association, not cause."""
    games = [game(number, no_tag=2) for number in (0, 10, 20)]
    (told,) = judge([Spell("tag", 1.5, day(5))], games, [], words(), day(60))
    assert (told.verdict, told.test) == ("too little film", None)
    said = told.as_json()
    assert said["sentence"].endswith(NOT_CAUSE)
    assert said["correction"] == "Holm"


def test_a_p_value_is_never_printed_as_nothing() -> None:
    """Below a thousandth it is said to be below."""
    assert (p_words(0.0451), p_words(0.0002)) == ("p 0.045", "p < 0.001")
