"""Alembic's entry: works on the connection it is handed, in the transaction that is open there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from alembic import context
from sqlmodel import SQLModel

from planner.store import models

if TYPE_CHECKING:
    from sqlalchemy import Connection


def run(connection: Connection) -> None:
    """Run the migrations asked for; SQLite alters tables by rebuilding them, hence batches."""
    context.configure(
        connection=connection,
        target_metadata=SQLModel.metadata,
        render_as_batch=True,
        compare_type=True,
        transactional_ddl=True,
    )
    with context.begin_transaction():
        context.run_migrations()


assert models.ALL
run(context.config.attributes["connection"])
