"""The database's revision: made new, recognised, brought up to date, or refused."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from planner.problem import Refusal

if TYPE_CHECKING:
    from alembic.config import Config
    from sqlalchemy import Connection, Engine

REVISIONS = ("0001", "0002", "0003")
"""Every revision this program knows, oldest first; kept here so that opening need not load Alembic."""

HEAD = REVISIONS[-1]

_VERSION_TABLE = """CREATE TABLE alembic_version (
    version_num VARCHAR(32) NOT NULL,
    CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
)"""


_TABLES = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'table'",
    "postgresql": "SELECT tablename FROM pg_tables WHERE schemaname = current_schema()",
}


@dataclass(frozen=True, slots=True)
class Opened:
    """What opening did: made the tables, or upgraded them after saving a copy."""

    created: bool = False
    saved: Path | None = None


def bring_up_to_date(engine: Engine, path: Path, *, wait: float) -> Opened:
    """Make the tables of an empty file, or upgrade an older database.

    Raises:
        Refusal: the file is some other program's, or a newer stopsheet's.

    """
    with engine.connect() as connection:
        revision = stored_revision(connection, path)
        if revision is None:
            create(connection)
            connection.commit()
            return Opened(created=True)
    if revision == HEAD:
        return Opened()
    if revision not in REVISIONS:
        raise Refusal(_newer(path, revision))
    from planner.store.backup import save_before_upgrade

    engine.dispose()
    saved = save_before_upgrade(path, revision)
    upgrade(path, wait=wait)
    return Opened(saved=saved)


def bring_server_up_to_date(engine: Engine, place: str) -> Opened:
    """Make the tables of a server's empty database, or upgrade an older one, in one transaction.

    Raises:
        Refusal: the database is some other program's, or a newer stopsheet's.

    """
    from planner.store.engine import READ_ONLY

    with engine.execution_options(**READ_ONLY).connect() as connection:
        revision = stored_revision(connection, place)
    if revision == HEAD:
        return Opened()
    # Looked at again in line: another may have made or upgraded it meanwhile.
    with engine.begin() as connection:
        revision = stored_revision(connection, place)
        if revision is None:
            create(connection)
        elif revision not in REVISIONS:
            raise Refusal(_newer(place, revision))
        elif revision != HEAD:
            upgrade_on(connection)
    return Opened(created=revision is None)


def stored_revision(connection: Connection, place: Path | str) -> str | None:
    """Return the database's revision, None for an empty database.

    Raises:
        Refusal: it has tables, but not ours.

    """
    tables = set(connection.exec_driver_sql(_TABLES[connection.dialect.name]).scalars())
    if not tables:
        return None
    found = None
    if {"alembic_version", "team"} <= tables:
        found = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()
    if found is None:
        raise Refusal(f"{place} is a database of some other program; name another file or folder.")
    return str(found)


def create(connection: Connection) -> None:
    """Make all tables at once and stamp them as the newest revision (tests hold both ways to be the same)."""
    from sqlmodel import SQLModel

    from planner.store import models

    SQLModel.metadata.create_all(
        connection, tables=[SQLModel.metadata.tables[str(one.__tablename__)] for one in models.ALL]
    )
    connection.exec_driver_sql(_VERSION_TABLE)
    connection.exec_driver_sql(f"INSERT INTO alembic_version (version_num) VALUES ('{HEAD}')")  # noqa: S608


def upgrade(path: Path, *, wait: float, to: str = "head", more: tuple[Path, ...] = ()) -> None:
    """Run the missing migrations in one transaction, with foreign keys off until they are done.

    Rebuilding a table drops it, and with foreign keys on that would take its children along. ``more`` are
    further folders of migrations.

    Raises:
        Refusal: afterwards some row would point nowhere; nothing was changed then.

    """
    from planner.store.engine import make_engine

    engine = make_engine(path, wait=wait, foreign_keys=False)
    try:
        with engine.begin() as connection:
            upgrade_on(connection, to, more)
            orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
            if orphans:
                raise Refusal(
                    f"{path} could not be upgraded: {len(orphans)} rows would point nowhere; nothing changed."
                )
    finally:
        engine.dispose()


def upgrade_on(connection: Connection, to: str = "head", more: tuple[Path, ...] = ()) -> None:
    """Run the missing migrations in the transaction that is open on ``connection``."""
    from alembic import command

    command.upgrade(config(connection, more), to)


def _newer(place: Path | str, revision: str) -> str:
    return f"{place} was made by a newer stopsheet (revision {revision}); update this program."


def config(connection: Connection | None = None, more: tuple[Path, ...] = ()) -> Config:
    """Return Alembic's settings for the migrations of this package, working on an open connection."""
    from alembic.config import Config

    here = Path(__file__).parent / "migrations"
    settings = Config(attributes={"connection": connection})
    settings.set_main_option("script_location", str(here).replace("%", "%%"))
    settings.set_main_option("path_separator", "newline")
    folders = "\n".join(str(one) for one in (here / "versions", *more))
    settings.set_main_option("version_locations", folders.replace("%", "%%"))
    return settings
