"""Copies of the store through SQLite's backup API: whole, while the program is open."""

from __future__ import annotations

import datetime as dt
import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.problem import Refusal
from planner.store.refusals import in_words

if TYPE_CHECKING:
    from planner.store.engine import Store

WAIT = 5.0
_LONGEST = 60.0
BEFORE_UPGRADE = "before-upgrade"
KEPT = "copies-kept"
"""The setting that says how many copies of each automatic kind stay."""
USUALLY_KEPT = 10
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
    return _save(source, free_name(folder, f"stopsheet-{moment:%Y%m%d-%H%M%S}"))


def save_before_upgrade(path: Path, revision: str) -> Path:
    """Copy a database of an older ``revision`` into its folder of backups before it is changed.

    Raises:
        Refusal: as for ``back_up``.

    """
    folder = path.parent / "backups"
    saved = _save(path, free_name(folder, f"{BEFORE_UPGRADE}-from-{revision}"))
    rotate(folder, BEFORE_UPGRADE, copies_kept(path))
    return saved


def restore(source: Path, where: Path | str, stamp: dt.datetime) -> Path | None:
    """Take over the backup ``source`` as the store, and return where the present one was saved first.

    A present store that is damaged is kept there as it is. A backup of an older program is upgraded when
    the store is next opened. Close the store before.

    Raises:
        Refusal: the backup is not sound or from a newer program, or a file cannot be read or written.

    """
    from planner.store.engine import database_path, store_exists

    check_restorable(source, str(source))
    path = database_path(where)
    if path.exists() and path.samefile(source):
        raise Refusal(f"{source} is the store itself; name a backup.")
    saved = None
    if store_exists(where):
        saved = keep_damaged(path, stamp) or back_up(path, path.parent / "backups", stamp)
    take_over(source, path)
    return saved


def check_restorable(source: Path, shown: str) -> None:
    """Refuse a file that cannot become the store; ``shown`` is its name in the sentence.

    Raises:
        Refusal: it is not sound, not ours, or from a newer program.

    """
    from planner.store.migrate import REVISIONS

    checked = verify(source)
    if not checked.ok:
        raise Refusal(f"{shown} cannot be restored: {checked.problems[0]}.")
    if checked.revision not in REVISIONS:
        raise Refusal(f"{shown} was made by a newer stopsheet; update this program.")


def take_over(source: Path, path: Path) -> None:
    """Put the sound database ``source`` in the place of the store at ``path``, whole or not at all.

    A store that is damaged is removed first; keep it before (``keep_damaged``).

    Raises:
        Refusal: it cannot be written, or another program keeps writing to it.

    """
    from planner.store.engine import make_private_file

    with in_words_for(path):
        if path.exists() and verify(path).problems:
            for piece in _pieces(path):
                piece.unlink(missing_ok=True)
        make_private_file(path)
        with closing(open_file(source)) as read, closing(open_file(path, "rw")) as written:
            _copy(read, written)


def keep_damaged(path: Path, stamp: dt.datetime) -> Path | None:
    """Copy a store that is damaged, as it is, into its folder of backups; None when it is sound.

    Raises:
        Refusal: it is a database of some other program, or cannot be copied.

    """
    checked = verify(path)
    if checked.ok:
        return None
    if checked.problems == (_FOREIGN,):
        raise Refusal(f"{path} is a database of some other program; name another file or folder.")
    folder = path.parent / "backups"
    with in_words_for(path):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        aside = free_name(folder, f"damaged-{stamp.astimezone(dt.UTC):%Y%m%d-%H%M%S}")
        for piece in _pieces(path):
            if piece.exists():
                copied = aside.with_name(aside.name + piece.name.removeprefix(path.name))
                _write_private(copied, piece.read_bytes())
    return aside


def as_bytes(source: Path) -> bytes:
    """Return the store as the bytes of one self-contained, checked database file; works while it is open.

    Raises:
        Refusal: the store cannot be read or is not sound.

    """
    with in_words_for(source), closing(open_file(source)) as read, closing(_in_memory()) as copy:
        _copy(read, copy)
        checked = _looked_through(copy, source)
        if not checked.ok:
            raise Refusal(f"{source} could not be backed up: {checked.problems[0]}.")
        image = bytearray(copy.serialize())
    # Bytes 18 and 19: whether a write-ahead log belongs to the file (SQLite's file format, 1.3.3); none does.
    image[18:20] = b"\x01\x01"
    return bytes(image)


def rotate(folder: Path, kind: str, keep: int) -> None:
    """Delete all but the newest ``keep`` copies of one kind that the program makes by itself."""
    made = [one for one in folder.glob(f"{kind}-*") if one.suffix in {".db", ".zip"} and one.is_file()]
    made.sort(key=lambda one: (one.stat().st_mtime_ns, one.name), reverse=True)
    for old in made[max(1, keep) :]:
        old.unlink(missing_ok=True)


