"""When a blow reaches a sensor: the first sample that the smooth motion before it cannot explain."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ferrule.signals.derivative import middle

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Onset:
    """last_clean: index of the last sample before the blow; time_s: when it began, between that sample and the next;
    ratio: largest jump against the usual jump of the motion before it (a strike has tens, an air swing a few); jump: the
    same in the signal's unit.
    """

    last_clean: int
    time_s: float
    ratio: float
    jump: float


def surprise(signal: Floats) -> Floats:
    """How far each sample lies from the line through the two before it, shape (n, k) to (n,); zero for the first two."""
    out = np.zeros(len(signal))
    bend = signal[2:] - 2.0 * signal[1:-1] + signal[:-2]
    out[2:] = np.sqrt(np.einsum("ni,ni->n", bend, bend))
    return out


def find_onset(
    time_s: Floats, signal: Floats, low: int, high: int, *, before_s: float = 0.05, run_up_s: float = 0.025
) -> Onset | None:
    """Onset of the largest jump between samples low and high.

    time_s: shape (n,); signal: shape (n, k). What is usual is read over `before_s`, ending `run_up_s` before the largest
    jump, which may come some cycles after the blow's beginning; the onset is the first sample in between that stands
    four times above the most that was usual. Time: midway between the last clean and the first struck sample. None when
    the window is too short.
    """
    low, high = max(low, 2), min(high, len(time_s))
    if high - low < 5:
        return None
    jump = surprise(signal[max(low - 2, 0) : high])
    jump = np.concatenate((np.zeros(max(low - 2, 0)), jump))
    peak = low + int(np.argmax(jump[low:high]))
    guard = max(int(np.searchsorted(time_s, time_s[peak] - run_up_s)), low)
    calm = jump[max(int(np.searchsorted(time_s, time_s[guard] - before_s)), low) : guard]
    if len(calm) < 5:
        return None
    usual = max(middle(calm), 1e-12)
    limit = min(4.0 * float(calm.max()), 0.5 * float(jump[peak]))
    struck = guard + int(np.argmax(jump[guard : peak + 1] > limit))
    return Onset(
        struck - 1, float(0.5 * (time_s[struck - 1] + time_s[struck])), float(jump[peak]) / usual, float(jump[peak])
    )
