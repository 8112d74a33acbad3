"""When to tell a learner what happened, and when to keep quiet.

Tendencies from motor-learning research (science.md E40-E46): less frequent and faded knowledge of results gives equal or
better delayed retention though practice looks worse (Winstein & Schmidt 1990, E40); longer summaries likewise (Schmidt et
al. 1989, E41); constant feedback makes dependent (E42); thoughts about club and ball beat thoughts about arms (Wulf,
Lauterbach & Toole 1999, E43); a random order lasts better than a blocked one (Shea & Morgan 1979, E45), though not in
every study (E46). Shares, bandwidth and block sizes are common practice. The coach can overrule any of it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

Schedule = Literal["every", "faded", "bandwidth", "self_chosen", "summary", "none"]

FADES: Final = (1.0, 0.5, 0.2)
"""Share of reps with feedback in the first, middle and last third of the practice (E40; the shares: common practice)."""
SUMMARY_OF: Final = 5
QUIET_BLOCK: Final = 5
"""Balls without any feedback that close every practice."""


@dataclass(frozen=True, slots=True)
class FeedbackPlan:
    """Which reps are told about. told: one entry a rep, True: say what happened; quiet_from: first rep of the closing quiet
    block; asks: the golfer decides in the open reps.
    """

    schedule: Schedule
    told: tuple[bool, ...]
    quiet_from: int
    asks: bool
    sentence: str


def schedule_for(lesson_number: int, level: Literal["new", "getting_it", "has_it"]) -> Schedule:
    """A first suggestion: fade while it is new, then within a bandwidth, then only when the golfer asks."""
    if level == "new":
        return "faded" if lesson_number <= 2 else "bandwidth"
    return "bandwidth" if level == "getting_it" else "self_chosen"


def feedback_plan(schedule: Schedule, reps: int) -> FeedbackPlan:
    """Plan the feedback of so many reps; the last ones are always quiet, so that the golfer finds out alone.

    Raises ValueError for no reps.
    """
    if reps < 1:
        raise ValueError(f"a practice needs at least one rep, got {reps}")
    quiet = 0 if schedule == "every" else min(QUIET_BLOCK, reps // 3)
    open_reps = reps - quiet
    told = [*_open_part(schedule, open_reps), *([False] * quiet)]
    return FeedbackPlan(schedule, tuple(told), open_reps, schedule == "self_chosen", _SENTENCES[schedule])


def speaks(plan: FeedbackPlan, rep: int, miss: float, half_window: float, asked: bool = False) -> bool:
    """Whether to say what happened after this rep (counted from 0). miss: distance from the middle of the window."""
    if rep >= plan.quiet_from:
        return False
    if plan.schedule == "bandwidth":
        return abs(miss) > half_window
    if plan.asks:
        return asked
    return plan.told[rep] if rep < len(plan.told) else False


def club_order(clubs: Sequence[str], balls: int, seed: int) -> tuple[str, ...]:
    """A random order of clubs, each about as often, none twice running where that can be had. Same seed, same order."""
    if not clubs:
        raise ValueError("needs at least one club")
    rng = np.random.default_rng(seed)
    out: list[str] = []
    used = dict.fromkeys(clubs, 0)
    for _ in range(balls):
        fewest = min(used[c] for c in clubs if len(clubs) == 1 or not out or c != out[-1])
        open_to = [c for c in clubs if used[c] == fewest and (len(clubs) == 1 or not out or c != out[-1])]
        pick = open_to[int(rng.integers(len(open_to)))]
        used[pick] += 1
        out.append(pick)
    return tuple(out)


def _open_part(schedule: Schedule, reps: int) -> list[bool]:
    match schedule:
        case "every":
            return [True] * reps
        case "faded":
            out: list[bool] = []
            thirds = np.array_split(np.arange(reps), len(FADES))
            for share, part in zip(FADES, thirds, strict=True):
                # Evenly spread: a rep is told when the running share passes a whole number.
                out += [int((i + 1) * share + 1e-9) > int(i * share + 1e-9) for i in range(part.size)]
            return out
        case "summary":
            return [(i + 1) % SUMMARY_OF == 0 for i in range(reps)]
        case _:
            return [False] * reps


_SENTENCES: Final[dict[Schedule, str]] = {
    "every": "Say what happened after every rep. Good for the first few, not for long.",
    "faded": "Say what happened after every rep at first, then every second, then one in five; the last balls in silence.",
    "bandwidth": "Speak only when it misses the window; silence means good. The last balls in silence.",
    "self_chosen": "Speak when the golfer asks. The last balls in silence.",
    "summary": "Keep quiet for five, then sum them up together. The last balls in silence.",
    "none": "No feedback: a test, not a lesson.",
}
