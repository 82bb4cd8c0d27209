from __future__ import annotations

import datetime as dt

import pytest

from planner.need.needs import assess
from planner.need.settings import NeedSettings
from planner.season.balance import balance, end_of_month, end_of_week, need_shares
from planner.season.minutes import iso_week
from tests.season.kit import MONDAY, game, practice, words

FILM = [game(number, no_tag=6, no_box_out=3) for number in range(0, 28, 4)]


def test_shares_of_the_need_are_those_of_the_needs() -> None:
    """Without their intervals, the shares are the very ones that the needs tell, emphasis included."""
    day = MONDAY + dt.timedelta(days=20)
    chosen = NeedSettings(emphasis={"tag": 1.5}, off=frozenset({"no-box-out"}), draws=50)
    found = need_shares(FILM, words(), day, chosen)
    told = {one.principle: one.share for one in assess(FILM, words(), day, chosen).principles}
    assert found == pytest.approx(told)
    assert sum(found.values()) == pytest.approx(1)


def test_each_period_has_the_need_of_its_last_day() -> None:
    """A week is held against the needs as of its Sunday; its shares of minutes sum to one."""
    asked = []

    def needs_on(day: dt.date) -> dict[str, float]:
        asked.append(day)
        return {"tag": 1.0}

    found = balance([practice(1, tag=10, talk=30), practice(15, tag=5)], iso_week, end_of_week, needs_on)
    assert asked == [dt.date(2027, 1, 10), dt.date(2027, 1, 24)]
    assert found[0].shares == {"tag": 0.25, "talk": 0.75}
    row = found[0].as_json()["principles"][0]
    assert (row["minutes"], row["minutes_share"], row["need_share"]) == (10, 0.25, 1.0)


def test_periods_end_on_their_last_day() -> None:
    """Weeks end on Sundays, over the turn of the year too (2026-W53 is ISO's); months in February."""
    assert end_of_week("2026-W53") == dt.date(2027, 1, 3)
    assert end_of_month("2026-12") == dt.date(2026, 12, 31)
    assert end_of_month("2028-02") == dt.date(2028, 2, 29)


def test_a_week_without_taught_minutes_has_no_shares() -> None:
    """Nothing taught, nothing divided."""
    found = balance([practice(0)], iso_week, end_of_week, lambda _: {"tag": 1.0})
    assert found[0].shares == {}
    assert found[0].as_json()["principles"][0]["minutes_share"] == 0.0
