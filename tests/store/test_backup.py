from __future__ import annotations

import base64
import datetime as dt
import json
import os
import sqlite3
import stat
from contextlib import closing
from pathlib import Path

import pytest

from planner.problem import Refusal
from planner.store import backup, migrate, queries
from planner.store.engine import Store, open_store
from planner.store.values import PlayerInfo
from tests.store.making import STAMP


def test_a_backup_while_open_holds_everything(full: Store) -> None:
    """A copy taken while the program is open, with all rows still in the write-ahead log, is whole."""
    with full.reading() as session:
        assert queries.team(session) is not None
        copy = backup.back_up(full, full.backups, STAMP)
    assert backup.dump(copy) == backup.dump(full)
    assert all(backup.dump(copy).values())
    assert backup.verify(copy) == backup.Checked(copy, migrate.HEAD, ())


def test_a_backup_is_one_file_for_its_owner_alone(full: Store) -> None:
    """The copy carries its moment in UTC in its name, brings no side files, and is closed to others."""
    copy = backup.back_up(full, full.backups, STAMP.astimezone(dt.timezone(dt.timedelta(hours=3))))
    assert copy.name == "stopsheet-20270112-201530.db"
    assert list(full.backups.iterdir()) == [copy]
    with closing(sqlite3.connect(copy)) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    if os.name != "nt":
        assert stat.S_IMODE(copy.stat().st_mode) == 0o600
        assert stat.S_IMODE(full.backups.stat().st_mode) == 0o700


def test_no_backup_overwrites_another(full: Store) -> None:
    """Two copies of the same second are two files."""
    first, second = (backup.back_up(full, full.backups, STAMP) for _ in range(2))
    assert first != second
    assert second.name == "stopsheet-20270112-201530-2.db"


def test_a_store_that_is_not_sound_is_not_backed_up(full: Store) -> None:
    """A copy with rows that point nowhere is refused and leaves no file that looks like a backup."""
    with closing(sqlite3.connect(full.path)) as other:
        other.execute("DELETE FROM game")
        other.commit()
    with pytest.raises(Refusal, match="could not be backed up: row 1 of intake belongs to a game"):
        backup.back_up(full, full.backups, STAMP)
    assert list(full.backups.iterdir()) == []


def test_a_missing_source_or_a_bad_folder_is_told(full: Store, tmp_path: Path) -> None:
    """Neither a missing database nor a folder that is a file ends in a traceback."""
    with pytest.raises(Refusal, match="cannot be opened"):
        backup.back_up(tmp_path / "none.db", tmp_path / "to", STAMP)
    (tmp_path / "file").touch()
    with pytest.raises(Refusal, match="could not be used"):
        backup.back_up(full, tmp_path / "file", STAMP)


def test_verify_finds_damage(full: Store, tmp_path: Path) -> None:
    """Destroyed pages, other files and other databases are each found out."""
    copy = backup.back_up(full, full.backups, STAMP)
    whole = copy.read_bytes()
    (tmp_path / "damaged.db").write_bytes(whole[:8192] + b"\x00" * (len(whole) - 8192))
    assert not backup.verify(tmp_path / "damaged.db").ok
    (tmp_path / "text.db").write_bytes(b"hello " * 100)
    assert backup.verify(tmp_path / "text.db").problems == ("file is not a database",)
    with closing(sqlite3.connect(tmp_path / "other.db")) as other:
        other.execute("CREATE TABLE recipe (id INTEGER)")
    assert backup.verify(tmp_path / "other.db").problems == ("it is not a stopsheet database",)
    with pytest.raises(Refusal, match="no file"):
        backup.verify(tmp_path / "none.db")


def test_restoring_brings_the_old_state_back_and_keeps_the_present(full: Store) -> None:
    """After a restore the store is what it was at the backup, and what stood there is saved beside it."""
    home = full.path.parent
    then = backup.dump(full)
    copy = backup.back_up(full, full.backups, STAMP)
    with full.session() as session:
        queries.save_player(session, PlayerInfo("99"))
    now = backup.dump(full)
    full.close()
    saved = backup.restore(copy, home, STAMP + dt.timedelta(days=1))
    assert backup.dump(full.path) == then
    assert saved is not None
    assert backup.dump(saved) == now
    with open_store(home) as store, store.session() as session:
        assert PlayerInfo("99") not in queries.players(session)
        queries.save_player(session, PlayerInfo("98"))


