"""When a blow reaches a sensor: the first sample that the smooth motion before it cannot explain."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Onset:
    """last_clean: index of the last sample before the blow; time_s: when it began, between that sample and the next;
    ratio: largest jump against the usual jump of the motion before it (a strike has tens, an air swing a few).
    """

    last_clean: int
    time_s: float
    ratio: float


def surprise(signal: Floats) -> Floats:
    """How far each sample lies from the line through the two before it, shape (n, k) to (n,); zero for the first two."""
    out = np.zeros(len(signal))
    out[2:] = np.linalg.norm(signal[2:] - 2.0 * signal[1:-1] + signal[:-2], axis=1)
    return out


def find_onset(
    time_s: Floats, signal: Floats, low: int, high: int, *, before_s: float = 0.08, run_up_s: float = 0.008
) -> Onset | None:
    """Onset of the largest jump between samples low and high.

    time_s: shape (n,); signal: shape (n, k). The usual jump is the median over `before_s` before the window's largest
    one, less a guard of `run_up_s`; the onset is the first sample within `run_up_s` before the largest jump that stands
    out of it. Time: midway between the last clean and the first struck sample. None when the window is too short.
    """
    low, high = max(low, 2), min(high, len(time_s))
    if high - low < 5:
        return None
    jump = surprise(signal)
    peak = low + int(np.argmax(jump[low:high]))
    guard = int(np.searchsorted(time_s, time_s[peak] - run_up_s))
    start = max(int(np.searchsorted(time_s, time_s[peak] - run_up_s - before_s)), 2)
    calm = jump[start:guard]
    if len(calm) < 5:
        return None
    usual = max(float(np.median(calm)), 1e-12)
    limit = max(float(calm.max()) * 1.5, 5.0 * usual)
    limit = min(limit, 0.5 * float(jump[peak]))
    struck = guard + int(np.argmax(jump[guard : peak + 1] > limit))
    return Onset(struck - 1, float(0.5 * (time_s[struck - 1] + time_s[struck])), float(jump[peak]) / usual)
