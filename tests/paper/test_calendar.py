"""Calendar files out and in, without a store."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.paper.calendar import Entry, calendar_file
from planner.paper.calendar_event import Asked
from planner.paper.calendar_reader import MOST_EVENTS, FoundCalendar, in_words, only_ahead, read_calendar
from planner.paper.calendar_titles import Pairing, pairing, says_closed
from planner.problem import Refusal
from tests.running import is_clean

SINCE, UNTIL = dt.date(2026, 8, 31), dt.date(2028, 8, 31)
OSLO = "Europe/Oslo"


def read(*events: str, zone: str = OSLO) -> FoundCalendar:
    body = "".join(f"BEGIN:VEVENT\r\n{one}END:VEVENT\r\n" for one in events)
    raw = f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\n{body}END:VCALENDAR\r\n".encode()
    return read_calendar("school.ics", raw, Asked("Marrowby Otters under 18", zone, SINCE, UNTIL))


def event(summary: str, *lines: str, uid: str = "1@school") -> str:
    return "".join(f"{one}\r\n" for one in (f"UID:{uid}", f"SUMMARY:{summary}", *lines))


@pytest.mark.parametrize(
    ("title", "opponent", "venue"),
    [
        ("v Harbour Point", "Harbour Point", "home"),
        ("vs. Harbour Point", "Harbour Point", "home"),
        ("Otters VS Harbour Point", "Harbour Point", "home"),
        ("@ Harbour Point", "Harbour Point", "away"),
        ("@Harbour Point", "Harbour Point", "away"),
        ("at Harbour Point", "Harbour Point", "away"),
        ("Marrowby at Harbour Point", "Harbour Point", "away"),
        ("Girls Varsity @ Harbour Point", "Harbour Point", "away"),
        ("Game: v Harbour Point", "Harbour Point", "home"),
        ("Harbour Point @ Marrowby", "Harbour Point", "home"),
        ("Harbour Point v Otters", "Harbour Point", ""),
        ("Harbour Point v Otters (away)", "Harbour Point", "away"),
        ("v Harbour Point (N)", "Harbour Point", "neutral"),
        ("v Harbour Point - neutral", "Harbour Point", "neutral"),
        ("v St. Vincent", "St. Vincent", "home"),
    ],
)
def test_titles_that_name_a_game(title: str, opponent: str, venue: str) -> None:
    """Opponent and venue are read out of the usual ways to write a game (common practice, no source)."""
    assert pairing(title, "Marrowby Otters under 18") == Pairing(opponent, venue)


@pytest.mark.parametrize(
    "title",
    [
        "Team dinner at Luigi's",
        "Pizza @ Luigi's",
        "Practice @ Main Gym",
        "Bus leaves at 16:30",
        "Game at 7pm",
        "Football v Harbour Point",
        "Parents meeting",
        "v",
        "at",
        "Otters v TBD",
        "Vocal concert",
        "",
    ],
)
def test_titles_that_name_none(title: str) -> None:
    """Dinners are at places too, and other sports have opponents: neither becomes a game."""
    assert pairing(title, "Marrowby Otters under 18") is None


@pytest.mark.parametrize(
    ("title", "closed"),
    [
        ("Gym closed", True),
        ("GYM CLOSED: exams", True),
        ("No gym", True),
        ("Sports hall unavailable", True),
        ("Main gym is not available today", True),
        ("Closed: gymnasium floor being sanded", True),
        ("Gym open", False),
        ("School closed", False),
        ("No gymnastics", False),
    ],
)
def test_titles_that_close_the_gym(title: str, closed: bool) -> None:
    """A closing is a title that says so of the gym."""
    assert says_closed(title) is closed


def test_times_are_the_teams_own() -> None:
    """UTC, another zone, a vendor's name of one and no zone at all come out as the team's clock and day."""
    found = read(
        event("v A", "DTSTART:20261203T233000Z", uid="1"),
        event("v B", "DTSTART;TZID=America/New_York:20261203T180000", uid="2"),
        event("v C", "DTSTART;TZID=/example.org/2026/Asia/Tokyo:20261204T010000", uid="3"),
        event("v D", "DTSTART:20261203T180000", uid="4"),
        event("v E", "DTSTART;VALUE=DATE:20261203", uid="5"),
    )
    said = {one.opponent: (one.date.day, one.start) for one in found.games}
    assert said == {"A": (4, 30), "B": (4, 0), "C": (3, 17 * 60), "D": (3, 18 * 60), "E": (3, None)}
    assert found.problems == ()


def test_a_zone_nobody_knows_is_told() -> None:
    """Its clock is taken as the team's, and the coach hears of it once."""
    found = read(
        event("v A", "DTSTART;TZID=School Time:20261203T180000", "DTEND;TZID=School Time:20261203T193000")
    )
    assert found.games[0].start == 18 * 60
    assert [str(one) for one in found.problems] == [
        "school.ics: event 'v A': the zone 'School Time' is not known; taken as the team's."
    ]


