"""Simulated learners: blocks of swings over lessons with an exact truth, to measure what verdicts are worth.

A golfer's swings scatter around the level of the day; the level of the day scatters around the golfer's own. What is
learned adds to practice, to cold tests, or to both; drift and another device add to everything.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from ferrule.coaching.change import Block, Kind

Floats = NDArray[np.float64]
Scenario = Literal["no_change", "practice_only", "lasting", "drift", "device"]
SCENARIOS: Final[tuple[Scenario, ...]] = ("no_change", "practice_only", "lasting", "drift", "device")
FIRST_DAY: Final = date(2026, 3, 2)


@dataclass(frozen=True, slots=True)
class Learner:
    """One golfer's truth, in degrees. gain_practice, gain_tests: what the new way adds, signed; device_step: what the new
    device adds from the first test on; bridged: one day with both devices.
    """

    swing_sd: float = 3.0
    day_sd: float = 1.5
    level: float = -10.0
    gain_practice: float = 0.0
    gain_tests: float = 0.0
    drift: float = 0.0
    device_step: float | None = None
    bridged: bool = False
    baselines: int = 2
    tests: int = 2
    swings: int = 10
    remount_sd: float = 0.0
    club: str = "7-iron"


def day_sds(count: int, seed: int, median: float = 1.5, log_sd: float = 0.3) -> Floats:
    """Day-to-day spreads of so many golfers: log normal."""
    return np.asarray(median * np.exp(log_sd * np.random.default_rng(seed).normal(size=count)))


def learner(scenario: Scenario, day_sd: float, gain: float, **changes: float | int | bool) -> Learner:
    """The learner of a scenario; gain: what practice only or a lasting change gives."""
    made: dict[Scenario, Learner] = {
        "no_change": Learner(day_sd=day_sd),
        "practice_only": Learner(day_sd=day_sd, gain_practice=gain),
        "lasting": Learner(day_sd=day_sd, gain_practice=gain, gain_tests=gain),
        "drift": Learner(day_sd=day_sd, drift=0.5),
        "device": Learner(day_sd=day_sd, device_step=4.0),
    }
    base = made[scenario]
    fields = {name: getattr(base, name) for name in base.__dataclass_fields__} | changes
    return Learner(**fields)


def lessons_of(who: Learner, rng: np.random.Generator) -> list[Block]:
    """Blocks of lessons a week apart: baselines (the last lesson goes on to practise), then cold test and practice."""
    blocks: list[Block] = []
    total = who.baselines + who.tests
    for lesson in range(total):
        on = FIRST_DAY + timedelta(weeks=lesson)
        today = who.level + who.drift * (lesson + 1) + who.day_sd * rng.normal() + who.remount_sd * rng.normal()
        before = lesson < who.baselines
        cold = today if before else today + who.gain_tests
        device = "first" if who.device_step is None or before else "second"
        step = 0.0 if device == "first" else float(who.device_step or 0.0)
        blocks.append(_block(who, on, "baseline" if before else "retention", cold + step, device, lesson, rng))
        if who.bridged and lesson == who.baselines - 1:
            other = cold + float(who.device_step or 0.0)
            blocks.append(_block(who, on, "baseline", other, "second", lesson, rng))
        if lesson >= who.baselines - 1 and lesson < total - 1:
            blocks.append(_block(who, on, "practice", today + who.gain_practice + step, device, lesson, rng))
    return blocks


def many_lessons(seed: int, lessons: int, swings: int) -> list[Block]:
    """A long record for timing: every lesson a cold block and practice, with so many swings together."""
    cold = swings // 3
    rng = np.random.default_rng(seed)
    who = Learner(gain_practice=5.0, gain_tests=4.0, baselines=3, tests=lessons - 3, swings=cold)
    blocks = lessons_of(who, rng)
    return [b if b.kind != "practice" else _more(b, swings - cold, rng) for b in blocks]


def _block(
    who: Learner, on: date, kind: Kind, level: float, device: str, lesson: int, rng: np.random.Generator
) -> Block:
    values = level + who.swing_sd * rng.normal(size=who.swings)
    return Block(on, kind, who.club, values, mount=f"lesson {lesson + 1}", device=device, grip="own")


def _more(block: Block, count: int, rng: np.random.Generator) -> Block:
    values = block.values.mean() + 3.0 * rng.normal(size=count)
    return Block(block.on, block.kind, block.club, values, block.mount, block.device, block.grip)
