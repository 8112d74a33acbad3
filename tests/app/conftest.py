"""An open data folder with a golfer and a lesson."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from ferrule.app.golfers import add_golfer
from ferrule.app.lessons import start_lesson
from ferrule.app.views import GolferView, LessonView
from ferrule.app.workspace import Workspace


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
