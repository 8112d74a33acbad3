"""An open data folder with a golfer and a lesson."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from ferrule.app.golfers import add_golfer
from ferrule.app.lessons import start_lesson
from ferrule.app.views import GolferView, LessonView
from ferrule.app.workspace import Workspace


@pytest.fixture
def ws(tmp_path: Path) -> Iterator[Workspace]:
    with Workspace(tmp_path / "data") as ws:
        yield ws


@pytest.fixture
def golfer(ws: Workspace) -> GolferView:
    return add_golfer(ws, name="Ida Holm", handedness="right")


@pytest.fixture
def lesson(ws: Workspace, golfer: GolferView) -> LessonView:
    return start_lesson(ws, golfer.id, place="Mat 4")
