from __future__ import annotations

import datetime as dt
import functools
import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlmodel import SQLModel

from planner.problem import Refusal
from planner.store import backup, migrate, queries
from planner.store.engine import Store, make_engine, open_store

DAY = dt.date(2027, 1, 12)
REBUILD = """
import sqlalchemy as sa
from alembic import op

revision, down_revision, branch_labels, depends_on = "9999", "HEAD", None, None


def upgrade():
    for table in ("team", "game", "film_note", "intake", "unclear", "sighting", "practice", "segment"):
        with op.batch_alter_table(
            table, recreate="always", table_kwargs={"sqlite_autoincrement": True}
        ) as batch:
            batch.add_column(sa.Column("later", sa.Integer(), nullable=True))
"""

LOSES_A_PARENT = """
from alembic import op

revision, down_revision, branch_labels, depends_on = "9999", "HEAD", None, None


def upgrade():
    op.execute("UPDATE setting SET value = '1'")
    op.execute("DELETE FROM practice")
"""

BREAKS_HALF_WAY = """
from alembic import op

revision, down_revision, branch_labels, depends_on = "9999", "HEAD", None, None


def upgrade():
    op.execute("ALTER TABLE team ADD COLUMN later INTEGER")
    op.execute("DROP TABLE setting")
    op.execute("SELECT nonsense FROM nowhere")
"""


def _schema(path: Path) -> dict[str, list[str]]:
    """Return table or index -> its definition as sorted pieces, whatever the order of constraints.

    A table that was rebuilt stands there with its name in quotation marks.
    """
    with closing(sqlite3.connect(path)) as connection:
        found = connection.execute(
            "SELECT name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_%'"
        ).fetchall()
    return {
        name: sorted(
            re.sub(r"\s+", " ", line.replace(f'TABLE "{name}"', f"TABLE {name}")).strip(" ,")
            for line in sql.split("\n")
        )
        for name, sql in found
    }


def _later(folder: Path, text: str) -> tuple[Path, ...]:
    folder.mkdir()
    (folder / "9999_later.py").write_text(text.replace("HEAD", migrate.HEAD), encoding="utf-8")
    return (folder,)


def _program_knows_later(monkeypatch: pytest.MonkeyPatch, more: tuple[Path, ...]) -> None:
    monkeypatch.setattr(migrate, "REVISIONS", (*migrate.REVISIONS, "9999"))
    monkeypatch.setattr(migrate, "HEAD", "9999")
    monkeypatch.setattr(migrate, "upgrade", functools.partial(migrate.upgrade, more=more))


def test_both_ways_of_making_the_tables_give_the_same(tmp_path: Path) -> None:
    """A database made at once equals one that went through every migration, down to each rule's text."""
    open_store(tmp_path / "at-once", create=True).close()
    stepped = tmp_path / "stepped.db"
    migrate.upgrade(stepped, wait=0.05)
    at_once = _schema(tmp_path / "at-once" / "stopsheet.db")
    assert len(at_once) > 30
    assert _schema(stepped) == at_once


def test_the_revisions_told_are_those_there_are() -> None:
    """The program's own list of revisions is Alembic's, so that it can be trusted without loading Alembic."""
    scripts = ScriptDirectory.from_config(migrate.config())
    assert [one.revision for one in scripts.walk_revisions()][::-1] == list(migrate.REVISIONS)
    assert scripts.get_current_head() == migrate.HEAD


def test_tables_and_migrations_have_not_drifted(store: Store) -> None:
    """Alembic finds nothing to migrate between the models and a database at the newest revision."""
    with make_engine(store.path).begin() as connection:
        command.check(migrate.config(connection))


def test_drift_would_be_seen(store: Store) -> None:
    """The comparison used above does see a dropped rule, a dropped index and a missing column."""
    changes = (
        "ALTER TABLE player DROP COLUMN name",
        "DROP INDEX ix_game_team_id_date",
        "ALTER TABLE emphasis RENAME TO gone",
    )
    with store.engine.begin() as connection:
        for change in changes:
            connection.exec_driver_sql(change)
        found = compare_metadata(MigrationContext.configure(connection), SQLModel.metadata)
    assert {one[0] for one in found} >= {"add_column", "add_index", "add_table"}


