"""The store at the size of a busy coach: 300 golfers, 20,000 swings, and one commit with everything on the disk.

Run with `pytest bench/bench_store.py`. Targets: a page's data in 150 ms, a typed ball acknowledged in 100 ms, backup aside.
"""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from sqlalchemy import insert

from ferrule.app import cases, golfers, lessons, swings
from ferrule.app.swing_rows import NewReading
from ferrule.app.workspace import Workspace
from ferrule.store.backup import check, copy_database
from ferrule.store.codec import pack_arrays, pack_bytes, unpack_arrays
from ferrule.store.tables import BallFlight, Club, Golfer, Lesson, Reading, Swing

GOLFERS, LESSONS_EACH, SWINGS_EACH = 300, 2, 34
KEYS = ("wrist.top.flexion_deg", "wrist.impact.flexion_deg", "delivery.face_deg")
BEGUN = datetime(2026, 1, 5, 9, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def busy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workspace]:
    with Workspace(tmp_path_factory.mktemp("busy") / "data") as ws:
        fill(ws)
        yield ws


def fill(ws: Workspace) -> None:
    rng = np.random.default_rng(1)
    rows: dict[Any, list[dict[str, Any]]] = {t: [] for t in (Golfer, Club, Lesson, Swing, Reading, BallFlight)}
    for g in range(1, GOLFERS + 1):
        rows[Golfer].append({"id": g, "name": f"Golfer {g}", "handedness": "right", "age_group": "adult", "goal": "",
                             "next_event": "", "told_before": "", "pain": [], "carer_name": "", "added_at": BEGUN})  # fmt: skip
        rows[Club].append({"id": g, "golfer_id": g, "name": "7-iron", "is_current": True})
        for n in range(LESSONS_EACH):
            lesson = (g - 1) * LESSONS_EACH + n + 1
            at = BEGUN + timedelta(days=n * 20, minutes=g)
            rows[Lesson].append(
                {"id": lesson, "golfer_id": g, "started_at": at, "place": "", "at_hand": ["eye"], "version": 1}
            )
            for k in range(1, SWINGS_EACH + 1):
                swing = (lesson - 1) * SWINGS_EACH + k
                rows[Swing].append(
                    {"id": swing, "lesson_id": lesson, "club_id": g, "number": k, "made_at": at, "set_aside_why": ""}
                )
                rows[BallFlight].append(
                    {"swing_id": swing, "start": "push", "bend": "right", "bends_much": False, "seen_at": at}
                )
                rows[Reading] += [{"swing_id": swing, "key": key, "value": float(v), "how": "typed", "read_at": at}
                                  for key, v in zip(KEYS, rng.normal(0, 5, 3), strict=True)]  # fmt: skip
    with ws.change("fill", in_book=False) as change:
        for table, values in rows.items():
            change.session.execute(insert(table), values)


def test_there_are_as_many_as_asked(busy: Workspace) -> None:
    report = check(busy.folder.path)
    assert report.golfers == 300
    assert report.swings >= 20_000


def test_list_of_golfers(busy: Workspace, benchmark: Any) -> None:
    assert len(benchmark(golfers.golfers, busy)) == GOLFERS
    assert benchmark.stats.stats.median < 0.15


def test_one_lesson_in_full(busy: Workspace, benchmark: Any) -> None:
    assert len(benchmark(lessons.lesson, busy, 311).swings) == SWINGS_EACH
    assert benchmark.stats.stats.median < 0.15


def test_case_from_rows(busy: Workspace, benchmark: Any) -> None:
    assert len(benchmark(cases.case_of, busy, 150).swings) == SWINGS_EACH
    assert benchmark.stats.stats.median < 0.15


def test_a_typed_ball_on_the_disk(busy: Workspace, benchmark: Any) -> None:
    readings = [NewReading(k, 1.0) for k in KEYS]
    benchmark.pedantic(
        lambda: swings.add_swing(busy, 5, readings=readings, start="pull", bend="left"), rounds=30, warmup_rounds=3
    )
    assert benchmark.stats.stats.median < 0.1


def test_backup_of_it_all(busy: Workspace, benchmark: Any, tmp_path: Path) -> None:
    targets = iter(tmp_path / f"copy {i}" for i in range(10))
    benchmark.pedantic(lambda: copy_database(busy.folder.database, next(targets)), rounds=3)


def test_packing_a_recording(benchmark: Any) -> None:
    """Six seconds, 1 kHz, 14 channels: shuffled arrays against text."""
    rng = np.random.default_rng(1)
    t = np.arange(0.0, 6.0, 1e-3)
    signals = np.stack([np.sin((1 + k) * t) + 0.05 * rng.standard_normal(t.size) for k in range(14)], axis=1)
    arrays = {"signals": signals.astype(np.float32)}
    text = "\n".join(",".join(f"{v:.10g}" for v in row) for row in signals.tolist()).encode()
    packed = benchmark(pack_arrays, arrays)
    benchmark.extra_info |= {"packed_kB": len(packed) // 1000, "csv_kB": len(text) // 1000,
                             "csv_packed_kB": len(pack_bytes(text)[1]) // 1000}  # fmt: skip
    np.testing.assert_array_equal(unpack_arrays(packed)["signals"], arrays["signals"])
    assert len(packed) < 0.8 * arrays["signals"].nbytes
