"""Everything that the program writes is for its owner alone, whatever the umask, and no log holds a name."""

from __future__ import annotations

import os
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from planner.desk.desk import Desk
from planner.desk.upkeep import check
from tests.running import NOW, TODAY, Planted, Stopsheet

pytestmark = pytest.mark.skipif(os.name == "nt", reason="modes of POSIX")

KNOWN = {"backups", "cache", "drills", "floor", "live", "prints", "trash"}


@pytest.fixture
def open_umask() -> Iterator[None]:
    """Let nothing be taken away from the modes that the program asks for."""
    before = os.umask(0)
    yield
    os.umask(before)


def open_to_others(folder: Path) -> list[str]:
    """Return what in a folder others could read, write or enter, the folder itself included."""
    found = [folder, *folder.rglob("*")]
    return [str(one) for one in found if stat.S_IMODE(one.lstat().st_mode) & 0o077]


def test_all_that_is_written_is_closed_to_others(
    planted: Planted, open_umask: None, stopsheet: Stopsheet, tmp_path: Path
) -> None:
    """Data folder, database, copies, exports, prints, entries, runs and drills are closed."""
    home = tmp_path / "deep" / "home"
    stopsheet.home = home
    out = tmp_path / "out"
    out.mkdir(mode=0o700)
    assert stopsheet("team", "new", "Herons").code == 0
    (tmp_path / "season.db").write_bytes((planted.home / "stopsheet.db").read_bytes())
    for argv in (
        ("restore", str(tmp_path / "season.db")),
        ("team", "player", "99", "--name", "Somebody"),
        ("backup",),
        ("backup", "--to", str(out / "copies")),
        ("export", "--to", str(out / "all")),
        ("export", "--to", str(out / "all.zip")),
        ("export", "--to", str(out / "all.json")),
        ("export", "--anonymous", "--to", str(out / "bare.json")),
        ("print", "plan", "--to", str(out / "plan.txt")),
        ("calendar", "export", "--to", str(out / "days.ics")),
        ("calendar", "export"),
        ("drills", "copy", "weak-side-crash", "our-crash"),
        ("drills", "copy", "weak-side-crash", "gone"),
        ("drills", "remove", "gone"),
        ("film", "enter", "9", "no-talk", "21", "next"),
        ("film", "enter", "9", "--finish"),
        ("film", "enter", "8", "no-talk"),
        ("film", "enter", "8", "--drop"),
        ("film", "enter", "7", "no-talk"),
        ("floor", "start", "--on", "2027-01-14"),
        ("floor", "next"),
    ):
        ran = stopsheet(*argv)
        assert ran.code == 0, (argv, ran)
    for place in (home, out):
        assert open_to_others(place) == []
    assert stat.S_IMODE(home.stat().st_mode) == 0o700
    assert {one.name for one in home.iterdir() if one.is_dir()} == KNOWN
    assert check_of(home) == []


def test_the_write_ahead_log_is_closed_too(season_home: Path, open_umask: None) -> None:
    """While the database is open its side files carry the mode of the database."""
    desk = Desk(season_home, TODAY, lambda: NOW)
    with desk.writing() as session:
        from planner.store import queries

        queries.set_setting(session, "minutes", 80)
        side = list(season_home.glob("stopsheet.db-*"))
        assert {one.name for one in side} == {"stopsheet.db-wal", "stopsheet.db-shm"}
        assert [one.name for one in side if stat.S_IMODE(one.stat().st_mode) & 0o077] == []
    desk.close()


def test_the_demo_is_closed_to_others(planted: Planted) -> None:
    """The demo's folder is made as a coach's own is."""
    assert open_to_others(planted.home) == []


def test_a_file_that_others_can_read_is_told(season_home: Path) -> None:
    """A check names what was opened to others, and how to close it; a closed folder above is enough."""
    (season_home / "stopsheet.db").chmod(0o644)
    assert check_of(season_home) == []
    season_home.chmod(0o755)
    found = check_of(season_home)
    assert len(found) == 1
    assert "stopsheet.db' and 2 more files can be read by others here; chmod 700" in found[0]


def test_no_log_is_written(season_home: Path, stopsheet: Stopsheet) -> None:
    """The program keeps no log file; names are in the database, in copies, exports and prints alone."""
    stopsheet.home = season_home
    name = "Vosslebury"
    assert stopsheet("team", "player", "99", "--name", name).code == 0
    assert stopsheet("needs").code == 0
    assert stopsheet("undo").code == 0
    holding = [
        one.relative_to(season_home).as_posix()
        for one in season_home.rglob("*")
        if one.is_file() and name.encode() in one.read_bytes()
    ]
    assert [one for one in holding if not one.startswith("stopsheet.db")] == []
    assert not [one for one in season_home.rglob("*") if "log" in one.suffix]


def test_the_journal_names_no_player(season_home: Path, stopsheet: Stopsheet) -> None:
    """What the program says it did speaks of jerseys."""
    stopsheet.home = season_home
    assert stopsheet("team", "player", "99", "--name", "Vosslebury").code == 0
    with closing(sqlite3.connect(season_home / "stopsheet.db")) as connection:
        words = [row[0] for row in connection.execute("SELECT words FROM journal")]
    assert words[-1] == "player 99"
    assert not [one for one in words if "Vosslebury" in one]


def check_of(home: Path) -> list[str]:
    desk = Desk(home, TODAY, lambda: NOW)
    try:
        return check(desk)
    finally:
        desk.close()
