"""Files over HTTP and from the shell: tables and pictures, made without asking another machine."""

import struct
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from ferrule.app import golfers, lessons, swings
from ferrule.app.swings import NewReading
from ferrule.app.workspace import Workspace
from ferrule.cli import app
from ferrule.errors import NotFoundError
from ferrule.web.drawings import CASE, case_drawings, drawing_file, swing_drawings


def some(ws: Workspace, name: str) -> tuple[int, int, int]:
    golfer = golfers.add_golfer(ws, name=name, handedness="right")
    lesson = lessons.start_lesson(ws, golfer.id)
    for _ in range(3):
        readings = [
            NewReading("wrist.impact.flexion_deg", -10.0),
            NewReading("delivery.face_deg", 4.0, how="ball"),
            NewReading("leading_edge_tilt_shaft_level_deg", 12.0),
        ]
        swing = swings.add_swing(ws, lesson.id, start="push", bend="right", readings=readings)
    return golfer.id, lesson.id, swing.id


def size_of(png: bytes) -> tuple[int, int]:
    assert png.startswith(b"\x89PNG\r\n\x1a\n")
    wide, high = struct.unpack(">II", png[16:24])
    return wide, high


def test_over_http(workspace: Any, ask: Any) -> None:
    golfer, lesson, swing = some(workspace, "Zoë <b>Ö")
    for where, start in (
        (f"golfers/{golfer}/readings.csv", b"\xef\xbb\xbfgolfer_id,"),
        (f"lessons/{lesson}/readings.csv", b"\xef\xbb\xbfgolfer_id,"),
        (f"golfers/{golfer}/readings.parquet", b"PAR1"),
    ):
        answer = ask("GET", f"/api/v1/{where}")
        assert answer.status_code == 200, where
        assert answer.content.startswith(start)
        assert answer.headers["content-disposition"].isascii()
    assert ask("GET", f"/api/v1/golfers/{golfer}/readings.xlsx").status_code == 422
    assert ask("GET", "/api/v1/golfers/9999/readings.csv").status_code == 404
    for about in (f"golfers/{golfer}", f"swings/{swing}"):
        names = ask("GET", f"/api/v1/{about}/pictures").json()
        assert len(names) >= 2
        for name in names:
            svg = ask("GET", f"/api/v1/{about}/pictures/{name}.svg")
            assert svg.content.startswith(b"<svg")
            assert b"var(--" not in svg.content
            assert b"http" not in svg.content.replace(b"http://www.w3.org/2000/svg", b"")
            assert size_of(ask("GET", f"/api/v1/{about}/pictures/{name}.png").content)[0] == pytest.approx(1600, abs=2)
    assert ask("GET", f"/api/v1/golfers/{golfer}/pictures/moon.svg").status_code == 404
    html = ask("GET", f"/golfers/{golfer}/export")
    assert html.status_code == 200


def test_every_picture_of_a_case_has_its_words(workspace: Any) -> None:
    golfer, _, swing = some(workspace, "Ida")
    drawings = case_drawings(workspace, golfer)
    assert set(drawings) == set(CASE)
    assert {"shaft-level", "impact"} <= set(swing_drawings(workspace, swing))
    nobody = golfers.add_golfer(workspace, name="New", handedness="left")
    assert case_drawings(workspace, nobody.id) == {}
    with pytest.raises(NotFoundError, match="none yet"):
        drawing_file({}, "flight", "png")


def test_from_the_shell(tmp_path: Path) -> None:
    with Workspace(tmp_path / "data") as ws:
        some(ws, "Ines Halvorsen")
        other = lessons.start_lesson(ws, golfers.add_golfer(ws, name="Tom", handedness="right").id)
    runner = CliRunner()
    words = ["export", "--folder", str(tmp_path / "data"), "--golfer", "ines halvorsen", "--out", str(tmp_path / "out")]
    done = runner.invoke(app, [*words, "--form", "both"])
    assert done.exit_code == 0, done.output
    made = {p.name for p in (tmp_path / "out").iterdir()}
    assert {"readings-ines-halvorsen.csv", "readings-ines-halvorsen.parquet", "flight-ines-halvorsen.png"} <= made
    assert all(name in done.stdout for name in made)
    wrong = runner.invoke(app, [*words, "--lesson", str(other.id)])
    assert (wrong.exit_code, "has no lesson" in wrong.stderr) == (4, True)
    assert runner.invoke(app, [*words, "--form", "xlsx"]).exit_code == 2
