"""Finding the calibration protocol in a recording without labels, from the motion itself.

Turning the forearm moves both sensors together about one axis; bending the wrist with the forearm held moves the hand
alone about one axis. Both go on for seconds. The still poses around them follow from their order and from gravity.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.sensing.calibration import main_axis
from ferrule.sensing.protocol import Protocol
from ferrule.sensing.recording import Phase, Recording
from ferrule.sensing.stillness import Still, runs, still_windows
from ferrule.signals.derivative import smoothed, usual_step
from ferrule.units import DEG

Floats = NDArray[np.float64]

BLOCK: Final = 0.5
"""Length of the pieces that are judged one by one, s."""
SHORTEST: Final = 4.0
"""A calibration movement goes on for at least this long, s (asked for: 8)."""
RATES: Final = (0.5, 9.0)
"""Root-mean-square rate of a calibration movement, rad/s."""
ONE_AXIS: Final = 0.9
"""Share of the motion about one axis that makes it a calibration movement."""
NEAR: Final = 8.0
"""Poses lie within this time of their movement, s."""
ALIKE: Final = 25.0 * DEG
"""Two poses are alike when gravity points the same way in each sensor within this angle."""
HOLD: Final = 1.0
"""A pose is held for at least this long, s."""


def found_protocol(recording: Recording) -> Protocol:
    """The protocol's parts as the motion shows them; empty when the two movements are not there in order."""
    t = recording.time_s
    step = usual_step(t)
    block = max(round(BLOCK / step), 4)
    count = len(t) // block
    if count < 2 * SHORTEST / BLOCK:
        return Protocol()
    turning = np.zeros(count, dtype=np.bool_)
    bending = np.zeros(count, dtype=np.bool_)
    middle_f, middle_h = (np.median(s.gyr, axis=0) for s in (recording.forearm, recording.hand))
    for i in range(count):
        part = slice(i * block, (i + 1) * block)
        f, h = recording.forearm.gyr[part] - middle_f, recording.hand.gyr[part] - middle_h
        rms_f, rms_h = (float(np.sqrt(np.mean(np.sum(x * x, axis=1)))) for x in (f, h))
        if RATES[0] < rms_f < RATES[1] and 0.7 < rms_h / rms_f < 1.6:
            turning[i] = main_axis(f)[1] > ONE_AXIS and main_axis(h)[1] > ONE_AXIS
        if RATES[0] < rms_h < RATES[1] and rms_h > 3.0 * rms_f:
            bending[i] = main_axis(h)[1] > ONE_AXIS
    turned, bent = (_longest(m, block, t) for m in (turning, bending))
    if turned is None or bent is None or bent.low < turned.high:
        return Protocol()
    parts: dict[Phase, Still] = {"forearm_rotation": turned, "flexion_extension": bent}
    parts.update(_poses(recording, turned, bent))
    return Protocol(parts)


def _longest(mask: NDArray[np.bool_], block: int, t: Floats) -> Still | None:
    """Longest run of blocks, one block at its ends left out (the movement swells and fades there)."""
    found = runs(mask)
    if not found:
        return None
    low, high = max(found, key=lambda run: run[1] - run[0])
    out = Still(low * block, high * block)
    return out if t[out.high - 1] - t[out.low] >= SHORTEST else None


def _poses(recording: Recording, turned: Still, bent: Still) -> dict[Phase, Still]:
    t = recording.time_s
    zero = np.zeros(3)
    # biases are not known yet: what is still is judged against the slow part of each signal
    calm = still_windows(t, ((recording.forearm, zero), (recording.hand, zero)), limit=8.0 * DEG, shortest_s=HOLD)
    before = [w for w in calm if w.high <= turned.low]
    ends = [Still(max(w.low, bent.high), w.high) for w in calm if w.high > bent.high]
    after = [w for w in ends if t[w.high - 1] - t[w.low] >= HOLD and t[w.low] - t[bent.high - 1] < NEAR]
    out: dict[Phase, Still] = {}
    if not before or t[turned.low] - t[before[-1].high - 1] > NEAR:
        return out
    flat = before.pop()
    out["flat_hand"] = _inner(flat)
    if after and _alike(recording, flat, after[0]):
        out["flat_hand_end"] = _inner(after[0])
    alike = [w for w in before if _alike(recording, flat, w)]
    if alike and (len(before) > 1 or _unrest(recording, alike[-1]) > 0.5 * _unrest(recording, flat)):
        out["aim"] = _inner(alike[-1])
        before = [w for w in before if w.high <= alike[-1].low]
    if before:
        out["table_rest"] = _inner(max(before, key=lambda w: w.high - w.low))
    return out


def _inner(window: Still) -> Still:
    trim = (window.high - window.low) // 8
    return Still(window.low + trim, window.high - trim)


def _alike(recording: Recording, one: Still, other: Still) -> bool:
    for sensor in (recording.forearm, recording.hand):
        a, b = (sensor.acc[w.low : w.high].mean(axis=0) for w in (one, other))
        if np.arctan2(np.linalg.norm(np.cross(a, b)), a @ b) > ALIKE:
            return False
    return True


def _unrest(recording: Recording, window: Still) -> float:
    """Slow turning inside a still window: a worn sensor trembles, one on a table does not."""
    gyr = recording.hand.gyr[window.low : window.high]
    return float(smoothed(gyr, 25).std(axis=0).max())
