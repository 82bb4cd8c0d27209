from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from planner.desk.desk import Desk
from planner.desk.needs import assess_needs
from planner.desk.team import (
    SETTINGS,
    add_fixed,
    add_game,
    add_gym_rule,
    clean_jersey,
    overview,
    remove_player,
    save_player,
    set_emphasis,
    set_passed,
    set_setting,
    set_up,
    teach,
)
from planner.problem import Refusal
from planner.store.values import FixedRule, GymRule, PlayerInfo, TeamInfo
from tests.running import NOW, TODAY, everything, is_clean

NASTY = "\x1b[31m\x1b]0;owned\x07[bold red]\u202egnorw " + "y" * 300


def test_a_team_of_jerseys_alone(tmp_path_factory: pytest.TempPathFactory) -> None:
    """No name is needed; '0' and '00' are two players; a sign before the number is dropped."""
    desk = Desk(tmp_path_factory.mktemp("new"), TODAY, lambda: NOW)
    assert not desk.has_team()
    with pytest.raises(Refusal, match="There is no team here yet; begin with 'stopsheet team new NAME'"):
        overview(desk)
    set_up(desk, TeamInfo("Herons"))
    for jersey in ("#0", "00", "23"):
        save_player(desk, PlayerInfo(jersey))
    found = overview(desk)
    assert [one["jersey"] for one in found["players"]] == ["0", "00", "23"]
    assert found["team"]["name"] == "Herons"
    remove_player(desk, "0")
    assert [one["jersey"] for one in overview(desk)["players"]] == ["00", "23"]
    desk.close()


BAD: list[tuple[Callable[[Desk], object], str]] = [
    (lambda d: set_up(d, TeamInfo(" \x1b[31m ")), "A team needs a name."),
    (
        lambda d: set_up(d, TeamInfo("A", TODAY, dt.date(2026, 1, 1))),
        "would end on 2026-01-01 before it starts",
    ),
    (lambda d: save_player(d, PlayerInfo("")), "is not a jersey"),
    (lambda d: save_player(d, PlayerInfo("1234")), "'1234' is not a jersey; give one to three digits"),
    (lambda d: save_player(d, PlayerInfo("4 5")), "is not a jersey"),
    (lambda d: remove_player(d, "99"), "No player wears 99"),
    (lambda d: add_game(d, TODAY, " "), "A game needs an opponent."),
    (lambda d: add_game(d, TODAY, "X", "moon"), "'moon' is no venue; say home, away or neutral."),
    (lambda d: add_gym_rule(d, GymRule(960, 960, 2, weekday=1)), "The gym time ends before it starts."),
    (lambda d: add_gym_rule(d, GymRule(960, 900, 2, weekday=1)), "The gym time ends before it starts."),
    (lambda d: add_gym_rule(d, GymRule(900, 960, 2, rrule="FREQ=SOMETIMES")), "is not a rule for gym days"),
    (
        lambda d: add_gym_rule(d, GymRule(900, 960, 2, rrule="FREQ=MINUTELY;INTERVAL=15;COUNT=6")),
        "is not a rule",
    ),
    (lambda d: add_gym_rule(d, GymRule(900, 960, 2, rrule="X=1\nRDATE:1")), "is not a rule"),
    (lambda d: add_gym_rule(d, GymRule(900, 960, 3, weekday=1)), "a gym has 0, 1 or 2 half courts"),
    (lambda d: add_fixed(d, FixedRule("", 5, "last")), "A fixed block needs a title."),
    (lambda d: add_fixed(d, FixedRule("X", 0, "last")), "a fixed block must last at least a minute"),
    (lambda d: add_fixed(d, FixedRule("X", 10**30, "last")), "a number is too large to keep"),
    (lambda d: teach(d, "no-boxout", False), "'no-boxout' is no breakdown; did you mean no-box-out"),
    (lambda d: teach(d, "\x1b[31mxyzzy", False), "'xyzzy' is no breakdown; they are: blown-by"),
    (lambda d: set_emphasis(d, "boxout", 2), "'boxout' is no principle; did you mean box-out"),
    (lambda d: set_emphasis(d, "box-out", -1), "An emphasis of -1 is out of range; give 0 to 10"),
    (lambda d: set_emphasis(d, "box-out", float("nan")), "An emphasis of nan is out of range"),
    (lambda d: set_passed(d, "closeouts", "walk"), "'closeouts' is no principle; did you mean closeout"),
    (
        lambda d: set_passed(d, "closeout", "expert"),
        "'expert' is no stage; say walk, guided, contested, live or none",
    ),
    (lambda d: set_setting(d, "minuts", 80), "'minuts' is no setting; did you mean minutes"),
    (
        lambda d: set_setting(d, "minutes", 9),
        "'minutes' must be from 10 to 300 \\(length of a practice\\), not 9",
    ),
    (lambda d: set_setting(d, "tau", float("nan")), "'tau' must be from 5 to 300"),
    (lambda d: set_setting(d, "water-every", 1e9), "'water-every' must be from 10 to 60"),
]


