"""Coverages, the next opponent's exposure and line-ups at the desk."""

from __future__ import annotations

import datetime as dt

import pytest

from planner.desk.desk import Desk
from planner.desk.needs import assess_needs, feed, more_film, player_needs, who_needs
from planner.desk.scheme import parse_floor, set_coverage, set_exposure, set_floor
from planner.desk.team import overview, teach
from planner.desk.undo import undo_last
from planner.desk.words import coverages, vocabulary
from planner.need.players import jersey_order
from planner.problem import Refusal
from planner.store import queries


def need(desk: Desk, principle: str, as_of: dt.date | None = None) -> float:
    found = {one.principle: one.points_per_100 for one in assess_needs(desk, as_of).principles}
    return found[principle]


def counted(desk: Desk) -> set[str]:
    return {one.breakdown for one in assess_needs(desk).breakdowns}


def test_exposure_holds_for_the_next_game_alone(desk: Desk) -> None:
    """A factor weighs the need until that game is over, and the game after has its own."""
    with desk.reading() as session:
        game = queries.next_game(session, desk.today)
    assert game is not None
    before, after = need(desk, "tag"), game.date + dt.timedelta(days=1)
    later = need(desk, "tag", after)
    set_exposure(desk, "tag", 1.5)
    assert need(desk, "tag") == pytest.approx(1.5 * before)
    assert need(desk, "tag", after) == pytest.approx(later)
    set_exposure(desk, "tag", 1)
    assert need(desk, "tag") == pytest.approx(before)
    assert overview(desk)["exposure"] == {}


def test_exposure_of_a_named_game(desk: Desk) -> None:
    """A factor for a later game waits for it; undo takes the last one back and leaves the first."""
    with desk.reading() as session:
        first = queries.next_game(session, desk.today)
        assert first is not None
        second = queries.next_game(session, first.date + dt.timedelta(days=1))
    assert second is not None
    before = need(desk, "talk", second.date)
    set_exposure(desk, "talk", 2, second.id)
    set_exposure(desk, "post", 0.5, second.id)
    assert need(desk, "talk", second.date) == pytest.approx(2 * before)
    undo_last(desk)
    assert overview(desk)["exposure"] == {str(second.id): {"talk": 2}}
    undo_last(desk)
    assert overview(desk)["exposure"] == {}


@pytest.mark.parametrize(
    ("principle", "factor", "game"),
    [("tg", 1.5, None), ("tag", -1, None), ("tag", float("nan"), None), ("tag", 50, None), ("tag", 1.5, 999)],
)
def test_exposure_that_means_nothing(desk: Desk, principle: str, factor: float, game: int | None) -> None:
    """An unknown principle or game and a factor out of range are refused, and nothing is stored."""
    with pytest.raises(Refusal):
        set_exposure(desk, principle, factor, game)
    assert overview(desk)["exposure"] == {}


def test_no_game_to_come(desk: Desk) -> None:
    """Without a game ahead there is nobody to be exposed to."""
    desk.today += dt.timedelta(days=900)
    with pytest.raises(Refusal, match="No game is to come"):
        set_exposure(desk, "tag", 1.5)


def test_a_coverage_leaves_out_what_cannot_happen(desk: Desk) -> None:
    """What is left out stops counting; a second answer to the same thing brings back what it needs."""
    before = counted(desk)
    assert "late-show" in before
    assert "left out of the needs: late-show" in set_coverage(desk, "drop", True)
    assert before - counted(desk) == {"late-show", "slow-recover", "slipped-screen", "missed-switch"}
    assert "counted again: late-show" in set_coverage(desk, "show", True)
    assert before - counted(desk) == {"missed-switch"}
    undo_last(desk)
    undo_last(desk)
    assert counted(desk) == before
    assert overview(desk)["coverages"] == []


def test_switched_off_by_hand_stays_off(desk: Desk) -> None:
    """A coverage that is dropped again does not switch on what the coach switched off."""
    teach(desk, "late-show", taught=False)
    set_coverage(desk, "drop", True)
    assert "still left out because of what you play (Drop the big)" in teach(desk, "late-show", taught=True)
    undo_last(desk)
    set_coverage(desk, "drop", False)
    assert "late-show" not in counted(desk)
    assert "was off already" in set_coverage(desk, "drop", False)


def test_an_unknown_coverage_lists_the_known(desk: Desk) -> None:
    """A word that is no coverage is refused with those that are."""
    with pytest.raises(Refusal, match="they are: show, drop"):
        set_coverage(desk, "fly", True)


def test_the_words_are_the_librarys(desk: Desk) -> None:
    """Vocabulary read without the drills is the library's own, and every coverage speaks its words."""
    alone = vocabulary(desk)
    assert "library" not in desk.__dict__
    assert alone == desk.library.vocabulary
    assert all(set(one.off) <= set(alone.breakdown_by_id) for one in coverages(desk))


def test_line_ups_give_rates(desk: Desk) -> None:
    """Told line-ups turn counts into rates for that game, and undo forgets them."""
    assert not player_needs(desk).known
    set_floor(desk, 10, parse_floor(["7=41", "#12=50", "44=0"]))
    found = player_needs(desk)
    assert found.known
    defended = {one.jersey: one.defended for one in found.lines}
    assert (defended["7"], defended["12"], defended["44"]) == (41, 50, 0)
    undo_last(desk)
    assert not player_needs(desk).known


@pytest.mark.parametrize("told", [["7"], ["7=x"], ["=4"], ["7=-1"], ["7=1000"], ["7=²"]])
def test_line_ups_that_cannot_be_read(told: list[str]) -> None:
    """A text that does not say who and how many is refused."""
    with pytest.raises(Refusal):
        parse_floor(told)


def test_line_ups_out_of_range(desk: Desk) -> None:
    """A jersey off the roster, an unknown game and an endless game are refused."""
    for game, told in ((10, {"99": 3}), (99, {"7": 3}), (10, {"7": 201})):
        with pytest.raises(Refusal):
            set_floor(desk, game, told)
    assert overview(desk)["line_ups"] == {}


def test_who_goes_first_is_on_the_roster_by_jersey(desk: Desk) -> None:
    """For every principle those who go first are players of ours, by number, at most half of them."""
    roster = [one["jersey"] for one in overview(desk)["players"]]
    named = 0
    for one in vocabulary(desk).principles:
        first = who_needs(desk, one.id)
        assert set(first) <= set(roster)
        assert list(first) == sorted(first, key=jersey_order)
        assert len(first) <= len(roster) // 2
        named += bool(first)
    assert named > 5


def test_more_film_is_about_what_is_taught(desk: Desk) -> None:
    """Advice names every principle that still has a breakdown, and no interval grows."""
    advice = more_film(desk, feed(desk))
    assert {one.principle for one in advice} == {
        one.principle for one in assess_needs(desk).principles if one.high > one.low
    }
    assert all(one.narrower >= 0 for one in advice)


def test_the_first_cause_at_the_desk(desk: Desk) -> None:
    """Charging the first alone counts fewer box-outs, since most end a possession that broke before."""
    counts = [
        {one.breakdown: one.count for one in assess_needs(desk, blame=blame).breakdowns}["no-box-out"]
        for blame in ("all", "first")
    ]
    assert counts[1] < 0.6 * counts[0]
