"""Finding the swings in a recording: bouts of fast turning, each with the still address before it, and the blow."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.sensing.recording import Recording
from ferrule.sensing.stillness import Still
from ferrule.signals.derivative import lengths, smoothed, usual_step, without_spikes
from ferrule.signals.onset import Onset, find_onset

Floats = NDArray[np.float64]

SWING_RATE: Final = 4.0
"""Hand rate without spikes, rad/s, that makes a bout a swing: a chip reaches 4.5-6 (simulation); what else is as fast is
told apart by its path."""
SLOW_SWING: Final = 8.0
"""Hand rate, rad/s, below which the fastest moment may lie in the follow-through, far from the blow (simulation)."""
SPIKE: Final = 0.1
"""What lasts less than half of this is a jump in the data and no movement of a hand, s."""
APART: Final = 1.2
"""Two swings' fastest moments lie at least this far apart, s."""
SAME_SWING: Final = 2.5
"""Fast moments closer than this with no stillness between belong to one swing, s."""
LONGEST_WAIT: Final = 4.0
"""From the end of the still address to the fastest moment, s: waggle, backswing and downswing fit in."""
STRIKE_RATIO: Final = 8.0
"""Jump against usual jump above which a blow is heard; strikes have 16-200, air swings about 3 (simulation)."""
STRIKE_JUMP: Final = 10.0
"""...and jump from sample to sample that a blow makes at least, m/s^2: soft strikes make 30, the turning of a swing without
one up to 7 (simulation and a captured swing)."""
BLOW_RATE_HZ: Final = 350.0
"""Sample rate below which a soft strike cannot be told from an air swing (simulation: 200 Hz cannot, 500 Hz can)."""


@dataclass(frozen=True, eq=False, slots=True)
class Candidate:
    """A swing to be worked out. peak: sample of the fastest hand; address: still window before it, or None;
    forearm_blow, hand_blow: onset of the blow in each sensor, on the recording's samples, or None. rate: of the hand at
    the peak, smoothed, rad/s; deaf: the recording is too slow to tell a blow.
    """

    peak: int
    address: Still | None
    forearm_blow: Onset | None
    hand_blow: Onset | None
    rate: float = 0.0
    deaf: bool = False

    @property
    def struck(self) -> bool:
        """Whether a blow was heard."""
        return self.hand_blow is not None


def find_swings(
    recording: Recording, hand_rate: Floats, rests: list[Still], taken: NDArray[np.bool_]
) -> list[Candidate]:
    """All swings in time order. hand_rate: bias removed, rad/s, shape (n, 3); taken: samples of the calibration."""
    t = recording.time_s
    step = usual_step(t)
    spike, width = round(SPIKE / step), round(0.03 / step)
    raw = lengths(hand_rate)
    fast = np.flatnonzero(raw >= SWING_RATE)
    if fast.size == 0:
        return []
    # before the first and after the last fast sample nothing is a swing, smoothed or not
    near = slice(max(int(fast[0]) - spike - width, 0), int(fast[-1]) + spike + width + 1)
    rate = np.zeros(len(t))
    rate[near] = smoothed(without_spikes(raw[near], spike), width)
    rate[taken] = 0.0
    peaks: list[int] = []
    free = rate.copy()
    while True:
        k = int(np.argmax(free))
        if free[k] < SWING_RATE:
            break
        low, high = np.searchsorted(t, [t[k] - APART, t[k] + APART])
        free[low:high] = 0.0
        peaks.append(k)
    return [
        _candidate(recording, 1.0 / step, k, rests, float(rate[k])) for k in _own_swings(t, rate, sorted(peaks), rests)
    ]


def _own_swings(t: Floats, rate: Floats, peaks: list[int], rests: list[Still]) -> list[int]:
    """Two fast moments with no stillness between them and close together are one swing: the faster one counts."""
    kept: list[int] = []
    for k in peaks:
        close = bool(kept) and t[k] - t[kept[-1]] < SAME_SWING
        if close and not any(kept[-1] < w.low and w.high < k for w in rests):
            if rate[k] > rate[kept[-1]]:
                kept[-1] = k
            continue
        kept.append(k)
    return kept


def _candidate(recording: Recording, rate_hz: float, peak: int, rests: list[Still], rate: float) -> Candidate:
    t = recording.time_s
    before = [w for w in rests if w.high <= peak and t[peak] - t[w.high - 1] < LONGEST_WAIT]
    address = before[-1] if before else None
    if rate_hz < BLOW_RATE_HZ:
        return Candidate(peak, address, None, None, rate, deaf=True)
    back, on = (0.4, 0.2) if rate < SLOW_SWING else (0.16, 0.12)
    low, high = np.searchsorted(t, [t[peak] - back, t[peak] + on])
    hand = find_onset(t, recording.hand.acc, int(low), int(high))
    if hand is None or hand.ratio < STRIKE_RATIO or hand.jump < STRIKE_JUMP:
        return Candidate(peak, address, None, None, rate)
    near = np.searchsorted(t, [hand.time_s - 0.11, hand.time_s + 0.045])
    forearm = find_onset(t, recording.forearm.acc, int(near[0]), int(near[1]))
    if forearm is not None and forearm.ratio < STRIKE_RATIO:
        forearm = None
    return Candidate(peak, address, forearm, hand, rate)
