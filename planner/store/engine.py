"""Opening the store: one SQLite file, safe against power cuts, other users and older programs."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self

from planner.problem import Refusal
from planner.store.refusals import in_words

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine
    from sqlmodel import Session

FILE_NAME = "stopsheet.db"
BUSY_SECONDS = 5.0
_BEGIN = "stopsheet_begin"


@dataclass(frozen=True, slots=True)
class Store:
    """An open database. ``created`` when this opening made it; close it, or use it as a context manager."""

    path: Path
    engine: Engine
    created: bool = False
    saved_before_upgrade: Path | None = None

    @property
    def backups(self) -> Path:
        """Return the folder for backups, beside the database."""
        return self.path.parent / "backups"

    @contextmanager
    def session(self) -> Iterator[Session]:
        """Yield a session that may write: one unit of work, stored whole at the end or not at all.

        Raises:
            Refusal: the database is in use, damaged or full, or a rule of the tables was broken.

        """
        with _unit_of_work(self.engine, self.path) as session:
            yield session
            session.commit()

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """Yield a session that reads one unchanging state and stores nothing, without keeping writers out.

        Raises:
            Refusal: the database is in use or damaged.

        """
        with _unit_of_work(self.engine.execution_options(**{_BEGIN: "DEFERRED"}), self.path) as session:
            yield session
            session.rollback()

    def close(self) -> None:
        """Let go of the file."""
        self.engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


@contextmanager
def _unit_of_work(engine: Engine, path: Path) -> Iterator[Session]:
    from sqlalchemy.exc import DBAPIError
    from sqlmodel import Session

    with Session(engine, expire_on_commit=False) as session:
        try:
            yield session
        except (DBAPIError, sqlite3.Error) as error:
            session.rollback()
            raise in_words(error, path) from error
        except OverflowError as error:
            session.rollback()
            raise Refusal("Nothing was stored: a number is too large to keep.") from error
        except BaseException:
            session.rollback()
            raise


def database_path(where: Path | str) -> Path:
    """Return the database file of a home folder or of a ``sqlite:///`` URL.

    Raises:
        Refusal: the URL is of another kind, or of a database in memory.

    """
    text = str(where)
    if "://" not in text:
        return Path(where).expanduser().absolute() / FILE_NAME
    scheme, _, rest = text.partition("://")
    from urllib.parse import unquote

    named = unquote(rest.partition("?")[0])
    if scheme not in {"sqlite", "sqlite+pysqlite"} or not named.startswith("/") or len(named) < 2:
        raise Refusal(f"The store cannot be '{scheme}://…'; write STOPSHEET_DB as sqlite:////folder/name.db.")
    return Path(named[1:]).expanduser().absolute()


def store_exists(where: Path | str) -> bool:
    """Return whether a store was made there (a cheap look at the file)."""
    path = database_path(where)
    return path.is_file() and path.stat().st_size > 0


def open_store(where: Path | str, *, create: bool = False, wait: float = BUSY_SECONDS) -> Store:
    """Open the store of a home folder or a ``sqlite:///`` URL, upgrading an older one after a backup.

    ``create`` makes a missing store (folder 0700, file 0600). ``wait`` is how many seconds to wait for
    another program that is writing.

    Raises:
        Refusal: missing, in use, damaged, no stopsheet database, or made by a newer program.

    """
    from sqlalchemy.exc import DBAPIError

    from planner.store import migrate

    path = database_path(where)
    if not create and not store_exists(where):
        raise Refusal(f"There is no store at {path} yet; set up a team first with 'stopsheet team'.")
    engine = None
    try:
        make_private_file(path)
        engine = make_engine(path, wait=wait)
        opened = migrate.bring_up_to_date(engine, path, wait=wait)
    except (DBAPIError, OSError, sqlite3.Error) as error:
        if engine is not None:
            engine.dispose()
        raise in_words(error, path) from error
    except BaseException:
        if engine is not None:
            engine.dispose()
        raise
    return Store(path, engine, opened.created, opened.saved)


def make_engine(path: Path, *, wait: float = BUSY_SECONDS, foreign_keys: bool = True) -> Engine:
    """Return an engine whose every connection has the settings a coach's season needs.

    Transactions begin IMMEDIATE: whoever means to write waits in line at the start, instead of failing at the
    end. Foreign keys are off only while tables are rebuilt.
    """
    from sqlalchemy import URL, create_engine, event

    engine = create_engine(
        URL.create("sqlite", database=str(path)),
        connect_args={"timeout": wait},
        json_serializer=_compact_json,
    )

    def settle(connection: sqlite3.Connection, _record: Any) -> None:
        # The driver opens transactions itself, and late, unless told not to; then DDL cannot be rolled back.
        connection.isolation_level = None
        connection.execute(f"PRAGMA foreign_keys = {'ON' if foreign_keys else 'OFF'}")
        connection.execute("PRAGMA journal_mode = WAL")
        # In WAL, NORMAL may lose the last commits in a power cut; FULL syncs each; macOS needs fullfsync too.
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA fullfsync = ON")
        connection.execute("PRAGMA trusted_schema = OFF")

    def begin(connection: Connection) -> None:
        kind = connection.get_execution_options().get(_BEGIN, "IMMEDIATE")
        connection.exec_driver_sql(f"BEGIN {kind}")

    event.listen(engine, "connect", settle)
    event.listen(engine, "begin", begin)
    return engine


def _compact_json(value: Any) -> str:
    import json

    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def make_private_file(path: Path) -> None:
    """Make an empty file that only its owner can read, unless there is one; side files get its mode."""
    if path.exists():
        return
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