def test_a_closing_is_one_stretch_for_each_day_and_its_end_is_not_in_it() -> None:
    """Whole days, hours, a duration, a night and a closing without an end."""
    found = read(
        event("gym closed", "DTSTART;VALUE=DATE:20261207", "DTEND;VALUE=DATE:20261209", uid="1"),
        event("gym closed", "DTSTART:20261210T150000", "DTEND:20261210T170000", uid="2"),
        event("gym closed", "DTSTART:20261211T220000", "DURATION:PT4H", uid="3"),
        event("gym closed", "DTSTART:20261213T200000", uid="4"),
    )
    said = [(one.date.day, one.start, one.end) for one in found.closings]
    assert said == [
        (7, 0, 1440),
        (8, 0, 1440),
        (10, 900, 1020),
        (11, 1320, 1440),
        (12, 0, 120),
        (13, 1200, 1440),
    ]
    assert len({one.key for one in found.closings}) == 6


def test_repeating_events_leave_out_and_add_days_and_single_ones_are_moved() -> None:
    """EXDATE takes a day out, RDATE adds one, and an event with RECURRENCE-ID stands in for its day."""
    weekly = event(
        "v A",
        "DTSTART;TZID=Europe/Oslo:20261201T180000",
        "RRULE:FREQ=WEEKLY;COUNT=4",
        "EXDATE;TZID=Europe/Oslo:20261208T180000",
        "RDATE;TZID=Europe/Oslo:20261230T180000",
        "RDATE;VALUE=PERIOD:20261231T170000Z/PT90M",
    )
    moved = event(
        "v A", "RECURRENCE-ID;TZID=Europe/Oslo:20261215T180000", "DTSTART;TZID=Europe/Oslo:20261216T190000"
    )
    first = read(weekly)
    both = read(moved, weekly)
    assert [one.date.day for one in first.games] == [1, 15, 22, 30, 31]
    assert [one.date.day for one in both.games] == [1, 16, 22, 30, 31]
    assert read(weekly, moved).games == both.games
    # Whichever way it is read, the moved game has the same key, so that it is moved here too.
    assert {one.key for one in first.games} == {one.key for one in both.games}


def test_a_rule_is_meant_in_the_zone_of_its_event() -> None:
    """Fridays at 01:00 in Tokyo are Thursdays in Oslo; UNTIL in UTC still lets the last of them through."""
    found = read(
        event(
            "v A",
            "DTSTART;TZID=Asia/Tokyo:20261204T010000",
            "RRULE:FREQ=WEEKLY;BYDAY=FR;UNTIL=20261217T160000Z",
        )
    )
    assert [(one.date.day, one.start) for one in found.games] == [(3, 1020), (10, 1020), (17, 1020)]


def test_what_is_called_off_is_no_game() -> None:
    """STATUS:CANCELLED and a title that says so are told apart from what stands."""
    found = read(
        event("v A", "DTSTART:20261203T180000", "STATUS:CANCELLED", uid="1"),
        event("CANCELLED v B", "DTSTART:20261204T180000", uid="2"),
        event("v C", "DTSTART:20261205T180000", "STATUS:CONFIRMED", uid="3"),
    )
    assert found.cancelled == {"1", "2"}
    assert [one.opponent for one in found.games] == ["C"]


def test_one_broken_event_costs_only_itself() -> None:
    """Garbage dates, the ends of time, alarms inside and unclosed events leave the good ones standing."""
    found = read(
        event("v A", "DTSTART:garbage", uid="1"),
        event("v B", uid="2"),
        event("gym closed", "DTSTART:99991231T235959Z", uid="3"),
        event("v C", "DTSTART:00010101T000000Z", uid="4"),
        event("v D", "DTSTART:20261203T180000", "BEGIN:VALARM", "SUMMARY:v Nobody", "END:VALARM", uid="5"),
        "SUMMARY:v E\r\nBEGIN:VEVENT\r\n" + event("v F", "DTSTART:20261204", uid="6"),
        event("v G", "DTSTART:20261205", "RRULE:FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30", uid="7"),
        event("v H", "DTSTART:20261206", "RRULE:FREQ=SECONDLY", uid="8"),
    )
    assert [one.opponent for one in found.games] == ["D", "F", "G", "H"]
    assert len(found.problems) == 4


