"""A full disk and folders that may not be written: one sentence, and what was there still is."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from planner.desk.desk import Desk
from planner.desk.upkeep import back_up, check
from tests.running import NOW, TODAY, everything

ROOT = Path(__file__).resolve().parent.parent.parent
pytestmark = pytest.mark.skipif(os.name == "nt", reason="limits and modes of POSIX")

NOTE = "Opponent: Harbour Point\nDate: 2020-01-11\n" + "".join(
    f"Q1 8:{n % 60:02} 2 no box out 21, ball watching 44 and then some more words {n}\n" for n in range(400)
)
LIMITED = """
import resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[1]), int(sys.argv[1])))
from planner.cli import main
raise SystemExit(main(sys.argv[2:]))
"""


def said(home: Path, *argv: str, limit: int | None = None) -> tuple[int, str]:
    """Run a command in a process of its own; no file in it may grow beyond ``limit`` bytes."""
    command = (
        [sys.executable, "-m", "planner"] if limit is None else [sys.executable, "-c", LIMITED, str(limit)]
    )
    environ = {**os.environ, "PYTHONPATH": str(ROOT), "STOPSHEET_HOME": str(home)}
    environ.pop("STOPSHEET_DB", None)
    done = subprocess.run(
        [*command, *argv], env=environ, capture_output=True, text=True, timeout=120, check=False, cwd=ROOT
    )
    return done.returncode, done.stderr


def assert_one_sentence(ran: tuple[int, str]) -> None:
    code, err = ran
    assert code == 2, ran
    assert err.startswith("stopsheet: "), err
    assert err.count("\n") == 1
    assert "fault of stopsheet" not in err


def assert_sound(home: Path) -> None:
    desk = Desk(home, TODAY, lambda: NOW)
    assert check(desk) == []
    desk.close()


def test_a_full_disk_is_told_and_harms_nothing(season_home: Path, tmp_path: Path) -> None:
    """No room for film, a copy or an export: one sentence each, no half file, every row as before."""
    before = everything(season_home)
    (tmp_path / "note.txt").write_text(NOTE)
    limit = 40_000
    for argv in (
        ("film", "add", str(tmp_path / "note.txt")),
        ("backup",),
        ("export", "--to", str(tmp_path / "all.zip")),
        ("export", "--to", str(tmp_path / "all")),
        ("export", "--to", str(tmp_path / "all.json")),
    ):
        assert_one_sentence(said(season_home, *argv, limit=limit))
        assert everything(season_home) == before, argv
    assert not [one for one in tmp_path.iterdir() if one.name.startswith((".all", "all"))]
    assert not list(season_home.rglob("*.part"))
    assert_sound(season_home)


def test_a_full_disk_stops_a_restore_before_it_begins(season_home: Path, tmp_path: Path) -> None:
    """When there is no room for what is to come, the present state stays, and no restore is pending."""
    desk = Desk(season_home, TODAY, lambda: NOW)
    saved = back_up(desk, tmp_path)
    desk.close()
    with closing(sqlite3.connect(season_home / "stopsheet.db")) as connection:
        connection.execute("UPDATE player SET name = 'Later' WHERE jersey = '00'")
        connection.commit()
    before = everything(season_home)
    assert_one_sentence(said(season_home, "restore", str(saved), limit=40_000))
    assert everything(season_home) == before
    assert not (season_home / "restoring").exists()
    assert_sound(season_home)


@contextmanager
def small_disk(where: Path, kilobytes: int) -> Iterator[Path]:
    """Mount a real small disk in memory; skipped where that is not allowed."""
    where.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={kilobytes}k", "tmpfs", str(where)],
        capture_output=True,
        check=False,
    )
    if mounted.returncode:
        pytest.skip("no right to mount a small disk")
    try:
        yield where
    finally:
        subprocess.run(["umount", str(where)], check=True)


def test_a_small_disk_that_is_really_full(season_home: Path, tmp_path: Path) -> None:
    """On a disk with no room left the program says so, and with room again everything is there."""
    import shutil

    if sys.platform != "linux":
        pytest.skip("mounts as Linux does")
    with small_disk(tmp_path / "disk", 3000) as disk:
        home = Path(shutil.copytree(season_home, disk / "home"))
        before = everything(home)
        (tmp_path / "note.txt").write_text(NOTE)
        filler = disk / "filler"
        with filler.open("wb", buffering=0) as file:
            try:
                while True:
                    file.write(b"\0" * 4096)
            except OSError:
                pass
        for argv in (
            ("film", "add", str(tmp_path / "note.txt")),
            ("backup",),
            ("team", "set", "minutes", "80"),
        ):
            ran = said(home, *argv)
            assert_one_sentence(ran)
            assert "full" in ran[1], ran
        filler.unlink()
        assert everything(home) == before
        assert said(home, "team", "set", "minutes", "80")[0] == 0
        assert_sound(home)


@pytest.mark.skipif(os.name != "nt" and os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_may_not_be_written(season_home: Path) -> None:
    """Reading may go on or be refused, writing is refused in one sentence, and nothing changes."""
    before = everything(season_home)
    try:
        for path in [*season_home.rglob("*"), season_home]:
            path.chmod(0o500 if path.is_dir() else 0o400)
        for argv in (("team", "set", "minutes", "80"), ("backup",), ("film", "undo")):
            assert_one_sentence(said(season_home, *argv))
    finally:
        for path in [season_home, *season_home.rglob("*")]:
            path.chmod(0o700 if path.is_dir() else 0o600)
    assert everything(season_home) == before


def test_a_disk_mounted_read_only(season_home: Path, tmp_path: Path) -> None:
    """On a disk that may only be read nothing is written, and each writing verb says so in a sentence."""
    import shutil

    if sys.platform != "linux":
        pytest.skip("mounts as Linux does")
    with small_disk(tmp_path / "disk", 5000) as disk:
        home = Path(shutil.copytree(season_home, disk / "home"))
        before = everything(home)
        subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
        for argv in (("team", "set", "minutes", "80"), ("backup",), ("film", "undo"), ("undo",)):
            assert_one_sentence(said(home, *argv))
        subprocess.run(["mount", "-o", "remount,rw", str(disk)], check=True)
        assert everything(home) == before
        assert_sound(home)
