"""What to look at next: which reading would settle most about the largest cause for its time, among what is at hand.

The gain of a look: how much surer the cause that truly is the largest will then be, averaged over what the look may show.
Sureness is the sum of p⁴ over the causes: a cause is named, and something changed for it, only once it is rather sure, so
that making one cause sure counts for more than making several a little likelier. (The probability of the likeliest cause
alone would not do: it stays where it is whenever no single outcome can change which cause is likeliest, though the next
look then could.) Worked out on a few of the posterior's own points, which each reading draws together and shifts as it
would those of a normal (square-root filter, Whitaker & Hamill 2002, one reading after the other): points are never thinned
out by a sharp reading, so a look that tells nothing gains nothing. Looks are ranked by gain for their time, the
interruption included: a lesson bears few looks, so a strong one goes before two weak and quick ones.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from ferrule.coaching.case import Gear
from ferrule.coaching.delivery_state import A, B, F, G, L, R, States, U
from ferrule.coaching.looks_table import INTERRUPTION_S, LOOKS, USUAL_BEND_DEG, Look
from ferrule.coaching.posterior import Posterior
from ferrule.coaching.posterior_points import evenly, normal_sequence
from ferrule.units import DEG

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Predict = Callable[[States], Floats]

WORTH: Final = 0.01
"""Looks that make the largest cause less than this much surer are not offered (common practice, no source)."""
SURENESS: Final = 4
"""Power of the probability that makes its sureness; 2 to 4 were tried on other simulated golfers than those reported."""
_POINTS: Final = 160
_OUTCOMES: Final = 9
_KNOWN: Final = 1.3
"""A reading at most this many times as doubtful as the look's makes the look needless."""

# observation: what it would show at each state, radians, up to a constant
SHOWN: Final[dict[str, Predict]] = {
    # Through the address the grip shows with a rest of its own, which is part of the look's doubt.
    "grip_turn": lambda s: s.x[:, G],
    "grip_address": lambda s: s.x[:, G],
    "bend_lost": lambda s: s.x[:, B],
    "handle": lambda s: s.x[:, B] + s.x[:, U],
    "unset": lambda s: s.x[:, U],
    "shaft_lean": lambda s: s.x[:, L],
    "impact_flexion": lambda s: s.x[:, F],
    "impact_roll": lambda s: s.x[:, R],
    "aim": lambda s: s.x[:, A],
    "face_since_address": lambda s: s.face - s.x[:, A],
    "path": lambda s: s.path,
}


@dataclass(frozen=True, slots=True)
class RankedLook:
    """A look with its gain: how much surer the truly largest cause will be (0 to 1)."""

    look: Look
    gain: float

    @property
    def rate(self) -> float:
        """Gain per minute of the lesson, the interruption included."""
        return self.gain / self.look.time_s * 60.0


def next_looks(
    posterior: Posterior,
    states: States,
    shares: Floats,
    at_hand: Sequence[Gear],
    read: Mapping[str, float],
    through_ball: Mapping[str, Predict],
    table: Sequence[Look] = LOOKS,
) -> list[RankedLook]:
    """Looks worth their time, best first.

    states, shares: of the posterior's points; read: sd in radians of each observation already made, by name; through_ball:
    what the ball would show, for the looks that go through it; table: the looks to choose among.
    """
    offered = open_looks(table, at_hand, read)
    gains = gains_of(posterior, states, shares, offered, through_ball)
    ranked = [RankedLook(look, gain) for look, gain in zip(offered, gains, strict=True) if gain >= WORTH]
    return sorted(ranked, key=lambda r: (-r.rate, r.look.name))


def open_looks(table: Sequence[Look], at_hand: Sequence[Gear], read: Mapping[str, float]) -> list[Look]:
    """Looks of the table that can be taken and were not as good as taken, whatever they are worth."""
    offered = [look for look in table if look.needs in at_hand and not _known(look, read)]
    return [look for look in offered if not _part_of_another(look, offered)]


