"""What narration proposes waits for the coach's yes or no."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table of proposals; captions that were added before keep counting as they did."""
    op.create_table(
        "proposal",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("intake_id", sa.Integer(), nullable=False),
        sa.Column("sighting_id", sa.Integer(), nullable=True),
        sa.Column("breakdown", sa.String(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=True),
        sa.Column("start", sa.String(), nullable=True),
        sa.Column("end", sa.String(), nullable=True),
        sa.Column("sure", sa.Float(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("wording", sa.String(), nullable=False),
        sa.Column("players", sa.JSON(), nullable=False),
        sa.Column("asks", sa.JSON(), nullable=False),
        sa.Column("answer", sa.String(), nullable=True),
        sa.CheckConstraint("length(breakdown) > 0", name=op.f("ck_proposal_breakdown")),
        sa.CheckConstraint("sure BETWEEN 0 AND 1", name=op.f("ck_proposal_sure")),
        sa.CheckConstraint("length(answer) > 0", name=op.f("ck_proposal_answer")),
        sa.CheckConstraint(
            "sighting_id IS NULL OR (answer IS NOT NULL AND answer <> 'no')",
            name=op.f("ck_proposal_counts"),
        ),
        sa.ForeignKeyConstraint(
            ["intake_id"], ["intake.id"], name=op.f("fk_proposal_intake_id_intake"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["sighting_id"], ["sighting.id"], name=op.f("fk_proposal_sighting_id_sighting")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_proposal")),
        sa.UniqueConstraint("sighting_id", name=op.f("uq_proposal_sighting_id")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_proposal_intake_id"), "proposal", ["intake_id"])


def downgrade() -> None:
    """Drop the table; what was said yes to keeps counting."""
    op.drop_table("proposal")
