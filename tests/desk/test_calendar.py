"""The calendar at the desk: out again and again, in once, and taken back whole."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import icalendar
import pytest

from planner.desk.calendar import READ, SENT, ahead, export_calendar
from planner.desk.calendar_intake import add_file, read_file
from planner.desk.desk import Desk
from planner.desk.team import add_game, overview, set_setting
from planner.desk.undo import undo_last
from planner.desk.zone import find_zone, is_zone, machine_zone, team_zone
from planner.problem import Refusal
from planner.store import queries
from tests.running import NOW, TODAY, Stopsheet, assert_refused, rows

THURSDAY = TODAY + dt.timedelta(days=1)


def school(*events: str) -> bytes:
    body = "".join(f"BEGIN:VEVENT\r\n{one}\r\nEND:VEVENT\r\n" for one in events)
    return f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//School//EN\r\n{body}END:VCALENDAR\r\n".encode()


GAME = "UID:1@s\r\nSUMMARY:Otters @ Pier Hill\r\nDTSTART:20270120T190000\r\nDTEND:20270120T203000"
MOVED = GAME.replace("20270120", "20270121")
EXAMS = "UID:2@s\r\nSUMMARY:Gym closed: exams\r\nDTSTART;VALUE=DATE:20270118\r\nDTEND;VALUE=DATE:20270120"
NIGHT = "UID:3@s\r\nSUMMARY:No gym\r\nDTSTART:20270121T180000\r\nDURATION:PT30M\r\nRRULE:FREQ=WEEKLY;COUNT=2"


@pytest.fixture
def oslo(desk: Desk) -> Desk:
    """Return the demo's desk in a zone of its own, whatever the machine's."""
    set_setting(desk, "timezone", "europe/oslo")
    return desk


def written(desk: Desk, path: Path, **more: Any) -> dict[str, Any]:
    raw = export_calendar(desk, path, **more).path.read_bytes()
    return {str(one["UID"]): one for one in icalendar.Calendar.from_ical(raw).walk("VEVENT")}


def file(tmp_path: Path, *events: str) -> Path:
    path = tmp_path / "school.ics"
    path.write_bytes(school(*events))
    return path


def gym(desk: Desk, day: dt.date) -> list[tuple[int, int, int]]:
    with desk.reading() as session:
        return [(one.start, one.end, one.halves) for one in queries.gym_on(session, day)]


def test_practices_and_games_are_written_in_the_teams_zone(oslo: Desk, tmp_path: Path) -> None:
    """Every practice, planned or done, and every game is there; tomorrow's begins at 18:15 in Oslo."""
    found = written(oslo, tmp_path / "a.ics")
    with oslo.reading() as session:
        practices, games = queries.practices(session), queries.games(session, scouted=False)
    kinds = [uid.split("-")[0] for uid in found]
    assert (kinds.count("practice"), kinds.count("game")) == (len(practices), len(games))
    (tomorrow,) = [
        one
        for uid, one in found.items()
        if uid.startswith("practice") and one["DTSTART"].dt.date() == THURSDAY
    ]
    assert tomorrow["DTSTART"].dt.isoformat() == f"{THURSDAY}T18:15:00+01:00"
    assert "18:15 " in str(tomorrow["DESCRIPTION"])


def test_no_player_is_named_in_a_calendar(oslo: Desk, tmp_path: Path) -> None:
    """Calendars are passed on: neither names nor who runs what is in them."""
    text = export_calendar(oslo, tmp_path / "a.ics").path.read_text("utf-8")
    with oslo.reading() as session:
        names = [one.name for one in queries.players(session) if one.name]
    assert names
    assert not [one for one in names if one in text.replace("\r\n ", "")]


def test_a_second_file_is_the_same_until_something_changes(oslo: Desk, tmp_path: Path) -> None:
    """UIDs stay; equal bytes while nothing changed, SEQUENCE and stamp of what changed alone go up."""
    first = written(oslo, tmp_path / "a.ics")
    before = (tmp_path / "a.ics").read_bytes()
    oslo.now = lambda: NOW + dt.timedelta(days=1)
    export_calendar(oslo, tmp_path / "b.ics")
    assert (tmp_path / "b.ics").read_bytes() == before
    with oslo.writing() as session:
        game = queries.games(session, scouted=False)[-1]
        queries.save_game(session, dataclass_moved(game))
    third = written(oslo, tmp_path / "a.ics")
    assert set(third) == set(first)
    changed = [uid for uid, one in third.items() if one["SEQUENCE"] != first[uid]["SEQUENCE"]]
    assert [uid.rsplit("-", 1)[0] for uid in changed] == [f"game-{game.id}"]
    assert third[changed[0]]["SEQUENCE"] == 1
    assert third[changed[0]]["LAST-MODIFIED"].dt == NOW + dt.timedelta(days=1)


