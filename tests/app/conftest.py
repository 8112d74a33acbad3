"""An open data folder with a golfer and a lesson."""

import shutil
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from ferrule.app.golfers import add_golfer
from ferrule.app.lessons import start_lesson
from ferrule.app.views import GolferView, LessonView
from ferrule.app.workspace import Workspace
from ferrule.files.native import write_recording_csv
from ferrule.simulator.lesson import simulate_lesson
from ferrule.simulator.plans import CalibrationPlan, SwingPlan

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(scope="session")
def new_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder in which nothing has happened yet, made once and copied for each test."""
    folder = tmp_path_factory.mktemp("new") / "data"
    Workspace(folder).close()
    return folder


@pytest.fixture
def ws(new_folder: Path, tmp_path: Path) -> Iterator[Workspace]:
    shutil.copytree(new_folder, tmp_path / "data")
    with Workspace(tmp_path / "data") as ws:
        yield ws


@pytest.fixture
def golfer(ws: Workspace) -> GolferView:
    return add_golfer(ws, name="Ida Holm", handedness="right")


@pytest.fixture
def lesson(ws: Workspace, golfer: GolferView) -> LessonView:
    return start_lesson(ws, golfer.id, place="Mat 4")


@pytest.fixture(scope="session")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """A simulated lesson of one ball in two files: calibration, and the swing."""
    folder = tmp_path_factory.mktemp("files")
    lesson = simulate_lesson(seed=4, swings=[SwingPlan()], calibration=replace(CalibrationPlan.usual(), separate=True))
    assert lesson.calibration is not None
    write_recording_csv(lesson.recording, folder / "swing.csv")
    write_recording_csv(lesson.calibration, folder / "calibration.csv")
    write_recording_csv(simulate_lesson(seed=4).recording, folder / "both.csv")
    return {p.stem: p.read_bytes() for p in folder.iterdir()}
