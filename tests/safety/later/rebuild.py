"""A later revision, for tests alone: rebuilds every table that has children."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision, down_revision, branch_labels, depends_on = "9999", "0003", None, None


def upgrade():
    for table in ("team", "game", "film_note", "intake", "unclear", "sighting", "practice", "segment"):
        with op.batch_alter_table(
            table, recreate="always", table_kwargs={"sqlite_autoincrement": True}
        ) as batch:
            batch.add_column(sa.Column("later", sa.Integer(), nullable=True))