def dataclass_moved(game: Any) -> Any:
    from dataclasses import replace

    return replace(game, date=game.date + dt.timedelta(days=1))


def test_what_was_given_away_and_is_gone_is_called_off(oslo: Desk, tmp_path: Path) -> None:
    """A calendar that has the entry learns that it is off, and again that it is on."""
    number = add_game(oslo, THURSDAY, "Harbour Point")
    uid = next(one for one in written(oslo, tmp_path / "a.ics") if one.startswith(f"game-{number}-"))
    undo_last(oslo)
    gone = written(oslo, tmp_path / "a.ics")[uid]
    assert (str(gone["STATUS"]), gone["SEQUENCE"]) == ("CANCELLED", 1)
    assert "are called off" in export_calendar(oslo, tmp_path / "a.ics").notes[1]
    oslo.today = TODAY + dt.timedelta(days=60)
    assert uid not in written(oslo, tmp_path / "a.ics")


def test_a_period_and_another_ending(oslo: Desk, tmp_path: Path) -> None:
    """Days outside are left out; nothing to write, a wrong ending and a foreign file are refused."""
    found = written(oslo, tmp_path / "a.ics", since=THURSDAY, until=THURSDAY)
    assert len(found) == 1
    with pytest.raises(Refusal, match="no practice and no game"):
        export_calendar(oslo, tmp_path / "b.ics", since=dt.date(2031, 1, 1))
    with pytest.raises(Refusal, match=r"does not end in \.ics"):
        export_calendar(oslo, tmp_path / "b.csv")
    foreign = file(tmp_path, GAME)
    with pytest.raises(Refusal, match="not made by stopsheet"):
        export_calendar(oslo, foreign)
    assert export_calendar(oslo, foreign, overwrite=True).path == foreign


def test_two_teams_have_two_kinds_of_ids(oslo: Desk, tmp_path: Path) -> None:
    """Practice 1 of one team is not practice 1 of another."""
    first = set(written(oslo, tmp_path / "a.ics"))
    with oslo.writing() as session:
        queries.remove_setting(session, SENT)
    oslo.now = lambda: NOW + dt.timedelta(seconds=1)
    assert not first & set(written(oslo, tmp_path / "a.ics"))


def test_a_file_is_read_without_storing(oslo: Desk, tmp_path: Path) -> None:
    """Looking changes nothing."""
    before = rows(oslo.home)
    found = read_file(oslo, file(tmp_path, GAME, EXAMS, NIGHT))
    assert (len(found.games), len(found.closings)) == (1, 4)
    assert rows(oslo.home) == before


def test_games_and_closings_come_in_once(oslo: Desk, tmp_path: Path) -> None:
    """The same file again adds nothing; the weekly hours of a closed day stay beside the closing."""
    monday, thursday = dt.date(2027, 1, 18), dt.date(2027, 1, 21)
    weekly = gym(oslo, thursday)
    path = file(tmp_path, GAME, EXAMS, NIGHT)
    first = add_file(oslo, path)
    assert (first.games, first.closings, first.known) == (1, 4, 0)
    after = rows(oslo.home)
    again = add_file(oslo, path)
    assert (again.games, again.moved, again.closings, again.known) == (0, 0, 0, 5)
    assert rows(oslo.home) == after
    assert (0, 1440, 0) in gym(oslo, monday)
    assert sorted(gym(oslo, thursday)) == sorted([*weekly, (1080, 1110, 0)])
    (found,) = [one for one in ahead(oslo) if one.kind == "game" and "Pier Hill" in one.words]
    assert (found.date.isoformat(), found.start, found.words.split(", ")[-1]) == ("2027-01-20", 1140, "away")


def test_a_game_read_from_a_calendar_keeps_its_hour_when_written(oslo: Desk, tmp_path: Path) -> None:
    """The store knows no hour of a game; the calendar it came from did."""
    add_file(oslo, file(tmp_path, GAME))
    found = written(oslo, tmp_path / "a.ics")
    (game,) = [one for one in found.values() if "Pier Hill" in str(one["SUMMARY"])]
    assert game["DTSTART"].dt.isoformat() == "2027-01-20T19:00:00+01:00"
    assert str(game["SUMMARY"]).endswith("at Pier Hill")


def test_a_game_that_was_there_is_known_not_added(oslo: Desk, tmp_path: Path) -> None:
    """A game typed in by hand is the file's game if day and opponent are the same."""
    number = add_game(oslo, dt.date(2027, 1, 20), "pier hill", "home")
    taken = add_file(oslo, file(tmp_path, GAME))
    assert (taken.games, taken.known) == (0, 1)
    with oslo.reading() as session:
        kept = queries.game(session, number)
        assert kept is not None
        assert kept.venue == "home"


