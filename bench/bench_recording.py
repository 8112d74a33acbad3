"""Speed of the chain from recording to swing: 6 s, 500 Hz, two sensors, one swing, without and with doubts."""

import sys
import time
from dataclasses import replace

import pytest

from ferrule.analysis.recording import analyse_recording
from ferrule.club.clubs import Club
from ferrule.sensing.recording import Recording, SensorTrace
from ferrule.simulator.lesson import simulate_lesson
from ferrule.units import DEG

SEVEN = Club("7-iron", 34.0 * DEG, 62.5 * DEG, 0.94, 0.27)
PLAIN_S = 0.015
DRAWN_S = 0.300


def six_seconds() -> Recording:
    """A swing with 4.2 s before impact and 1.8 s after it."""
    told = simulate_lesson(seed=0)
    whole = told.recording
    impact = told.truth.swings[0].events["impact"]
    keep = (whole.time_s >= impact - 4.2) & (whole.time_s < impact + 1.8)
    forearm, hand = (SensorTrace(s.acc[keep], s.gyr[keep]) for s in (whole.forearm, whole.hand))
    return replace(whole, time_s=whole.time_s[keep], forearm=forearm, hand=hand, phase=None)


@pytest.mark.parametrize(("draws", "goal_s"), [(0, PLAIN_S), (240, DRAWN_S)], ids=["plain", "with doubts"])
def bench_one_recording(benchmark, draws: int, goal_s: float) -> None:
    recording = six_seconds()
    found = benchmark(lambda: analyse_recording(recording, club=SEVEN, draws=draws))
    assert len(found.swings) == 1
    benchmark.extra_info["goal_s"] = goal_s


def main() -> None:
    """Print the best of some runs."""
    recording = six_seconds()
    for draws, goal in ((0, PLAIN_S), (240, DRAWN_S)):
        best = min(_timed(recording, draws) for _ in range(25))
        sys.stdout.write(f"6 s, 500 Hz, draws {draws}: {1000 * best:.1f} ms (goal {1000 * goal:.0f})\n")


def _timed(recording: Recording, draws: int) -> float:
    began = time.process_time()
    analyse_recording(recording, club=SEVEN, draws=draws)
    return time.process_time() - began


if __name__ == "__main__":
    main()
