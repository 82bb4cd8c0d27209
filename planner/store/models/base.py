"""What every table shares: names for constraints, and the pieces of a CHECK."""

from typing import Any

from sqlalchemy import CheckConstraint
from sqlmodel import SQLModel

from planner.store.spelling import Spelt, yes_or_no_text

# A rebuild of a table can only drop or keep a constraint that has a name.
SQLModel.metadata.naming_convention = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}

# The journal points at rows by number, so a number is never given out twice.
NUMBERED: dict[str, Any] = {"sqlite_autoincrement": True}


def rule(name: str, condition: str, postgresql: str = "") -> CheckConstraint:
    """Return a named CHECK, spelt apart for ``postgresql`` if need be; the table's name precedes ``name``."""
    return CheckConstraint(Spelt(condition, postgresql) if postgresql else condition, name=name)


def one_of(column: str, words: tuple[str, ...]) -> CheckConstraint:
    """Return a CHECK that ``column`` holds one of ``words``."""
    listed = ", ".join(f"'{word}'" for word in words)
    return rule(column, f"{column} IN ({listed})")


def yes_or_no(column: str) -> CheckConstraint:
    """Return a CHECK that a Boolean column holds 0 or 1."""
    return CheckConstraint(yes_or_no_text(column), name=column)
