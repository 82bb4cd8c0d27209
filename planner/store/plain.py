"""Every row of the store as plain values that JSON can hold, and a store made of them again, row for row."""

from __future__ import annotations

import base64
import binascii
import math
import sqlite3
from collections.abc import Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from planner.problem import Refusal
from planner.store import backup
from planner.store.engine import make_private_file

Rows = Mapping[str, Sequence[Mapping[str, Any]]]

_LARGEST = 2**63 - 1
_REVISION = "alembic_version"


@dataclass(frozen=True, slots=True)
class Plain:
    """A whole store: its schema's revision, table -> rows, and table -> the highest number given out.

    A value is null, a number, a text, or in a column of bytes their base64; an infinite number is its name.
    """

    revision: str
    tables: Rows
    numbers: Mapping[str, int]


def pack(path: Path) -> Plain:
    """Return every row of the database, read at one moment.

    Raises:
        Refusal: the database cannot be read or is no store.

    """
    with backup.in_words_for(path), closing(backup.open_file(path)) as connection:
        connection.row_factory = sqlite3.Row
        connection.execute("BEGIN")
        tables = backup.rows_of(connection)
        stamped = tables.get(_REVISION) or [{"version_num": ""}]
        return Plain(stamped[0]["version_num"], tables, _numbers(connection))


def unpack(plain: Plain, path: Path, shown: str) -> None:
    """Make a new database at ``path`` that holds exactly these rows; ``shown`` names their source.

    Raises:
        Refusal: they are of a newer program, do not fit its tables, or break a rule of theirs.

    """
    _empty_store(plain.revision, path, shown)
    try:
        with closing(backup.open_file(path, "rw")) as connection:
            connection.execute("PRAGMA foreign_keys = OFF")
            connection.execute("BEGIN IMMEDIATE")
            _check_tables(connection, plain, shown)
            for table, rows in plain.tables.items():
                if table != _REVISION:
                    _put(connection, table, rows, shown)
            _set_numbers(connection, plain.numbers)
            connection.execute("COMMIT")
    except (sqlite3.Error, OverflowError, UnicodeEncodeError) as error:
        raise Refusal(f"{shown} cannot be restored: a row breaks a rule of the tables ({error}).") from None
    checked = backup.verify(path)
    if not checked.ok:
        raise Refusal(f"{shown} cannot be restored: {checked.problems[0]}.")


def _empty_store(revision: str, path: Path, shown: str) -> None:
    from planner.store import migrate
    from planner.store.engine import make_engine

    if revision not in migrate.REVISIONS:
        raise Refusal(f"{shown} was made by a newer stopsheet; update this program.")
    make_private_file(path)
    if revision != migrate.HEAD:
        migrate.upgrade(path, wait=backup.WAIT, to=revision)
        return
    engine = make_engine(path)
    try:
        with engine.begin() as connection:
            migrate.create(connection)
    finally:
        engine.dispose()


def _check_tables(connection: sqlite3.Connection, plain: Plain, shown: str) -> None:
    known = set(backup.tables_of(connection))
    odd = sorted(set(plain.tables) ^ known)
    if odd:
        where = "has a table that is not ours" if odd[0] in plain.tables else "lacks a table"
        raise Refusal(f"{shown} cannot be restored: it {where} ({odd[0][:40]!r}).")
    unnumbered = set(plain.numbers) - known
    if unnumbered or any(not _is_count(one) for one in plain.numbers.values()):
        raise Refusal(f"{shown} cannot be restored: its 'numbers' are not those of the tables.")


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= _LARGEST


def _put(connection: sqlite3.Connection, table: str, rows: Sequence[Mapping[str, Any]], shown: str) -> None:
    kinds = {row[1]: str(row[2]) for row in connection.execute(f'PRAGMA table_info("{table}")')}
    listed = ", ".join(f'"{one}"' for one in kinds)
    marks = ", ".join("?" * len(kinds))
    values = []
    for number, row in enumerate(rows, 1):
        if set(row) != set(kinds):
            raise Refusal(f"{shown} cannot be restored: row {number} of {table} has other columns.")
        values.append([_stored(row[key], kind, table, number, shown) for key, kind in kinds.items()])
    connection.executemany(f'INSERT INTO "{table}" ({listed}) VALUES ({marks})', values)  # noqa: S608


def _stored(value: Any, kind: str, table: str, number: int, shown: str) -> Any:
    """Return a plain value as SQLite holds it in a column of this kind."""
    try:
        if isinstance(value, str) and kind == "BLOB":
            return base64.b64decode(value, validate=True)
        if isinstance(value, str) and kind == "FLOAT":
            return float(value)
    except (binascii.Error, ValueError):
        value = object()
    if value is None or isinstance(value, str | int | float):
        return value
    raise Refusal(f"{shown} cannot be restored: row {number} of {table} holds what no column does.")


def plain_value(value: Any) -> Any:
    """Return a value of SQLite as JSON can hold it."""
    if isinstance(value, bytes):
        return base64.b64encode(value).decode("ascii")
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    return value


def _numbers(connection: sqlite3.Connection) -> dict[str, int]:
    if not connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'sqlite_sequence'").fetchone():
        return {}
    return {
        row[0]: row[1] for row in connection.execute("SELECT name, seq FROM sqlite_sequence ORDER BY name")
    }


def _set_numbers(connection: sqlite3.Connection, numbers: Mapping[str, int]) -> None:
    """Let numbering go on where it stood, so that a number once given out is never given again."""
    connection.execute("DELETE FROM sqlite_sequence")
    connection.executemany("INSERT INTO sqlite_sequence (name, seq) VALUES (?, ?)", sorted(numbers.items()))
