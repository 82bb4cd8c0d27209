"""The simulator is honest, and our plan wins in it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from planner.build.brief import Rules, Weight
from planner.build.worth import curve
from planner.need.carry import carry_over
from planner.need.needs import assess
from tests.sim.play import calendar, compare, draw
from tests.sim.policies import LAST_DAY, LastGame, Oracle, Ours, even, template
from tests.sim.study import MAKERS, OURS, main, rows
from tests.sim.truth import BELIEVED, CURVES, WORLDS, film
from tests.sim.validate import pair

WEEKS = 10
BY_NAME = {one.name: one for one in WORLDS}


def test_our_plan_wins_where_its_assumptions_hold() -> None:
    """Over 12 short seasons ours beats every rival by more than chance, and the oracle beats ours."""
    played = compare(BELIEVED, MAKERS, seasons=12, seed=4, weeks=WEEKS)
    found = {one.policy: one for one in rows(BELIEVED, played)}
    for rival in ("even split", "fixed template", "last game only"):
        assert found[rival].saved - found[rival].half > 0, rival
    assert found["oracle"].saved + found["oracle"].half < 0
    assert found[OURS].saved == 0


def test_mistagged_film_costs_us_but_not_the_lead() -> None:
    """With one tag in five wrong our plan saves less than with true tags, and still beats the even split."""
    makers = {"even": even, OURS: Ours}
    saved = {}
    for world in (BELIEVED, replace(BY_NAME["mis-tagged"], mistagged=0.4)):
        played = compare(world, makers, seasons=10, seed=5, weeks=WEEKS)
        saved[world.name] = float((played["even"].conceded - played[OURS].conceded).mean())
    assert saved["as believed"] > saved["mis-tagged"] > 0


def test_needs_are_those_of_the_product() -> None:
    """The simulator's quick way to the needs gives what ``assess`` gives, after one game and after eight."""
    teams = draw(BELIEVED, 1, seed=2, weeks=WEEKS)
    ours = Ours(teams)
    for game in range(8):
        ours.saw(0, film(teams, 0, game, teams.level[0], dt.date(2026, 11, 1 + game)))
        if game in (0, 7):
            found = assess(ours.games[0], teams.vocabulary, LAST_DAY)
            by_id = {one.principle: one.points_per_100 for one in found.principles}
            told = [by_id[one.id] for one in teams.vocabulary.principles]
            assert ours.needs[0] == pytest.approx(told, rel=1e-9)


def test_wants_are_the_slope_of_worth() -> None:
    """What our policy wants of one more minute is the slope of the product's own curve there."""
    teams = draw(BELIEVED, 1, seed=2, weeks=WEEKS)
    ours = Ours(teams)
    ours.carried[:] = np.linspace(0, 60, ours.carried.shape[1])
    slope = ours.wants(ours.carried)(np.full_like(ours.needs, 7.0))[0]
    for at, need in enumerate(ours.needs[0]):
        one = curve(Weight(float(need), float(ours.carried[0, at])), Rules())
        assert slope[at] == pytest.approx((one.at_mark(7.001) - one.at_mark(6.999)) / 0.002, rel=1e-5)


def test_minutes_fade_as_the_product_lets_them() -> None:
    """Minutes carried over day by day are those of ``carry_over``."""
    teams = draw(BELIEVED, 1, seed=2, weeks=WEEKS)
    ours, name = Ours(teams), teams.vocabulary.principles[0].id
    day, done = dt.date(2026, 11, 2), []
    for gap, minutes in ((2, 30.0), (3, 12.0), (5, 8.0)):
        given = np.zeros_like(ours.needs)
        given[0, 0] = minutes
        ours.practised(given, given)
        done.append((day, {name: minutes}))
        ours.slept(gap)
        day += dt.timedelta(days=gap)
    assert ours.carried[0, 0] == pytest.approx(carry_over(done, day)[name])


