"""Feel gap: what came of what was asked for, per golfer and cue, with its doubt.

    came = g · asked + b + e      g: the share that comes, b: the usual swing's own doubt, e: scatter and reading noise

Normal and in closed form, one golfer's tries of one cue together, from one lesson or many; each try is compared with the
untouched swings of its own lesson and mounting, so that a mounting's zero drops out. Priors: common practice, no source.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np

from ferrule.coaching.case import Case, CaseSwing, quantity_of
from ferrule.coaching.references import SCATTER
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

SHARE_PRIOR: Final = (0.4, 0.4)
"""Share of what is asked for that comes, mean and sd among golfers (common practice, no source)."""
TRIES_NEEDED: Final = 4
ENOUGH_SD: Final = 0.25
"""The share has to be known this well, or too few tries were made."""
NOISE_DF: Final = 6.0
"""How many swings the usual scatter counts for beside the golfer's own (common practice, no source)."""
OVERDO_AT_MOST: Final = 3.0
"""Nobody is told to ask for more than three times what is wanted."""
_SCATTER: Final = {
    "flexion": "flexion",
    "ulnar": "unset",
    "roll": "roll",
    "lean": "lean",
    "handle": "handle",
    "aim": "aim",
    "path": "path",
    "face": "face",
}


@dataclass(frozen=True, slots=True)
class Cue:
    """What a feel is meant to change: key of the glossary, and how much "as told" asks for, in the key's unit."""

    key: str
    asked: float


@dataclass(frozen=True, slots=True)
class Try:
    """One try. asked, came: in radians (or the key's own unit); sd: scatter and reading noise of this swing; against:
    which set of usual swings it is compared with; against_sd: the doubt of their mean.
    """

    feel: str
    key: str
    asked: float
    came: float
    sd: float
    against: str
    against_sd: float


@dataclass(frozen=True, slots=True)
class FeelGap:
    """One cue of one golfer. share: of what is asked for that comes; asked: what "as told" asks for; came: of that;
    few: too few or too uneven tries to say; needed: how many tries it takes about; ask_for: what to ask for so that
    `asked` comes, None when unknown or when the cue does not carry. Radians, or the key's own unit.
    """

    feel: str
    key: str
    asked: float
    tries: int
    share: Estimate
    came: Estimate
    scatter: float
    few: bool
    needed: int
    ask_for: float | None

    @property
    def came_interval(self) -> tuple[float, float]:
        """What comes of `asked`, 90 %."""
        return self.came.interval()


def tries_of(case: Case, cues: Mapping[str, Cue], lesson: str = "") -> list[Try]:
    """Tries of a case whose cue is known, each against the usual swings of its mounting.

    lesson: name that tells this case from others. A try without its reading, or without a usual swing beside it, is no
    evidence and is left out.
    """
    out = []
    for swing in case.swings:
        cue = None if swing.tried is None else cues.get(swing.tried.feel)
        if swing.tried is None or cue is None:
            continue
        reading = swing.get(cue.key)
        usual = _usual(case.untouched, cue.key, swing)
        if reading is None or usual is None:
            continue
        unit = DEG if cue.key.endswith("_deg") else 1.0
        mean, mean_sd, scatter = usual
        out.append(
            Try(
                swing.tried.feel,
                cue.key,
                cue.asked * swing.tried.amount * unit,
                (reading.value - mean) * unit,
                scatter * unit,
                f"{lesson}/{swing.mount}/{reading.how}",
                mean_sd * unit,
            )
        )
    return out


def feel_gaps(tries: Iterable[Try]) -> dict[str, FeelGap]:
    """Feel gap of each cue. tries: of one golfer."""
    cues: dict[tuple[str, str], list[Try]] = {}
    for one in tries:
        cues.setdefault((one.feel, one.key), []).append(one)
    return {feel: _gap(feel, key, cues[feel, key]) for feel, key in sorted(cues)}


def _gap(feel: str, key: str, tries: Sequence[Try]) -> FeelGap:
    asked = np.array([t.asked for t in tries])
    came = np.array([t.came for t in tries])
    names = sorted({t.against for t in tries})
    group = np.array([names.index(t.against) for t in tries])
    base = np.array([max(t.against_sd for t in tries if t.against == n) for n in names])
    design = np.zeros((len(tries), 1 + len(names)))
    design[:, 0] = asked
    design[np.arange(len(tries)), 1 + group] = 1.0
    prior = np.concatenate([[1.0 / SHARE_PRIOR[1] ** 2], 1.0 / base**2])
    usual = float(np.mean([t.sd**2 for t in tries]))
    variance = usual
    for _ in range(4):
        # Scatter of this golfer's tries beside the usual one; the fitted line takes about one degree of freedom.
        covariance = np.linalg.inv(design.T @ design / variance + np.diag(prior))
        mean = covariance @ (design.T @ came / variance + prior * np.array([SHARE_PRIOR[0], *np.zeros(len(names))]))
        left = float(np.sum((came - design @ mean) ** 2))
        taken = float(np.trace(covariance @ (design.T @ design)) / variance)
        variance = (NOISE_DF * usual + left) / (NOISE_DF + max(len(tries) - taken, 0.0))
    share = Estimate(float(mean[0]), sqrt(float(covariance[0, 0])))
    one = float(np.median(asked[asked != 0.0])) if np.any(asked) else 0.0
    few = len(tries) < TRIES_NEEDED or share.sd > ENOUGH_SD
    per_try = one**2 / variance
    still = (1.0 / ENOUGH_SD**2 - 1.0 / share.sd**2) / max(per_try, 1e-9)
    needed = max(TRIES_NEEDED, len(tries) + max(int(np.ceil(still)), 0))
    carries = share.value > 1.645 * share.sd and share.value > 0.1
    # The least expected miss of what is wanted, with a share that is itself in doubt.
    ask = one * min(share.value / (share.value**2 + share.sd**2), OVERDO_AT_MOST) if carries and not few else None
    return FeelGap(
        feel,
        key,
        one,
        len(tries),
        share,
        Estimate(share.value * one, share.sd * abs(one)),
        sqrt(variance),
        few,
        min(needed, 30),
        ask,
    )


def _usual(untouched: Sequence[CaseSwing], key: str, like: CaseSwing) -> tuple[float, float, float] | None:
    """Mean of the usual swings read in the same way under the same mounting, its doubt, and the sd of one swing, in the
    unit of the key.
    """
    reading = like.get(key)
    if reading is None:
        return None
    same = [r for s in untouched if s.mount == like.mount and (r := s.get(key)) is not None and r.how == reading.how]
    if not same:
        return None
    quantity = quantity_of(key)
    scatter = next((SCATTER[row] for word, row in _SCATTER.items() if word in key), 0.0)
    usual = scatter**2 + float(np.mean([r.doubt(quantity) ** 2 for r in same]))
    values = np.array([r.value for r in same])
    mean = float(values.mean())
    one = sqrt((NOISE_DF * usual + float(np.sum((values - mean) ** 2))) / (NOISE_DF + len(same) - 1))
    return mean, one / sqrt(len(same)), max(one, 1e-6)


__all__ = ["Cue", "FeelGap", "Try", "feel_gaps", "tries_of"]
