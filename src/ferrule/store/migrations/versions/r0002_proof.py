"""Cold tests with their balls, and what a golfer reports."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """To this revision: three new tables, nothing that was there is touched."""
    op.create_table(
        "cold_test",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("lesson_id", sa.Integer(), nullable=False),
        sa.Column("club_id", sa.Integer(), nullable=False),
        sa.Column("elsewhere", sa.String(), nullable=False),
        sa.Column("started_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["club_id"], ["club.id"], name=op.f("fk_cold_test_club_id_club"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lesson.id"], name=op.f("fk_cold_test_lesson_id_lesson"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cold_test")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_cold_test_club_id"), "cold_test", ["club_id"], unique=False)
    op.create_index(op.f("ix_cold_test_lesson_id"), "cold_test", ["lesson_id"], unique=False)
    op.create_table(
        "report",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("golfer_id", sa.Integer(), nullable=False),
        sa.Column("confidence", sa.Integer(), nullable=True),
        sa.Column("hurts", sa.JSON(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("reported_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("confidence >= 0 AND confidence <= 10", name=op.f("ck_report_confidence")),
        sa.ForeignKeyConstraint(
            ["golfer_id"], ["golfer.id"], name=op.f("fk_report_golfer_id_golfer"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_report")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_report_golfer_id"), "report", ["golfer_id"], unique=False)
    op.create_table(
        "cold_ball",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("cold_test_id", sa.Integer(), nullable=False),
        sa.Column("swing_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["cold_test_id"], ["cold_test.id"], name=op.f("fk_cold_ball_cold_test_id_cold_test"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["swing_id"], ["swing.id"], name=op.f("fk_cold_ball_swing_id_swing"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cold_ball")),
        sa.UniqueConstraint("cold_test_id", "number", name=op.f("uq_cold_ball_cold_test_id_number")),
        sa.UniqueConstraint("swing_id", name=op.f("uq_cold_ball_swing_id")),
        sqlite_autoincrement=True,
    )


def downgrade() -> None:
    """Folders go forward only; an older state is a backup."""
    raise NotImplementedError