def gains_of(
    posterior: Posterior, states: States, shares: Floats, looks: Sequence[Look], through_ball: Mapping[str, Predict]
) -> list[float]:
    """Gain of each look: expected rise of how sure the cause is that truly is the largest.

    Where a look brings several readings, what they may show together is spread evenly over as many dimensions.
    """
    if not looks:
        return []
    some = evenly(posterior.weight, _POINTS)
    share = shares[some].T
    now = float(np.sum((np.bincount(np.abs(share).argmax(axis=0)) / _POINTS) ** SURENESS))
    few = states.some(some)
    predict = {**SHOWN, **through_ball}
    names = list(dict.fromkeys(name for look in looks for name, _ in look.shows))
    shown = np.array([predict[name](few) for name in names])
    around = np.concatenate([share, shown])
    mean = around.sum(axis=1, keepdims=True) / _POINTS
    # Single precision from here on: only which share is the largest is asked for.
    around, mean = (around - mean).astype(np.float32), mean[: len(share)].astype(np.float32)
    gains: dict[str, float] = {}
    for count in {len(look.shows) for look in looks}:
        alike = [look for look in looks if len(look.shows) == count]
        readings = np.array([[(names.index(name), sd * DEG) for name, sd in look.shows] for look in alike], np.float32)
        for look, then in zip(alike, _sureness(*_after(around, mean, readings)), strict=True):
            gains[look.name] = then - now
    return [gains[look.name] for look in looks]


def _after(around: Singles, mean: Singles, readings: Singles) -> tuple[Singles, Singles]:
    """Shares after each of several looks with as many readings: their means at each outcome, (looks, causes, outcomes), and
    what is left of them about those means, (looks, causes, points).

    around: shares, then what may be shown, about their means, (causes + shown, points); mean: of the shares, (causes, 1);
    readings: row among what may be shown, and sd, (looks, readings, 2).
    """
    causes, points = len(mean), around.shape[1]
    every, count = np.arange(len(readings)), readings.shape[1]
    outcome = _outcomes(count)
    shift = mean
    left = np.broadcast_to(around, (len(readings), *around.shape))
    for place in range(count):
        row, sd = readings[:, place, 0].astype(np.intp), readings[:, place, 1]
        column = left[every, causes + row]
        variance = np.einsum("lp,lp->l", column, column) / points + sd**2
        root = np.sqrt(variance)
        # Of what may be shown, only what is still to be read is followed.
        left = left if place < count - 1 else left[:, :causes]
        with_column = (left @ column[:, :, None])[:, :, 0] / points
        shift = shift + (with_column[:, :causes] / root[:, None])[:, :, None] * outcome[:, place]
        # Drawn together by so much that their covariance is what the reading leaves of it.
        left = left - (with_column / (variance + sd * root)[:, None])[:, :, None] * column[:, None, :]
    return shift, left[:, :causes]


def _sureness(mean: Singles, left: Singles) -> list[float]:
    """How sure the largest cause is, Σ p⁴ over which it may be, on average over the outcomes of each look; as `_after` has it."""
    size = mean[:, :, :, None] + left[:, :, None, :]
    np.abs(size, out=size)
    # Counted as bytes, which is twice as fast as counting truths.
    count = (size == size.max(axis=1, keepdims=True)).view(np.int8).sum(axis=3, dtype=np.int16)
    sure = ((count / left.shape[2]) ** SURENESS).sum(axis=(1, 2)) / mean.shape[2]
    return [float(s) for s in sure]


@lru_cache(maxsize=8)
def _outcomes(dimensions: int) -> Singles:
    """Evenly spread standard normal outcomes of so many readings, antithetic, shape (outcomes, dimensions)."""
    if dimensions == 1:
        return np.asarray(ndtri((0.5 + np.arange(_OUTCOMES)) / _OUTCOMES), np.float32)[:, None]
    half = normal_sequence(_OUTCOMES, dimensions)
    out = np.vstack([half, -half])
    return np.asarray(out / out.std(axis=0), np.float32)


def _known(look: Look, read: Mapping[str, float]) -> bool:
    """What the look is for was read nearly as well: looking again settles little."""
    name, _ = look.shows[0]
    return name in read and read[name] <= _KNOWN * look.sd_deg * DEG


def _part_of_another(look: Look, offered: Sequence[Look]) -> bool:
    """Another look that is offered with the same gear brings this reading along."""
    return any(
        other is not look and other.needs == look.needs and look.shows[0] in other.shows[1:] for other in offered
    )


__all__ = [
    "INTERRUPTION_S",
    "LOOKS",
    "SURENESS",
    "USUAL_BEND_DEG",
    "Look",
    "RankedLook",
    "gains_of",
    "next_looks",
    "open_looks",
]
