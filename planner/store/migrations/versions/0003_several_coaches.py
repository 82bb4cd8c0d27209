"""Several coaches at one store: who did what, and plans that came second."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Note who wrote in the journal, and make the table of plans kept beside those that stand."""
    with op.batch_alter_table(
        "journal",
        recreate="always" if op.get_bind().dialect.name == "sqlite" else "never",
        table_kwargs={"sqlite_autoincrement": True},
    ) as batch:
        batch.add_column(sa.Column("coach", sa.String(), nullable=True))
    op.create_table(
        "kept_plan",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("team_id", sa.Integer(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("start", sa.Integer(), nullable=False),
        sa.Column("stamp", sa.DateTime(timezone=True), nullable=False),
        sa.Column("coach", sa.String(), nullable=True),
        sa.Column("plan", sa.JSON(), nullable=False),
        sa.Column("brief", sa.JSON(), nullable=False),
        sa.CheckConstraint("start BETWEEN 0 AND 1439", name=op.f("ck_kept_plan_start")),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_kept_plan_team_id_team"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_kept_plan")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_kept_plan_team_id_date"), "kept_plan", ["team_id", "date"])


def downgrade() -> None:
    """Forget both."""
    op.drop_table("kept_plan")
    with op.batch_alter_table("journal", table_kwargs={"sqlite_autoincrement": True}) as batch:
        batch.drop_column("coach")