def test_what_moved_in_the_file_moves_here(oslo: Desk, tmp_path: Path) -> None:
    """The game keeps its number, the gym is open again where the closing was, closed where it is."""
    add_file(oslo, file(tmp_path, GAME, EXAMS))
    with oslo.reading() as session:
        (game,) = queries.find_games(session, opponent="Pier Hill")
    weekly = gym(oslo, dt.date(2027, 2, 1))
    taken = add_file(
        oslo, file(tmp_path, MOVED, EXAMS.replace("20270118", "20270125").replace("0120", "0127"))
    )
    assert (taken.games, taken.moved, taken.closings) == (0, 1, 2)
    with oslo.reading() as session:
        now = queries.game(session, game.id)
        assert now is not None
        assert now.date == dt.date(2027, 1, 21)
    assert gym(oslo, dt.date(2027, 1, 18)) == weekly
    assert (0, 1440, 0) in gym(oslo, dt.date(2027, 1, 25))


def test_what_the_file_calls_off_opens_the_gym_and_is_told_of_games(oslo: Desk, tmp_path: Path) -> None:
    """A game may have film, so only the coach takes it away; a closing goes by itself."""
    add_file(oslo, file(tmp_path, GAME, EXAMS.replace("0120", "0119")))
    off = [f"{one}\r\nSTATUS:CANCELLED" for one in (GAME, EXAMS.replace("0120", "0119"))]
    notes = " ".join(add_file(oslo, file(tmp_path, *off)).notes)
    assert "v Pier Hill); it still stands here." in notes
    assert "The gym is no longer closed on 2027-01-18." in notes
    assert (0, 1440, 0) not in gym(oslo, dt.date(2027, 1, 18))


def test_a_file_is_undone_whole_and_step_by_step(oslo: Desk, tmp_path: Path) -> None:
    """Undo takes back everything a file added or moved, also after a later file changed it."""
    hours = [dt.date(2027, 1, 18) + dt.timedelta(days=n) for n in range(14)]

    def state() -> Any:
        games = [(one["date"], one["opponent"]) for one in overview(oslo)["games"]]
        return games, [gym(oslo, day) for day in hours]

    start = state()
    add_file(oslo, file(tmp_path, GAME, EXAMS, NIGHT))
    middle = state()
    add_file(
        oslo, file(tmp_path, MOVED, EXAMS.replace("20270118", "20270125").replace("0120", "0127"), NIGHT)
    )
    assert state() != middle != start
    assert undo_last(oslo) == "Undone: calendar school.ics."
    assert state() == middle
    assert undo_last(oslo) == "Undone: calendar school.ics."
    assert state() == start
    with oslo.reading() as session:
        assert queries.setting(session, READ) is None
    assert add_file(oslo, file(tmp_path, GAME, EXAMS, NIGHT)).games == 1


def test_our_own_file_brings_nothing_back(oslo: Desk, tmp_path: Path) -> None:
    """A file made here and read again adds no game and no practice."""
    add_game(oslo, THURSDAY, "Harbour Point")
    export_calendar(oslo, tmp_path / "a.ics")
    found = read_file(oslo, tmp_path / "a.ics")
    assert (len(found.games), len(found.closings), found.other) == (0, 0, 0)
    assert found.own > 20


def test_a_closed_day_does_not_set_the_hour_of_practice(oslo: Desk, tmp_path: Path) -> None:
    """A gym closed from midnight does not make midnight the usual hour."""
    from planner.desk.practice import Wishes, make_brief

    add_file(oslo, file(tmp_path, EXAMS))
    brief, _, _ = make_brief(oslo, Wishes(dt.date(2027, 1, 18)))
    assert brief.start == 18 * 60 + 15


@pytest.mark.parametrize("name", ["nowhere.ics", "."])
def test_what_cannot_be_read_is_refused(oslo: Desk, tmp_path: Path, name: str) -> None:
    """A file that is not there, or a folder, is refused in a sentence."""
    with pytest.raises(Refusal, match="is no file; name a calendar file"):
        add_file(oslo, tmp_path / name)


def test_the_zone_is_the_teams_else_the_machines(tmp_path: Path) -> None:
    """What was set, else TZ, else where the link of the local time leads, else UTC."""
    zones = tmp_path / "zoneinfo" / "Europe"
    zones.mkdir(parents=True)
    (zones / "Oslo").write_bytes(b"x")
    link = tmp_path / "localtime"
    link.symlink_to(zones / "Oslo")
    assert team_zone({"timezone": "Asia/Tokyo"}, {"TZ": "Europe/Paris"}) == "Asia/Tokyo"
    assert team_zone({"timezone": "Asia/Nowhere"}, {"TZ": ":Europe/Paris"}) == "Europe/Paris"
    assert machine_zone({}, link) == "Europe/Oslo"
    assert machine_zone({"TZ": "nonsense"}, link) == "UTC"
    assert machine_zone({}, tmp_path / "none") == "UTC"
    assert machine_zone({}, zones) == "UTC"
    assert not is_zone("../../etc/passwd")


