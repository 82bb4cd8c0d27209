"""Databases of every schema there ever was, with rows in every table, frozen as SQL in a folder.

Whoever adds a revision adds the dump of a database of it (``sqlite3.Connection.iterdump``) to
``tests/data/schemas``, and changes none that is there.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from planner.store import backup, migrate, soundness
from planner.store.engine import open_store
from tests.safety import verbs

SCHEMAS = Path(__file__).resolve().parent.parent / "data" / "schemas"
Rows = dict[str, list[dict[str, object]]]


def frozen(revision: str, home: Path) -> Path:
    """Make the database of a revision again, as that program left it."""
    home.mkdir()
    with closing(sqlite3.connect(home / "stopsheet.db")) as connection:
        connection.executescript((SCHEMAS / f"{revision}.sql").read_text("utf-8"))
    return home / "stopsheet.db"


def kept(before: Rows, after: Rows) -> list[str]:
    """Return what of the rows before is not in those after, column by column."""
    lost = []
    for table, rows in before.items():
        there = after.get(table, [])
        lost += [] if len(there) == len(rows) else [f"{table}: {len(rows)} rows became {len(there)}"]
        for old, new in zip(rows, there, strict=False):
            lost += [f"{table}.{key}" for key, value in old.items() if new.get(key) != value]
    return [one for one in lost if not one.startswith("alembic_version.")]


def test_every_revision_is_frozen() -> None:
    """Each revision that a program of ours ever wrote has its rows here, in every table."""
    assert [one.stem for one in sorted(SCHEMAS.glob("*.sql"))] == sorted(migrate.REVISIONS)


@pytest.mark.parametrize("revision", migrate.REVISIONS)
def test_every_earlier_database_keeps_every_row(revision: str, tmp_path: Path) -> None:
    """Opened by this program a database of that revision is at the newest, and no value of it has changed."""
    path = frozen(revision, tmp_path / "home")
    before = backup.dump(path)
    assert all(before.values()), "there are rows in every table"
    with open_store(path.parent) as store:
        assert (store.saved_before_upgrade is not None) == (revision != migrate.HEAD)
    assert kept(before, backup.dump(path)) == []
    assert soundness.faults_in(path) == ()


@pytest.mark.parametrize("revision", migrate.REVISIONS)
def test_every_earlier_database_survives_the_next_upgrade(
    revision: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A later revision that rebuilds the tables with children loses nothing, and a copy is kept."""
    for name in ("HEAD", "REVISIONS", "upgrade"):
        monkeypatch.setattr(migrate, name, getattr(migrate, name))
    path = frozen(revision, tmp_path / "home")
    before = backup.dump(path)
    numbers = _numbers(path)
    verbs.know_later()
    with open_store(path.parent) as store:
        saved = store.saved_before_upgrade
    assert saved is not None
    assert backup.dump(saved) == before
    assert kept(before, backup.dump(path)) == []
    assert _numbers(path) == numbers


def test_a_lost_value_would_be_seen(tmp_path: Path) -> None:
    """The comparison above does see a row that is gone and a value that changed."""
    path = frozen(migrate.HEAD, tmp_path / "home")
    before = backup.dump(path)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE player SET name = 'X' WHERE jersey = '00'")
        connection.execute("DELETE FROM setting")
        connection.commit()
    assert kept(before, backup.dump(path)) == ["player.name", "setting: 1 rows became 0"]


def _numbers(path: Path) -> list[tuple[str, int]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("SELECT name, seq FROM sqlite_sequence ORDER BY name").fetchall()
