"""The lead arm through one swing: orientations and rates of forearm and hand on one clock, in the target frame."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.signals.prefix import quaternions_from_rotation_vectors, row_product

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False, slots=True)
class ArmTrack:
    """Forearm and hand of a right-handed golfer's lead (left) arm.

    time_s: shape (n,). forearm, hand: segment to one common world (Y up), n rotations. forearm_rate, hand_rate: angular
    velocity in that world, rad/s, shape (n, 3).
    """

    time_s: Floats
    forearm: Rotation
    hand: Rotation
    forearm_rate: Floats
    hand_rate: Floats

    def __len__(self) -> int:
        return len(self.time_s)

    @property
    def forearm_axis(self) -> Floats:
        """Forearm long axis (Y, proximal) in the world, shape (n, 3)."""
        return np.asarray(self.forearm.as_matrix()[:, :, 1])

    def part(self, low: int, high: int) -> "ArmTrack":
        """Samples low to high (exclusive)."""
        return ArmTrack(
            self.time_s[low:high],
            self.forearm[low:high],
            self.hand[low:high],
            self.forearm_rate[low:high],
            self.hand_rate[low:high],
        )


def ended_at(track: ArmTrack, last_clean: int, time_s: float, fit_samples: int = 9) -> ArmTrack:
    """The track up to sample `last_clean` with one more sample at `time_s`, extrapolated from the samples before.

    Samples after an impact ring and are not read: rates go on along their straight-line fit over the last
    `fit_samples`, orientations by the mean of the rate at both ends.
    """
    low = max(0, last_clean + 1 - fit_samples)
    base = track.time_s[last_clean]
    step = time_s - base
    if step <= 0.0:
        return track.part(0, last_clean + 1)
    clock = track.time_s[low : last_clean + 1]
    apart = clock - clock.mean()
    share = apart / max(float(apart @ apart), 1e-30)
    rates, turned = [], []
    for rate, orientation in ((track.forearm_rate, track.forearm), (track.hand_rate, track.hand)):
        before = rate[low : last_clean + 1]
        slope = share @ before if len(before) > 2 else np.zeros(3)
        now = before[-1] + slope * step
        rates.append(np.concatenate((rate[: last_clean + 1], now[None])))
        rows = orientation.as_quat()[: last_clean + 1]
        end = row_product(quaternions_from_rotation_vectors(0.5 * step * (before[-1:] + now).T).T, rows[-1])
        turned.append(Rotation.from_quat(np.concatenate((rows, end))))
    return ArmTrack(np.append(track.time_s[: last_clean + 1], time_s), turned[0], turned[1], rates[0], rates[1])
