"""Every command that writes is undone by a program started anew, and the rows are those from before."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from planner.cli.parser import build_parser
from planner.desk.desk import Desk
from planner.desk.season_load import heat_tables
from planner.desk.watching import open_live
from planner.desk.watching_keys import keep_letters
from tests.running import NOW, TODAY, Stopsheet, assert_refused, everything

ROOT = Path(__file__).resolve().parent.parent.parent

NOTE = """\
Opponent: Harbour Point
Date: 2027-01-11
Q1 8:42 2 no box out 21, ball watching 44
Q1 8:01 2 zzz qqq wobble
"""
CALENDAR = """\
BEGIN:VCALENDAR
VERSION:2.0
BEGIN:VEVENT
UID:a1
DTSTART;VALUE=DATE:20270305
SUMMARY:v Harbour Point
END:VEVENT
END:VCALENDAR
"""
WRITES: dict[str, list[tuple[str, ...]]] = {
    "team new": [("Marrowby Herons", "--level", "open")],
    "team player": [("99", "--name", "New"), ("00", "--name", "Renamed"), ("7", "--remove")],
    "team gym": [("sat", "10:00", "12:00", "--halves", "1")],
    "team fixed": [("Zone offence", "5")],
    "team game": [("2027-03-01", "Harbour Point"), ("2027-03-01", "Elsewhere", "--number", "12")],
    "team remove": [("gym", "2"), ("fixed", "3"), ("game", "13")],
    "team teach": [("hands-down", "off")],
    "team emphasis": [("tag", "2.5")],
    "team exposure": [("tag", "1.5")],
    "team coverage": [("drop", "on")],
    "team floor": [("3", "7=41")],
    "team passed": [("tag", "guided"), ("box-out", "none")],
    "team set": [("minutes", "80"), ("copies-kept", "4"), ("minutes", "usual")],
    "film add": [("NOTE",)],
    "film undo": [(), ("4",)],
    "film sort": [("1", "no-talk")],
    "film letters": [("k=no-talk",)],
    "plan": [("--on", "2027-01-15", "--minutes", "70"), ("--on", "2027-01-14", "--minutes", "80")],
    "log": [("today", "--rating", "6")],
    "season target": [("tag", "40")],
    "season limits": [("--week", "10"), ("--region", "REGION")],
    "season accept": [],
    "season learn": [],
    "calendar add": [("CALENDAR",)],
    "film words": [],
    "film watched": [("1", "70")],
    "film yes": [],
    "film no": [],
    "team have": [("pads=2",)],
    "versions": [],
}
"""Command -> how it is tried here; those with none are tried beside their verb."""

ANOTHER_WAY = {
    "film enter": "the key 'undo', across restarts; finished: film undo; put aside: undo",
    "floor start": "floor drop",
    "floor next": "floor undo",
    "floor back": "floor undo",
    "floor pause": "floor undo",
    "floor resume": "floor undo",
    "floor stop": "floor undo",
    "floor extend": "floor undo",
    "floor count": "floor undo",
    "floor catch-up": "floor undo",
    "floor undo": "the same again",
    "floor drop": "undo",
    "floor log": "undo",
    "drills new": "drills remove",
    "drills copy": "drills remove",
    "drills edit": "drills restore",
    "drills remove": "drills restore",
    "drills restore": "drills restore",
    "restore": "restore of what was kept",
    "undo": "doing it again",
    "demo": "a folder of its own",
    "team use": "team use, of the other",
    "calendar export": "notes only what calendars were given, which is so",
}
READS = {
    *(
        "",
        "app",
        "team",
        "team list",
        "film",
        "film read",
        "film list",
        "film unclear",
        "film proposals",
        "film show",
        "needs",
        "print",
        "floor",
    ),
    *(
        "floor status",
        "season",
        "season load",
        "season minutes",
        "season balance",
        "season progress",
        "season evidence",
    ),
    *("season scout", "calendar", "calendar read", "drills", "drills list", "drills show", "drills ladder"),
    *("drills check", "backup", "export", "check"),
}


def _commands(parser: argparse.ArgumentParser, before: tuple[str, ...] = ()) -> set[str]:
    found = {" ".join(before)}
    for one in parser._actions:
        if isinstance(one, argparse._SubParsersAction):
            for name, below in one.choices.items():
                found |= _commands(below, (*before, name))
    return found


def test_every_command_is_known_to_write_or_not() -> None:
    """A command that is new has to be put among those that write and are undone, or those that only read."""
    known = [*WRITES, *ANOTHER_WAY, *READS]
    assert len(known) == len(set(known))
    assert set(known) == _commands(build_parser())


def counted(home: Path) -> dict[str, list[Any]]:
    """Return every row that counts, the mere numbers of parts and replaced rows left out."""
    rows = everything(home)
    live = {row["id"] for row in rows["intake"] if not row["undone"]}
    notes = {row["film_note_id"] for row in rows["intake"] if not row["undone"]}
    seen = {row["id"] for row in rows["sighting"] if row["intake_id"] in live}
    segments = {row["id"]: (row["practice_id"], row["side"], row["position"]) for row in rows["segment"]}
    made: dict[str, list[Any]] = {}
    for table, kept in rows.items():
        if table == "journal":
            continue
        part = kept
        if table == "intake":
            part = [row for row in kept if row["id"] in live]
        elif table == "film_note":
            part = [row for row in kept if row["id"] in notes]
        elif table in {"possession", "unclear", "sighting"}:
            part = [row for row in kept if row["intake_id"] in live]
        elif table == "sighting_player":
            part = [row for row in kept if row["sighting_id"] in seen]
        dropped = {"segment": {"id"}, "station": {"id", "segment_id"}, "drill_result": {"id", "segment_id"}}
        dropped |= {"practice": {"saved"}, "player": {"id"}}
        made[table] = sorted(
            repr(
                {
                    **{key: value for key, value in row.items() if key not in dropped.get(table, set())},
                    **({"of": segments[row["segment_id"]]} if "segment_id" in row else {}),
                }
            )
            for row in part
        )
    return made


TRIED = [(command, argv) for command, tries in WRITES.items() for argv in tries]


@pytest.mark.parametrize(("command", "argv"), TRIED, ids=[f"{one} {' '.join(two)}" for one, two in TRIED])
def test_each_is_undone(
    season_home: Path, stopsheet: Stopsheet, tmp_path: Path, command: str, argv: tuple[str, ...]
) -> None:
    """After the command and an undo, each a fresh start, every row that counts is as it was."""
    stopsheet.home = season_home
    (tmp_path / "note.txt").write_text(NOTE)
    (tmp_path / "school.ics").write_text(CALENDAR.replace("\n", "\r\n"))
    places = {"NOTE": str(tmp_path / "note.txt"), "CALENDAR": str(tmp_path / "school.ics")}
    if command == "film sort":
        assert stopsheet("film", "add", places["NOTE"]).code == 0
        number = max(row["id"] for row in everything(season_home)["unclear"])
        argv = (str(number), *argv[1:])
    if command == "log":
        import datetime as dt

        stopsheet.on(TODAY + dt.timedelta(days=1))
    if command == "film letters":
        desk = Desk(season_home, TODAY, lambda: NOW)
        keep_letters(desk)  # as the app does when film is first entered: from then on they stay
        desk.close()
    places["REGION"] = next(iter(heat_tables())).id
    before = counted(season_home)
    ran = stopsheet(*command.split(), *(places.get(one, one) for one in argv))
    assert ran.code == 0, ran
    assert counted(season_home) != before, "the command changed nothing"
    assert stopsheet("undo").out.startswith("Undone: ")
    after = counted(season_home)
    assert [table for table in before if after[table] != before[table]] == []


def test_undo_in_a_process_of_its_own(season_home: Path, stopsheet: Stopsheet) -> None:
    """The journal is on the disk: a new process takes the last change back."""
    stopsheet.home = season_home
    before = counted(season_home)
    assert stopsheet("team", "set", "minutes", "80").code == 0
    environ = {**os.environ, "PYTHONPATH": str(ROOT), "STOPSHEET_HOME": str(season_home)}
    command = [sys.executable, "-m", "planner", "undo"]
    done = subprocess.run(command, env=environ, capture_output=True, text=True, check=False, timeout=120)
    assert done.stdout == "Undone: minutes = 80.\n"
    assert counted(season_home) == before


def test_an_entry_put_aside_is_taken_up_again(season_home: Path, stopsheet: Stopsheet) -> None:
    """Dropping film that was being entered is undone key by key; not over an entry begun since."""
    stopsheet.home = season_home
    assert stopsheet("film", "enter", "9", "no-talk", "21", "next").code == 0
    desk = Desk(season_home, TODAY, lambda: NOW)
    before = open_live(desk, 9).keys.pressed
    assert stopsheet("film", "enter", "9", "--drop").code == 0
    assert stopsheet("film", "enter", "9", "late-help").code == 0
    assert_refused(stopsheet("undo"), "Game 9 has been entered anew")
    (season_home / "live" / "game-9.keys").unlink()
    assert stopsheet("undo").out == "Undone: putting aside the entry of game 9.\n"
    assert open_live(desk, 9).keys.pressed == before
    desk.close()


def test_a_practice_dropped_is_taken_up_again(season_home: Path, stopsheet: Stopsheet) -> None:
    """Dropping the running practice is undone, events and all."""
    stopsheet.home = season_home
    assert stopsheet("floor", "start", "--on", "2027-01-14").code == 0
    assert stopsheet("floor", "next").code == 0
    before = (season_home / "floor" / "running.json").read_bytes()
    assert stopsheet("floor", "drop").code == 0
    assert stopsheet("undo").out.startswith("Undone: dropping the practice")
    assert (season_home / "floor" / "running.json").read_bytes() == before


def test_a_restore_is_undone_by_a_restore(season_home: Path, stopsheet: Stopsheet, tmp_path: Path) -> None:
    """What a restore replaced comes back whole, journal and own drills included."""
    stopsheet.home = season_home
    assert stopsheet("backup", "--to", str(tmp_path)).code == 0
    assert stopsheet("drills", "copy", "weak-side-crash", "our-crash").code == 0
    assert stopsheet("team", "set", "minutes", "80").code == 0
    before = everything(season_home)
    ran = stopsheet("restore", str(next(tmp_path.glob("*.zip"))))
    assert everything(season_home) != before
    kept = ran.out.split("kept as ")[1].split(";")[0]
    assert stopsheet("restore", kept).code == 0
    assert everything(season_home) == before
    assert (season_home / "drills" / "our-crash.toml").is_file()


def test_drills_of_one_s_own_come_back(season_home: Path, stopsheet: Stopsheet) -> None:
    """A drill that was copied is removed again; one that was removed is brought back."""
    stopsheet.home = season_home
    path = season_home / "drills" / "our-crash.toml"
    assert stopsheet("drills", "copy", "weak-side-crash", "our-crash").code == 0
    text = path.read_bytes()
    assert stopsheet("drills", "remove", "our-crash").code == 0
    assert not path.exists()
    assert stopsheet("drills", "restore", "our-crash").code == 0
    assert path.read_bytes() == text


def test_what_this_program_cannot_undo_is_told(season_home: Path, stopsheet: Stopsheet) -> None:
    """A journal entry of an unknown verb is refused in a sentence, and nothing is marked as undone."""
    import sqlite3
    from contextlib import closing

    stopsheet.home = season_home
    assert stopsheet("team", "set", "minutes", "80").code == 0
    with closing(sqlite3.connect(season_home / "stopsheet.db")) as connection:
        connection.execute("UPDATE journal SET verb = 'juggle' WHERE id = (SELECT max(id) FROM journal)")
        connection.commit()
    before = everything(season_home)
    assert_refused(stopsheet("undo"), "cannot undo 'minutes = 80'")
    assert everything(season_home) == before
