"""Sensors that come off and go on again, and sensors that slip: what may be compared, and what moved.

A calibration fixes a sensor's axes to a few degrees, and that error stays as long as the sensor does. Within one mount it
falls out of every comparison. Across mounts it falls out only of what is measured from the same swing's address, and
leaves there what the reading's own sd says; of an absolute angle nothing can be claimed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from ferrule.errors import Issue
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

Floats = NDArray[np.float64]
Verdict = Literal["no_change", "changed", "too_few", "refused"]

MOUNT_FREE: Final = (
    "flexion_change",
    "ulnar_deviation_change",
    "forearm_roll",
    "face",
    "delivered_loft",
)
"""Quantities measured from the same swing's address: comparable across mounts."""
ABSOLUTE: Final = ("flexion", "ulnar_deviation", "edge_tilt")
"""Quantities that hold the calibration's error: comparable within one mount only."""
SURE: Final = 0.95
"""How sure a change must be."""
ADDRESS_STEP: Final = 6.0 * DEG
"""Change of one sensor's tilt at address, with the other's unmoved, that is worth telling (common practice)."""


@dataclass(frozen=True, slots=True)
class MountedReadings:
    """Readings of one quantity in several swings with one mount, radians, each with the sd of its own analysis."""

    mount: str
    readings: tuple[Estimate, ...]


@dataclass(frozen=True, slots=True)
class MountComparison:
    """verdict; change: after less before, radians, with its sd, None when nothing may be said; needed: the least size of
    a change that would have been told, radians; words: for the coach.
    """

    verdict: Verdict
    change: Estimate | None
    needed: float | None
    words: str


def compare_mounts(quantity: str, before: MountedReadings, after: MountedReadings) -> MountComparison:
    """Whether a quantity changed between two sets of swings, and whether that may be asked.

    quantity: one of `MOUNT_FREE` or `ABSOLUTE`. Within one mount only the scatter from swing to swing counts. Across
    mounts the sd of the readings is added for each of them: it is mostly calibration, and all swings of a mount share it.
    Raises ValueError for an unknown quantity.
    """
    if quantity not in (*MOUNT_FREE, *ABSOLUTE):
        raise ValueError(f"not a quantity that is compared: {quantity}")
    across = before.mount != after.mount
    if across and quantity in ABSOLUTE:
        return MountComparison(
            "refused",
            None,
            None,
            "The sensors were taken off in between: absolute angles of the two cannot be compared. Compare the change"
            " since address.",
        )
    if min(len(before.readings), len(after.readings)) < 2:
        return MountComparison("too_few", None, None, "At least two swings on each side are needed to compare.")
    sides = [_mean(side.readings, across) for side in (before, after)]
    difference = sides[1][0] - sides[0][0]
    difference = float((difference + np.pi) % (2.0 * np.pi) - np.pi)
    variance = sum(scatter + shared for _, scatter, shared, _ in sides)
    # Welch's degrees of freedom: only the scatter was estimated from the swings themselves
    uncertain = sum(scatter**2 / (count - 1) for _, scatter, _, count in sides)
    freedom = max(variance**2 / uncertain, 1.0) if uncertain > 0.0 else 1e6
    sd = float(np.sqrt(variance))
    needed = float(stdtrit(min(freedom, 1e6), 0.5 + 0.5 * SURE)) * sd
    between = " across a new mounting of the sensors" if across else ""
    if abs(difference) <= needed:
        words = f"No change{between}: {abs(difference) / DEG:.1f} degrees apart, {needed / DEG:.1f} would be needed."
        return MountComparison("no_change", Estimate(difference, sd), needed, words)
    words = (
        f"Changed by {difference / DEG:+.1f} degrees{between}, more than the {needed / DEG:.1f} that doubt explains."
    )
    return MountComparison("changed", Estimate(difference, sd), needed, words)


def _mean(readings: Sequence[Estimate], across: bool) -> tuple[float, float, float, int]:
    """Mean round the circle, variance of the mean by scatter, variance that all readings of the mount share, count."""
    values = np.array([r.value for r in readings])
    middle = float(np.angle(np.exp(1j * values).mean()))
    apart = (values - middle + np.pi) % (2.0 * np.pi) - np.pi
    count = len(values)
    middle += float(apart.mean())
    scatter = float(apart.var(ddof=1) / count)
    shared = float(np.mean([r.sd**2 for r in readings])) if across else 0.0
    return middle, scatter, shared, count


@dataclass(frozen=True, eq=False, slots=True)
class AddressGravity:
    """Reading of gravity at one address in the axes of each sensor, any unit, shape (3,)."""

    forearm: Floats
    hand: Floats


@dataclass(frozen=True, slots=True)
class Slip:
    """sensor: which; after: number of the last swing before it, None between two recordings; angle: by how much its tilt
    at address moved, radians.
    """

    sensor: Literal["forearm", "hand"]
    after: int | None
    angle: float

    @property
    def issue(self) -> Issue:
        """What to tell the coach."""
        other = "hand" if self.sensor == "forearm" else "forearm"
        where = "from one recording to the next" if self.after is None else f"after swing {self.after}"
        return Issue(
            "sensor_slipped",
            "warning",
            self.sensor,
            f"{self.sensor}: expected the same tilt at every address, got a step of {self.angle / DEG:.0f} degrees {where},"
            f" while the {other}'s stayed. Likely cause: the sensor slipped, or the golfer now sets the wrist differently."
            " Repeat the flat hand; if it differs, calibrate again: this is a new mounting.",
        )


def find_slip(addresses: Sequence[AddressGravity], numbers: Sequence[int]) -> Slip | None:
    """The clearest slip of a sensor between two addresses of one mount, or None.

    addresses: in order of time; numbers: of the swings. A step counts when every later address lies `ADDRESS_STEP` from
    the middle of all earlier ones in one sensor and less than half as far in the other: a new stance moves both. A turn
    about the vertical leaves no trace in gravity and is not seen.
    """
    slips = [
        slip
        for k in range(1, len(numbers))
        if (slip := _slip(addresses[:k], addresses[k:], numbers[k - 1])) is not None
    ]
    return max(slips, key=lambda slip: slip.angle, default=None)


def slip_between(before: Sequence[AddressGravity], after: Sequence[AddressGravity]) -> Slip | None:
    """A slip of a sensor between two recordings of one mount, by their addresses, or None; the rule is `find_slip`'s."""
    return _slip(before, after, None) if before and after else None


def _slip(before: Sequence[AddressGravity], after: Sequence[AddressGravity], number: int | None) -> Slip | None:
    forearm, hand = (
        _step(*(np.stack([getattr(address, name) for address in some]) for some in (before, after)))
        for name in ("forearm", "hand")
    )
    if forearm[0] > ADDRESS_STEP and hand[1] < 0.5 * forearm[1]:
        return Slip("forearm", number, forearm[1])
    if hand[0] > ADDRESS_STEP and forearm[1] < 0.5 * hand[1]:
        return Slip("hand", number, hand[1])
    return None


def _step(before: Floats, after: Floats) -> tuple[float, float]:
    """Least angle of the later readings from the middle of the earlier, and the angle between both middles."""
    old, new = (up / np.linalg.norm(up, axis=1, keepdims=True) for up in (before, after))
    early, late = old.mean(axis=0), new.mean(axis=0)
    early, late = early / np.linalg.norm(early), late / np.linalg.norm(late)
    angles = np.arccos(np.clip(new @ early, -1.0, 1.0))
    return float(angles.min()), float(np.arccos(np.clip(early @ late, -1.0, 1.0)))
