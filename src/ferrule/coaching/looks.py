"""What to look at next: which reading would settle most about the largest cause for its time, among what is at hand.

The gain of a look: how much likelier the cause that truly is the largest will then be held to be it, averaged over what
the look may show. (The probability of the likeliest cause alone would not do: it stays where it is whenever no single
outcome can change which cause is likeliest, though the next look then could.) Worked out on a few of the posterior's own points, which each reading draws together and shifts as it
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
from ferrule.units import DEG

Floats = NDArray[np.float64]
Predict = Callable[[States], Floats]

WORTH: Final = 0.004
"""Looks that make the largest cause less than this much surer are not offered (common practice, no source)."""
_POINTS: Final = 160
_OUTCOMES: Final = 9
_KNOWN: Final = 1.5
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
    """A look with its gain: how much likelier the truly largest cause will be held to be it (0 to 1)."""

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
    """Gain of each look: expected rise of the probability given to the cause that truly is the largest.

    Where a look brings several readings, what they may show together is spread evenly over as many dimensions.
    """
    some = _evenly(posterior.weight)
    share = shares[some].T
    now = _held(share[:, None, :])[0]
    if not looks:
        return []
    few = States(states.model, states.x[some])
    predict = {**SHOWN, **through_ball}
    names = list(dict.fromkeys(name for look in looks for name, _ in look.shows))
    shown = np.array([predict[name](few) for name in names])
    shown -= shown.mean(axis=1, keepdims=True)
    mean = share.mean(axis=1, keepdims=True)
    around = np.concatenate([share - mean, shown])
    out = []
    for look in looks:
        readings = [(names.index(name), sd * DEG) for name, sd in look.shows]
        after = _after(around, len(share), readings)
        out.append(float(_held(after + mean[:, :, None]).mean() - now))
    return out


def _after(around: Floats, causes: int, readings: Sequence[tuple[int, float]]) -> Floats:
    """Shares about their mean at each outcome of a look, shape (causes, outcomes, points).

    around: shares, then what may be shown, about their means, (causes + shown, points); readings: row among what may be
    shown, and sd.
    """
    points = around.shape[1]
    outcome = _outcomes(len(readings))
    shift = np.zeros((causes, len(outcome)))
    for place, (row, sd) in enumerate(readings):
        column = around[causes + row]
        with_column = around @ column / points
        variance = float(with_column[causes + row]) + sd**2
        gain = with_column / variance
        shift += np.sqrt(variance) * gain[:causes, None] * outcome[None, :, place]
        # Drawn together by so much that their covariance is what the reading leaves of it.
        around = around - (gain / (1.0 + sd / np.sqrt(variance)))[:, None] * column
    return shift[:, :, None] + around[:causes, None, :]


def _held(share: Floats) -> Floats:
    """Probability that the largest cause is given, averaged over which it may be: Σ p², shape (outcomes,), from shares
    (causes, outcomes, points).
    """
    size = np.abs(share)
    probability = np.count_nonzero(size == size.max(axis=0), axis=2) / share.shape[2]
    return np.asarray(np.sum(probability**2, axis=0))


def _evenly(weight: Floats) -> NDArray[np.intp]:
    """Indices of equally likely points out of weighted ones."""
    places = (0.5 + np.arange(_POINTS)) / _POINTS
    return np.minimum(np.searchsorted(np.cumsum(weight), places), len(weight) - 1)


@lru_cache(maxsize=8)
def _outcomes(dimensions: int) -> Floats:
    """Evenly spread standard normal outcomes of so many readings, antithetic, shape (outcomes, dimensions)."""
    count = _OUTCOMES if dimensions == 1 else 2 * _OUTCOMES
    if dimensions == 1:
        return np.asarray(ndtri((0.5 + np.arange(count)) / count))[:, None]
    # Additive recurrence on the generalised golden ratio (Roberts 2018).
    ratio = 1.0
    for _ in range(64):
        ratio = (1.0 + ratio) ** (1.0 / (dimensions + 1))
    half = ndtri((0.5 + np.arange(1, count + 1)[:, None] * ratio ** -np.arange(1, dimensions + 1)) % 1.0)
    out = np.vstack([half, -half])
    return np.asarray(out / out.std(axis=0))


def _known(look: Look, read: Mapping[str, float]) -> bool:
    """What the look is for was read at least half as well again: looking again settles little."""
    name, _ = look.shows[0]
    return name in read and read[name] <= _KNOWN * look.sd_deg * DEG


def _part_of_another(look: Look, offered: Sequence[Look]) -> bool:
    """Another look that is offered with the same gear brings this reading along."""
    return any(
        other is not look and other.needs == look.needs and look.shows[0] in other.shows[1:] for other in offered
    )


__all__ = ["INTERRUPTION_S", "LOOKS", "USUAL_BEND_DEG", "Look", "RankedLook", "gains_of", "next_looks", "open_looks"]
