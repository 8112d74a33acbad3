"""The calibration poses: each segment is off by its own errors and not by the other's."""

import numpy as np
import pytest

from ferrule.simulator.arm import ArmMotion, Score
from ferrule.simulator.calibrating import held_out


@pytest.mark.parametrize("which", range(6))
def test_each_segment_is_off_by_its_own_error(which: int) -> None:
    small = 0.01

    def turned(errors: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        motion = ArmMotion(Score.at(held_out(errors, 0.0)).curves())
        forearm = motion.forearm(np.array([0.0, 0.1]))
        hand = motion.hand_on(forearm, np.array([0.0, 0.1]))
        return forearm.rotation[0], hand.rotation[0]

    straight, off = turned(np.zeros(6)), turned(small * np.eye(6)[which])
    by = [(now * before.inv()).as_rotvec() for now, before in zip(off, straight, strict=True)]
    # pitch about Z (to the right), roll about -X, heading about Y
    axis = np.array([[0.0, 0.0, 1.0], [-1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])[which % 3]
    assert by[which // 3] == pytest.approx(small * axis, abs=2e-4)
    assert by[1 - which // 3] == pytest.approx(np.zeros(3), abs=2e-4)
