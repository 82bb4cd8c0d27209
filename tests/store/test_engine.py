from __future__ import annotations

import datetime as dt
import os
import sqlite3
import stat
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest

from planner.problem import Refusal
from planner.store import queries
from planner.store.engine import Store, database_path, open_store, store_exists
from planner.store.values import PlayerInfo


def _pragma(store: Store, name: str) -> object:
    with store.engine.connect() as connection:
        return connection.exec_driver_sql(f"PRAGMA {name}").scalar()


def _mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_every_connection_is_set_up(store: Store) -> None:
    """Foreign keys, WAL and full syncing hold on every connection of the pool, not only on the first."""
    with store.engine.connect() as one, store.engine.execution_options(stopsheet_begin="DEFERRED").connect():
        one.rollback()
        assert _pragma(store, "foreign_keys") == 1
        assert _pragma(store, "journal_mode") == "wal"
        assert _pragma(store, "synchronous") == 2
        assert _pragma(store, "busy_timeout") == 50


def test_the_usual_patience_is_five_seconds(home: Path) -> None:
    """Another program that writes is waited for five seconds."""
    with open_store(home, create=True) as store:
        assert _pragma(store, "busy_timeout") == 5000


def test_an_orphan_is_refused(store: Store) -> None:
    """A row that belongs to a team that is not there is not stored."""
    with pytest.raises(Refusal, match="belongs to something that is not there"), store.session() as session:
        queries.save_player(session, PlayerInfo("4"), team=7)
    with store.reading() as session:
        assert queries.players(session, team=7) == ()


@pytest.mark.skipif(os.name == "nt", reason="POSIX modes")
def test_only_the_owner_can_read(home: Path, full: Store) -> None:
    """Folder, database and SQLite's side files are closed to everyone else."""
    assert _mode(home) == 0o700
    files = list(home.iterdir())
    assert {one.name for one in files} >= {"stopsheet.db", "stopsheet.db-wal"}
    assert {_mode(one) for one in files} == {0o600}


def test_a_missing_store_is_refused_unless_it_is_to_be_made(home: Path) -> None:
    """Opening never makes a store by accident; when asked to, it says that it did."""
    with pytest.raises(Refusal, match="no store at"):
        open_store(home)
    assert not home.exists()
    with open_store(home, create=True) as made:
        assert made.created
    with open_store(home) as again:
        assert not again.created


def test_store_exists_looks_at_the_file(home: Path) -> None:
    """An empty or missing file is no store yet."""
    assert not store_exists(home)
    home.mkdir()
    (home / "stopsheet.db").touch()
    assert not store_exists(home)
    open_store(home, create=True).close()
    assert store_exists(home)


def test_a_file_that_is_no_database_is_refused(home: Path) -> None:
    """Bytes of another kind are refused in one sentence and left as they are."""
    home.mkdir()
    (home / "stopsheet.db").write_bytes(b"minutes of a meeting\n" * 400)
    with pytest.raises(Refusal, match="is not a stopsheet database"):
        open_store(home)
    assert (home / "stopsheet.db").read_bytes() == b"minutes of a meeting\n" * 400


def test_a_damaged_database_is_refused(home: Path) -> None:
    """A database with destroyed pages is refused with the advice to restore, whether found early or late."""
    open_store(home, create=True).close()
    path = home / "stopsheet.db"
    whole = path.read_bytes()
    path.write_bytes(whole[:100] + b"\xff" * (len(whole) - 100))
    with pytest.raises(Refusal, match="is damaged; restore"):
        open_store(home)


def test_a_database_of_another_program_is_refused(home: Path) -> None:
    """Tables that are not ours are never written among."""
    home.mkdir()
    with closing(sqlite3.connect(home / "stopsheet.db")) as other:
        other.execute("CREATE TABLE recipe (id INTEGER)")
    with pytest.raises(Refusal, match="some other program"):
        open_store(home)


def test_a_folder_that_cannot_be_made_is_refused(tmp_path: Path) -> None:
    """A file that stands where the folder should be is told in one sentence."""
    (tmp_path / "taken").touch()
    with pytest.raises(Refusal, match="could not be used"):
        open_store(tmp_path / "taken" / "home", create=True)


