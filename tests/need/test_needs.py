"""From games to the need of every principle."""

from __future__ import annotations

import dataclasses
import json
import random
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.need.estimate import Needs, WatchedGame
from planner.need.needs import assess
from planner.need.settings import NeedSettings
from tests.need import kit

SMALL = kit.small()
IDS = [one.id for one in SMALL.breakdowns]


def season(games: int, seed: int = 3, possessions: int = 60) -> list[WatchedGame]:
    """Return games with every possession written down."""
    dice = random.Random(seed)
    found = []
    for number in range(games):
        trips = []
        for _ in range(possessions):
            seen = [one for one in IDS if dice.random() < 0.05]
            trips.append(kit.trip(2 if dice.random() < 0.35 + 0.2 * len(seen) else 0, *seen))
        counts = {one: sum(one in trip.breakdowns for trip in trips) for one in IDS}
        found.append(kit.game(number, counts, possessions, trips))
    return found


def needs_of(games: list[WatchedGame], **chosen: object) -> Needs:
    return assess(games, SMALL, kit.LATER, NeedSettings(**chosen))  # type: ignore[arg-type]


films = st.lists(st.dictionaries(st.sampled_from(IDS), st.integers(0, 9)), max_size=8).map(
    lambda all_counts: [kit.game(day, counts) for day, counts in enumerate(all_counts)]
)


@settings(max_examples=40, deadline=None)
@given(films, st.frozensets(st.sampled_from(IDS)))
def test_nothing_is_lost(games: list[WatchedGame], off: frozenset[str]) -> None:
    """At emphasis 1 the needs add up to rate x cost of everything switched on, however it is shared out."""
    found = needs_of(games, off=off)
    over_principles = sum(one.points_per_100 for one in found.principles)
    over_breakdowns = sum(one.rate_per_100 * one.cost for one in found.breakdowns)
    assert over_principles == pytest.approx(over_breakdowns, abs=1e-9)
    assert {one.breakdown for one in found.breakdowns} == set(IDS) - off
    assert sum(one.share for one in found.principles) == pytest.approx(1.0 if over_breakdowns else 0.0)


@settings(max_examples=25, deadline=None)
@given(films, st.floats(0.0, 5.0), st.floats(0.0, 5.0))
def test_need_is_linear_in_emphasis_and_exposure(
    games: list[WatchedGame], emphasis: float, exposure: float
) -> None:
    """Emphasis and exposure multiply a need and its interval and leave the other principles alone."""
    plain = {one.principle: one for one in needs_of(games).principles}
    found = needs_of(games, emphasis={"box-out": emphasis}, exposure={"box-out": exposure})
    for one in found.principles:
        factor = emphasis * exposure if one.principle == "box-out" else 1.0
        before = plain[one.principle]
        for now, then in ((one.points_per_100, before.points_per_100), (one.low, before.low)):
            assert now == pytest.approx(factor * then)
        assert one.high == pytest.approx(factor * before.high)
        assert one.rate_per_100 == before.rate_per_100


@settings(max_examples=40, deadline=None)
@given(films)
def test_intervals_hold_their_numbers(games: list[WatchedGame]) -> None:
    """Every interval holds its number, and nothing is below 0."""
    found = needs_of(games)
    for one in found.principles:
        assert 0 <= one.low <= one.points_per_100 <= one.high
    for two in found.breakdowns:
        assert 0 <= two.low < two.rate_per_100 < two.high
        assert 0 <= two.cost_low <= two.cost <= two.cost_high


def test_by_hand() -> None:
    """Share x rate x cost, with no film: closeouts are 5 x 0.3 + 0.7 x 3 x 0.6 points per 100."""
    found = {one.principle: one for one in needs_of([]).principles}
    assert found["closeout"].points_per_100 == pytest.approx(5 * 0.3 + 0.7 * 3 * 0.6)
    assert found["closeout"].rate_per_100 == pytest.approx(5 + 0.7 * 3)
    assert found["talk"].points_per_100 == pytest.approx(4 * 0.1 + 0.3 * 3 * 0.6)
    one = found["closeout"]
    assert one.points_per_100 == pytest.approx(one.rate_per_100 * one.cost)


def test_order_does_not_matter() -> None:
    """Games in another order give the same answer to the last digit, and so does a second run."""
    games = season(7)
    assert needs_of(games) == needs_of(games[::-1]) == needs_of(games)


def test_switched_off_leaves_the_rest_alone() -> None:
    """Switching one breakdown off changes no other rate or cost, and its principle is still listed."""
    games = season(4)
    every = {one.breakdown: one for one in needs_of(games).breakdowns}
    less = needs_of(games, off=frozenset({"no-box-out", "inside-lost"}))
    assert all(dataclasses.replace(one) == every[one.breakdown] for one in less.breakdowns)
    box = next(one for one in less.principles if one.principle == "box-out")
    assert (box.points_per_100, box.low, box.high, box.share) == (0, 0, 0, 0)
    assert "switched on" in box.sentence


def test_falling_order() -> None:
    """Principles come by falling need, breakdowns by falling points lost."""
    found = needs_of(season(5))
    needs = [one.points_per_100 for one in found.principles]
    lost = [one.points_per_100 for one in found.breakdowns]
    assert needs == sorted(needs, reverse=True)
    assert lost == sorted(lost, reverse=True)


