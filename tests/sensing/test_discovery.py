"""The calibration protocol found by the motion alone, against the labels of the same recording."""

from dataclasses import replace

import numpy as np
import pytest

from ferrule.sensing.discovery import found_protocol
from ferrule.sensing.protocol import labelled_protocol
from ferrule.simulator.lesson import simulate_lesson
from ferrule.simulator.plans import CalibrationPlan


@pytest.mark.parametrize("seed", [21, 22, 23])
def test_parts_lie_where_the_labels_are(seed: int) -> None:
    recording = simulate_lesson(seed=seed, swings=[]).recording
    labelled = labelled_protocol(recording).parts
    found = found_protocol(replace(recording, phase=None)).parts
    assert set(found) == set(labelled)
    for name, part in found.items():
        shared = min(part.high, labelled[name].high) - max(part.low, labelled[name].low)
        assert shared > 0.6 * (labelled[name].high - labelled[name].low), name


def test_without_the_movements_there_is_no_protocol() -> None:
    recording = simulate_lesson(seed=21, calibration=CalibrationPlan.none()).recording
    assert found_protocol(recording).parts == {}


def test_a_short_recording_has_none() -> None:
    recording = simulate_lesson(seed=21, swings=[]).recording
    few = slice(0, 500)
    short = replace(
        recording,
        time_s=recording.time_s[few],
        forearm=replace(recording.forearm, acc=recording.forearm.acc[few], gyr=recording.forearm.gyr[few]),
        hand=replace(recording.hand, acc=recording.hand.acc[few], gyr=recording.hand.gyr[few]),
        phase=None,
    )
    assert found_protocol(short).parts == {}
    assert labelled_protocol(short).parts == {}


def test_covered_spans_from_the_first_part_to_the_last() -> None:
    recording = simulate_lesson(seed=21).recording
    protocol = labelled_protocol(recording)
    covered = protocol.covered(len(recording.time_s))
    edges = np.flatnonzero(np.diff(covered.astype(np.int8)))
    assert len(edges) == 2
    assert protocol.get("table_rest") is not None
    assert not covered[-1]
