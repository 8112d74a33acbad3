"""What a trial's few balls say: how many flew where they should by each way, and how sure that is.

With six balls a way, a difference is mostly luck: each way's share of good balls gets the even prior, and the probability
that one is better follows from counts alone (Beta posteriors, compared exactly).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb
from typing import Final

from ferrule.coaching.wording_trial import trial_sentence

ON_LINE: Final = frozenset({"straight", "fade", "draw", "push-draw", "pull-fade"})
"""Shapes that end near the target: straight with at most a gentle bend, or out and gently back (common practice)."""


@dataclass(frozen=True, slots=True)
class TrialVerdict:
    """good and balls by way; a_better: probability that way A gives more balls on line; sentence: for coach and golfer."""

    good_a: int
    balls_a: int
    good_b: int
    balls_b: int
    a_better: float
    sentence: str


def verdict_on(balls: Sequence[tuple[str, str | None]], name_a: str, name_b: str) -> TrialVerdict | None:
    """The verdict on balls given as way (a or b) and shape; None before each way has two balls that were seen."""
    seen = {way: [shape in ON_LINE for w, shape in balls if w == way and shape] for way in ("a", "b")}
    (good_a, n_a), (good_b, n_b) = ((sum(seen[w]), len(seen[w])) for w in ("a", "b"))
    if min(n_a, n_b) < 2:
        return None
    better = probability_better(good_a, n_a, good_b, n_b)
    sentence = trial_sentence((name_a, good_a, n_a), (name_b, good_b, n_b), better)
    return TrialVerdict(good_a, n_a, good_b, n_b, better, sentence)


def probability_better(good_a: int, n_a: int, good_b: int, n_b: int) -> float:
    """P(share of A > share of B) for Beta(1 + good, 1 + n - good) each, by the exact finite sum."""
    a, b = 1 + good_a, 1 + n_a - good_a
    c, d = 1 + good_b, 1 + n_b - good_b
    # P(A > B) = sum over i < a of B(c + i, b + d) / ((b + i) B(1 + i, b) B(c, d)), in whole numbers by binomials.
    return float(sum(_beta(c + i, b + d) / ((b + i) * _beta(1 + i, b) * _beta(c, d)) for i in range(a)))


def _beta(x: int, y: int) -> float:
    return 1.0 / (x * comb(x + y - 1, x))
