"""Write tests/samples/schema_NNNN.sql: a small data folder of the present schema as plain SQL, kept for ever.

Run once when a schema version is new, and commit the file; never rewrite the sample of a released version. All names
are invented.
"""

import sqlite3
import sys
import tempfile
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

from sqlalchemy.orm import Session

from ferrule.store import schema
from ferrule.store.codec import pack_arrays, pack_bytes, sha256_of
from ferrule.store.engine import open_engine
from ferrule.store.tables import (
    BallFlight,
    ChosenWay,
    Club,
    ColdBall,
    ColdTest,
    ColumnMapping,
    Device,
    DeviceSign,
    Entry,
    Golfer,
    Job,
    Lesson,
    Note,
    Original,
    OwnDrill,
    Reading,
    Recording,
    Report,
    Setting,
    Swing,
    SwingResult,
    Trial,
    TrialBall,
    Window,
)

AT = datetime(2026, 3, 14, 9, 30, tzinfo=UTC)
BYTES = b"time_s,forearm_acc_x_mps2\n0.0,9.81\n"


def rows() -> list[object]:
    """One row of every table, in an order in which they can be written."""
    import numpy as np

    packing, content = pack_bytes(BYTES)
    return [
        Golfer(id=1, name="Ines Över", handedness="left", age_group="adult", added_at=AT, big_miss="left",
               goal="fewer hooks", next_event="club day", next_event_on=date(2026, 5, 2), balls_a_week=120,
               pain=["left wrist"], pain_asked_at=AT, wrist_flexion_range_deg=70.0),
        Club(id=1, golfer_id=1, name="7-iron", is_current=True),
        Device(id=1, name="wrist box", added_at=AT),
        DeviceSign(id=1, device_id=1, measure="wrist.flexion_deg", rises_when="cups", asked_at=AT),
        Lesson(id=1, golfer_id=1, started_at=AT, place="Mat 4", at_hand=["eye", "ball"], version=7),
        Note(id=1, lesson_id=1, text="Grip stronger than last time.", written_at=AT),
        Original(sha256=sha256_of(BYTES), size_bytes=len(BYTES), packing=packing, content=content),
        ColumnMapping(id=1, name="my logger", mapping={"schema": 1, "columns": {}}, saved_at=AT),
        Recording(id=1, column_mapping_id=1, lesson_id=1, club_id=1, sha256=sha256_of(BYTES), file_name="mat4.csv", kind="swings",
                  mount="a", state="analysed", method="1", issues={"issues": []}, imported_at=AT),
        Job(id=1, kind="analyse", recording_id=1, content_key="0" * 64, state="done", attempts=1, queued_at=AT),
        Swing(id=1, lesson_id=1, club_id=1, number=1, made_at=AT, mount="a", strike="toe", recording_id=1,
              number_in_recording=1),
        Swing(id=2, lesson_id=1, club_id=1, number=2, made_at=AT, tried_feel="bow early", tried_amount=2.0),
        SwingResult(swing_id=1, method="1", result={"kind": "full_swing"}, worked_out_at=AT,
                    traces=pack_arrays({"time_s": np.array([0.0, 0.004])})),
        Reading(id=1, swing_id=1, key="wrist.top.flexion_deg", value=-14.0, how="typed", device_id=1,
                device_value=14.0, read_at=AT),
        Reading(id=2, lesson_id=1, club_id=1, key="grip_turn_deg", value=8.0, sd=7.0, how="by_eye", read_at=AT),
        BallFlight(swing_id=1, start="push", bend="left", seen_at=AT),
        Trial(id=1, lesson_id=1, club_id=1, way_a="grip", way_b="flexed_early", started_at=AT),
        TrialBall(id=1, trial_id=1, swing_id=2, number=1, block=1, way="a"),
        ChosenWay(id=1, golfer_id=1, club_id=1, lesson_id=1, way="grip", thought="knuckles", chosen_at=AT),
        Window(id=1, golfer_id=1, club_id=1, lesson_id=1, key="wrist.top.flexion_deg", low=-8.0, high=2.0, set_at=AT),
        ColdTest(id=1, lesson_id=1, club_id=1, started_at=AT),
        ColdBall(id=1, cold_test_id=1, swing_id=1, number=1),
        Report(id=1, golfer_id=1, confidence=6, hurts=["left wrist"], words="tired", reported_at=AT),
        OwnDrill(id=1, title="Broom by the fence", ways=["flexed_early"], causes=["lead_wrist_flexion"], closes=True,
                 set_up=["A broom, no ball."], how=["Sweep along the fence."], picture="slow_motion", thought="Bristles flat.",
                 measure_key="wrist.top.flexion_deg", at_least=-5.0, at_most=20.0, measure_words="flat at the top",
                 doses=[{"step": "slow", "reps": 5, "sets": 2, "rest_s": 30, "days_a_week": 4}], stop=["anything hurts"],
                 cautions=["Nobody near."], load="wrist", written_at=AT),
        Setting(name="mode", value="sun"),
        Entry(id=1, request_key="once", golfer_id=1, lesson_id=1, action="set_strike", made_id=1, made_at=AT,
              rows=[{"table": "swing", "key": {"id": 1}, "before": {"strike": None}, "after": {"strike": "toe"}}]),
    ]  # fmt: skip


def main(target: Path) -> None:
    """Write the sample of the newest schema into the folder."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sample.sqlite"
        engine = open_engine(path)
        schema.migrate(engine)
        with Session(engine.connect().execution_options(writes=True)) as session:
            for row in rows():
                session.add(row)
                session.flush()
            session.commit()
            session.connection().close()
        engine.dispose()
        with closing(sqlite3.connect(path)) as connection:
            text = "\n".join(connection.iterdump()) + "\n"
    (target / f"schema_{schema.head()}.sql").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
