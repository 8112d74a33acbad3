"""A process killed with -9 while it types and imports loses nothing that it had acknowledged (50 kills: the report)."""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

SCRIPT = Path(__file__).parents[2] / "scripts" / "validation" / "store.py"


@pytest.fixture
def kill_test() -> ModuleType:
    spec = importlib.util.spec_from_file_location("validation_store", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["validation_store"] = module
    spec.loader.exec_module(module)
    return module


@pytest.mark.slow
def test_nothing_acknowledged_is_lost(kill_test: ModuleType, tmp_path: Path) -> None:
    figures = kill_test.run_kills(tmp_path, kills=2, seed=7)
    assert figures.kills == 2
    assert figures.acknowledged > 16
    assert figures.recordings >= 2
    assert figures.lost == []
    assert figures.problems == []
    assert (figures.twice, figures.orphans, figures.jobs_left_running) == (0, 0, 0)


def test_the_kill_test_can_fail(kill_test: ModuleType, tmp_path: Path) -> None:
    """An entry that was never made is reported as lost: the test above is able to see a loss."""
    kill_test._prepare(tmp_path)
    figures = kill_test.Figures()
    kill_test._look(tmp_path, [{"what": "note", "id": 1, "text": "never written"}], figures)
    assert figures.lost == ["note 1"]