def test_hostile_titles_are_cleaned() -> None:
    """Escapes, controls and turned-round writing never reach the screen or the store."""
    found = read(
        event("v Bad\x1b[31m\u202eTeam\x07", "DTSTART:20261203T180000", uid="1"),
        event("gym closed\x1b]0;x\x07\\n\\nnow", "DTSTART;VALUE=DATE:20261204", uid="\x1b[2J2"),
        event("v \x1b[31mX", "DTSTART:nonsense\x1b[31m", uid="3"),
    )
    assert found.games[0].opponent == "BadTeam"
    assert all(is_clean(one.title + one.key) for one in (*found.games, *found.closings))
    assert all(is_clean(str(one)) for one in found.problems)


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"", "is no calendar file"),
        (b"hello", "is no calendar file"),
        (b"\x00" * 2_000_001, "larger than 2 MB"),
        (b"BEGIN:VCALENDAR\n" + b"BEGIN:VEVENT\n" * (MOST_EVENTS + 1), "more than 5,000 events"),
        (
            b"BEGIN:VCALENDAR\n"
            + b"".join(
                b"BEGIN:VEVENT\nUID:%d\nDTSTART:20261201\nSUMMARY:v A%d\nRRULE:FREQ=DAILY\nEND:VEVENT\n"
                % (n, n)
                for n in range(10)
            ),
            "more than 5,000 events",
        ),
    ],
)
def test_what_is_too_much_or_no_calendar_is_refused(raw: bytes, words: str) -> None:
    """Two megabytes and five thousand events, unrolled ones counted, are the most."""
    with pytest.raises(Refusal, match=words):
        read_calendar("x.ics", raw, Asked("Otters", OSLO, SINCE, UNTIL))


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(
        st.sampled_from(
            ["BEGIN:VEVENT", "END:VEVENT", "BEGIN:VALARM", "END:VALARM", "SUMMARY:v A", "SUMMARY:gym closed",
             "DTSTART:20261203T180000", "DTSTART;TZID=Nowhere:20261203T180000", "DTSTART;VALUE=DATE:20261203",
             "DTEND:20261203T170000", "DURATION:-P1D", "RRULE:FREQ=WEEKLY;COUNT=3", "RRULE:FREQ=", "UID:1",
             "RDATE:20261204", "EXDATE:2026", "RECURRENCE-ID:20261203T180000", " folded", "STATUS:CANCELLED"]
        )
        | st.text(max_size=30),
        max_size=25,
    ),
    st.sampled_from(["\r\n", "\n", "\r"]),
)  # fmt: skip
def test_any_text_is_read_or_refused(lines: list[str], end: str) -> None:
    """Whatever lines a file holds, reading it ends, in days that were asked for."""
    raw = end.join(["BEGIN:VCALENDAR", "VERSION:2.0", *lines, "END:VCALENDAR"]).encode("utf-8", "replace")
    found = read_calendar("x.ics", raw, Asked("Otters", OSLO, SINCE, UNTIL))
    assert all(SINCE <= one.date <= UNTIL for one in (*found.games, *found.closings))
    assert all(0 <= one.start < one.end <= 1440 for one in found.closings)
    assert "game" in in_words(found)


def test_closings_gone_by_are_left_out() -> None:
    """A gym that was closed last month needs no rule."""
    found = read(event("gym closed", "DTSTART;VALUE=DATE:20261207", "DTEND;VALUE=DATE:20261210"))
    assert [one.date.day for one in only_ahead(found, dt.date(2026, 12, 8)).closings] == [8, 9]


def test_the_same_entries_give_the_same_bytes_in_any_order() -> None:
    """Order of the entries and the machine's clock do not show."""
    entries = [Entry(f"{n}@x", dt.datetime(2027, 1, n, 18), "Otters: practice", 90) for n in range(1, 9)]  # noqa: DTZ001
    assert calendar_file(entries, OSLO, "Otters") == calendar_file(entries[::-1], OSLO, "Otters")


def test_a_practice_over_the_change_of_the_hour_keeps_its_length() -> None:
    """In Oslo 2:00 is skipped on 28 March 2027; in autumn an hour comes twice, and the length is written."""
    spring = calendar_file([Entry("a", dt.datetime(2027, 3, 28, 1), "x", 90)], OSLO, "x").decode()  # noqa: DTZ001
    autumn = calendar_file([Entry("a", dt.datetime(2027, 10, 31, 2, 30), "x", 60)], OSLO, "x").decode()  # noqa: DTZ001
    assert "DTEND;TZID=Europe/Oslo:20270328T033000" in spring
    assert "DURATION:PT60M" in autumn


def test_utc_needs_no_zone() -> None:
    """A team in UTC writes plain UTC times."""
    text = calendar_file([Entry("a", dt.datetime(2027, 3, 28, 1), "x", 90)], "UTC", "x").decode()  # noqa: DTZ001
    assert "DTSTART:20270328T010000Z" in text
    assert "VTIMEZONE" not in text


def test_what_changed_changes_the_digest() -> None:
    """Hour, length, title, text and being called off count; stamp and sequence do not."""
    day = dt.datetime(2027, 1, 1, 18)  # noqa: DTZ001
    one = Entry("a", day, "x", 90, "text")
    others = [
        Entry("a", day + dt.timedelta(minutes=5), "x", 90, "text"),
        Entry("a", day, "y", 90, "text"),
        Entry("a", day, "x", 80, "text"),
        Entry("a", day, "x", 90, "other"),
        Entry("a", day, "x", 90, "text", cancelled=True),
    ]
    assert one.digest == Entry("a", day, "x", 90, "text", sequence=4, changed=dt.datetime.now(dt.UTC)).digest
    assert len({one.digest, *(other.digest for other in others)}) == 6
