"""What a coach's eye adds every time: its bias, learned wherever eye and instrument read the same swing.

    eye - instrument = bias + offset of that mounting or camera + noise

The bias belongs to one coach and one kind of reading (a wrist that looks more cupped than it is does so at the top and at
impact). Normal and in closed form; the noise of this eye is learned beside it, its prior counting as a few pairs. An
instrument that errs alike in all its readings counts once, however often it was read: pairs from several mountings teach
more. Values stay in the unit of their key.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import sqrt
from typing import Final

import numpy as np

from ferrule.coaching.case import Reading, quantity_of
from ferrule.coaching.observation import SHARED
from ferrule.statistics.estimate import Estimate

NOISE_DF: Final = 6.0
"""How many pairs the prior of the eye's noise counts for (common practice, no source)."""
PAIRS_NEEDED: Final = 3
"""Below this many pairs nothing is said about an eye."""
EXCLUDES: Final = 1.96


@dataclass(frozen=True, slots=True)
class EyePair:
    """The same thing of the same swing, by eye and by instrument; against: which mounting or camera set-up, in any
    words that tell it from the others; shared: sd of what the instrument errs by in all pairs of that set-up, in the unit
    of the key, None for the usual part of its doubt. Less where the balls of the lesson have taught a mounting's offset.
    """

    key: str
    eye: Reading
    instrument: Reading
    against: str = ""
    shared: float | None = None

    @property
    def doubt(self) -> tuple[float, float]:
        """Sd of the instrument that all pairs of its set-up share, and of its own, in the unit of the key."""
        total = self.instrument.doubt(quantity_of(self.key))
        shared = SHARED[self.instrument.how] * total if self.shared is None else min(self.shared, total)
        return shared, sqrt(total**2 - shared**2)

    @property
    def difference(self) -> float:
        """Eye less instrument, in the unit of the key."""
        return self.eye.value - self.instrument.value


@dataclass(frozen=True, slots=True)
class EyeBias:
    """One kind of reading: what this eye adds; noise: sd of a single look without the bias; pairs: how many taught it."""

    kind: str
    bias: Estimate
    noise: float
    pairs: int

    @property
    def found(self) -> bool:
        """Whether the bias is known not to be nothing (95 %)."""
        return self.pairs >= PAIRS_NEEDED and abs(self.bias.value) > EXCLUDES * self.bias.sd

    def negated(self) -> "EyeBias":
        """The bias seen in the mirror."""
        return replace(self, bias=Estimate(-self.bias.value, self.bias.sd))


def kind_of(key: str) -> str:
    """Kind of reading that one bias serves: the key without the event or place in the swing."""
    parts = key.split(".")
    if parts[0] in ("wrist", "trail_wrist"):
        return f"{parts[0]}.{parts[-1]}"
    if key.startswith("posture.forward_bend"):
        return "posture.forward_bend_deg"
    return key


def learn_eye(pairs: Iterable[EyePair]) -> dict[str, EyeBias]:
    """Bias by kind of reading, from all pairs of one coach."""
    kinds: dict[str, list[EyePair]] = {}
    for pair in pairs:
        kinds.setdefault(kind_of(pair.key), []).append(pair)
    return {kind: _learn(kind, kinds[kind]) for kind in sorted(kinds)}


def _learn(kind: str, pairs: Sequence[EyePair]) -> EyeBias:
    eye = np.array([p.eye.doubt(quantity_of(p.key)) for p in pairs])
    part = SHARED["by_eye"]
    noise_usual = float(np.mean(eye)) * sqrt(1.0 - part**2)
    alike, alone = np.array([p.doubt for p in pairs]).T
    own = alone**2
    difference = np.array([p.difference for p in pairs])
    names = sorted({p.against for p in pairs})
    group = np.array([names.index(p.against) for p in pairs])
    noise = noise_usual
    for _ in range(3):
        # The noise is what is left within a mounting, less what the instrument itself adds.
        weight = 1.0 / (noise**2 + own)
        of_group = np.bincount(group, weight)
        mean = np.bincount(group, weight * difference) / of_group
        left = (difference - mean[group]) ** 2 - own * (1.0 - weight / of_group[group])
        freedom = len(pairs) - len(names)
        noise = sqrt(max((NOISE_DF * noise_usual**2 + float(left.sum())) / (NOISE_DF + freedom), 0.25 * noise_usual**2))
    weight = 1.0 / (noise**2 + own)
    of_group = np.bincount(group, weight)
    mean = np.bincount(group, weight * difference) / of_group
    shared = np.bincount(group, weight * alike) / of_group
    precision = 1.0 / (1.0 / of_group + shared**2)
    prior = 1.0 / (part * float(np.mean(eye))) ** 2
    total = prior + float(precision.sum())
    return EyeBias(kind, Estimate(float(precision @ mean) / total, sqrt(1.0 / total)), noise, len(pairs))


def sd_for_many(own: float, shared: float, count: int, part: float) -> float:
    """Sd to give each of `count` readings, of which `part` is taken as shared by all, so that their mean has the doubt
    of a shared error and noise of their own: sqrt(shared² + own² / count).
    """
    return sqrt((shared**2 + own**2 / count) / (part**2 + (1.0 - part**2) / count))


def without_bias(reading: Reading, key: str, known: Mapping[str, EyeBias], count: int) -> Reading | None:
    """A reading by eye with this eye's bias taken out, one of `count` of its key; None when nothing is known of it."""
    learned = known.get(kind_of(key))
    if reading.how != "by_eye" or learned is None or learned.pairs < PAIRS_NEEDED:
        return None
    part = 0.0 if key.startswith(("delivery.", "ball.")) else SHARED["by_eye"]
    sd = sd_for_many(learned.noise, learned.bias.sd, count, part)
    return Reading(reading.value - learned.bias.value, sd, "by_eye")


__all__ = ["EyeBias", "EyePair", "kind_of", "learn_eye", "sd_for_many", "without_bias"]
