from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.desk.desk import Desk
from planner.desk.needs import assess_needs
from planner.drills.vocabulary import Stage
from planner.need.estimate import Needs
from planner.season.record import DonePractice, DoneSegment
from planner.season.review import PrincipleSeason, Review, mismatches, review

MONDAY = dt.date(2027, 1, 4)


@pytest.fixture
def needs(desk: Desk) -> Needs:
    return assess_needs(desk)


def practice(day: int, **minutes: int) -> DonePractice:
    """Return a practice so many days after a Monday, each principle for its minutes."""
    segments = tuple(
        DoneSegment("drill", name, length * 60, shares={name.replace("_", "-"): 20})
        for name, length in minutes.items()
    )
    return DonePractice("", MONDAY + dt.timedelta(days=day), 1095, segments)


def row(found: Review, principle: str) -> PrincipleSeason:
    return next(one for one in found.principles if one.principle == principle)


def test_shares_of_minutes_and_need_sum_to_one(needs: Needs) -> None:
    """Over all principles the shares of the minutes and of the need are each a whole."""
    found = review([practice(0, box_out=10, tag=30), practice(7, tag=20)], needs, {})
    assert sum(one.minutes_share for one in found.principles) == pytest.approx(1)
    assert sum(one.need_share for one in found.principles) == pytest.approx(1)
    assert row(found, "tag").minutes_share == pytest.approx(50 / 60)
    assert row(found, "tag").minutes == pytest.approx(50)


def test_the_trend_compares_the_halves_of_the_period(needs: Needs) -> None:
    """From 10 and 20 minutes a week to 40 and 60 is 35 more a week; one week alone has no trend."""
    weeks = [practice(7 * number, tag=length) for number, length in enumerate((10, 20, 40, 60))]
    assert row(review(weeks, needs, {}), "tag").trend == pytest.approx(35)
    assert row(review(weeks[:1], needs, {}), "tag").trend == 0.0


def test_last_day_and_stage_are_told(needs: Needs) -> None:
    """A principle's last day is the last on which it had a minute; one never worked on has none."""
    found = review(
        [practice(0, tag=5), practice(9, talk=5), practice(2, tag=5)], needs, {"tag": Stage.GUIDED}
    )
    assert row(found, "tag").last == MONDAY + dt.timedelta(days=2)
    assert row(found, "tag").stage is Stage.GUIDED
    assert row(found, "post").last is None
    assert row(found, "post").stage is None


def test_the_json_holds_what_the_review_says(needs: Needs) -> None:
    """Weeks come with their minutes and total, principles with all of their figures."""
    said = review([practice(0, tag=30)], needs, {"tag": Stage.WALK}).as_json()
    assert said["weeks"][0]["week"] == "2027-W01"
    assert said["weeks"][0]["total"] == 30
    assert said["weeks"][0]["minutes"]["tag"] == 30
    tag = next(one for one in said["principles"] if one["principle"] == "tag")
    assert (tag["minutes"], tag["stage"], tag["last"]) == (30, "walk", "2027-01-04")


def test_no_practice_is_a_review_of_nothing(needs: Needs) -> None:
    """Without a practice there are no weeks, no minutes and no division by zero."""
    found = review([], needs, {})
    assert found.weeks == ()
    assert {one.minutes_share for one in found.principles} == {0.0}


def test_the_largest_gaps_are_put_into_words(needs: Needs) -> None:
    """The widest gap comes first and says which way it goes; small ones are not worth a sentence."""
    plain = row(review([], needs, {}), "tag")
    rows = (
        replace(plain, principle="tag", minutes_share=0.10, need_share=0.40),
        replace(plain, principle="talk", minutes_share=0.60, need_share=0.20),
        replace(plain, principle="post", minutes_share=0.10, need_share=0.11),
    )
    said = mismatches(Review((), rows), {"talk": "Communication"})
    assert said == [
        "Communication: 60% of the minutes, 20% of the need: more time than it asks for.",
        "tag: 10% of the minutes, 40% of the need: less time than it asks for.",
    ]
    assert len(mismatches(Review((), rows), {}, most=1)) == 1
