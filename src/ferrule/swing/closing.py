"""The closing account: how the face turned about the shaft between two events, split by joint.

The club turns with the hand; the hand's angular velocity is the forearm's plus the wrist's joint rates times their
momentary axes (axial first). Each part's component along the shaft (grip to head; closing is -w . s) is integrated on
its own: flexion, deviation and the axial residue from the wrist angles, forearm roll and the rest of arm and body from
the forearm's rate, the total from the hand's rate. They must agree; what is left is reported. The account depends on
the path taken: it tells how the face closed, and is never a share of the face error.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.frames.wrist import WristAngles, wrist_angles
from ferrule.signals.derivative import dots, place_of, running_integral, unwrapped
from ferrule.swing.track import ArmTrack

Floats = NDArray[np.float64]

PARTS: Final = ("flexion", "deviation", "wrist_axial", "forearm_roll", "arm_and_body")
"""Parts of the account in the order in which they are told."""


@dataclass(frozen=True, eq=False, slots=True)
class ClosingRecord:
    """Running closing about the shaft since the first sample, radians, + closes.

    time_s: shape (n,); parts: name to shape (n,); total: from the hand's rate alone, shape (n,).
    """

    time_s: Floats
    parts: dict[str, Floats]
    total: Floats

    def between(self, start_s: float, end_s: float) -> dict[str, float]:
        """Closing of every part, of the `total`, and the `residual` (total less the sum of the parts)."""
        (first, early), (last, late) = (place_of(self.time_s, when) for when in (start_s, end_s))

        def closed(running: Floats) -> float:
            before, after = running[first], running[last]
            return float(after + late * (running[last + 1] - after) - before - early * (running[first + 1] - before))

        out = {name: closed(running) for name, running in self.parts.items()}
        out["total"] = closed(self.total)
        out["residual"] = out["total"] - sum(out[name] for name in self.parts)
        return out


def closing_record(track: ArmTrack, shaft: Floats, wrist: WristAngles | None = None) -> ClosingRecord:
    """Work out the account. shaft: direction grip to head in the track's world, shape (n, 3); wrist: angles of the left
    wrist, axial first, where they are known already.
    """
    t = track.time_s
    y_forearm = track.forearm_axis
    roll_rate = dots(track.forearm_rate, y_forearm)
    along = dots(y_forearm, shaft)
    rest = -dots(track.forearm_rate, shaft) + roll_rate * along
    wrist = wrist or wrist_angles(track.forearm, track.hand, side="left")
    # axial, flexion and deviation as they turn in space: a left arm's own are not mirrored
    axial, flexion, deviation = unwrapped(-wrist.axial), unwrapped(wrist.flexion), unwrapped(-wrist.ulnar_deviation)
    turned = track.forearm.as_matrix()
    flexion_axis = np.sin(axial)[:, None] * turned[:, :, 0] + np.cos(axial)[:, None] * turned[:, :, 2]
    deviation_axis = track.hand.as_matrix()[:, :, 0]

    def swept(angle: Floats, axis: Floats) -> Floats:
        lever = -dots(axis, shaft)
        out = np.zeros_like(angle)
        np.cumsum(0.5 * (lever[1:] + lever[:-1]) * (angle[1:] - angle[:-1]), out=out[1:])
        return out

    parts = {
        "flexion": swept(flexion, flexion_axis),
        "deviation": swept(deviation, deviation_axis),
        "wrist_axial": swept(axial, y_forearm),
        "forearm_roll": running_integral(t, -roll_rate * along),
        "arm_and_body": running_integral(t, rest),
    }
    total = running_integral(t, -dots(track.hand_rate, shaft))
    return ClosingRecord(t, parts, total)
