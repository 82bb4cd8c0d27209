"""What the reading commands show, on the demo's season and on hostile data."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.running import Stopsheet, is_clean

NASTY = "\x1b[31m\x1b]0;owned\x07[bold red]Ann\u202eeb " + "y" * 300


@pytest.fixture
def there(stopsheet: Stopsheet, season_home: Path) -> Stopsheet:
    stopsheet.home = season_home
    return stopsheet


READING: list[tuple[str, ...]] = [
    ("needs",),
    ("season",),
    ("team",),
    ("film",),
    ("film", "list"),
    ("film", "list", "--undone"),
    ("film", "unclear"),
    ("drills", "list"),
    ("drills", "list", "--principle", "tag", "--players", "11"),
    ("drills", "show", "weak-side-crash"),
    ("drills", "check"),
    ("check",),
]


@pytest.mark.parametrize("typed", READING, ids=[" ".join(one) for one in READING])
def test_reading_commands_show_text_and_json(there: Stopsheet, typed: tuple[str, ...]) -> None:
    """Every reading command fits eighty columns as text, and is JSON when asked."""
    text = there(*typed)
    assert (text.code, text.err) == (0, "")
    assert text.out.strip()
    assert is_clean(text.out)
    found = there(*typed, "--json")
    assert (found.code, found.err) == (0, "")
    json.loads(found.out)


def test_the_team_shows_all_that_was_set_up(there: Stopsheet) -> None:
    """Roster, games, gym, fixed blocks, emphasis, stages and settings are each told."""
    out = there("team").out
    for word in (
        *("Marrowby Otters", "Roster", "Games", "Gym", "Fixed blocks", "Emphasis", "Passed", "Not taught"),
        *("no-pressure", "half the gym", "35 min after the start", "on mon", "v Pennigrove home"),
    ):
        assert word in out, word


def test_the_season_ends_with_the_gaps_in_words(there: Stopsheet) -> None:
    """Where minutes and need part, a sentence says so."""
    out = there("season").out
    assert "of the minutes" in out
    assert "of the need" in out
    empty = there("season", "--since", "2020-01-01", "--until", "2020-02-01")
    assert (empty.code, "No practice is logged in that time" in empty.out) == (1, True)


def test_a_plan_is_told_with_its_proof(there: Stopsheet) -> None:
    """Text of a plan says that it is proven, what was nearly in it, and how to undo it."""
    for principle in ("box-out", "transition", "ball-screen"):
        there("team", "emphasis", principle, "0")
    ran = there("plan", "--on", "sat", "--minutes", "64", "--load", "0")
    assert ran.code == 0, ran.err
    assert "proven: no plan within these rules is worth more" in ran.out
    assert "Nearest left out:" in ran.out
    assert "Undo with: stopsheet undo" in ran.out
    assert there("undo").out == "Undone: plan for 2027-01-16 18:15.\n"


def test_hostile_data_come_out_clean(there: Stopsheet, tmp_path: Path) -> None:
    """Names, notes and film lines full of escapes and markup are shown as harmless words everywhere."""
    note = tmp_path / "nasty.txt"
    note.write_text(
        f"Opponent: {NASTY}\nDate: 2027-01-11\nQ1 8:42 2 no box out 21 {NASTY}\n{NASTY}\nQ1 8:20 stop\n",
        "utf-8",
    )
    for typed in (
        ("team", "new", NASTY, "--level", NASTY),
        ("team", "player", "77", "--name", NASTY, "--position", NASTY),
        ("team", "gym", "sun", "10:00", "11:00", "--note", NASTY),
        ("team", "game", "2027-02-20", NASTY),
        ("team", "fixed", NASTY, "5", "--day", "sun"),
        ("film", "add", str(note)),
    ):
        ran = there(*typed)
        assert (ran.code, is_clean(ran.out), is_clean(ran.err)) == (0, True, True), typed
    for typed in (("team",), ("film", "list"), ("film", "unclear"), ("needs",), ("season",), (), ("export",)):
        ran = there(*typed)
        assert ran.code == 0, (typed, ran.err)
        assert is_clean(ran.out), typed
    assert "[bold red]Anneb" in there("team").out, "brackets are words, not markup"


def test_setting_up_says_what_was_done_and_how_to_undo_it(there: Stopsheet) -> None:
    """Each writing command tells its deed in a sentence and names undo."""
    for typed, words in (
        (("team", "player", "#8", "--position", "wing"), "Player 8 is on the roster."),
        (("team", "player", "8", "--remove"), "Player 8 is off the roster."),
        (("team", "gym", "sat", "9:30", "11am", "--halves", "1"), "is noted."),
        (("team", "gym", "FREQ=WEEKLY;BYDAY=SA;UNTIL=20270301T000000Z", "9:30", "11:00"), "is noted."),
        (("team", "gym", "2027-02-06", "9:30", "11:00", "--halves", "0"), "is noted."),
        (("team", "fixed", "Scout talk", "10", "--at", "first", "--day", "fri"), "Scout talk, 10 min."),
        (("team", "game", "2027-02-20", "Harbour Point"), "is in the calendar."),
        (("team", "teach", "hands-down", "off"), "left out of the needs."),
        (("team", "emphasis", "tag", "2", "--since", "tomorrow"), "tag counts x2 from 2027-01-14."),
        (("team", "passed", "tag", "guided"), "tag: guided is passed."),
        (("team", "set", "start", "6:15pm"), "start is now 1095"),
    ):
        ran = there(*typed)
        assert (ran.code, ran.err) == (0, ""), typed
        assert words in ran.out, (typed, ran.out)
        assert "Undo with: stopsheet undo" in ran.out, typed


def test_a_copy_is_saved_and_brought_back(there: Stopsheet, tmp_path: Path) -> None:
    """Backup names its file, restore brings it back and keeps what was there."""
    saved = there("backup", "--to", str(tmp_path / "stick")).out.split(";")[0].removeprefix("Saved to ")
    there("team", "set", "minutes", "50")
    ran = there("restore", saved)
    assert ran.code == 0, ran.err
    assert "What was there before is kept as" in ran.out
    assert there("team", "--json").json["settings"]["minutes"] == 90


def test_the_log_tells_where_the_minutes_went(there: Stopsheet, planted: object) -> None:
    """After logging, each principle's minutes are listed by title and sum to the practice."""
    import datetime as dt

    there.on(dt.date(2027, 1, 14))
    ran = there("log", "--rating", "5")
    assert ran.code == 0, ran.err
    assert ran.out.startswith("Wrote the log of 2027-01-14 18:15: 90 minutes.")
    figures = [float(line.split()[0]) for line in ran.out.splitlines()[1:-1]]
    assert abs(sum(figures) - 90) < 0.05 * len(figures)
    assert figures == sorted(figures, reverse=True)