def test_interval_is_the_exact_one() -> None:
    """With costs all but known, a one-breakdown principle's interval is its rate's, times the cost."""
    alone = dataclasses.replace(SMALL, breakdowns=(kit.breakdown("no-box-out", "box-out", 7.0, 0.4),))
    games = [kit.game(0, {"no-box-out": 8})]
    found = assess(games, alone, kit.LATER, NeedSettings(cost_sd=1e-9, draws=200_000))
    need = next(one for one in found.principles if one.principle == "box-out")
    rate = found.breakdowns[0]
    assert (need.low, need.high) == pytest.approx((0.4 * rate.low, 0.4 * rate.high), rel=0.01)


def test_more_film_narrows() -> None:
    """Twenty games tell more than two."""
    widths = []
    for games in (2, 20):
        box = next(one for one in needs_of(season(games)).principles if one.principle == "box-out")
        widths.append(box.high - box.low)
    assert widths[1] < 0.7 * widths[0]


def test_carried_minutes_and_json() -> None:
    """Carried minutes pass through, and the JSON has the contract's words and finite numbers."""
    found = needs_of(season(3), carried={"talk": 12.5})
    data = json.loads(json.dumps(found.as_json(), allow_nan=False))
    talk = next(one for one in data["principles"] if one["principle"] == "talk")
    assert talk["carry_over_minutes"] == 12.5
    assert {"principle", "points_per_100", "low", "high", "rate_per_100", "cost", "share", "emphasis"} <= set(
        talk
    )
    assert {"breakdown", "count", "rate_per_100", "low", "high", "cost"} <= set(data["breakdowns"][0])
    assert (data["possessions"], data["as_of"]) == (180, "2033-06-01")


def test_unknown_principle_is_told() -> None:
    """An emphasis on a principle nobody teaches is told, not obeyed and not fatal."""
    assert any("mind-reading" in note for note in needs_of([], emphasis={"mind-reading": 3.0}).notes)


def test_shipped_numbers_make_a_usual_defence() -> None:
    """The library's usual numbers and base add up to 90 to 95 points per 100 possessions.

    Common practice, no source: about 0.9 points a possession is what school and college defences give.
    """
    chosen = NeedSettings()
    found = assess([], kit.shipped(), kit.LATER, chosen)
    through = sum(one.points_per_100 for one in found.breakdowns)
    assert 90 < 100 * chosen.base + through < 95


def test_a_long_season_is_quick() -> None:
    """Three hundred games and 18,000 possessions take well under the second that a coach would notice."""
    games = season(300)
    needs_of(games[:2])
    begun = time.process_time()
    found = needs_of(games)
    assert time.process_time() - begun < 2.0  # a wide mark for a busy machine
    assert (found.possessions, found.games) == (18_000, 300)


def test_first_blame_is_said_and_charged() -> None:
    """Charging the first alone lowers what came second, is named in the JSON, and tells what followed."""
    trips = [kit.trip(2, "no-talk", "late-closeout", first="no-talk")] * 12 + [kit.trip(0)] * 48
    games = [kit.game(0, {"no-talk": 12, "late-closeout": 12}, trips=trips)]
    every, first = needs_of(games), needs_of(games, blame="first")
    rates = [
        {one.breakdown: one.rate_per_100 for one in found.breakdowns}["late-closeout"]
        for found in (every, first)
    ]
    assert rates[1] < rates[0] / 2
    assert (every.as_json()["blame"], first.as_json()["blame"]) == ("all", "first")
    assert first.as_json()["followed"] == [{"first": "no-talk", "then": "late-closeout", "times": 12}]


def test_a_principle_shows_its_last_games_and_its_evidence() -> None:
    """Recent rates are share-weighted sums; evidence is its breakdowns', weighted by what each loses."""
    seen = kit.trip(2, "late-closeout")
    games = [
        kit.game(day, {"late-closeout": day, "unmatched": 3, "no-talk": 1}, trips=[seen] * day)
        for day in range(7)
    ]
    found = needs_of(games)
    closeout = next(one for one in found.principles if one.principle == "closeout")
    assert closeout.recent == pytest.approx([100 * (day + 0.7 * 3) / 60 for day in range(1, 7)])
    shares = {"late-closeout": 1.0, "unmatched": 0.7}
    parts = [one for one in found.breakdowns if one.breakdown in shares]
    lost = [shares[one.breakdown] * one.points_per_100 for one in parts]
    for share in ("film_share", "cost_film_share"):
        told = sum(by * getattr(one, share) for by, one in zip(lost, parts, strict=True)) / sum(lost)
        assert getattr(closeout, share) == pytest.approx(told)
        assert 0 < told < 1
    assert needs_of([]).principles[0].recent == ()


def test_a_principle_says_when_it_moved() -> None:
    """Two breakdowns that each rise a little are told together, and a steady principle says nothing."""
    rising = [
        kit.game(day, {"no-box-out": 2 + 4 * (day > 3), "inside-lost": 1 + 4 * (day > 3), "no-talk": 3})
        for day in range(7)
    ]
    said = {one.principle: one.trend for one in needs_of(rising).principles}
    assert said["box-out"].startswith("Up: 18.3 per 100 in the last 3 games, 5.0 before")
    assert said["talk"] == ""
