"""Erase means erase: not a word of the golfer is left in the folder, and the others keep theirs."""

from pathlib import Path

import pytest
from sqlalchemy import text

from ferrule.app import golfers as g
from ferrule.app import jobs, recordings
from ferrule.app.cases import answer_look, explanation
from ferrule.app.erase import erase_golfer
from ferrule.app.lessons import add_note, start_lesson
from ferrule.app.plans import choose_way, set_window
from ferrule.app.swings import add_swing, read_grip
from ferrule.app.trials import add_trial_ball, start_trial
from ferrule.app.undo import undo
from ferrule.app.workspace import Workspace
from ferrule.errors import NotFoundError
from ferrule.store.backup import check
from ferrule.store.tables import Base

SHARED = b"time_s,a\n0.0,shared-bytes-of-two\n"
ALONE = b"time_s,a\n0.0,bytes-of-one-alone\n"


def fill(ws: Workspace, name: str, contents: list[bytes], monkeypatch: pytest.MonkeyPatch) -> int:
    from ferrule.app.analysis import Contents

    monkeypatch.setattr(recordings, "look_into", lambda *_: Contents("swings"))
    golfer = g.add_golfer(ws, name=name, handedness="right")
    g.update_golfer(ws, golfer.id, goal=f"goal of {name}", told_before=f"told {name}")
    lesson = start_lesson(ws, golfer.id, place=f"place of {name}")
    add_note(ws, lesson.id, f"note on {name}")
    add_swing(ws, lesson.id, shape="hook", feel=f"feel of {name}")
    answer_look(ws, lesson.id, "aim", 2)
    read_grip(ws, lesson.id, 5)
    trial = start_trial(ws, lesson.id, "grip", "posture", feel_a=f"trial of {name}")
    add_trial_ball(ws, trial.id, shape="draw")
    choose_way(ws, lesson.id, "grip", thought=f"thought of {name}")
    set_window(ws, lesson.id, "wrist.top.flexion_deg", -5, 5)
    add_note(ws, lesson.id, f"taken back {name}")
    undo(ws, lesson_id=lesson.id)
    for i, content in enumerate(contents):
        recordings.import_recording(ws, lesson.id, content, f"file {i} of {name}.csv")
    explanation(ws, golfer.id)
    return golfer.id


def bytes_of(folder: Path) -> bytes:
    return b"".join(p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file())


def test_nothing_of_an_erased_golfer_is_left_and_nobody_else_loses(
    ws: Workspace, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recordings, "pack_bytes", lambda content: ("plain", content))
    gone = fill(ws, "Zebulon", [SHARED, ALONE], monkeypatch)
    stays = fill(ws, "Quintessa", [SHARED], monkeypatch)
    ws.folder.backups.mkdir()
    (ws.folder.backups / "schema-0000-x.sqlite").write_bytes(b"Zebulon")
    assert b"Zebulon" in bytes_of(ws.folder.path)
    erase_golfer(ws, gone)
    left = bytes_of(ws.folder.path)
    assert b"Zebulon" not in left
    assert b"bytes-of-one-alone" not in left
    assert b"shared-bytes-of-two" in left
    assert b"note on Quintessa" in left
    assert [line.id for line in g.golfers(ws)] == [stays]
    report = check(ws.folder.path)
    assert report.clean, report.problems
    assert (report.golfers, report.lessons, report.recordings) == (1, 1, 1)
    with ws.reading() as session:
        for table in Base.metadata.sorted_tables:
            for column in table.columns:
                if column.name == "golfer_id":
                    held = session.execute(text(f"SELECT count(*) FROM {table.name} WHERE golfer_id = {gone}"))
                    assert held.scalar() == 0, table.name
    with pytest.raises(NotFoundError):
        erase_golfer(ws, gone)


def test_a_job_of_an_erased_golfer_ends_quietly(ws: Workspace, monkeypatch: pytest.MonkeyPatch) -> None:
    from ferrule.app.analysis import Outcome

    golfer = fill(ws, "Zebulon", [ALONE], monkeypatch)

    def meanwhile_erased(_: object) -> Outcome:
        erase_golfer(ws, golfer)
        return Outcome((), ())

    assert jobs.run_all(ws, meanwhile_erased) == 1
    assert b"Zebulon" not in bytes_of(ws.folder.path)
    assert check(ws.folder.path).clean


def test_every_row_about_a_person_goes_with_the_golfer() -> None:
    """A table that can be reached from a golfer must cascade, so that a new one cannot be forgotten."""
    about_nobody = {"device", "device_sign", "setting", "original", "column_mapping", "golfer", "own_drill"}
    for table in Base.metadata.sorted_tables:
        if table.name in about_nobody:
            continue
        owners = [fk for fk in table.foreign_keys if fk.ondelete == "CASCADE"]
        assert owners, f"{table.name} does not go with its golfer"
        for fk in table.foreign_keys:
            if fk.column.table.name not in about_nobody:
                assert fk.ondelete in {"CASCADE", "SET NULL"}, f"{table.name}.{fk.parent.name} would block erasing"
