"""Small helpers that every query module uses."""

from __future__ import annotations

from typing import TypeVar

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