def test_restoring_where_nothing_stands(full: Store, tmp_path: Path) -> None:
    """A backup can be carried to a new machine: there is nothing to save first, and the file is private."""
    copy = backup.back_up(full, full.backups, STAMP)
    assert backup.restore(copy, tmp_path / "new", STAMP) is None
    with open_store(tmp_path / "new") as store:
        assert backup.dump(store) == backup.dump(full)
        if os.name != "nt":
            assert stat.S_IMODE(store.path.stat().st_mode) == 0o600


def test_what_cannot_be_restored_leaves_the_store_alone(full: Store, tmp_path: Path) -> None:
    """Other files, newer backups and the store itself are refused before anything is touched."""
    home, before = full.path.parent, backup.dump(full)
    newer = backup.back_up(full, full.backups, STAMP)
    with closing(sqlite3.connect(newer)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0099'")
        connection.commit()
    (tmp_path / "text.db").write_bytes(b"hello " * 100)
    for source, said in (
        (newer, "newer stopsheet"),
        (tmp_path / "text.db", "not a database"),
        (tmp_path / "none.db", "no file"),
        (full.path, "the store itself"),
    ):
        with pytest.raises(Refusal, match=said):
            backup.restore(source, home, STAMP)
    assert backup.dump(full) == before


def test_dump_can_be_written_as_json(full: Store) -> None:
    """Every table is in the dump, and a film note's bytes come out of base64 as they are stored."""
    dumped = json.loads(json.dumps(backup.dump(full)))
    assert len(dumped) == 23
    note = dumped["film_note"][0]
    with closing(sqlite3.connect(full.path)) as connection:
        assert base64.b64decode(note["raw"]) == connection.execute("SELECT raw FROM film_note").fetchone()[0]


def test_a_damaged_store_is_moved_aside_and_replaced(full: Store) -> None:
    """When the present store is what is broken, it is kept as it is and the backup takes its place."""
    home, then = full.path.parent, backup.dump(full)
    copy = backup.back_up(full, full.backups, STAMP)
    full.close()
    broken = full.path.read_bytes()[:5000]
    full.path.write_bytes(broken)
    aside = backup.restore(copy, home, STAMP)
    assert aside is not None
    assert aside.name == "damaged-20270112-201530.db"
    assert aside.read_bytes() == broken
    with open_store(home) as store:
        assert backup.dump(store) == then


def test_another_program_s_database_is_not_replaced(full: Store, tmp_path: Path) -> None:
    """A restore never takes the place of a database that is not ours."""
    copy = backup.back_up(full, full.backups, STAMP)
    (tmp_path / "theirs").mkdir()
    with closing(sqlite3.connect(tmp_path / "theirs" / "stopsheet.db")) as other:
        other.execute("CREATE TABLE recipe (id INTEGER)")
    with pytest.raises(Refusal, match="some other program"):
        backup.restore(copy, tmp_path / "theirs", STAMP)
    assert backup.verify(tmp_path / "theirs" / "stopsheet.db").revision is None


def test_only_the_newest_automatic_copies_stay(tmp_path: Path) -> None:
    """Of one kind the newest few stay by time, at least one; other kinds and other files are left alone."""
    for number, name in enumerate(
        ("daily-1.zip", "daily-2.zip", "daily-3.zip", "stopsheet-1.zip", "daily-4.txt")
    ):
        (tmp_path / name).touch()
        os.utime(tmp_path / name, (9 - number, 9 - number))
    backup.rotate(tmp_path, "daily", 2)
    assert sorted(one.name for one in tmp_path.iterdir()) == [
        "daily-1.zip",
        "daily-2.zip",
        "daily-4.txt",
        "stopsheet-1.zip",
    ]
    backup.rotate(tmp_path, "daily", 0)
    assert (tmp_path / "daily-1.zip").exists()


def test_copies_before_upgrades_rotate_as_the_coach_wants(full: Store) -> None:
    """The setting says how many stay; it is read without the ORM, ten where nothing was set."""
    assert backup.copies_kept(full.path) == backup.USUALLY_KEPT == 10
    with full.session() as session:
        queries.set_setting(session, backup.KEPT, 2)
    for _ in range(4):
        backup.save_before_upgrade(full.path, "0001")
    assert len(list(full.backups.glob("before-upgrade-*"))) == 2


def test_a_store_as_bytes_is_one_whole_file(full: Store, tmp_path: Path) -> None:
    """The bytes need no side file: written anywhere, read only, they are the store."""
    path = tmp_path / "copy.db"
    path.write_bytes(backup.as_bytes(full.path))
    assert backup.dump(path) == backup.dump(full)
    assert [one.name for one in tmp_path.glob("copy*")] == ["copy.db"]
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
