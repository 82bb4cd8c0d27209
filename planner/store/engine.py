"""Opening the store: one SQLite file or a staff's server; safe against power cuts and other users."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self, TypeVar

from planner.problem import Refusal
from planner.store.refusals import in_words
from planner.store.server import AGAIN, on_server, sqlstate

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine
    from sqlmodel import Session

FILE_NAME = "stopsheet.db"
BUSY_SECONDS = 5.0
TRIES = 5
"""How often a unit of work is tried that the server broke off in favour of another."""
_BEGIN = "stopsheet_begin"

READ_ONLY = {_BEGIN: "DEFERRED"}
"""Options of a connection that does not stand in the line of writers."""

Result = TypeVar("Result")


@dataclass(frozen=True, slots=True)
class Store:
    """An open database. ``created`` when this opening made it; close it, or use it as a context manager."""

    place: Path | str
    engine: Engine
    created: bool = False
    saved_before_upgrade: Path | None = None

    @property
    def shared(self) -> bool:
        """Return whether this is a database server that a staff shares, and no file."""
        return isinstance(self.place, str)

    @property
    def path(self) -> Path:
        """Return the database's file.

        Raises:
            Refusal: it is a database server.

        """
        if isinstance(self.place, str):
            raise Refusal(
                f"{self.place[0].upper()}{self.place[1:]} is no file of yours: 'stopsheet export --to FILE'"
                " writes everything as text, and pg_dump makes a whole copy."
            )
        return self.place

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
        with _unit_of_work(self.engine, self.place) as session:
            yield session
            session.commit()

    def work(self, do: Callable[[Session], Result]) -> Result:
        """Do one unit of work that writes, anew where the database broke it off for another's sake.

        ``do`` may be called up to ``TRIES`` times; of the times before the last nothing is stored.

        Raises:
            Refusal: as for ``session``.

        """
        for left in reversed(range(TRIES)):
            try:
                with self.session() as session:
                    return do(session)
            except Refusal as refusal:
                if not left or sqlstate(refusal.__cause__ or refusal) not in AGAIN:
                    raise
        raise AssertionError("the last try returns or raises")

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """Yield a session that reads one unchanging state and stores nothing, without keeping writers out.

        Raises:
            Refusal: the database is in use or damaged.

        """
        options: dict[str, Any] = READ_ONLY | ({"isolation_level": "REPEATABLE READ"} if self.shared else {})
        with _unit_of_work(self.engine.execution_options(**options), self.place) as session:
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
def _unit_of_work(engine: Engine, place: Path | str) -> Iterator[Session]:
    from sqlalchemy.exc import DBAPIError
    from sqlmodel import Session

    with Session(engine, expire_on_commit=False) as session:
        try:
            yield session
        except (DBAPIError, sqlite3.Error) as error:
            session.rollback()
            raise in_words(error, place) from error
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
    if on_server(text):
        raise Refusal(
            "STOPSHEET_DB names a database server, which has no file here: 'stopsheet export --to FILE'"
            " writes everything as text, and pg_dump and pg_restore make and bring back whole copies."
        )
    from urllib.parse import unquote

    named = unquote(rest.partition("?")[0])
    if scheme not in {"sqlite", "sqlite+pysqlite"} or not named.startswith("/") or len(named) < 2:
        raise Refusal(f"The store cannot be '{scheme}://…'; write STOPSHEET_DB as sqlite:////folder/name.db.")
    return Path(named[1:]).expanduser().absolute()


def store_exists(where: Path | str) -> bool:
    """Return whether a store was made there (a cheap look at the file, or one question to the server)."""
    if on_server(where):
        from planner.store.server import has_tables

        return has_tables(where)
    path = database_path(where)
    return path.is_file() and path.stat().st_size > 0


def open_store(where: Path | str, *, create: bool = False, wait: float = BUSY_SECONDS) -> Store:
    """Open the store of a home folder or of a URL, upgrading an older one (a file after a backup).

    URLs are ``sqlite:///`` with a file and ``postgresql+psycopg://`` with a server. ``create`` makes a
    missing store (folder 0700, file 0600). ``wait`` is how many seconds to wait for another program that is
    writing.

    Raises:
        Refusal: missing, in use, damaged, no stopsheet database, or made by a newer program.

    """
    from sqlalchemy.exc import DBAPIError

    from planner.store import migrate

    if on_server(where):
        return _open_server(where, create, wait)
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


def _open_server(where: Path | str, create: bool, wait: float) -> Store:
    from sqlalchemy.exc import DBAPIError

    from planner.store import migrate
    from planner.store.server import make_server_engine, place_of, server_url

    url = server_url(where)
    place = place_of(url)
    if not create and not store_exists(where):
        raise Refusal(f"There is no store in {place} yet; set up a team first with 'stopsheet team'.")
    engine = make_server_engine(url, wait=wait, begin_option=_BEGIN)
    try:
        opened = migrate.bring_server_up_to_date(engine, place)
    except DBAPIError as error:
        engine.dispose()
        raise in_words(error, place) from error
    except BaseException:
        engine.dispose()
        raise
    return Store(place, engine, opened.created)


def make_engine(path: Path, *, wait: float = BUSY_SECONDS, foreign_keys: bool = True) -> Engine:
    """Return an engine whose every connection has the settings a coach's season needs.

    Transactions begin IMMEDIATE: whoever means to write waits in line at the start, instead of failing at the
    end. Foreign keys are off only while tables are rebuilt.
    """
    from sqlalchemy import URL, create_engine, event

    engine = create_engine(
        URL.create("sqlite", database=str(path)),
        connect_args={"timeout": wait},
        json_serializer=compact_json,
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


def compact_json(value: Any) -> str:
    """Return a value as the tables keep it."""
    import json

    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def make_private_file(path: Path) -> None:
    """Make an empty file that only its owner can read, unless there is one; side files get its mode."""
    if path.exists():
        return
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