def copies_kept(path: Path) -> int:
    """Return how many automatic copies the coach wants to be kept; 0 for none made by the day."""
    try:
        with closing(open_file(path)) as connection:
            row = connection.execute("SELECT value FROM setting WHERE key = ?", (KEPT,)).fetchone()
        return int(row[0]) if row else USUALLY_KEPT
    except (sqlite3.Error, TypeError, ValueError):
        return USUALLY_KEPT


def verify(path: Path) -> Checked:
    """Look through a database file: is it sound, does every row point somewhere, which revision is it.

    Raises:
        Refusal: it cannot be opened.

    """
    if not path.is_file():
        raise Refusal(f"There is no file {path}.")
    try:
        with closing(open_file(path)) as connection:
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
    with in_words_for(path), closing(open_file(path)) as connection:
        connection.row_factory = sqlite3.Row
        connection.execute("BEGIN")
        return rows_of(connection)


def rows_of(connection: sqlite3.Connection) -> dict[str, list[dict[str, Any]]]:
    """Return table -> rows of plain values; the connection hands out ``sqlite3.Row``."""
    from planner.store.plain import plain_value

    return {
        table: [
            {key: plain_value(row[key]) for key in row.keys()}  # noqa: SIM118 - a Row iterates over values
            for row in connection.execute(f'SELECT * FROM "{table}" ORDER BY rowid')  # noqa: S608
        ]
        for table in tables_of(connection)
    }


def _looked_through(connection: sqlite3.Connection, path: Path) -> Checked:
    problems = [row[0] for row in connection.execute("PRAGMA integrity_check(20)") if row[0] != "ok"]
    orphans = connection.execute("PRAGMA foreign_key_check").fetchmany(20)
    problems += [
        f"row {row} of {table} belongs to a {parent} that is not there" for table, row, parent, _ in orphans
    ]
    revision = None
    if {"alembic_version", "team"} <= set(tables_of(connection)):
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        revision = row[0] if row else None
    if revision is None:
        problems.append(_FOREIGN)
    return Checked(path, revision, tuple(problems))


def _save(source: Path, target: Path) -> Path:
    """Copy under a passing name, check it, then give it its own: no half backup ever stands in the folder."""
    passing = target.with_suffix(".part")
    with in_words_for(target):
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        passing.unlink(missing_ok=True)
        os.close(os.open(passing, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    try:
        with (
            in_words_for(source),
            closing(open_file(source)) as read,
            closing(open_file(passing, "rw")) as written,
        ):
            _copy(read, written)
            # Out of WAL, so that the copy is one file that can be carried anywhere.
            written.execute("PRAGMA journal_mode = DELETE")
        checked = verify(passing)
        if not checked.ok:
            raise Refusal(f"{source} could not be backed up: {checked.problems[0]}.")
        with in_words_for(target):
            _to_disk(passing)
            passing.replace(target)
    finally:
        passing.unlink(missing_ok=True)
    return target


def free_name(folder: Path, stem: str, ending: str = ".db") -> Path:
    """Return ``stem`` with its ending in ``folder``, numbered if taken: no backup overwrites another."""
    path, number = folder / f"{stem}{ending}", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}{ending}", number + 1
    return path


def _pieces(path: Path) -> list[Path]:
    return [path.with_name(path.name + ending) for ending in ("-wal", "-shm", "")]


def _write_private(path: Path, data: bytes) -> None:
    with os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _in_memory() -> sqlite3.Connection:
    return sqlite3.connect(":memory:", isolation_level=None)


def _copy(read: sqlite3.Connection, written: sqlite3.Connection) -> None:
    """Copy one database over another in a single step; a writer that never ends is not waited for."""
    until = time.monotonic() + _LONGEST

    def in_time(_status: int, _remaining: int, _total: int) -> None:
        if time.monotonic() > until:
            raise sqlite3.OperationalError("database is locked")

    read.backup(written, progress=in_time, sleep=0.05)


def open_file(path: Path, mode: str = "ro") -> sqlite3.Connection:
    """Open a database that is there, to look at (``ro``) or to write (``rw``)."""
    return sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=WAIT, isolation_level=None
    )


def tables_of(connection: sqlite3.Connection) -> list[str]:
    """Return the names of the tables, SQLite's own left out."""
    found = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
    return [row[0] for row in found if not row[0].startswith("sqlite_")]


def _to_disk(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def in_words_for(path: Path) -> Iterator[None]:
    """Let what SQLite or the disk says about ``path`` be one sentence."""
    try:
        yield
    except sqlite3.Error as error:
        raise in_words(error, path) from error
    except OSError as error:
        raise Refusal(f"{path} could not be used ({error.strerror or error}).") from error
