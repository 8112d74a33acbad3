"""The pattern before the instant: open or closed at shaft level coming down, by which causes, and what is still owed.

Degrees about the shaft, + open (the same for either hand). Measured against the address spine tilt: against the present
tilt, standing up is hidden, so both are given. Priors: common practice, no source.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import cos, pi, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from ferrule.club.clubs import Club
from ferrule.club.delivery import ReferenceFace, closing_that_squares
from ferrule.coaching.case import Swings
from ferrule.coaching.observation import Summary, summary_of
from ferrule.coaching.references import Reference
from ferrule.statistics.estimate import Estimate, weighted_estimates
from ferrule.units import DEG

Floats = NDArray[np.float64]

SHAFT_LEVEL_CAUSES: Final = ("grip", "lead_wrist_flexion", "forearm_roll", "arm_and_body")
FLEXION_SD: Final = 12.0 * DEG
FLEXION_FROM_TOP: Final = (0.7, 8.0 * DEG)
"""Departure at shaft level from the departure at the top: slope and rest (common practice, no source)."""
ROLL_SD: Final = 12.0 * DEG
BODY_SD: Final = 8.0 * DEG
SPINE_TILT: Final = (36.0 * DEG, 5.0 * DEG)
"""Forward bend at address where it was not read (common practice, no source)."""
BEND_KEPT: Final = (2.0 * DEG, 5.0 * DEG)
"""Bend lost from address to shaft level where it was not read (common practice, no source)."""
TIME_LEFT_S: Final = 0.04
"""Time from shaft level to impact (science.md B56: about 0.04 s)."""
_POINTS: Final = 512


@dataclass(frozen=True, slots=True)
class ShaftLevel:
    """What stands at shaft level, radians about the shaft, + open.

    shares: per cause of `SHAFT_LEVEL_CAUSES`; they sum to open_to_address_spine. probability_largest: per cause, by size.
    edge_tilt: leading edge forward from vertical. rate_needed: closing owed over the usual time left, rad/s. read: keys
    that were read at shaft level.
    """

    open_to_address_spine: Estimate
    open_to_present_spine: Estimate
    closing_owed: Estimate
    edge_tilt: Estimate
    shares: tuple[Estimate, ...]
    probability_largest: tuple[float, ...]
    rate_needed: float
    flexion: Estimate
    read: tuple[str, ...]


def shaft_level_of(
    swings: Swings, club: Club, reference: Reference, grip: Estimate, lean: float, raised: float
) -> ShaftLevel:
    """The layer at shaft level.

    grip: g as the impact layer knows it; lean, raised: total lean in the plane and total handle raise at impact, which
    decide how much closing squares the face. Radians.
    """
    z = _points()
    flexion_prior, flexion_seen = _flexion(swings, reference)
    roll_seen = summary_of(swings, "wrist.shaft_level_down.forearm_roll_deg", "roll")
    f = _normal(*_product(flexion_prior, flexion_seen, -reference.shaft_level_flexion), z[0])
    r = _normal(*_product((0.0, ROLL_SD), roll_seen, -reference.shaft_level_roll), z[1])
    g = grip.value + grip.sd * z[2]
    sin_chi, cos_chi = _chi(reference.chi_shaft_level, reference.spread["chi_shaft_level_deg"])
    spine_seen = summary_of(swings, "posture.forward_bend_address_deg", "bend")
    spine, spine_sd = (spine_seen.value, spine_seen.sd) if spine_seen else SPINE_TILT
    edge = summary_of(swings, "leading_edge_tilt_shaft_level_deg", "edge")
    cos_ref, cos_now = cos(reference.shaft_level_flexion), np.cos(reference.shaft_level_flexion + f)
    by_flexion = f * sin_chi + 0.5 * r * cos_chi * (cos_now - cos_ref)
    by_roll = 0.5 * r * cos_chi * (cos_now + cos_ref)
    weight = np.full(_POINTS, 1.0 / _POINTS)
    if edge is None:
        body = BODY_SD * z[4]
    else:
        # What arm and body add is what the edge shows beyond the rest: a normal at every point, and a weight.
        noise = edge.sd**2 + spine_sd**2
        rest = (edge.value - spine) - (g + by_flexion + by_roll)
        body_mean = rest * BODY_SD**2 / (BODY_SD**2 + noise)
        body = body_mean + sqrt(BODY_SD**2 * noise / (BODY_SD**2 + noise)) * z[4]
        log_weight = -0.5 * rest**2 / (BODY_SD**2 + noise)
        weight = np.exp(log_weight - log_weight.max())
        weight /= weight.sum()
    shares = -np.array([g, by_flexion, by_roll, body])
    if edge is not None and spine_seen is not None:
        shares += _to_what_was_read(shares, weight, spine - edge.value)[:, None]
    opened, *of_shares, departure = weighted_estimates(np.array([shares.sum(axis=0), *shares, f]), weight)
    # Where the edge itself was read, the reading and the rest agree through the weights.
    tilt = Estimate(spine - opened.value, opened.sd if edge is None else edge.sd)
    present = _present_spine(swings, spine)
    to_present = Estimate(present.value - tilt.value, sqrt(tilt.sd**2 + present.sd**2 + (0.0 if edge else spine_sd**2)))
    squaring = closing_that_squares(ReferenceFace(club.loft, club.lie, 0.0), lean, raised)
    largest = np.bincount(np.argmax(np.abs(shares), axis=0), weight, len(shares))
    owed = Estimate(club.lie - tilt.value + squaring, sqrt(tilt.sd**2 + (2.0 * DEG) ** 2))
    names = [
        name
        for name, seen in (("flexion", flexion_seen), ("roll", roll_seen), ("edge", edge), ("spine", spine_seen))
        if seen is not None
    ]
    return ShaftLevel(
        opened,
        to_present,
        owed,
        tilt,
        tuple(of_shares),
        tuple(largest.tolist()),
        max(owed.value, 0.0) / TIME_LEFT_S,
        Estimate(departure.value + reference.shaft_level_flexion, departure.sd),
        tuple(names),
    )


def _to_what_was_read(shares: Floats, weight: Floats, read: float) -> Floats:
    """What to add to the shares, shape (4,), so that they sum to the reading: spine less edge is seen, no prior pulls at it.

    The less is known of a share, the more of the difference it takes.
    """
    mean = shares @ weight
    variance = (shares - mean[:, None]) ** 2 @ weight
    return np.asarray((read - mean.sum()) * variance / variance.sum())


def _flexion(swings: Swings, reference: Reference) -> tuple[tuple[float, float], Summary | None]:
    """Prior mean and sd of the departure at shaft level, given the top; and its own reading."""
    top = summary_of(swings, "wrist.top.flexion_deg", "flexion")
    prior = (0.0, FLEXION_SD)
    if top is not None:
        slope, rest = FLEXION_FROM_TOP
        prior = (slope * (top.value - reference.top_flexion), sqrt(rest**2 + (slope * top.sd) ** 2))
    return prior, summary_of(swings, "wrist.shaft_level_down.flexion_deg", "flexion")


def _product(prior: tuple[float, float], seen: Summary | None, offset: float) -> tuple[float, float]:
    """Prior times reading, both normal; offset turns the reading into a departure."""
    mean, sd = prior
    if seen is None:
        return mean, sd
    gain = sd**2 / (sd**2 + seen.sd**2)
    return mean + gain * (seen.value + offset - mean), sd * sqrt(1.0 - gain)


def _present_spine(swings: Swings, spine: float) -> Estimate:
    seen = summary_of(swings, "posture.forward_bend_shaft_level_deg", "bend")
    if seen is not None:
        return Estimate(seen.value, seen.sd)
    return Estimate(spine - BEND_KEPT[0], BEND_KEPT[1])


def _normal(mean: float, sd: float, z: Floats) -> Floats:
    return np.asarray(mean + sd * z)


@lru_cache(maxsize=64)
def _chi(mean: float, sd: float) -> tuple[Floats, Floats]:
    """Sine and cosine at every point of the angle between forearm and shaft at shaft level."""
    chi = np.clip(mean + sd * _points()[3], 20.0 * DEG, 100.0 * DEG)
    out = np.array([np.sin(chi), np.cos(chi)])
    out.flags.writeable = False
    return out[0], out[1]


@lru_cache(maxsize=1)
def _points() -> Floats:
    """Antithetic quasi-random normal points in five dimensions, whitened, shape (5, n)."""
    half = _POINTS // 2
    u = (0.5 + np.arange(1, half + 1)[:, None] * np.sqrt([2.0, 3.0, 5.0, 7.0, pi])) % 1.0
    z = ndtri(u)
    z = np.vstack([z, -z])
    out = np.asarray(np.linalg.inv(np.linalg.cholesky(np.cov(z.T, bias=True))) @ z.T)
    out.flags.writeable = False
    return out
