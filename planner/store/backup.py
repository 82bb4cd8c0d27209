"""Copies of the store through SQLite's backup API: whole, while the program is open."""

from __future__ import annotations

import base64
import datetime as dt
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.problem import Refusal
from planner.store.refusals import in_words

if TYPE_CHECKING:
    from planner.store.engine import Store

_WAIT = 5.0
_FOREIGN = "it is not a stopsheet database"


@dataclass(frozen=True, slots=True)
class Checked:
    """What looking through a database file found; ``revision`` is None when the file is not a store."""

    path: Path
    revision: str | None
    problems: tuple[str, ...]

    @property
    def ok(self) -> bool:
        """Return whether the file can be relied on."""
        return not self.problems


def back_up(store: Store | Path, folder: Path, stamp: dt.datetime) -> Path:
    """Copy the store into ``folder`` as one self-contained, checked file, and return its path.

    Raises:
        Refusal: the store cannot be read or the copy cannot be written or is not sound.

    """
    source = store if isinstance(store, Path) else store.path
    moment = stamp.astimezone(dt.UTC)
    return _save(source, _free_name(folder, f"stopsheet-{moment:%Y%m%d-%H%M%S}"))


def save_before_upgrade(path: Path, revision: str) -> Path:
    """Copy a database of an older ``revision`` into its folder of backups before it is changed.

    Raises:
        Refusal: as for ``back_up``.

    """
    return _save(path, _free_name(path.parent / "backups", f"before-upgrade-from-{revision}"))


def restore(source: Path, where: Path | str, stamp: dt.datetime) -> Path | None:
    """Take over the backup ``source`` as the store, and return where the present one was saved first.

    A present store that is damaged is moved there as it is. A backup of an older program is upgraded when
    the store is next opened. Close the store before.

    Raises:
        Refusal: the backup is not sound or from a newer program, or a file cannot be read or written.

    """
    from planner.store.engine import database_path, make_private_file, store_exists
    from planner.store.migrate import REVISIONS

    checked = verify(source)
    if not checked.ok:
        raise Refusal(f"{source} cannot be restored: {checked.problems[0]}.")
    if checked.revision not in REVISIONS:
        raise Refusal(f"{source} was made by a newer stopsheet; update this program.")
    path = database_path(where)
    if path.exists() and path.samefile(source):
        raise Refusal(f"{source} is the store itself; name a backup.")
    saved = _set_aside(path, stamp) if store_exists(where) else None
    with _in_words(path):
        make_private_file(path)
        with closing(_open(source)) as read, closing(_open(path, "rw")) as written:
            read.backup(written)
    return saved


def verify(path: Path) -> Checked:
    """Look through a database file: is it sound, does every row point somewhere, which revision is it.

    Raises:
        Refusal: it cannot be opened.

    """
    if not path.is_file():
        raise Refusal(f"There is no file {path}.")
    try:
        with closing(_open(path)) as connection:
            return _looked_through(connection, path)
    except sqlite3.DatabaseError as error:
        return Checked(path, None, (str(error),))


def dump(store: Store | Path) -> dict[str, list[dict[str, Any]]]:
    """Return every row of every table as JSON can hold it; film notes' bytes in base64.

    Raises:
        Refusal: the store cannot be read.

    """
    if not isinstance(store, Path) and store.shared:
        from planner.store.server_rows import rows_of_server

        return rows_of_server(store)
    path = store if isinstance(store, Path) else store.path
    with _in_words(path), closing(_open(path)) as connection:
        connection.row_factory = sqlite3.Row
        connection.execute("BEGIN")
        return {
            table: [_plain(row) for row in connection.execute(f'SELECT * FROM "{table}" ORDER BY rowid')]  # noqa: S608
            for table in _tables(connection)
        }


def _set_aside(path: Path, stamp: dt.datetime) -> Path:
    """Save the present store before another takes its place, damaged or not."""
    folder = path.parent / "backups"
    checked = verify(path)
    if checked.ok:
        return back_up(path, folder, stamp)
    if checked.problems == (_FOREIGN,):
        raise Refusal(f"{path} is a database of some other program; name another file or folder.")
    with _in_words(path):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        aside = _free_name(folder, f"damaged-{stamp.astimezone(dt.UTC):%Y%m%d-%H%M%S}")
        for ending in ("", "-wal", "-shm"):
            piece = path.with_name(path.name + ending)
            if piece.exists():
                piece.replace(aside.with_name(aside.name + ending))
    return aside


def _looked_through(connection: sqlite3.Connection, path: Path) -> Checked:
    problems = [row[0] for row in connection.execute("PRAGMA integrity_check(20)") if row[0] != "ok"]
    orphans = connection.execute("PRAGMA foreign_key_check").fetchmany(20)
    problems += [
        f"row {row} of {table} belongs to a {parent} that is not there" for table, row, parent, _ in orphans
    ]
    revision = None
    if {"alembic_version", "team"} <= set(_tables(connection)):
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        revision = row[0] if row else None
    if revision is None:
        problems.append(_FOREIGN)
    return Checked(path, revision, tuple(problems))


def _save(source: Path, target: Path) -> Path:
    """Copy under a passing name, check it, then give it its own: no half backup ever stands in the folder."""
    passing = target.with_suffix(".part")
    with _in_words(target):
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        passing.unlink(missing_ok=True)
        os.close(os.open(passing, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    try:
        with _in_words(source), closing(_open(source)) as read, closing(_open(passing, "rw")) as written:
            read.backup(written)
            # Out of WAL, so that the copy is one file that can be carried anywhere.
            written.execute("PRAGMA journal_mode = DELETE")
        checked = verify(passing)
        if not checked.ok:
            raise Refusal(f"{source} could not be backed up: {checked.problems[0]}.")
        with _in_words(target):
            _to_disk(passing)
            passing.replace(target)
    finally:
        passing.unlink(missing_ok=True)
    return target


def _free_name(folder: Path, stem: str) -> Path:
    """Return ``stem.db`` in ``folder``, numbered if taken: no backup overwrites another."""
    path, number = folder / f"{stem}.db", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}.db", number + 1
    return path


def _open(path: Path, mode: str = "ro") -> sqlite3.Connection:
    return sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=_WAIT, isolation_level=None
    )


def _tables(connection: sqlite3.Connection) -> list[str]:
    found = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
    return [row[0] for row in found if not row[0].startswith("sqlite_")]


def _plain(row: sqlite3.Row) -> dict[str, Any]:
    return {
        key: base64.b64encode(row[key]).decode("ascii") if isinstance(row[key], bytes) else row[key]
        for key in row.keys()  # noqa: SIM118 - a Row iterates over values
    }


def _to_disk(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def _in_words(path: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as error:
        raise in_words(error, path) from error
    except OSError as error:
        raise Refusal(f"{path} could not be used ({error.strerror or error}).") from error
