"""Kill test of the store: a process that types and imports is killed with -9 again and again; nothing acknowledged is lost.

    python scripts/validation/store.py [KILLS]

prints the figures of docs/validation.md. A child opens the data folder as the server does (lock, change feed, job process),
enters balls, notes and recordings, and prints a line after each entry has returned: that entry is acknowledged. It is
killed after a random while. Then every acknowledged entry of all children so far is looked up, and the folder is checked.
"""

import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from statistics import median
from typing import Any, Final

TITLE: Final = "Store: killed in the middle"
FEWEST: Final = 8
MOST: Final = 40
LONGEST_WAIT_S: Final = 0.3


@dataclass(slots=True)
class Figures:
    """What the kills gave. lost: acknowledged entries that were not there; problems: of `check`."""

    kills: int = 0
    acknowledged: int = 0
    recordings: int = 0
    lost: list[str] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    twice: int = 0
    orphans: int = 0
    jobs_left_running: int = 0
    jobs_interrupted: int = 0
    jobs_done: int = 0
    reopen_s: list[float] = field(default_factory=list)


def run_kills(folder: Path, kills: int, seed: int = 1) -> Figures:
    """Kill so many children in the middle of their work, all on the same folder, and look after each."""
    rng = random.Random(seed)
    figures = Figures()
    golfer = _prepare(folder)
    known: list[dict[str, Any]] = []
    for run in range(kills):
        known += _one_child(folder, golfer, run, rng, figures)
        figures.kills += 1
        _look(folder, known, figures)
    figures.acknowledged = len(known)
    figures.recordings = sum(entry["what"] == "recording" for entry in known)
    _finish(folder, figures)
    return figures


def _prepare(folder: Path) -> int:
    from ferrule.app.golfers import add_golfer
    from ferrule.app.workspace import Workspace
    from ferrule.files.native import write_recording_csv
    from ferrule.simulator.lesson import simulate_lesson

    write_recording_csv(simulate_lesson(seed=4).recording, folder / "one.csv")
    with Workspace(folder / "data") as ws:
        return add_golfer(ws, name="Ida", handedness="right").id


