"""Every row of a staff's database, as a file of SQLite would hold it, so that an export goes both ways."""

from __future__ import annotations

import base64
import json
import re
from typing import TYPE_CHECKING, Any

from planner.store.engine import Store, compact_json
from planner.store.plain import Plain

if TYPE_CHECKING:
    from sqlalchemy import Column

_NUMBER = re.compile(r"-?\d+(\.\d+)?([eE][-+]?\d+)?")


def rows_of_server(store: Store) -> dict[str, list[dict[str, Any]]]:
    """Return table -> rows as JSON can hold them, read at one moment; bytes in base64.

    Raises:
        Refusal: the server cannot be reached.

    """
    from sqlalchemy import select
    from sqlmodel import SQLModel

    from planner.store import migrate, models

    found: dict[str, list[dict[str, Any]]] = {"alembic_version": [{"version_num": migrate.HEAD}]}
    with store.reading() as session:
        for one in models.ALL:
            table = SQLModel.metadata.tables[str(one.__tablename__)]
            packed = {column.name: _packer(column) for column in table.columns}
            asked = select(table).order_by(*table.primary_key.columns)
            found[table.name] = [
                {key: packed[key](value) for key, value in row.items()}
                for row in session.execute(asked).mappings()
            ]
    return dict(sorted(found.items()))


def pack_server(store: Store) -> Plain:
    """Return every row of a server's database with the highest numbers given out, as ``plain.pack`` does.

    Raises:
        Refusal: the server cannot be reached.

    """
    from planner.store import migrate

    tables = rows_of_server(store)
    with store.reading() as session:
        asked = (
            "SELECT sequencename, last_value FROM pg_sequences"
            " WHERE schemaname = current_schema() AND last_value IS NOT NULL"
        )
        given = {name: int(last) for name, last in session.connection().exec_driver_sql(asked)}
    numbers = {name.removesuffix("_id_seq"): last for name, last in given.items()}
    for table, rows in tables.items():
        if rows and "id" in rows[0]:
            numbers[table] = max(numbers.get(table, 0), *(row["id"] for row in rows))
    return Plain(migrate.HEAD, tables, dict(sorted(numbers.items())))


def _packer(column: Column[Any]) -> Any:
    from sqlalchemy import JSON
    from sqlalchemy.dialects import sqlite

    dialect = sqlite.dialect(json_serializer=compact_json)
    # SQLite knows no JSON: what looks like a number becomes one in such a column.
    numeric = isinstance(column.type, JSON)
    bound = column.type.dialect_impl(dialect).bind_processor(dialect)

    def pack(value: Any) -> Any:
        if isinstance(value, bytes | memoryview):
            return base64.b64encode(bytes(value)).decode("ascii")
        kept = bound(value) if bound else value
        if numeric and kept is not None and _NUMBER.fullmatch(kept):
            return json.loads(kept)
        return int(kept) if isinstance(kept, bool) else kept

    return pack
