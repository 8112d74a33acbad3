"""Is the change real, does it last, does it carry over: blocks of swings in, one verdict out.

Only cold tests of another day prove anything. Practice is kept apart and can at best be called practice. A verdict needs
two baseline days; two cold tests before it says that a change lasts. What may be compared at all is decided first
(`change_evidence`), then a hierarchy over days gives the change with its doubt (`change_model`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from ferrule.statistics.hierarchy import Spread
from ferrule.statistics.nonoverlap import Trend

Floats = NDArray[np.float64]
Kind = Literal["baseline", "practice", "retention", "transfer"]
Evidence = Literal["ball", "since_address", "absolute"]
"""ball: start line, curve, face from the flight; since_address: change of an angle from address to a later place, survives
a new mounting but not a new grip; absolute: an angle as the sensor reads it, comparable within one mounting alone."""
VerdictKind = Literal[
    "real_and_lasts",
    "real_so_far",
    "practice_only",
    "fading",
    "other_way",
    "as_before",
    "not_yet",
    "not_comparable",
]
Reason = Literal[
    "no_baseline",
    "one_baseline",
    "no_test",
    "device",
    "grip",
    "mounting",
    "small_blocks",
    "other_clubs",
    "dates",
    "doubt",
]

SURE: Final = 0.977
"""Probability at which a change counts as real: two standard deviations, one side."""
LARGE_ENOUGH: Final = 0.8
"""Probability of being worth having at which it counts as large enough (common practice, no source)."""
BASELINE_DAYS: Final = 2
DRIFT_BASELINES: Final = 3
TESTS_TO_LAST: Final = 2
FEWEST_SWINGS: Final = 5
TEST_SWINGS: Final = 10
DRIFT_SD: Final = 0.5
"""Steady drift per lesson that a golfer may have anyway, standard deviation over golfers, degrees: common practice, no
source."""


USUAL_SPREAD: Final = Spread(3.0, 8.0, 1.5, 0.3)
"""Of a lead-wrist angle, degrees: common practice, no source."""


@dataclass(frozen=True, eq=False, slots=True)
class Block:
    """Swings of one kind on one day with one club. values: the quantity per swing, shape (n,), in the question's unit.

    mount: name of a sensor mounting; device: what measured it; grip: name of the grip in use; where: target or course of
    a transfer block. None means "as ever".
    """

    on: date
    kind: Kind
    club: str
    values: Floats
    mount: str | None = None
    device: str | None = None
    grip: str | None = None
    where: str | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked. quantity: in words ("lead wrist at the top"); wanted: which way the number should go; better, worse:
    a change that way and the other way in words ("more bowed"); worthwhile: smallest change worth having, same unit.

    began: the day on which the new way began; None: the first practice, else the day after the last baseline.
    drift_sd: per lesson, same unit.
    """

    quantity: str
    evidence: Evidence
    club: str
    wanted: Literal["up", "down"]
    worthwhile: float = 2.0
    unit: str = "°"
    better: str = "better"
    worse: str = "worse"
    spread: Spread = USUAL_SPREAD
    drift_sd: float = DRIFT_SD
    began: date | None = None

    @property
    def sign(self) -> float:
        """+1 when up is better, -1 when down is."""
        return 1.0 if self.wanted == "up" else -1.0


# Priors by the last part of a glossary key: swings sd, worth in swings, day sd, its log sd. Common practice, no source.
SPREADS: Final = MappingProxyType(
    {
        "flexion_deg": USUAL_SPREAD,
        "ulnar_deviation_deg": Spread(2.5, 8.0, 1.5, 0.3),
        "forearm_roll_deg": Spread(4.0, 8.0, 2.0, 0.3),
        "start_deg": Spread(2.2, 8.0, 1.0, 0.3),
        "curve_deg": Spread(3.0, 8.0, 1.3, 0.3),
        "face_deg": Spread(2.5, 8.0, 1.2, 0.3),
        "path_deg": Spread(2.0, 8.0, 1.2, 0.3),
    }
)


def spread_of(key: str) -> Spread:
    """Population prior of a glossary key; that of wrist flexion where there is none."""
    return SPREADS.get(key.rsplit(".", 1)[-1], SPREADS["flexion_deg"])


@dataclass(frozen=True, slots=True)
class Amount:
    """A change with its 90 % interval; probability: of being a change the wanted way at all; worthwhile: of being large
    enough as well.
    """

    value: float
    low: float
    high: float
    probability: float
    worthwhile: float


@dataclass(frozen=True, slots=True)
class Overlap:
    """Baseline swings against test swings, in the wanted sense: NAP 1 is all better. trend: of the baseline itself, + the
    wanted way.
    """

    nap: float
    tau: float
    trend: Trend


@dataclass(frozen=True, slots=True)
class CarryOver:
    """The change with another club or target against its own baseline."""

    what: str
    kind: Literal["carries_over", "not_yet", "worse", "no_baseline"]
    change: Amount | None


@dataclass(frozen=True, slots=True)
class Point:
    """One block as drawn: its day, kind, mean, level drawn towards the golfer's own, and 90 % interval of that level."""

    on: date
    kind: Kind
    mean: float
    level: float
    low: float
    high: float
    counts: bool


@dataclass(frozen=True, eq=False, slots=True)
class Verdict:
    """What can be said. Numbers that would mean nothing are None.

    change: cold tests against baseline, beyond a drift that may have gone on anyway; practice: the same for practice;
    smallest_real: the smallest change that one cold test of ten balls would show; typical_error: of one such test;
    settles_in: further cold tests that would settle it, None when more balls would hardly; drift: per lesson, claimed
    only from three baselines.
    """

    kind: VerdictKind
    reasons: tuple[Reason, ...]
    question: Question
    baseline_days: int
    tests: int
    change: Amount | None = None
    practice: Amount | None = None
    smallest_real: float | None = None
    typical_error: float | None = None
    swing_sd: float | None = None
    day_sd: float | None = None
    baseline: float | None = None
    settles_in: int | None = None
    drift: Amount | None = None
    overlap: Overlap | None = None
    carry_over: tuple[CarryOver, ...] = ()
    points: tuple[Point, ...] = ()
    left_aside: tuple[tuple[Block, Reason], ...] = field(default=())


def days_of(blocks: Sequence[Block]) -> list[date]:
    """Distinct days, in order."""
    return sorted({b.on for b in blocks})
