"""The same store on a real server: tables, upgrades, words, and what a coach is told."""

from __future__ import annotations

import datetime as dt
import re
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import inspect
from sqlmodel import SQLModel

from planner import data
from planner.build.plan import Plan
from planner.desk import upkeep
from planner.desk.desk import Desk
from planner.desk.needs import assess_needs
from planner.desk.practice import Wishes, build_plan
from planner.desk.seed import plant, read_seed
from planner.problem import Refusal
from planner.store import backup, migrate, queries
from planner.store.engine import TRIES, Store, open_store, store_exists
from planner.store.server import LINE, make_server_engine, place_of, server_url
from planner.store.values import PlayerInfo, TeamInfo
from tests.desk.test_undo import few_drills
from tests.running import NOW, TODAY, Stopsheet, assert_refused
from tests.staff.cluster import Cluster
from tests.store.making import fill

DAY = TODAY + dt.timedelta(days=1)


@pytest.fixture
def shared(database: str) -> Iterator[Store]:
    """Return a new store on the server, with a team."""
    with open_store(database, create=True, wait=0.3) as opened:
        with opened.session() as session:
            queries.save_team(session, TeamInfo("Herons"))
        yield opened


def _schema(store: Store) -> dict[str, Any]:
    """Return table -> columns, rules and indexes as the server tells them."""
    seen = inspect(store.engine)
    found: dict[str, Any] = {}
    for table in seen.get_table_names():
        found[table] = (
            [(one["name"], str(one["type"]), one["nullable"]) for one in seen.get_columns(table)],
            sorted((one["name"], one["sqltext"]) for one in seen.get_check_constraints(table)),
            sorted(str(one["name"]) for one in seen.get_unique_constraints(table)),
            sorted(
                (one["name"], one["referred_table"], str(one["options"]))
                for one in seen.get_foreign_keys(table)
            ),
            sorted(
                (one["name"], one["unique"], str(one["dialect_options"])) for one in seen.get_indexes(table)
            ),
        )
    return found


def _stepped(address: str, to: str = "head") -> None:
    """Make the tables by the migrations alone."""
    engine = make_server_engine(server_url(address), wait=5, begin_option="stopsheet_begin")
    with engine.begin() as connection:
        migrate.upgrade_on(connection, to)
    engine.dispose()


def test_both_ways_of_making_the_tables_give_the_same(shared: Store, cluster: Cluster) -> None:
    """A server's database made at once equals one that went through every migration."""
    other = cluster.database()
    _stepped(other)
    with open_store(other) as stepped:
        assert _schema(stepped) == _schema(shared)
    assert len(_schema(shared)) == 23


def test_tables_and_migrations_have_not_drifted(shared: Store) -> None:
    """Alembic finds nothing to migrate on the server, and does see a column that is gone."""
    with shared.engine.begin() as connection:
        command.check(migrate.config(connection))
        connection.exec_driver_sql("ALTER TABLE player DROP COLUMN name")
        found = compare_metadata(MigrationContext.configure(connection), SQLModel.metadata)
        connection.rollback()
    assert "add_column" in {one[0] for one in found}


def test_an_older_database_is_upgraded_by_whoever_comes_first(database: str) -> None:
    """Programs that open an older database at once upgrade it once, and every row is kept."""
    _stepped(database, "0001")
    engine = make_server_engine(server_url(database), wait=5, begin_option="stopsheet_begin")
    with engine.begin() as connection:
        connection.exec_driver_sql("INSERT INTO team (id, name, level) VALUES (1, 'Herons', '')")
    engine.dispose()
    names: list[str] = []

    def look() -> None:
        with open_store(database) as store, store.reading() as session:
            team = queries.team(session)
            names.append(team.name if team else "")

    _all_at_once(look, 4)
    assert names == ["Herons"] * 4


