"""Calendar files against RFC 5545: folding, escaping, recurrence; its text as read at the addresses named."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import icalendar
import pytest
from dateutil.rrule import rrulestr
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.paper.calendar import LINE_OCTETS, Entry, calendar_file, escape, fold, zone_lines
from planner.paper.calendar_event import Asked
from planner.paper.calendar_reader import read_calendar
from planner.paper.calendar_rule import days_of, read_rule
from tests.published.test_recurrence import PUBLISHED, READ_FIVE

FOLDING = (
    "RFC 5545, section 3.1; read at https://github.com/andrewbrereton/obsidian-to-ical-plugin/issues/63 "
    "and https://qiita.com/sen-ltd/items/e3e99f4346f3d8ba5c3b"
)
NEW_YORK = "America/New_York"


def unfolded(text: str) -> str:
    return re.sub(r"\r\n[ \t]", "", text)


@given(st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=400))
def test_no_line_is_longer_than_75_octets_and_no_character_is_split(line: str) -> None:
    """Each piece is at most 75 octets of whole characters, the blank counted; unfolded it is the line."""
    folded = fold(line)
    pieces = folded.split("\r\n")
    assert all(len(one.encode()) <= LINE_OCTETS for one in pieces), FOLDING
    assert all(one.startswith(" ") for one in pieces[1:])
    assert all(len(one.encode()) > LINE_OCTETS - 4 for one in pieces[:-1])
    assert unfolded(folded) == line


@pytest.mark.parametrize(
    ("line", "sizes"),
    [
        ("a" * 75, [75]),
        ("a" * 76, [75, 2]),
        ("a" * 149, [75, 75]),
        ("a" * 150, [75, 75, 2]),
        ("é" * 38, [74, 3]),  # 76 octets: the 38th letter would stand astride
        ("a" + "é" * 37, [75]),
        ("\U0001f3c0" * 19, [72, 5]),
    ],
)
def test_lines_fold_at_75_octets_not_characters(line: str, sizes: list[int]) -> None:
    """Sizes in octets of the pieces, worked out by hand from section 3.1."""
    assert [len(one.encode()) for one in fold(line).split("\r\n")] == sizes, FOLDING


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("Project XYZ Final Review\nConference Room - 3B\nCome Prepared.",
         "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared."),
        ("a;b,c", "a\\;b\\,c"),
        ("C:\\new", "C:\\\\new"),
        ("\\,", "\\\\\\,"),
        ("one\r\ntwo\rthree", "one\\ntwo\\nthree"),
        ("quote \" and : stay", "quote \" and : stay"),
    ],
)  # fmt: skip
def test_text_is_escaped_backslash_first(text: str, written: str) -> None:
    """Section 3.3.11: backslash, then semicolon, comma and line breaks; the first row is its example."""
    assert escape(text) == written


@given(st.text(st.characters(exclude_categories=("Cs", "Cc")) | st.just("\n"), max_size=80))
def test_what_is_escaped_comes_back_through_another_reader(text: str) -> None:
    """A well-kept library reads the text that was written."""
    event = f"BEGIN:VEVENT\r\n{fold('SUMMARY:' + escape(text))}\r\nEND:VEVENT\r\n"
    assert str(icalendar.Event.from_ical(event)["SUMMARY"]) == text


@pytest.mark.parametrize(("source", "rule", "first", "days"), PUBLISHED, ids=[one[1] for one in PUBLISHED])
def test_a_repeating_game_falls_on_its_published_days(
    source: str, rule: str, first: str, days: list[str]
) -> None:
    """A file's game at 09:00 New York time repeats on the published days, over the change of the hour too."""
    raw = _file(f"DTSTART;TZID={NEW_YORK}:{first.replace('-', '')}T090000\r\nRRULE:{rule}\r\n")
    start = dt.date.fromisoformat(first)
    found = read_calendar("x.ics", raw, _asked(start, start + dt.timedelta(days=400)))
    assert [one.date.isoformat() for one in found.games] == days, source
    assert {one.start for one in found.games} == {9 * 60}


@pytest.mark.parametrize("rule", ["FREQ=MINUTELY;INTERVAL=15;COUNT=6", "FREQ=MINUTELY;INTERVAL=90;COUNT=4"])
def test_what_repeats_within_a_day_is_one_game(rule: str) -> None:
    """The published times of these two rules all lie on one day; it is taken once, and that is said."""
    raw = _file(f"DTSTART;TZID={NEW_YORK}:19970902T090000\r\nRRULE:{rule}\r\n")
    day = dt.date(1997, 9, 2)
    found = read_calendar("x.ics", raw, _asked(day, day))
    assert [one.date for one in found.games] == [day], READ_FIVE
    assert "only its first day is taken" in str(found.problems[0])


def _file(lines: str) -> bytes:
    return (
        f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nBEGIN:VEVENT\r\nUID:1@x\r\nSUMMARY:v Tarnoway\r\n{lines}"
        "END:VEVENT\r\nEND:VCALENDAR\r\n"
    ).encode()


def _asked(since: dt.date, until: dt.date) -> Asked:
    return Asked("Otters", NEW_YORK, since, until)


_DAYS = st.sampled_from(["MO", "TU", "WE", "TH", "FR", "SA", "SU"])
_NTH = st.builds(lambda n, day: f"{n}{day}", st.sampled_from([-2, -1, 1, 2, 3, 5]), _DAYS)


