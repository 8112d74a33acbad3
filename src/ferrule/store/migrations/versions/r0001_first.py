"""The first schema."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """To this revision."""
    op.create_table(
        "column_mapping",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("mapping", sa.JSON(), nullable=False),
        sa.Column("saved_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_column_mapping")),
        sa.UniqueConstraint("name", name=op.f("uq_column_mapping_name")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "device",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_device")),
        sa.UniqueConstraint("name", name=op.f("uq_device_name")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "golfer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("handedness", sa.String(), nullable=False),
        sa.Column("age_group", sa.String(), nullable=False),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("big_miss", sa.String(), nullable=True),
        sa.Column("other_miss", sa.String(), nullable=True),
        sa.Column("goal", sa.String(), nullable=False),
        sa.Column("next_event", sa.String(), nullable=False),
        sa.Column("next_event_on", sa.Date(), nullable=True),
        sa.Column("balls_a_week", sa.Integer(), nullable=True),
        sa.Column("told_before", sa.String(), nullable=False),
        sa.Column("pain", sa.JSON(), nullable=False),
        sa.Column("pain_asked_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("wrist_flexion_range_deg", sa.Double(), nullable=True),
        sa.Column("wrist_extension_range_deg", sa.Double(), nullable=True),
        sa.Column("wrist_radial_range_deg", sa.Double(), nullable=True),
        sa.Column("wrist_ulnar_range_deg", sa.Double(), nullable=True),
        sa.Column("forearm_supination_range_deg", sa.Double(), nullable=True),
        sa.Column("forearm_pronation_range_deg", sa.Double(), nullable=True),
        sa.Column("chest_turn_range_deg", sa.Double(), nullable=True),
        sa.Column("hip_turn_range_deg", sa.Double(), nullable=True),
        sa.Column("carer_name", sa.String(), nullable=False),
        sa.Column("carer_consented_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("golfer_agreed_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("age_group IN ('junior', 'adult', 'senior')", name=op.f("ck_golfer_age_group")),
        sa.CheckConstraint("handedness IN ('right', 'left')", name=op.f("ck_golfer_handedness")),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_golfer_name")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_golfer")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_golfer_name"), "golfer", ["name"], unique=False)
    op.create_table(
        "original",
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("size_bytes", sa.Integer(), nullable=False),
        sa.Column("packing", sa.String(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name=op.f("pk_original")),
    )
    op.create_table(
        "setting",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("value", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_setting")),
    )
    op.create_table(
        "club",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("golfer_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("loft_deg", sa.Double(), nullable=True),
        sa.Column("lie_deg", sa.Double(), nullable=True),
        sa.Column("length_m", sa.Double(), nullable=True),
        sa.Column("head_mass_kg", sa.Double(), nullable=True),
        sa.Column("is_current", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["golfer_id"], ["golfer.id"], name=op.f("fk_club_golfer_id_golfer"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_club")),
        sa.UniqueConstraint("golfer_id", "name", name=op.f("uq_club_golfer_id_name")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_club_golfer_id"), "club", ["golfer_id"], unique=False)
    op.create_table(
        "device_sign",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("device_id", sa.Integer(), nullable=False),
        sa.Column("measure", sa.String(), nullable=False),
        sa.Column("rises_when", sa.String(), nullable=False),
        sa.Column("shows_at_neutral", sa.Double(), nullable=False),
        sa.Column("asked_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["device_id"], ["device.id"], name=op.f("fk_device_sign_device_id_device"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_device_sign")),
        sa.UniqueConstraint("device_id", "measure", name=op.f("uq_device_sign_device_id_measure")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_device_sign_device_id"), "device_sign", ["device_id"], unique=False)
    op.create_table(
        "lesson",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("golfer_id", sa.Integer(), nullable=False),
        sa.Column("started_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("surface", sa.String(), nullable=True),
        sa.Column("ball", sa.String(), nullable=True),
        sa.Column("flight_seen_m", sa.Double(), nullable=True),
        sa.Column("at_hand", sa.JSON(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["golfer_id"], ["golfer.id"], name=op.f("fk_lesson_golfer_id_golfer"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lesson")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_lesson_golfer_id_started_at"), "lesson", ["golfer_id", "started_at"], unique=False)
    op.create_table(
        "chosen_way",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("golfer_id", sa.Integer(), nullable=False),
        sa.Column("club_id", sa.Integer(), nullable=False),
        sa.Column("lesson_id", sa.Integer(), nullable=False),
        sa.Column("way", sa.String(), nullable=False),
        sa.Column("thought", sa.String(), nullable=False),
        sa.Column("drill", sa.String(), nullable=False),
        sa.Column("test", sa.String(), nullable=False),
        sa.Column("chosen_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["club_id"], ["club.id"], name=op.f("fk_chosen_way_club_id_club"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(
            ["golfer_id"], ["golfer.id"], name=op.f("fk_chosen_way_golfer_id_golfer"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lesson.id"], name=op.f("fk_chosen_way_lesson_id_lesson"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_chosen_way")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_chosen_way_club_id"), "chosen_way", ["club_id"], unique=False)
    op.create_index(op.f("ix_chosen_way_golfer_id"), "chosen_way", ["golfer_id"], unique=False)
    op.create_index(op.f("ix_chosen_way_lesson_id"), "chosen_way", ["lesson_id"], unique=False)
    op.create_table(
        "entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("request_key", sa.String(), nullable=True),
        sa.Column("golfer_id", sa.Integer(), nullable=True),
        sa.Column("lesson_id", sa.Integer(), nullable=True),
        sa.Column("action", sa.String(), nullable=False),
        sa.Column("made_id", sa.Integer(), nullable=True),
        sa.Column("rows", sa.JSON(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("undone_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("can_undo", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["golfer_id"], ["golfer.id"], name=op.f("fk_entry_golfer_id_golfer"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lesson.id"], name=op.f("fk_entry_lesson_id_lesson"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_entry")),
        sa.UniqueConstraint("request_key", name=op.f("uq_entry_request_key")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_entry_golfer_id_id"), "entry", ["golfer_id", "id"], unique=False)
    op.create_index(op.f("ix_entry_lesson_id_id"), "entry", ["lesson_id", "id"], unique=False)
    op.create_table(
        "note",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("lesson_id", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("written_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lesson.id"], name=op.f("fk_note_lesson_id_lesson"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_note")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_note_lesson_id"), "note", ["lesson_id"], unique=False)
    op.create_table(
        "recording",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("lesson_id", sa.Integer(), nullable=False),
        sa.Column("club_id", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("calibration_id", sa.Integer(), nullable=True),
        sa.Column("file_name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("mount", sa.String(), nullable=False),
        sa.Column("profile", sa.String(), nullable=True),
        sa.Column("column_mapping_id", sa.Integer(), nullable=True),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("method", sa.String(), nullable=True),
        sa.Column("issues", sa.JSON(), nullable=True),
        sa.Column("imported_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("kind IN ('swings', 'calibration', 'both')", name=op.f("ck_recording_kind")),
        sa.CheckConstraint("state IN ('waiting', 'analysed', 'unusable')", name=op.f("ck_recording_state")),
        sa.ForeignKeyConstraint(
            ["calibration_id"],
            ["recording.id"],
            name=op.f("fk_recording_calibration_id_recording"),
            ondelete="SET NULL",
        ),
        sa.ForeignKeyConstraint(["club_id"], ["club.id"], name=op.f("fk_recording_club_id_club"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(
            ["column_mapping_id"], ["column_mapping.id"], name=op.f("fk_recording_column_mapping_id_column_mapping")
        ),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lesson.id"], name=op.f("fk_recording_lesson_id_lesson"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["sha256"], ["original.sha256"], name=op.f("fk_recording_sha256_original")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_recording")),
        sa.UniqueConstraint("lesson_id", "sha256", name=op.f("uq_recording_lesson_id_sha256")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_recording_calibration_id"), "recording", ["calibration_id"], unique=False)
    op.create_index(op.f("ix_recording_club_id"), "recording", ["club_id"], unique=False)
    op.create_index(op.f("ix_recording_column_mapping_id"), "recording", ["column_mapping_id"], unique=False)
    op.create_index(op.f("ix_recording_sha256"), "recording", ["sha256"], unique=False)
    op.create_table(
        "trial",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("lesson_id", sa.Integer(), nullable=False),
        sa.Column("club_id", sa.Integer(), nullable=False),
        sa.Column("way_a", sa.String(), nullable=False),
        sa.Column("way_b", sa.String(), nullable=False),
        sa.Column("feel_a", sa.String(), nullable=False),
        sa.Column("feel_b", sa.String(), nullable=False),
        sa.Column("balls_a_block", sa.Integer(), nullable=False),
        sa.Column("golfers_word", sa.String(), nullable=False),
        sa.Column("golfer_prefers", sa.String(), nullable=True),
        sa.Column("started_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("way_a <> way_b", name=op.f("ck_trial_two_ways")),
        sa.ForeignKeyConstraint(["club_id"], ["club.id"], name=op.f("fk_trial_club_id_club"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lesson.id"], name=op.f("fk_trial_lesson_id_lesson"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_trial")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_trial_club_id"), "trial", ["club_id"], unique=False)
    op.create_index(op.f("ix_trial_lesson_id"), "trial", ["lesson_id"], unique=False)
    op.create_table(
        "window",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("golfer_id", sa.Integer(), nullable=False),
        sa.Column("club_id", sa.Integer(), nullable=False),
        sa.Column("lesson_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("low", sa.Double(), nullable=False),
        sa.Column("high", sa.Double(), nullable=False),
        sa.Column("exaggerate_to", sa.Double(), nullable=True),
        sa.Column("set_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("low < high", name=op.f("ck_window_low_below_high")),
        sa.ForeignKeyConstraint(["club_id"], ["club.id"], name=op.f("fk_window_club_id_club"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(
            ["golfer_id"], ["golfer.id"], name=op.f("fk_window_golfer_id_golfer"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lesson.id"], name=op.f("fk_window_lesson_id_lesson"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_window")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_window_club_id"), "window", ["club_id"], unique=False)
    op.create_index(op.f("ix_window_golfer_id"), "window", ["golfer_id"], unique=False)
    op.create_index(op.f("ix_window_lesson_id"), "window", ["lesson_id"], unique=False)
    op.create_table(
        "job",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("recording_id", sa.Integer(), nullable=False),
        sa.Column("content_key", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("message", sa.String(), nullable=False),
        sa.Column("queued_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("started_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("state IN ('waiting', 'running', 'done', 'failed', 'cancelled')", name=op.f("ck_job_state")),
        sa.ForeignKeyConstraint(
            ["recording_id"], ["recording.id"], name=op.f("fk_job_recording_id_recording"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job")),
        sa.UniqueConstraint("content_key", name=op.f("uq_job_content_key")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_job_recording_id"), "job", ["recording_id"], unique=False)
    op.create_index(op.f("ix_job_state_id"), "job", ["state", "id"], unique=False)
    op.create_table(
        "swing",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("lesson_id", sa.Integer(), nullable=False),
        sa.Column("club_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=True),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("mount", sa.String(), nullable=True),
        sa.Column("strike", sa.String(), nullable=True),
        sa.Column("tried_feel", sa.String(), nullable=True),
        sa.Column("tried_amount", sa.Double(), nullable=True),
        sa.Column("set_aside_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("set_aside_why", sa.String(), nullable=False),
        sa.Column("recording_id", sa.Integer(), nullable=True),
        sa.Column("number_in_recording", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["club_id"], ["club.id"], name=op.f("fk_swing_club_id_club"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lesson.id"], name=op.f("fk_swing_lesson_id_lesson"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["recording_id"], ["recording.id"], name=op.f("fk_swing_recording_id_recording"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_swing")),
        sa.UniqueConstraint("lesson_id", "number", name=op.f("uq_swing_lesson_id_number")),
        sa.UniqueConstraint(
            "recording_id", "number_in_recording", name=op.f("uq_swing_recording_id_number_in_recording")
        ),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_swing_club_id"), "swing", ["club_id"], unique=False)
    op.create_index(op.f("ix_swing_lesson_id_club_id"), "swing", ["lesson_id", "club_id"], unique=False)
    op.create_table(
        "ball_flight",
        sa.Column("swing_id", sa.Integer(), nullable=False),
        sa.Column("start", sa.String(), nullable=False),
        sa.Column("bend", sa.String(), nullable=False),
        sa.Column("bends_much", sa.Boolean(), nullable=False),
        sa.Column("seen_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("bend IN ('left', 'straight', 'right')", name=op.f("ck_ball_flight_bend")),
        sa.CheckConstraint("start IN ('pull', 'straight', 'push')", name=op.f("ck_ball_flight_start")),
        sa.ForeignKeyConstraint(
            ["swing_id"], ["swing.id"], name=op.f("fk_ball_flight_swing_id_swing"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("swing_id", name=op.f("pk_ball_flight")),
    )
    op.create_table(
        "reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("swing_id", sa.Integer(), nullable=True),
        sa.Column("lesson_id", sa.Integer(), nullable=True),
        sa.Column("club_id", sa.Integer(), nullable=True),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("value", sa.Double(), nullable=False),
        sa.Column("sd", sa.Double(), nullable=True),
        sa.Column("how", sa.String(), nullable=False),
        sa.Column("device_id", sa.Integer(), nullable=True),
        sa.Column("device_value", sa.Double(), nullable=True),
        sa.Column("read_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "how IN ('sensor', 'video', 'ball', 'typed', 'by_eye', 'assumed')", name=op.f("ck_reading_how")
        ),
        sa.CheckConstraint(
            "(swing_id IS NULL) <> (lesson_id IS NULL AND club_id IS NULL)", name=op.f("ck_reading_belongs")
        ),
        sa.ForeignKeyConstraint(["club_id"], ["club.id"], name=op.f("fk_reading_club_id_club"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["device_id"], ["device.id"], name=op.f("fk_reading_device_id_device")),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lesson.id"], name=op.f("fk_reading_lesson_id_lesson"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["swing_id"], ["swing.id"], name=op.f("fk_reading_swing_id_swing"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reading")),
        sa.UniqueConstraint("swing_id", "key", "how", name=op.f("uq_reading_swing_id_key_how")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_reading_club_id"), "reading", ["club_id"], unique=False)
    op.create_index(op.f("ix_reading_device_id"), "reading", ["device_id"], unique=False)
    op.create_index(op.f("ix_reading_lesson_id_key"), "reading", ["lesson_id", "key"], unique=False)
    op.create_table(
        "swing_result",
        sa.Column("swing_id", sa.Integer(), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("result", sa.JSON(), nullable=False),
        sa.Column("traces", sa.LargeBinary(), nullable=True),
        sa.Column("worked_out_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["swing_id"], ["swing.id"], name=op.f("fk_swing_result_swing_id_swing"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("swing_id", name=op.f("pk_swing_result")),
    )
    op.create_table(
        "trial_ball",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("trial_id", sa.Integer(), nullable=False),
        sa.Column("swing_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("block", sa.Integer(), nullable=False),
        sa.Column("way", sa.String(), nullable=False),
        sa.CheckConstraint("way IN ('a', 'b')", name=op.f("ck_trial_ball_way")),
        sa.ForeignKeyConstraint(
            ["swing_id"], ["swing.id"], name=op.f("fk_trial_ball_swing_id_swing"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["trial_id"], ["trial.id"], name=op.f("fk_trial_ball_trial_id_trial"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_trial_ball")),
        sa.UniqueConstraint("swing_id", name=op.f("uq_trial_ball_swing_id")),
        sa.UniqueConstraint("trial_id", "number", name=op.f("uq_trial_ball_trial_id_number")),
        sqlite_autoincrement=True,
    )


def downgrade() -> None:
    """Folders go forward only; an older state is a backup."""
    raise NotImplementedError
