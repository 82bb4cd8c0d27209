"""${message}

A rebuilt table (batch_alter_table) loses AUTOINCREMENT unless told: table_kwargs={"sqlite_autoincrement": True}.
"""

from __future__ import annotations

import sqlalchemy as sa
import sqlmodel
from alembic import op
${imports if imports else ""}
revision = ${repr(up_revision)}
down_revision = ${repr(down_revision)}
branch_labels = ${repr(branch_labels)}
depends_on = ${repr(depends_on)}


def upgrade() -> None:
    """Apply the change."""
    ${upgrades if upgrades else "pass"}


def downgrade() -> None:
    """Take the change back."""
    ${downgrades if downgrades else "pass"}
