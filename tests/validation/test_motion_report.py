"""The report on real motion without its data, and its measures on motion whose answer is known."""

import importlib
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

FOLDER = Path(__file__).parents[2] / "scripts" / "validation"


@pytest.fixture
def motion(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.syspath_prepend(str(FOLDER))
    return importlib.import_module("motion")


def test_without_data_the_report_says_so(motion: ModuleType, tmp_path: Path) -> None:
    for data in (None, tmp_path):
        text = motion.report(data)
        assert text.count("### ") == 6
        assert text.count("nothing was measured") == 6


def test_error_after_the_constant_fit_is_what_was_put_in(motion: ModuleType) -> None:
    rng = np.random.default_rng(2)
    t = np.linspace(0.0, 20.0, 600)
    forearm = Rotation.from_euler("ZYX", np.column_stack([np.sin(t), 0.7 * np.sin(1.7 * t), 0.5 * np.cos(0.6 * t)]))
    hand = forearm * Rotation.from_euler("YX", np.column_stack([0.8 * np.sin(1.1 * t), 0.6 * np.cos(0.9 * t)]))
    mountings = Rotation.random(2, rng=rng)
    heading = Rotation.from_euler("Z", 1.0)
    noise = Rotation.from_rotvec(np.radians(1.0) * rng.standard_normal((t.size, 3)))
    seen_forearm, seen_hand = forearm * mountings[0], heading * hand * noise * mountings[1]
    truth = forearm.inv() * hand
    error = motion._mounted_error(seen_forearm, seen_hand, truth)
    assert np.sqrt(np.mean(error**2)) == pytest.approx(np.sqrt(3.0), rel=0.12)


def test_drift_in_windows_is_what_was_put_in(motion: ModuleType) -> None:
    segments = importlib.import_module("_segments")
    t = np.arange(0.0, 12.0, 0.01)
    turn = Rotation.from_rotvec(np.column_stack([np.sin(2.0 * t), np.cos(1.3 * t), 0.5 * np.sin(t)]))
    rate = segments._truth_rate(t, turn)
    rate[[0, -1]] = rate[[1, -2]]
    still = Rotation.from_quat(np.tile([0.0, 0.0, 0.0, 1.0], (t.size, 1)))
    good = np.ones(t.size, dtype=bool)
    drifting = np.radians([0.0, 0.0, 1.0])
    parent = segments.Tracked(t, still, np.zeros((t.size, 3)), good, Rotation.identity())
    child = segments.Tracked(t, turn, rate + drifting, good, Rotation.identity())
    errors = segments._window_errors(parent, child, 3.0)
    assert errors.size >= 3
    # One degree a second for 3 s is sqrt(3) deg RMS at most; the moving axis makes it a little less.
    assert 1.0 < np.median(errors) < 1.9


def test_a_delay_against_the_cameras_is_what_was_put_in(motion: ModuleType) -> None:
    segments = importlib.import_module("_segments")
    t = np.arange(0.0, 12.0, 0.01)
    turn = Rotation.from_rotvec(np.column_stack([np.sin(2.0 * t), np.cos(1.3 * t), 0.5 * np.sin(t)]))
    rate = segments._truth_rate(t, turn)
    rate[[0, -1]] = rate[[1, -2]]
    mounting = Rotation.from_rotvec([0.3, -0.2, 0.5])
    late = np.stack([np.interp(t - 0.012, t, c) for c in mounting.inv().apply(rate).T], axis=1)
    good = np.ones(t.size, dtype=bool)
    punctual, found = segments._on_time(segments.Tracked(t, turn, late, good, mounting))
    assert found == pytest.approx(0.012, abs=0.001)
    assert np.degrees((punctual.mounting.inv() * mounting).magnitude()) < 0.2
