"""Clubs that were put away, and the coach's word on each rep of a drill."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """To this revision: two new columns. What was set aside as having missed its purpose is a rep that missed."""
    op.add_column("club", sa.Column("put_away_at", sa.DateTime(timezone=True), nullable=True))
    op.add_column("swing", sa.Column("rep_did", sa.Boolean(), nullable=True))
    op.execute("UPDATE swing SET rep_did = 0 WHERE set_aside_why = 'missed its purpose'")


def downgrade() -> None:
    """Folders go forward only; an older state is a backup."""
    raise NotImplementedError
