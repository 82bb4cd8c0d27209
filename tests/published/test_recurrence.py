"""Gym days against the recurrence examples of RFC 5545, section 3.8.5.3."""

from __future__ import annotations

import datetime as dt

import pytest

from planner.store.values import GymRule

READ_TWICE = (
    "https://learn-codes.org/php/65817-php-match-a-specific-date-to-a-recurring-ical-rule (RFC 2445 text)"
)
READ_FIVE = "https://polar.sh/niccokunzmann/python-recurring-ical-events/issues/197 (RFC 5545 text)"
MEMORY = "RFC 5545, from memory"

PUBLISHED = [
    (READ_TWICE, "FREQ=DAILY;COUNT=10", "1997-09-02", [f"1997-09-{day:02d}" for day in range(2, 12)]),
    (
        READ_TWICE,
        "FREQ=DAILY;INTERVAL=10;COUNT=5",
        "1997-09-02",
        ["1997-09-02", "1997-09-12", "1997-09-22", "1997-10-02", "1997-10-12"],
    ),
    (
        READ_TWICE,
        "FREQ=WEEKLY;COUNT=10",
        "1997-09-02",
        [
            *("1997-09-02", "1997-09-09", "1997-09-16", "1997-09-23", "1997-09-30"),
            *("1997-10-07", "1997-10-14", "1997-10-21", "1997-10-28", "1997-11-04"),
        ],
    ),
    (
        READ_FIVE,
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO",
        "1997-08-05",
        ["1997-08-05", "1997-08-10", "1997-08-19", "1997-08-24"],
    ),
    (
        READ_FIVE,
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU",
        "1997-08-05",
        ["1997-08-05", "1997-08-17", "1997-08-19", "1997-08-31"],
    ),
    (
        READ_FIVE,
        "FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5",
        "2007-01-15",
        ["2007-01-15", "2007-01-30", "2007-02-15", "2007-03-15", "2007-03-30"],
    ),
    (
        MEMORY,
        "FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH",
        "1997-09-02",
        [
            *("1997-09-02", "1997-09-04", "1997-09-09", "1997-09-11", "1997-09-16", "1997-09-18"),
            *("1997-09-23", "1997-09-25", "1997-09-30", "1997-10-02"),
        ],
    ),
    (
        MEMORY,
        "FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH",
        "1997-09-02",
        [
            *("1997-09-02", "1997-09-04", "1997-09-16", "1997-09-18"),
            *("1997-09-30", "1997-10-02", "1997-10-14", "1997-10-16"),
        ],
    ),
]


@pytest.mark.parametrize(("source", "rule", "first", "days"), PUBLISHED, ids=[one[1] for one in PUBLISHED])
def test_a_rule_holds_on_its_published_days_alone(
    source: str, rule: str, first: str, days: list[str]
) -> None:
    """The gym is ours on each published day and on no other near it; the source stands beside each rule."""
    made = GymRule(960, 1080, 2, rrule=rule, first=dt.date.fromisoformat(first))
    start = dt.date.fromisoformat(first) - dt.timedelta(days=20)
    looked_at = [start + dt.timedelta(days=one) for one in range(120)]
    assert [day.isoformat() for day in looked_at if made.holds_on(day)] == days, source