def test_a_zone_is_found_by_its_usual_spellings() -> None:
    """Capitals and blanks do not matter; a city alone is a hint, not a guess."""
    assert find_zone("america/new york") == "America/New_York"
    with pytest.raises(Refusal, match=r"did you mean America/New_York\?"):
        find_zone("New York")
    with pytest.raises(Refusal, match="is no time zone"):
        find_zone("\x1b[31mNarnia")


def test_the_command_line(stopsheet: Stopsheet, season_home: Path, tmp_path: Path) -> None:
    """Export, read, add, list and print go through; refusals are one sentence."""
    stopsheet.home = season_home
    assert stopsheet("team", "set", "timezone", "Europe/Oslo").code == 0
    out = tmp_path / "out.ics"
    assert stopsheet("calendar", "export", "--to", str(out)).out.startswith("Written to ")
    assert stopsheet("print", "season", "--to", str(tmp_path / "two.ics")).code == 0
    assert out.read_bytes() == (tmp_path / "two.ics").read_bytes()
    path = file(tmp_path, GAME, EXAMS)
    read = stopsheet("calendar", "read", str(path))
    assert "2027-01-20  19:00        game v Pier Hill, away" in read.out
    assert stopsheet("calendar", "add", str(path), "--json").json["games"] == 1
    assert "Wed 2027-01-20  19:00-21:00  game" in stopsheet("calendar").out
    assert {one["kind"] for one in stopsheet("calendar", "--json").json} >= {"practice", "game", "closed"}
    assert stopsheet("undo").out.startswith("Undone: calendar")
    assert stopsheet("calendar", "read", str(file(tmp_path))).code == 1
    assert_refused(stopsheet("calendar", "add", str(tmp_path / "no.ics")), "is no file")
    assert_refused(stopsheet("team", "set", "timezone", "Narnia"), "is no time zone")


@pytest.mark.parametrize(
    ("argv", "name", "start"),
    [
        (("plan",), "p.png", b"\x89PNG"),
        (("plan",), "p.ics", b"BEGIN:VCALENDAR\r\n"),
        (("plan", "--for", "assistant"), "a.pdf", b"%PDF-"),
        (("plan", "--for", "players"), "w.pdf", b"%PDF-"),
        (("season",), "s.pdf", b"%PDF-"),
        (("season", "--since", "2026-11-01"), "s.csv", b"table,row,column,value,low,high\r\n"),
        (("season",), "s.json", b"{"),
    ],
)
def test_prints_go_by_their_ending_and_leave_foreign_files_alone(
    stopsheet: Stopsheet, season_home: Path, tmp_path: Path, argv: tuple[str, ...], name: str, start: bytes
) -> None:
    """Each ending gives its kind of file, marked as ours, so that it is replaced and others are not."""
    stopsheet.home = season_home
    path = tmp_path / name
    path.write_text("somebody's own")
    assert_refused(stopsheet("print", *argv, "--to", str(path)), "was not made by stopsheet")
    assert path.read_text() == "somebody's own"
    assert stopsheet("print", *argv, "--to", str(path), "--overwrite").code == 0
    first = path.read_bytes()
    assert first.startswith(start)
    assert stopsheet("print", *argv, "--to", str(path)).code == 0
    assert path.read_bytes() == first


def test_strange_endings_and_empty_seasons_are_refused(
    stopsheet: Stopsheet, season_home: Path, tmp_path: Path
) -> None:
    """What cannot be written so says which endings can."""
    stopsheet.home = season_home
    assert_refused(
        stopsheet("print", "season", "--to", str(tmp_path / "s.docx")), "ends in none of .pdf, .csv"
    )
    assert_refused(
        stopsheet("print", "plan", "--for", "players", "--to", str(tmp_path / "x.txt")),
        "does not end in .pdf",
    )
    late = ("print", "season", "--since", TODAY.isoformat(), "--to", str(tmp_path / "x.pdf"))
    assert_refused(stopsheet(*late), "No practice is logged")
    assert_refused(stopsheet("print", "season", "extra"), "one word too many")


def test_the_season_in_numbers_is_the_season(stopsheet: Stopsheet, season_home: Path, tmp_path: Path) -> None:
    """The printed JSON holds the same review as the season on the screen."""
    stopsheet.home = season_home
    stopsheet("print", "season", "--to", str(tmp_path / "s.json"))
    printed = json.loads((tmp_path / "s.json").read_text("utf-8"))
    assert printed["review"]["weeks"] == stopsheet("season", "--json").json["weeks"]