def test_who_cannot_write_is_told_so(store: Store) -> None:
    """While another program writes, writing waits and is then refused, and reading goes on."""
    with closing(sqlite3.connect(store.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(Refusal, match="in use by another stopsheet"), store.session() as session:
            queries.switch_off(session, "no-talk")
        with store.reading() as session:
            assert queries.team(session) is not None


def test_opening_waits_for_the_maker(home: Path) -> None:
    """Two programs that make the same store at once leave one whole store."""
    made: list[bool] = []

    def make() -> None:
        with open_store(home, create=True) as store:
            made.append(store.created)

    threads = [threading.Thread(target=make) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert sorted(made) == [False, False, False, True]


def test_a_unit_of_work_is_stored_whole_or_not_at_all(store: Store) -> None:
    """An error half way leaves nothing of what came before it."""

    def save(*jerseys: str) -> None:
        with store.session() as session:
            for jersey in jerseys:
                queries.save_player(session, PlayerInfo(jersey))
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        save("4")
    with pytest.raises(Refusal, match="1 to 12 characters"):
        save("5", " ")
    with store.reading() as session:
        assert queries.players(session) == ()


def test_a_number_too_large_is_refused(store: Store) -> None:
    """A number beyond 64 bits ends in a sentence."""
    with pytest.raises(Refusal, match="too large"), store.session() as session:
        queries.add_game(session, dt.date(2027, 1, 1), "", possessions=10**30)


def test_two_sessions_see_whole_states(store: Store) -> None:
    """A reader keeps the state it began with while a writer stores; the next reader sees the new one."""
    with store.reading() as reader:
        assert queries.players(reader) == ()
        with store.session() as writer:
            queries.save_player(writer, PlayerInfo("4"))
        assert queries.players(reader) == ()
    with store.reading() as reader:
        assert queries.players(reader) == (PlayerInfo("4"),)


def test_a_worker_in_another_thread_uses_the_same_store(store: Store) -> None:
    """A screen's worker opens its own session in its own thread, and what it stores is seen by everyone."""
    worker = threading.Thread(target=_save_from_thread, args=(store,))
    with store.reading() as session:
        queries.players(session)
        worker.start()
        worker.join()
    with store.reading() as session:
        assert queries.players(session) == (PlayerInfo("4"),)


def _save_from_thread(store: Store) -> None:
    with store.session() as session:
        queries.save_player(session, PlayerInfo("4"))


def test_reading_stores_nothing(store: Store) -> None:
    """What is written in a reading session is gone at its end."""
    with store.reading() as session:
        queries.save_player(session, PlayerInfo("4"))
    with store.reading() as session:
        assert queries.players(session) == ()


@pytest.mark.parametrize("name", ["a b.db", "what?.db", "50%.db", "no#1.db", "%41.db"])
def test_odd_names_survive(tmp_path: Path, name: str) -> None:
    """A URL with escaped signs names exactly that file."""
    from urllib.parse import quote

    url = f"sqlite:///{quote(str(tmp_path / name))}"
    open_store(url, create=True).close()
    assert [one.name for one in tmp_path.iterdir()] == [name]


@pytest.mark.parametrize(
    "url", ["postgresql://somewhere/db", "sqlite://", "sqlite:///", "sqlite+aiosqlite:///x"]
)
def test_other_databases_are_refused(url: str) -> None:
    """Databases in memory or of another make are refused in one sentence."""
    with pytest.raises(Refusal, match="STOPSHEET_DB"):
        database_path(url)


def _loaded(code: str) -> set[str]:
    watched = "('sqlmodel', 'sqlalchemy', 'alembic', 'pydantic')"
    told = f"{code}\nimport sys\nprint(*(one for one in {watched} if one in sys.modules))"
    done = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


def test_importing_the_store_loads_no_orm() -> None:
    """The modules that the desk imports at its top cost neither the ORM nor the migrations."""
    assert _loaded("from planner.store import backup, engine, migrate, queries, values") == set()


def test_opening_an_up_to_date_store_loads_no_migrations(home: Path) -> None:
    """Making and opening a store leave Alembic alone."""
    code = f"from planner.store.engine import open_store\nopen_store({str(home)!r}, create=True).close()"
    assert "alembic" not in _loaded(code)
    assert "alembic" not in _loaded(code.replace(", create=True", ""))