def _one_child(folder: Path, golfer: int, run: int, rng: random.Random, figures: Figures) -> list[dict[str, Any]]:
    command = [sys.executable, __file__, "child", str(folder), str(golfer), str(run)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as child:
        assert child.stdout is not None
        lines = [child.stdout.readline() for _ in range(rng.randint(FEWEST, MOST))]
        time.sleep(rng.uniform(0.0, LONGEST_WAIT_S))  # the next entry is then at any point of its way
        child.send_signal(signal.SIGKILL)
        lines += child.stdout.read().splitlines(keepends=True)
    entries = [json.loads(line) for line in lines if line.endswith("\n")]
    worker = next((e["worker"] for e in reversed(entries) if e["worker"]), None)
    figures.orphans += worker is not None and not _ends(worker)
    return entries


def _ends(process_id: int, seconds: float = 10.0) -> bool:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        try:
            os.kill(process_id, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.05)
    return False


def _look(folder: Path, known: list[dict[str, Any]], figures: Figures) -> None:
    """Open the folder as after a restart and look every acknowledged entry up."""
    from sqlalchemy import func, select

    from ferrule.app.keeping import check_folder
    from ferrule.app.workspace import Workspace
    from ferrule.store.tables import Entry, Job, Note, Reading, Recording, Swing

    begun = time.monotonic()
    with Workspace(folder / "data") as ws, ws.reading() as session:
        figures.reopen_s.append(time.monotonic() - begun)
        for entry in known:
            if entry["what"] == "ball":
                swing = session.get(Swing, entry["id"])
                value = session.scalar(select(Reading.value).where(Reading.swing_id == entry["id"]))
                there = swing is not None and (swing.strike, value) == (entry["strike"], entry["value"])
            elif entry["what"] == "note":
                note = session.get(Note, entry["id"])
                there = note is not None and note.text == entry["text"]
            else:
                row = session.get(Recording, entry["id"])
                there = row is not None and row.sha256 == entry["sha256"]
            if not there:
                figures.lost.append(f"{entry['what']} {entry['id']}")
        keys = select(Entry.request_key).where(Entry.request_key.is_not(None))
        figures.twice += (session.scalar(select(func.count()).select_from(keys.subquery())) or 0) - (
            session.scalar(select(func.count()).select_from(keys.distinct().subquery())) or 0
        )
        figures.jobs_interrupted += session.scalar(select(func.count(Job.id)).where(Job.state == "running")) or 0
    figures.problems += check_folder(folder / "data").problems


def _finish(folder: Path, figures: Figures) -> None:
    """After the last kill: the queue is worked off, and every recording has its swing exactly once."""
    from sqlalchemy import func, select

    from ferrule.app.jobs import run_all
    from ferrule.app.keeping import check_folder
    from ferrule.app.workspace import Workspace
    from ferrule.store.tables import Job, Recording, Swing

    with Workspace(folder / "data") as ws:
        run_all(ws)
        with ws.reading() as session:
            figures.jobs_left_running = session.scalar(select(func.count(Job.id)).where(Job.state != "done")) or 0
            figures.jobs_done = session.scalar(select(func.count(Job.id)).where(Job.state == "done")) or 0
            swings = select(func.count(Swing.id)).where(Swing.recording_id == Recording.id).scalar_subquery()
            for name, number in session.execute(select(Recording.file_name, swings)):
                if number != 1:
                    figures.lost.append(f"swing of {name}: {number} instead of 1")
    figures.problems += check_folder(folder / "data").problems


# -- the child --------------------------------------------------------------------------------------------------------


def _child(folder: Path, golfer: int, run: int) -> None:
    from ferrule.app.jobs import JobRunner
    from ferrule.app.lessons import start_lesson
    from ferrule.app.workspace import Workspace

    rows = (folder / "one.csv").read_bytes().splitlines(keepends=True)
    ws = Workspace(folder / "data")
    runner = JobRunner(ws)
    runner.start()
    lesson = start_lesson(ws, golfer, key=f"lesson {run}")
    for entry in _entries(ws, lesson.id, run, rows):
        print(json.dumps({**entry, "worker": runner.process_id}), flush=True)


def _entries(ws: Any, lesson: int, run: int, rows: list[bytes]) -> Iterator[dict[str, Any]]:
    from ferrule.app.lessons import add_note
    from ferrule.app.recordings import import_recording
    from ferrule.app.swings import NewReading, add_swing

    for i in count():
        key = f"{run}/{i}"
        if i % 12 == 5:
            content = b"".join(rows[: len(rows) - 1 - run % 40 - i // 12])  # every file has bytes of its own
            made = import_recording(ws, lesson, content, f"{run}-{i}.csv", mount=f"{run}-{i}", key=key)
            yield {"what": "recording", "id": made.id, "sha256": made.sha256}
        elif i % 3 == 2:
            note = add_note(ws, lesson, f"note {key}", key=key)
            yield {"what": "note", "id": note.id, "text": note.text}
        else:
            value, strike = i % 9 - 4.0, ("toe", "heel", "centre")[i % 3]
            ball = add_swing(
                ws, lesson, readings=[NewReading("delivery.face_deg", value)], start="push", bend="left", strike=strike,
                key=key,
            )  # fmt: skip
            yield {"what": "ball", "id": ball.id, "value": value, "strike": strike}


def report(data: Path | None = None, kills: int = 50) -> str:
    """The figures as Markdown."""
    del data
    with tempfile.TemporaryDirectory() as folder:
        figures = run_kills(Path(folder), kills)
    return "\n".join(
        [
            f"{figures.kills} processes were killed with `kill -9` while they typed and imported, all on one data folder.",
            "",
            "| what | figure |",
            "| --- | --- |",
            f"| entries acknowledged before a kill | {figures.acknowledged} |",
            f"| of them recordings | {figures.recordings} |",
            f"| acknowledged entries lost | {len(figures.lost)} |",
            f"| entries made twice | {figures.twice} |",
            f"| problems found by `check` after any kill | {len(figures.problems)} |",
            f"| analyses interrupted by a kill | {figures.jobs_interrupted} |",
            f"| analyses done in the end / left over | {figures.jobs_done} / {figures.jobs_left_running} |",
            f"| job processes that outlived their server by 10 s | {figures.orphans} |",
            f"| reopening after a kill, median and worst | {median(figures.reopen_s):.2f} s, {max(figures.reopen_s):.2f} s |",
            "",
            "A kill does not try the disk's own cache: for that, `synchronous=FULL` and full fsync are set, and a test reads",
            "them back.",
        ]
    )


if __name__ == "__main__":
    if sys.argv[1:2] == ["child"]:
        _child(Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4]))
    else:
        print(report(kills=int(sys.argv[1]) if len(sys.argv) > 1 else 50))
