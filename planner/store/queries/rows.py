"""Small helpers that every query module uses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, TypeVar

from sqlalchemy import insert, inspect
from sqlmodel import Session, SQLModel

from planner.problem import Refusal

TEAM = 1
"""The team of a store; the tables could hold several, the product keeps one."""

Row = TypeVar("Row", bound=SQLModel)


def must_get(session: Session, table: type[Row], number: int, called: str) -> Row:
    """Return the row with that number.

    Raises:
        Refusal: there is none.

    """
    row = session.get(table, number)
    if row is None:
        raise Refusal(f"There is no {called} {number}.")
    return row


def stored(session: Session, row: SQLModel) -> int:
    """Store a new row now, so that its rules are checked, and return its number."""
    session.add(row)
    session.flush()
    return number_of(row)


def number_of(row: SQLModel) -> int:
    """Return the number of a row that has been stored."""
    number = getattr(row, "id", None)
    assert isinstance(number, int)
    return number


def add_rows(
    session: Session, table: type[SQLModel], rows: Sequence[Mapping[str, Any]], *, numbered: bool = False
) -> list[int]:
    """Store many new rows at once, as columns and values; return their numbers, in order, if ``numbered``.

    Much faster than one object a row; what waits in the session is stored before.
    """
    if not rows:
        return []
    session.flush()
    order = insert(inspect(table).local_table)
    values = [dict(row) for row in rows]
    if not numbered:
        session.connection().execute(order, values)
        return []
    ids = order.returning(inspect(table).local_table.c.id, sort_by_parameter_order=True)
    return [int(row[0]) for row in session.connection().execute(ids, values)]