def test_chances_are_common() -> None:
    """The same rates give the same film to the last possession; higher rates only ever add sightings."""
    teams = draw(BELIEVED, 3, seed=9, weeks=WEEKS)
    rates, day = teams.level[1], dt.date(2026, 11, 1)
    first, again = (film(teams, 1, 4, rates, day) for _ in range(2))
    assert first == again
    more = film(teams, 1, 4, rates * 1.5, day)
    assert all(more.counts.get(name, 0) >= seen for name, seen in first.counts.items())
    assert sum(more.counts.values()) > sum(first.counts.values())


def test_film_is_what_happened_seen_by_an_eye() -> None:
    """Over many games the noted rates are the true ones times the part that the coach notes."""
    world = replace(BELIEVED, spread=0.0, opponents=0.0)
    teams = draw(world, 1, seed=3, weeks=40)
    seen = sum(
        sum(film(teams, 0, game, teams.level[0], dt.date(2026, 11, 1)).counts.values()) for game in range(60)
    )
    assert seen == pytest.approx(0.9 * 60 * 60 * teams.level[0].sum(), rel=0.06)


@pytest.mark.parametrize("name", sorted(CURVES))
def test_curves_teach_with_every_minute(name: str) -> None:
    """Every learning curve starts at nothing and rises with the minutes."""
    reached = CURVES[name](np.linspace(0, 5, 50))
    assert reached[0] == 0
    assert (np.diff(reached) > 0).all()


def test_template_and_even_split_keep_their_shares() -> None:
    """Over a season the even split gives each principle 1/14 of the minutes or nearly so; ours does not."""
    played = compare(BELIEVED, {"even": even, "template": template, OURS: Ours}, 2, seed=1, weeks=WEEKS)
    share = {name: (one.minutes / one.minutes.sum(axis=1, keepdims=True)) for name, one in played.items()}
    assert np.abs(share["even"] - 1 / 14).max() < 0.02
    assert np.abs(share[OURS] - 1 / 14).max() > 0.04


def test_last_game_forgets_the_rest() -> None:
    """Whoever reacts to the last game has its shares and no others."""
    teams = draw(BELIEVED, 1, seed=2, weeks=WEEKS)
    both, only = LastGame(teams), LastGame(teams)
    games = [film(teams, 0, game, teams.level[0], dt.date(2026, 11, 1 + game)) for game in range(2)]
    both.saw(0, games[0])
    both.saw(0, games[1])
    only.saw(0, games[1])
    assert np.array_equal(both.shares, only.shares)


def test_every_week_holds_what_the_calendar_says() -> None:
    """Three practices a week from the start, three weeks before the first game, three games in two weeks."""
    days = calendar(WEEKS)
    assert days.count("practice") == 3 * 13
    assert days.count("game") == 15
    assert days.index("game") >= 21


@pytest.mark.parametrize("seed", [2, 6])
def test_standin_speaks_for_the_solver(seed: int) -> None:
    """A practice planned by the stand-in is worth nine tenths and more of the solver's, minute for minute."""
    one = pair(seed)
    assert 0.9 < one.reached < 1.02
    assert one.overlap > 0.8
    assert abs(one.drill_minutes - 58) <= 4


def test_study_prints_its_table(capsys: pytest.CaptureFixture[str]) -> None:
    """The command prints a row a policy, with intervals."""
    assert main(["--seasons", "2", "--weeks", "2", "--world", "alike"]) == 0
    said = capsys.readouterr().out
    assert "95 % interval" in said
    assert all(name in said for name in MAKERS)


def test_oracle_knows_the_slope() -> None:
    """What the oracle wants is the true fall of points for a little more of one principle."""
    teams = draw(BELIEVED, 1, seed=2, weeks=WEEKS)
    minutes = np.full((1, teams.shares.shape[1]), 12.0)
    wanted = Oracle(teams).wants(minutes)(np.zeros_like(minutes))
    more = minutes.copy()
    more[0, 3] += 0.5
    plain = replace(teams, opponents=np.ones_like(teams.opponents), wander=np.ones_like(teams.wander))
    fall = (plain.conceded(minutes, 0) - plain.conceded(more, 0)) / 50.0
    assert wanted[0, 3] == pytest.approx(fall[0], rel=0.05)
