"""Speed of the chain from recording to swing: 6 s, 500 Hz, two sensors, one swing, without and with doubts; and a lesson of
sixty such files, read and worked out by two processes.
"""

import resource
import sys
import time
from dataclasses import replace
from functools import cache
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from ferrule.analysis.recording import analyse_recording
from ferrule.app.analysis import Task, work_out_recording
from ferrule.club.clubs import Club
from ferrule.files.native import write_recording_csv
from ferrule.sensing.recording import Recording, SensorTrace
from ferrule.simulator.lesson import SimulatedLesson, simulate_lesson
from ferrule.units import DEG

SEVEN = Club("7-iron", 34.0 * DEG, 62.5 * DEG, 0.94, 0.27)
PLAIN_S = 0.015
DRAWN_S = 0.300
SIXTY_S = 12.0
MEMORY_MB = 500.0


def six_seconds(seed: int = 0) -> Recording:
    """A swing with 4.2 s before impact and 1.8 s after it."""
    told = _lesson(seed)
    whole = told.recording
    impact = told.truth.swings[0].events["impact"]
    keep = (whole.time_s >= impact - 4.2) & (whole.time_s < impact + 1.8)
    forearm, hand = (SensorTrace(s.acc[keep], s.gyr[keep]) for s in (whole.forearm, whole.hand))
    return replace(whole, time_s=whole.time_s[keep], forearm=forearm, hand=hand, phase=None)


@cache
def _lesson(seed: int) -> SimulatedLesson:
    return simulate_lesson(seed=seed)


@pytest.mark.parametrize(("draws", "goal_s"), [(0, PLAIN_S), (240, DRAWN_S)], ids=["plain", "with doubts"])
def test_one_recording(benchmark, draws: int, goal_s: float) -> None:
    recording = six_seconds()
    found = benchmark(lambda: analyse_recording(recording, club=SEVEN, draws=draws))
    assert len(found.swings) == 1
    benchmark.extra_info["goal_s"] = goal_s


def sixty_files() -> list[Task]:
    """Sixty recordings as their files hold them: five swings, each twelve times with its samples rounded a little apart."""
    tasks = []
    with TemporaryDirectory() as folder:
        for seed in range(5):
            for k in range(12):
                path = Path(folder) / "swing.csv"
                recording = six_seconds(seed)
                hand = recording.hand
                write_recording_csv(replace(recording, hand=SensorTrace(hand.acc + 1e-5 * k, hand.gyr)), path)
                tasks.append(Task(path.read_bytes(), path.name, "right", SEVEN))
    return tasks


def work_out_sixty(tasks: list[Task]) -> tuple[float, float, int, float]:
    """Seconds that two new processes need by the clock and of a processor, swings found, the larger one's memory in MB."""
    began, used = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
    with get_context("spawn").Pool(2) as pool:
        outcomes = pool.map(work_out_recording, tasks, chunksize=4)
        took = time.perf_counter() - began
        pool.close()
        pool.join()
    now = resource.getrusage(resource.RUSAGE_CHILDREN)
    worked = now.ru_utime + now.ru_stime - used.ru_utime - used.ru_stime
    return took, worked, sum(len(outcome.swings) for outcome in outcomes), now.ru_maxrss / 1024.0


def test_sixty_recordings(benchmark) -> None:
    tasks = sixty_files()
    _, _, swings, memory = benchmark.pedantic(work_out_sixty, args=(tasks,), rounds=2, iterations=1)
    assert swings == 60
    assert memory < MEMORY_MB
    benchmark.extra_info["goal_s"] = SIXTY_S
    benchmark.extra_info["memory_mb"] = memory


def main() -> None:
    """Print the best of some runs."""
    recording = six_seconds()
    for draws, goal in ((0, PLAIN_S), (240, DRAWN_S)):
        best = min(_timed(recording, draws) for _ in range(25))
        sys.stdout.write(f"6 s, 500 Hz, draws {draws}: {1000 * best:.1f} ms (goal {1000 * goal:.0f})\n")
    took, worked, swings, memory = work_out_sixty(sixty_files())
    sys.stdout.write(
        f"60 files in two processes: {took:.1f} s (goal {SIXTY_S:.0f}), {worked:.1f} s of processor,"
        f" {swings} swings, {memory:.0f} MB each"
        f" (goal {MEMORY_MB:.0f})\n"
    )


def _timed(recording: Recording, draws: int) -> float:
    began = time.process_time()
    analyse_recording(recording, club=SEVEN, draws=draws)
    return time.process_time() - began


if __name__ == "__main__":
    main()
