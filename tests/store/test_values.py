from __future__ import annotations

import datetime as dt

import pytest

from planner.build.brief import FixedBlock, GymWindow
from planner.store.values import FixedRule, GymRule


def _days(rule: GymRule, first: dt.date, count: int) -> list[dt.date]:
    days = (first + dt.timedelta(days=step) for step in range(400))
    return [day for day in days if rule.holds_on(day)][:count]


@pytest.mark.parametrize(
    ("rule", "first", "expected"),
    [
        (
            "FREQ=WEEKLY;INTERVAL=2;WKST=SU",
            dt.date(1997, 9, 2),
            ["1997-09-02", "1997-09-16", "1997-09-30", "1997-10-14", "1997-10-28", "1997-11-11"],
        ),
        (
            "RRULE:FREQ=MONTHLY;COUNT=10;BYDAY=1FR",
            dt.date(1997, 9, 5),
            ["1997-09-05", "1997-10-03", "1997-11-07", "1997-12-05", "1998-01-02", "1998-02-06"],
        ),
        (
            "FREQ=WEEKLY;UNTIL=19971007T000000Z;WKST=SU;BYDAY=TU,TH",
            dt.date(1997, 9, 2),
            ["1997-09-02", "1997-09-04", "1997-09-09", "1997-09-11", "1997-09-16", "1997-09-18"],
        ),
    ],
)
def test_recurrences_fall_on_the_standard_s_days(rule: str, first: dt.date, expected: list[str]) -> None:
    """The rules and days are examples of RFC 5545, section 3.8.5.3 (from memory)."""
    found = _days(GymRule(960, 1080, 2, rrule=rule, first=first), first - dt.timedelta(days=9), 6)
    assert [day.isoformat() for day in found] == expected


def test_until_ends_a_recurrence() -> None:
    """The last day of a rule counts, and none after it (from memory: UNTIL is inclusive, RFC 5545 3.3.10)."""
    rule = GymRule(960, 1080, 2, rrule="FREQ=WEEKLY;UNTIL=20270119;BYDAY=TU", first=dt.date(2027, 1, 5))
    assert _days(rule, dt.date(2027, 1, 1), 9) == [dt.date(2027, 1, day) for day in (5, 12, 19)]


def test_without_a_first_day_a_rule_holds_on_its_weekdays() -> None:
    """A rule of weekdays alone needs no first day."""
    rule = GymRule(960, 1080, 2, rrule="FREQ=WEEKLY;BYDAY=TU,TH")
    assert [day.weekday() for day in _days(rule, dt.date(2027, 1, 4), 4)] == [1, 3, 1, 3]


def test_weekday_and_date_rules() -> None:
    """A weekday holds each week, a date once."""
    wednesday, day = dt.date(2027, 1, 13), dt.timedelta(days=1)
    weekly, once = GymRule(960, 1080, 2, weekday=2), GymRule(960, 1080, 0, date=wednesday)
    assert weekly.holds_on(wednesday)
    assert weekly.holds_on(wednesday + 7 * day)
    assert not weekly.holds_on(wednesday + day)
    assert once.holds_on(wednesday)
    assert not once.holds_on(wednesday + 7 * day)
    assert weekly.window == GymWindow(960, 1080, 2)


def test_fixed_rules_give_the_brief_its_blocks() -> None:
    """A block keeps its place, effort, halves and shares; one of a weekday holds on that day only."""
    rule = FixedRule("Sideline plays", 8, "last", 4, 2, {"vision": 1}, weekday=4)
    assert rule.block == FixedBlock("Sideline plays", 8, "last", 4, 2, {"vision": 1})
    assert rule.holds_on(dt.date(2027, 1, 15))
    assert not rule.holds_on(dt.date(2027, 1, 16))
    assert FixedRule("Talk", 5, 0).holds_on(dt.date(2027, 1, 16))
