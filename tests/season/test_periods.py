from __future__ import annotations

import datetime as dt

import pytest

from planner.problem import Refusal
from planner.season.periods import Stretch, difference, side_by_side
from tests.season.kit import MONDAY, game, practice, words


def stretch(first: int, last: int, seen: int, **minutes: float) -> Stretch:
    """Return a period of some days with a game every third day and one practice."""
    return Stretch(
        MONDAY + dt.timedelta(days=first),
        MONDAY + dt.timedelta(days=last),
        (practice(first, 6, **minutes),),
        tuple(game(number, no_tag=seen) for number in range(first, last, 3)),
    )


def test_minutes_and_rates_stand_side_by_side() -> None:
    """Two periods of two and four weeks: minutes, shares, rates, and a test that sees the change."""
    first, second = stretch(0, 13, 12, tag=40, talk=40), stretch(14, 41, 2, tag=60)
    rows = {one.principle: one for one in side_by_side(first, second, words())}
    tag = rows["tag"]
    assert (tag.minutes, tag.shares) == ((40, 60), (0.5, 1.0))
    assert [one.rate for one in tag.seen] == pytest.approx([20.0, 10 / 3])
    assert (tag.verdict, rows["talk"].verdict) == ("fewer", "no evidence")
    assert difference(tag, (first.weeks, second.weeks)) == pytest.approx(60 / 4 - 40 / 2)
    assert first.as_json()["mean_rating"] == 6


def test_periods_that_share_a_day_are_refused() -> None:
    """The same game cannot be on both sides."""
    with pytest.raises(Refusal, match="share days"):
        side_by_side(stretch(0, 13, 1), stretch(13, 20, 1), words())


def test_without_film_there_is_no_verdict() -> None:
    """Minutes are told, rates are not tested."""
    bare = Stretch(MONDAY, MONDAY + dt.timedelta(days=6), (), ())
    later = Stretch(MONDAY + dt.timedelta(days=7), MONDAY + dt.timedelta(days=13), (), ())
    assert {one.verdict for one in side_by_side(bare, later, words())} == {"too little film"}
    assert bare.rating is None
