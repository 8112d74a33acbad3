"""How far the verdict on a change can be trusted: simulated learners, and the time it takes.

python scripts/validate.py --only change
"""

import time
from collections import Counter
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Final

import numpy as np

from ferrule.coaching.change import Question
from ferrule.coaching.change_verdict import verdict_on
from ferrule.simulator.learner import Scenario, day_sds, learner, lessons_of, many_lessons

TITLE: Final = "Change: is it real, does it last"
GOLFERS: Final = 500
MANY: Final = 2000
"""Golfers of the two rows that lie close to their limit."""
WRIST: Final = Question("lead wrist at the top", "since_address", "7-iron", "up")
ABSOLUTE: Final = replace(WRIST, evidence="absolute")
LARGE: Final = 7.2


@dataclass(frozen=True, slots=True)
class Outcome:
    """Shares of verdicts, share of 90 % intervals that hold the truth, and the smallest real change."""

    kinds: Counter[str]
    cover: float
    smallest: float
    golfers: int

    def row(self, name: str) -> str:
        """One line of the table."""
        shown = ("real_and_lasts", "real_so_far", "practice_only", "not_yet", "other_way", "fading")
        share = " | ".join(f"{100 * self.kinds[k] / self.golfers:.1f}" for k in shown)
        cover = "" if np.isnan(self.cover) else f"{100 * self.cover:.0f}"
        return f"| {name} | {share} | {cover} |"


def measure(
    scenario: Scenario,
    gain: float,
    *,
    median: float = 1.5,
    log_sd: float = 0.3,
    seed: int = 1,
    golfers: int = GOLFERS,
    **more: float | bool,
) -> Outcome:
    """One scenario with so many golfers."""
    rng = np.random.default_rng([2026, seed])
    kinds: Counter[str] = Counter()
    inside, smallest = [], []
    for sd in day_sds(golfers, seed, median, log_sd):
        who = learner(scenario, float(sd), gain, **more)
        v = verdict_on(lessons_of(who, rng), WRIST)
        kinds[v.kind] += 1
        if v.change is not None and v.smallest_real is not None:
            inside.append(v.change.low < who.gain_tests < v.change.high)
            smallest.append(v.smallest_real)
    nothing = float("nan")
    return Outcome(
        kinds,
        float(np.mean(inside)) if inside else nothing,
        float(np.median(smallest)) if smallest else nothing,
        golfers,
    )


def report(data: Path | None) -> str:  # noqa: ARG001
    """The part of docs/validation.md."""
    base = measure("no_change", 0.0, seed=11)
    rows = [
        base.row("no change"),
        measure("practice_only", LARGE, seed=12).row(f"practice only, {LARGE:g}°"),
        measure("lasting", LARGE, seed=13).row(f"lasting, {LARGE:g}° (1.5 x the smallest real change)"),
        measure("lasting", 5.0, seed=14, golfers=MANY).row("lasting, 5°"),
        measure("drift", 0.0, seed=15, golfers=MANY).row("drift 0.5° a lesson, wanted way"),
        measure("drift", 0.0, seed=16, drift=-0.5).row("drift 0.5° a lesson, other way"),
        measure("device", 0.0, seed=17).row("another device, 4° off, no common day"),
        measure("device", 0.0, seed=18, bridged=True).row("another device, 4° off, one common day"),
        measure("lasting", LARGE, seed=19, baselines=1).row(f"one baseline, lasting {LARGE:g}°"),
        measure("lasting", LARGE, seed=20, tests=1).row(f"one test, lasting {LARGE:g}°"),
        measure("lasting", 5.0, seed=21, tests=6).row("six tests, lasting 5°"),
        measure("drift", 0.0, seed=22, tests=6).row("six tests, drift 0.5° a lesson"),
    ]
    other = [
        measure("no_change", 0.0, seed=23, log_sd=0.6).row("no change, days log sd 0.6"),
        measure("no_change", 0.0, seed=24, median=2.5).row("no change, day sd 2.5°"),
        measure("drift", 0.0, seed=25, median=2.5).row("drift, day sd 2.5°"),
        measure("drift", 0.0, seed=26, drift=1.0).row("drift 1° a lesson"),
        measure("lasting", 5.0, seed=27, median=1.0).row("lasting 5°, day sd 1°"),
    ]
    head = (
        "| learners | real and lasts | real so far | practice only | not yet | other way | fading | 90 % intervals hold |\n"
        "| --- | --- | --- | --- | --- | --- | --- | --- |"
    )
    return (
        f"{GOLFERS} simulated golfers a row ({MANY} for 5° and for drift the wanted way); swings sd 3°, day-to-day sd log normal around 1.5° (log sd 0.3), ten swings a"
        " block, two baseline and two test days. Shares of verdicts in per cent.\n\n"
        f"{head}\n"
        + "\n".join(rows)
        + f"\n\nSmallest real change for one cold test: {base.smallest:.1f}° (median golfer)."
        "\n\nBeyond what the prior believes, to show where it bends:\n\n"
        f"{head}\n" + "\n".join(other) + f"\n\n{_mounted_anew()}\n\n{_drift_claims()}\n\n{_speed()}"
    )