def test_a_migration_that_rebuilds_parents_keeps_every_row(
    full: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Opening an older database saves a copy, rebuilds eight tables, and no row of any table is lost."""
    before = backup.dump(full)
    assert all(before.values())
    full.close()
    _program_knows_later(monkeypatch, _later(tmp_path / "later", REBUILD))
    with open_store(full.path.parent, wait=0.05) as store:
        assert not store.created
        saved = store.saved_before_upgrade
        after = backup.dump(store)
    assert after.pop("alembic_version") == [{"version_num": "9999"}]
    before_head = before.pop("alembic_version")[0]["version_num"]
    for rows in after.values():
        for row in rows:
            row.pop("later", None)
    assert after == before
    assert saved is not None
    assert saved.parent == full.path.parent / "backups"
    assert backup.verify(saved).revision == before_head
    assert backup.verify(full.path).ok


def test_a_migration_that_leaves_orphans_is_taken_back(full: Store, tmp_path: Path) -> None:
    """When rows would point nowhere afterwards, the database stays as it was."""
    before = backup.dump(full)
    full.close()
    with pytest.raises(Refusal, match="rows would point nowhere; nothing changed"):
        migrate.upgrade(full.path, wait=0.05, more=_later(tmp_path / "later", LOSES_A_PARENT))
    assert backup.dump(full.path) == before


def test_a_migration_that_breaks_is_taken_back_whole(
    full: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A failure half way undoes even dropped tables and added columns, and is told in a sentence."""
    before = backup.dump(full)
    full.close()
    _program_knows_later(monkeypatch, _later(tmp_path / "later", BREAKS_HALF_WAY))
    with pytest.raises(Refusal, match="could not be used"):
        open_store(full.path.parent, wait=0.05)
    assert backup.dump(full.path) == before


def test_a_newer_database_is_refused(store: Store) -> None:
    """A database that a newer program made is not touched by an older one."""
    with store.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '0099'")
    store.close()
    with pytest.raises(Refusal, match=r"newer stopsheet \(revision 0099\); update this program"):
        open_store(store.path.parent)


def test_tables_without_a_revision_are_refused(store: Store) -> None:
    """A database that lost its revision is not guessed at."""
    with store.engine.begin() as connection:
        connection.exec_driver_sql("DELETE FROM alembic_version")
    store.close()
    with pytest.raises(Refusal, match="some other program"):
        open_store(store.path.parent)


def test_the_first_migration_can_be_taken_back(tmp_path: Path) -> None:
    """Going down to nothing drops every table."""
    path = tmp_path / "x.db"
    migrate.upgrade(path, wait=0.05)
    engine = make_engine(path, foreign_keys=False)
    with engine.begin() as connection:
        command.downgrade(migrate.config(connection), "base")
    engine.dispose()
    assert set(_schema(path)) == {"alembic_version"}


def test_film_added_before_proposals_keeps_counting(tmp_path: Path) -> None:
    """A database of the first revision is copied, gains the table of proposals, and keeps every row."""
    path = tmp_path / "stopsheet.db"
    migrate.upgrade(path, wait=0.05, to="0001")
    with closing(sqlite3.connect(path)) as connection, connection:
        for order in (
            "INSERT INTO team (id, name, level) VALUES (1, 'Herons', '')",
            (
                "INSERT INTO game (id, team_id, date, opponent, venue, scouted, chances)"
                " VALUES (1, 1, '2027-01-12', 'Marlow Lane', '', 0, '{}')"
            ),
            (
                "INSERT INTO film_note (id, team_id, name, kind, digest, size, packed, raw)"
                f" VALUES (1, 1, 'talk.vtt', 'captions', '{'0' * 64}', 1, 0, x'00')"
            ),
            (
                "INSERT INTO intake (id, film_note_id, game_id, stamp, name, possessions, problems, heading,"
                " undone) VALUES (1, 1, 1, '2027-01-12 20:00:00', 'talk.vtt', 20, '[]', '{}', 0)"
            ),
            (
                "INSERT INTO sighting (id, intake_id, breakdown, seen, sure, text)"
                " VALUES (1, 1, 'no-tag', 1, 0.9, 'never tags')"
            ),
        ):
            connection.execute(order)
    before = backup.dump(path)
    with open_store(tmp_path, wait=0.05) as store:
        assert store.saved_before_upgrade is not None
        after = backup.dump(store)
        with store.reading() as session:
            assert [dict(one.counts) for one in queries.watched_games(session, DAY)] == [{"no-tag": 1}]
    assert after.pop("proposal") == []
    assert after.pop("kept_plan") == []
    assert after.pop("alembic_version") == [{"version_num": migrate.HEAD}]
    before.pop("alembic_version")
    assert after == before
