"""Workers for tests of background work: at once, with invented results; and a wait that gives up."""

import time
from collections.abc import Callable

import numpy as np

from ferrule.app.analysis import NO_BALL, Outcome, RecordedSwing, Task
from ferrule.store.codec import pack_arrays


def invented(count: int = 2, kinds: tuple[str, ...] = ()) -> Callable[[Task], Outcome]:
    """A worker that finds so many swings at once, for tests of what is kept and when."""

    def work(task: Task) -> Outcome:
        swings = []
        for n in range(1, count + 1):
            kind = kinds[n - 1] if n <= len(kinds) else "full_swing"
            readings = {"wrist.top.flexion_deg": (-10.0 - n, 2.0)}
            swings.append(
                RecordedSwing(
                    n, kind, NO_BALL.get(kind, ""), {"kind": kind}, readings, pack_arrays({"t": np.arange(3.0)})
                )
            )
        return Outcome(tuple(swings), ())

    return work


def wait_for(what: Callable[[], bool], seconds: float = 30.0) -> None:
    end = time.monotonic() + seconds
    while not what():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.02)
