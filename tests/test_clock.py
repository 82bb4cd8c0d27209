from __future__ import annotations

import contextlib
import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.clock import clock_text, parse_clock, parse_date
from planner.problem import Refusal

WEDNESDAY = dt.date(2027, 1, 13)
WORDS = (
    *("26", "nov", "november", "2026", "thu", "thursday", "10:30", "am", "pm", "utc", "xyz", "+3", ",", "/"),
    *("-", "t", "1e9", "noon", "h", "1.5", "next", "day", "of", "the", "3rd", "²"),
)


@given(st.integers(0, 24 * 60 - 1))
def test_a_time_is_read_as_it_is_written(minute: int) -> None:
    """Every minute of the day comes back from its own text, with a colon, a full stop or an h."""
    text = clock_text(minute)
    for written in (text, text.replace(":", "."), text.replace(":", "h"), f" {text} "):
        assert parse_clock(written) == minute


@pytest.mark.parametrize(
    ("text", "clock"),
    [
        ("4:30 pm", "16:30"),
        ("4.30pm", "16:30"),
        ("4:30 p.m.", "16:30"),
        ("12am", "00:00"),
        ("12:05 pm", "12:05"),
        ("16", "16:00"),
        ("7:05", "07:05"),
    ],
)
def test_times_in_two_halves_of_the_day(text: str, clock: str) -> None:
    """Twelve at night is the day's first hour, twelve at noon its thirteenth (common practice, no source)."""
    assert clock_text(parse_clock(text)) == clock


@pytest.mark.parametrize(
    "text", ["", "24:00", "15:60", "13 pm", "0 am", "half past", "15:3", "-3", "3:30\x1b[31m x"]
)
def test_what_is_no_time_is_refused(text: str) -> None:
    """The refusal shows how to write a time."""
    with pytest.raises(Refusal, match=r"is not a time of day; write it as 16:30 or 4:30pm\."):
        parse_clock(text)


def test_minutes_past_midnight_wrap() -> None:
    """A practice that begins late ends on the next day's clock."""
    assert clock_text(24 * 60 + 5) == "00:05"


@given(st.dates())
def test_iso_dates_come_back(day: dt.date) -> None:
    """A date written as in ISO 8601 is that date."""
    assert parse_date(day.isoformat(), WEDNESDAY) == day


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("today", "2027-01-13"),
        ("Tonight", "2027-01-13"),
        ("tomorrow", "2027-01-14"),
        ("yesterday", "2027-01-12"),
        ("thu", "2027-01-14"),
        ("next tue", "2027-01-19"),
        ("wednesday", "2027-01-20"),
        ("next wed", "2027-01-20"),
        ("26 nov 2026", "2026-11-26"),
        ("November 26, 2026", "2026-11-26"),
        ("thu 26 nov 2026", "2026-11-26"),
        ("26 nov", "2027-11-26"),
    ],
)
def test_dates_as_coaches_write_them(text: str, day: str) -> None:
    """A day's name is the next such day after today; a written date without a year is of this year."""
    assert parse_date(text, WEDNESDAY).isoformat() == day


@given(st.dates(dt.date(2000, 1, 1), dt.date(2100, 1, 1)), st.integers(0, 6))
def test_a_weekday_lies_within_the_next_seven_days(today: dt.date, weekday: int) -> None:
    """The next Tuesday is a Tuesday, later than today and at most a week off."""
    name = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")[weekday]
    found = parse_date(name, today)
    assert found.weekday() == weekday
    assert 1 <= (found - today).days <= 7


@pytest.mark.parametrize("text", ["3/4", "03.04.2027", "3-4-27", "2027", "12"])
def test_dates_that_can_be_read_two_ways_are_refused(text: str) -> None:
    """Day and month in figures are not guessed at."""
    with pytest.raises(Refusal, match=r"can be read more than one way; write it as 2027-01-13\."):
        parse_date(text, WEDNESDAY)


@pytest.mark.parametrize(
    "text",
    ["blursday", "10:30", "10 am", "may", "nov 2026", "26th", "30 feb 2027", "", "next", "26 nov xyz", "t"],
)
def test_what_names_no_day_is_refused(text: str) -> None:
    """A word, a time of day, or a month without its day is not quietly made into a date."""
    with pytest.raises(Refusal, match=r"is not a date; write it as 2027-01-13, 'tomorrow' or 'next tue'\."):
        parse_date(text, WEDNESDAY)


def test_a_day_that_the_calendar_lacks_is_refused() -> None:
    """30 February is named as what it is."""
    with pytest.raises(Refusal, match="not a day of the calendar"):
        parse_date("2027-02-30", WEDNESDAY)


@given(st.lists(st.sampled_from(WORDS), max_size=6).map(" ".join) | st.text(max_size=30))
def test_any_text_is_a_date_or_refused(text: str) -> None:
    """Nothing that can be typed raises anything but a refusal."""
    for read in (lambda: parse_date(text, WEDNESDAY), lambda: parse_clock(text)):
        with contextlib.suppress(Refusal):
            read()
