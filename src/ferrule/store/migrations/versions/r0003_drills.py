"""Drills that a coach wrote down."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """To this revision: one new table, nothing that was there is touched."""
    op.create_table(
        "own_drill",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("ways", sa.JSON(), nullable=False),
        sa.Column("causes", sa.JSON(), nullable=False),
        sa.Column("closes", sa.Boolean(), nullable=True),
        sa.Column("set_up", sa.JSON(), nullable=False),
        sa.Column("how", sa.JSON(), nullable=False),
        sa.Column("picture", sa.String(), nullable=True),
        sa.Column("thought", sa.String(), nullable=False),
        sa.Column("measure_key", sa.String(), nullable=True),
        sa.Column("gain_from", sa.String(), nullable=True),
        sa.Column("at_least", sa.Double(), nullable=True),
        sa.Column("at_most", sa.Double(), nullable=True),
        sa.Column("measure_words", sa.String(), nullable=False),
        sa.Column("doses", sa.JSON(), nullable=False),
        sa.Column("stop", sa.JSON(), nullable=False),
        sa.Column("next_step", sa.String(), nullable=False),
        sa.Column("cautions", sa.JSON(), nullable=False),
        sa.Column("load", sa.String(), nullable=False),
        sa.Column("written_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("put_away_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("length(title) > 0", name=op.f("ck_own_drill_title")),
        sa.CheckConstraint("load IN ('none', 'light', 'wrist')", name=op.f("ck_own_drill_load")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_drill")),
        sqlite_autoincrement=True,
    )


def downgrade() -> None:
    """Folders go forward only; an older state is a backup."""
    raise NotImplementedError