def _all_at_once(do: Any, times: int) -> None:
    threads = [threading.Thread(target=do) for _ in range(times)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()


def test_a_newer_or_foreign_database_is_refused(shared: Store, database: str, cluster: Cluster) -> None:
    """A newer program's database and some other program's are left alone."""
    with shared.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '0999'")
    with pytest.raises(Refusal, match="newer stopsheet"):
        open_store(database)
    other = cluster.database()
    cluster.say("CREATE TABLE recipe (id integer)", other.partition("://")[2].partition("@")[0])
    with pytest.raises(Refusal, match="some other program"):
        open_store(other, create=True)


def test_making_at_once_leaves_one_store(database: str) -> None:
    """Four programs that make the same store at once leave one whole store."""
    assert not store_exists(database)
    made: list[bool] = []

    def make() -> None:
        with open_store(database, create=True) as store:
            made.append(store.created)

    _all_at_once(make, 4)
    assert sorted(made) == [False, False, False, True]
    assert store_exists(database)


def test_every_row_is_the_same_in_a_file_and_on_a_server(shared: Store, tmp_path: Path) -> None:
    """The same work leaves the same rows, told alike, in SQLite and in PostgreSQL."""
    with open_store(tmp_path, create=True) as file:
        with file.session() as session:
            fill(session)
        with shared.session() as session:
            fill(session)
        assert backup.dump(shared) == backup.dump(file)


def _in_both(database: str, folder: Path) -> Iterator[tuple[Desk, Plan]]:
    """Yield a desk with the demo season and tomorrow's plan: over a file, then over a server."""
    seed = read_seed(data.seeds(), TODAY)
    for address in (None, database):
        with closing(Desk(folder / ("server" if address else "file"), TODAY, lambda: NOW)) as desk:
            desk.database = address
            plant(desk, seed)
            desk.__dict__["library"] = few_drills()
            yield desk, build_plan(desk, Wishes(DAY, minutes=70, load_ceiling=0)).plan


def test_the_season_says_the_same_on_a_server(database: str, tmp_path: Path) -> None:
    """Needs and tomorrow's plan from the demo season are the same from either database."""
    told = []
    for desk, plan in _in_both(database, tmp_path):
        built = plan.as_json()
        built.pop("seconds", None)
        told.append((assess_needs(desk), built))
    assert told[0] == told[1]


def test_what_a_plan_rests_on_is_the_same_on_a_server(database: str, tmp_path: Path) -> None:
    """When a practice was planned, and how much was done in all, is asked of the journal in both alike."""
    told = []
    for desk, _ in _in_both(database, tmp_path):
        with desk.reading() as session:
            practice = queries.find_practice(session, DAY)
            assert practice is not None
            mark = queries.journal_mark(session, ("plan",))
            told.append((queries.plan_built(session, practice.id), mark))
    assert told[0] == told[1]
    assert told[0][0] is not None


def test_who_cannot_write_is_told_so_and_readers_go_on(shared: Store) -> None:
    """While another program writes, writing waits and is then refused in a sentence; reading goes on."""
    with shared.session() as other:
        queries.save_player(other, PlayerInfo("4"))
        with pytest.raises(Refusal, match="in use by another stopsheet"), shared.session() as session:
            queries.switch_off(session, "no-talk")
        with shared.reading() as session:
            assert queries.players(session) == ()
    with shared.reading() as session:
        assert queries.players(session) == (PlayerInfo("4"),)


def test_a_reader_sees_one_unchanging_state(shared: Store) -> None:
    """A reader keeps the state it began with while a writer stores."""
    with shared.reading() as reader:
        assert queries.players(reader) == ()
        with shared.session() as writer:
            queries.save_player(writer, PlayerInfo("4"))
        assert queries.players(reader) == ()


def test_a_deadlock_that_another_program_makes_is_tried_again(shared: Store, cluster: Cluster) -> None:
    """Work that the server breaks off for another's sake is done anew, and the coach sees nothing of it."""
    with shared.session() as session:
        for jersey in ("4", "5"):
            queries.save_player(session, PlayerInfo(jersey))
    import psycopg

    ready = threading.Event()
    tries: list[int] = []
    with psycopg.connect(f"host={cluster.folder} dbname=postgres user=coach") as other:
        other.execute(f"SET search_path = {shared.engine.url.username}")
        other.execute("SET deadlock_timeout = '60s'")
        other.execute("UPDATE player SET position = 'x' WHERE jersey = '5'")

        def cross() -> None:
            ready.wait(10)
            other.execute("UPDATE player SET position = 'x' WHERE jersey = '4'")
            other.commit()

        crossing = threading.Thread(target=cross)
        crossing.start()

        def do(session: Any) -> None:
            tries.append(len(tries))
            queries.save_player(session, PlayerInfo("4", "Ada"))
            if len(tries) == 1:
                session.connection().exec_driver_sql("SET LOCAL lock_timeout = '20s'")
                ready.set()
            queries.save_player(session, PlayerInfo("5", "Ben"))

        shared.work(do)
        crossing.join()
    assert len(tries) == 2
    with shared.reading() as session:
        assert [one.name for one in queries.players(session)] == ["Ada", "Ben"]


def test_trying_again_ends(shared: Store) -> None:
    """After five tries the coach is told to try again, and nothing is stored."""
    tries = []

    def do(session: Any) -> None:
        tries.append(1)
        queries.save_player(session, PlayerInfo("4"))
        session.connection().exec_driver_sql("DO $$ BEGIN RAISE EXCEPTION USING ERRCODE = '40001'; END $$")

    with pytest.raises(Refusal, match=r"Others kept changing .* nothing was stored, try again\."):
        shared.work(do)
    assert len(tries) == TRIES
    with shared.reading() as session:
        assert queries.players(session) == ()


def test_broken_rules_are_told_in_the_same_words(shared: Store, tmp_path: Path) -> None:
    """A broken rule, an orphan, a double and a number too large are told alike by both databases."""
    acts: list[Any] = [
        lambda s: queries.save_player(s, PlayerInfo(" ")),
        lambda s: queries.save_player(s, PlayerInfo("4"), team=7),
        lambda s: queries.add_game(s, dt.date(2027, 1, 1), "", venue="abroad"),
        lambda s: queries.add_game(s, dt.date(2027, 1, 1), "", possessions=10**30),
    ]
    with open_store(tmp_path, create=True) as file:
        with file.session() as session:
            queries.save_team(session, TeamInfo("Herons"))
        for act in acts:
            said = []
            for store in (file, shared):
                with pytest.raises(Refusal) as told, store.session() as session:
                    act(session)
                said.append(str(told.value))
            assert said[0] == said[1]


def test_a_server_that_is_not_there_is_told_in_a_sentence_without_password(
    tmp_path: Path, stopsheet: Stopsheet, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No server, no traceback; name and password of the address are never shown."""
    address = f"postgresql+psycopg://ada:s3cret-word@/otters?host={tmp_path}"
    monkeypatch.setenv("STOPSHEET_DB", address)
    ran = stopsheet("team")
    assert_refused(ran, "The staff database 'otters' on", "cannot be reached")
    assert "s3cret" not in ran.err
    assert "ada" not in ran.err
    with pytest.raises(Refusal, match="cannot be reached"):
        open_store(address, create=True)
    assert "s3cret" not in place_of(server_url(address))


@pytest.mark.parametrize("address", ["postgresql://", "postgresql+psycopg://host", "postgresql://h:x/y"])
def test_an_address_that_names_nothing_is_refused(address: str) -> None:
    """An address without a database or with a port that is none is refused with its shape."""
    with pytest.raises(Refusal, match=r"postgresql\+psycopg://NAME@HOST/DATABASE"):
        open_store(address, create=True)


def test_a_database_or_name_that_is_unknown_is_told(cluster: Cluster) -> None:
    """A database that was never made and a name that is not let in are told apart."""
    with pytest.raises(Refusal, match="is not there; make it with 'createdb'"):
        open_store(cluster.address("nowhere"), create=True)
    with pytest.raises(Refusal, match="does not let that name in"):
        open_store(cluster.address("postgres", "stranger"), create=True)


def test_a_backup_of_a_server_is_declined_politely(database: str, tmp_path: Path) -> None:
    """Backup and restore point to the export and to pg_dump; the export holds every row."""
    desk = Desk(tmp_path, TODAY, lambda: NOW, database=database)
    with desk.store.session() as session:
        fill(session)
    with pytest.raises(Refusal, match=r"stopsheet export --to FILE.*pg_dump"):
        upkeep.back_up(desk)
    with pytest.raises(Refusal, match=r"stopsheet export --to FILE.*pg_dump"):
        upkeep.restore(desk, Path(__file__))
    assert upkeep.check(desk) == []
    made = upkeep.export(desk, tmp_path / "all.zip")
    assert isinstance(made, Path)
    with closing(Desk(tmp_path / "own", TODAY, lambda: NOW)) as own:
        upkeep.restore(own, made)
        assert backup.dump(own.store) == backup.dump(desk.store)
        with own.store.session() as session:
            assert queries.add_game(session, TODAY, "Quillhaven") == 2
    assert all(backup.dump(desk.store).values())
    desk.close()


def test_without_the_extra_a_coach_is_told_what_to_install() -> None:
    """Without the driver one sentence says how to get it; with a file nothing of it is loaded."""
    code = (
        "import sys; sys.modules['psycopg'] = None\n"
        "from planner.store.engine import open_store, store_exists\n"
        "from planner.problem import Refusal\n"
        "for act in (lambda: store_exists(A), lambda: open_store(A, create=True)):\n"
        "    try: act()\n"
        "    except Refusal as told: print(told)\n"
    )
    code = f"A = 'postgresql+psycopg://ada@/otters?host=/nowhere'\n{code}"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert (
        re.findall(r"pip install 'stopsheet\[staff\]'", done.stdout) == ["pip install 'stopsheet[staff]'"] * 2
    )
    code = "from planner.store.engine import open_store\nimport sys, tempfile\n"
    code += "open_store(tempfile.mkdtemp(), create=True).close()\nprint('psycopg' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"


def test_writers_stand_in_one_line(shared: Store) -> None:
    """A writing session holds the lock from its first question on, and lets go of it at its end."""
    asked = "SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND objid = %s AND granted"
    with shared.session() as session:
        queries.team(session)
        assert _count(shared, asked) == 1
    assert _count(shared, asked) == 0


def _count(store: Store, asked: str) -> int:
    with store.reading() as session:
        return int(session.connection().exec_driver_sql(asked, (LINE,)).scalar_one())