@st.composite
def rules(draw: st.DrawFn) -> str:
    """Draw a rule of the parts that are read."""
    freq = draw(st.sampled_from(["DAILY", "WEEKLY", "MONTHLY", "YEARLY"]))
    parts = [f"FREQ={freq}", f"INTERVAL={draw(st.integers(1, 3))}"]
    # Plain and counted weekdays are not mixed: dateutil takes what both name, the standard what either does.
    days = _NTH if freq in {"MONTHLY", "YEARLY"} and draw(st.booleans()) else _DAYS
    weekdays = draw(st.lists(days, max_size=3, unique=True))
    if weekdays:
        parts.append(f"BYDAY={','.join(weekdays)}")
    if freq in {"MONTHLY", "YEARLY"} and not weekdays and draw(st.booleans()):
        month_days = draw(st.lists(st.sampled_from([1, 2, 15, 28, 30, 31, -1, -3]), min_size=1, unique=True))
        parts.append(f"BYMONTHDAY={','.join(map(str, month_days))}")
    if freq in {"DAILY", "YEARLY"} and draw(st.booleans()):
        months = draw(st.lists(st.integers(1, 12), min_size=1, max_size=4, unique=True))
        parts.append(f"BYMONTH={','.join(map(str, months))}")
    if freq in {"MONTHLY", "YEARLY"} and any(len(one) == 2 for one in weekdays) and draw(st.booleans()):
        parts.append(f"BYSETPOS={draw(st.sampled_from([1, -1, 2]))}")
    if draw(st.booleans()):
        parts.append(f"COUNT={draw(st.integers(1, 12))}")
    if freq == "WEEKLY":
        parts.append(f"WKST={draw(_DAYS)}")
    return ";".join(parts)


@settings(max_examples=200, deadline=None)  # where nothing matches, dateutil runs on to the year 9999
@given(rules(), st.dates(dt.date(2026, 1, 1), dt.date(2027, 12, 31)))
def test_rules_agree_with_an_independent_reading(rule: str, first: dt.date) -> None:
    """The expansion by dateutil of the same rule, over two years, has the same days."""
    last = first + dt.timedelta(days=731)
    parsed: Any = icalendar.vRecur.from_ical(rule)
    start = dt.datetime.combine(first, dt.time(9))
    ours = list(days_of(read_rule(parsed, None), start, last))
    until = dt.datetime.combine(last, dt.time(23))
    theirs = rrulestr(rule, dtstart=start).between(start, until, inc=True)
    assert ours == [one.date() for one in theirs]


@pytest.mark.parametrize(
    "zone", [NEW_YORK, "Europe/Dublin", "Australia/Lord_Howe", "Asia/Tokyo", "Africa/Casablanca"]
)
def test_the_zone_says_what_the_clocks_do(zone: str) -> None:
    """Read by the library from the VTIMEZONE alone, two years have the offsets of the tz database."""
    import zoneinfo

    renamed = "\r\n".join(zone_lines(zone, 2026, 2027)).replace(f"TZID:{zone}", f"TZID:Ours {zone[-4:]}")
    alone = icalendar.Timezone.from_ical(renamed + "\r\n").to_tz()
    here = zoneinfo.ZoneInfo(zone)
    for number in range(0, 730, 3):
        noon = dt.datetime(2026, 1, 1, 12) + dt.timedelta(days=number)  # noqa: DTZ001 (wall clock)
        assert noon.replace(tzinfo=alone).utcoffset() == noon.replace(tzinfo=here).utcoffset(), noon


def test_a_calendar_comes_back_through_another_reader() -> None:
    """The library finds the entries as they were written: ids, moments in their zone, texts, sequence."""
    stamp = dt.datetime(2027, 1, 13, 20, 15, tzinfo=dt.UTC)
    entries = [
        Entry("p-1@x", dt.datetime(2027, 3, 14, 18, 0), "Otters; practice, ü", 95, "18:00 x\n18:10 y",  # noqa: DTZ001
              "Practice", changed=stamp, sequence=3),
        Entry("g-1@x", dt.date(2027, 3, 20), "v Tarnoway", category="Game", cancelled=True, changed=stamp),
    ]  # fmt: skip
    raw = calendar_file(entries, NEW_YORK, "Otters")
    assert raw.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in raw.replace(b"\r\n", b"")
    practice, game = icalendar.Calendar.from_ical(raw).walk("VEVENT")
    assert str(practice["UID"]) == "p-1@x"
    assert practice["DTSTART"].dt.isoformat() == "2027-03-14T18:00:00-04:00"
    assert practice["DTEND"].dt.isoformat() == "2027-03-14T19:35:00-04:00"
    assert str(practice["SUMMARY"]) == "Otters; practice, ü"
    assert str(practice["DESCRIPTION"]) == "18:00 x\n18:10 y"
    assert practice["SEQUENCE"] == 3
    assert practice["DTSTAMP"].dt == practice["LAST-MODIFIED"].dt == stamp
    assert game["DTSTART"].dt == dt.date(2027, 3, 20)
    assert game["DTEND"].dt == dt.date(2027, 3, 21)  # the first day after it
    assert str(game["STATUS"]) == "CANCELLED"
