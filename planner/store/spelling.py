"""Conditions that SQLite and PostgreSQL do not spell alike."""

from __future__ import annotations

from typing import Any

from sqlalchemy import TextClause, text
from sqlalchemy.ext.compiler import compiles


class Spelt(TextClause):
    """A condition written for SQLite, with the words PostgreSQL takes for the same."""

    inherit_cache = False

    def __init__(self, condition: str, postgresql: str) -> None:
        super().__init__(condition)
        self.postgresql = postgresql


@compiles(Spelt)
def _plain(condition: Spelt, compiler: Any, **options: Any) -> str:
    return str(compiler.visit_textclause(condition, **options))


@compiles(Spelt, "postgresql")
def _postgresql(condition: Spelt, compiler: Any, **options: Any) -> str:
    return str(compiler.visit_textclause(text(condition.postgresql), **options))


def yes_or_no_text(column: str) -> Spelt:
    """Return the condition that a Boolean column holds no third thing."""
    return Spelt(f"{column} IN (0, 1)", f"{column} IN (false, true)")