@pytest.mark.parametrize(("act", "words"), BAD, ids=[one[1][:50] for one in BAD])
def test_what_cannot_be_is_refused_and_changes_nothing(
    desk: Desk, act: Callable[[Desk], object], words: str
) -> None:
    """One clean sentence says what is wrong and what would do; the data stay as they were."""
    before = everything(desk.home)
    with pytest.raises(Refusal, match=words) as refused:
        act(desk)
    assert is_clean(str(refused.value))
    assert everything(desk.home) == before


def test_hostile_names_are_kept_clean_and_short(desk: Desk) -> None:
    """Escapes, markup and three hundred letters in any name come out as plain, limited text."""
    set_up(desk, TeamInfo(NASTY, level="u18"))
    save_player(desk, PlayerInfo("77", NASTY, NASTY))
    add_game(desk, TODAY, NASTY)
    add_fixed(desk, FixedRule(NASTY, 5, "last"))
    add_gym_rule(desk, GymRule(900, 960, 1, weekday=6, note=NASTY))
    set_passed(desk, "tag", "walk", NASTY)
    for table, kept in everything(desk.home).items():
        for one in kept:
            for key, value in one.items():
                assert not isinstance(value, str) or is_clean(value), (table, key)
    found = overview(desk)
    assert len(found["team"]["name"]) <= 80
    assert max(len(one["opponent"]) for one in found["games"]) <= 80
    assert max(len(one["name"]) for one in found["players"]) <= 60
    assert "[bold red]" in found["team"]["name"], "words in brackets are words, not markup"


def test_a_breakdown_that_is_not_taught_costs_nothing(desk: Desk) -> None:
    """Switched off, it is in no need; switched on again, the needs are what they were."""
    before = assess_needs(desk)
    assert teach(desk, "no-box-out", False) == "'no-box-out' is now left out of the needs."
    assert teach(desk, "no-box-out", False) == "'no-box-out' was off already."

    def cost(found: object) -> float:
        return next(one.points_per_100 for one in found.principles if one.principle == "box-out")  # type: ignore[attr-defined]

    assert cost(assess_needs(desk)) < cost(before)
    assert teach(desk, "no-box-out", True) == "'no-box-out' is now counted."
    assert assess_needs(desk) == before


def test_an_emphasis_weighs_from_its_day_on(desk: Desk) -> None:
    """Twice the weight is twice the need, and not before the day it was given for."""
    yesterday = TODAY - dt.timedelta(days=1)

    def cost(day: dt.date) -> float:
        return next(
            one.points_per_100 for one in assess_needs(desk, day).principles if one.principle == "tag"
        )

    before, earlier = cost(TODAY), cost(yesterday)
    set_emphasis(desk, "tag", 2)
    assert cost(TODAY) == pytest.approx(2 * before)
    assert cost(yesterday) == pytest.approx(earlier)


@pytest.mark.parametrize("key", sorted(SETTINGS))
def test_each_setting_takes_its_ends_and_nothing_beyond(desk: Desk, key: str) -> None:
    """Least and most are allowed, a little outside is not."""
    low, high, _ = SETTINGS[key]
    for value in (low, high):
        set_setting(desk, key, value)
        assert overview(desk)["settings"][key] == value
    for value in (low - 0.001, high + 0.001):
        with pytest.raises(Refusal, match=f"'{key}' must be from"):
            set_setting(desk, key, value)


def test_jerseys_are_one_to_three_letters_or_digits() -> None:
    """A jersey is text: signs and blanks around it go, leading noughts stay."""
    assert [clean_jersey(one) for one in ("#7", " 00 ", "007", "P1")] == ["7", "00", "007", "P1"]