CLAIMS: Final = ("real_and_lasts", "real_so_far", "practice_only", "fading", "other_way")


def _mounted_anew() -> str:
    """Nothing changed, sensors off and on every day; and the same golfers with another grip at the tests."""
    rows = []
    for error in (0.0, 1.0):
        rng = np.random.default_rng([2026, 41])
        claimed = refused = grip = 0
        for sd in day_sds(GOLFERS, 41):
            zeros: dict[date, tuple[float, float]] = {}
            blocks = []
            for b in lessons_of(learner("no_change", float(sd), 0.0), rng):
                zero, slip = zeros.setdefault(b.on, (6.0 * rng.normal(), error * rng.normal()))
                blocks.append((replace(b, mount=b.on.isoformat(), values=b.values + slip), zero))
            claimed += verdict_on([b for b, _ in blocks], WRIST).kind in CLAIMS
            absolute = verdict_on([replace(b, values=b.values + zero) for b, zero in blocks], ABSOLUTE)
            refused += absolute.kind == "not_comparable" and absolute.change is None
            other = [replace(b, grip="new" if b.kind == "retention" else "old") for b, _ in blocks]
            turned = verdict_on(other, WRIST)
            grip += turned.kind == "not_comparable" and turned.reasons[0] == "grip" and turned.change is None
        rows.append(
            f"| {error:g}° | {100 * claimed / GOLFERS:.1f} | {100 * refused / GOLFERS:.0f} | {100 * grip / GOLFERS:.0f} |"
        )
    return (
        f"Sensors off and on every day, nothing changed ({GOLFERS} golfers; the zero of each mounting is off by 6°, and the change"
        " since address by a further error of each mounting, standard deviations). Per cent:\n\n"
        "| error of the change since address | any claim, change since address | absolute angle refused | change since"
        " address refused after a new grip |\n| --- | --- | --- | --- |\n" + "\n".join(rows)
    )


def _drift_claims() -> str:
    rng = np.random.default_rng(31)
    claimed = {0.0: 0, 1.5: 0}
    for drift in claimed:
        for sd in day_sds(200, 31):
            who = replace(learner("no_change", float(sd), 0.0, baselines=5, tests=1), drift=drift)
            claimed[drift] += verdict_on(lessons_of(who, rng), WRIST).drift is not None
    return (
        f"Drift claimed from five baselines: {claimed[0.0] / 2:.1f} % of 200 golfers without any,"
        f" {claimed[1.5] / 2:.0f} % of those with 1.5° a lesson; never from fewer than three."
    )


def _speed() -> str:
    blocks = many_lessons(3, 40, 60)
    verdict_on(blocks, WRIST)
    taken = []
    for _ in range(5):
        start = time.perf_counter()
        verdict_on(blocks, WRIST)
        taken.append(time.perf_counter() - start)
    return f"A verdict on 40 lessons of 60 swings takes {min(taken) * 1e3:.0f} ms (best of five)."
