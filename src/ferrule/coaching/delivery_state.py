"""The unknowns of one golfer's delivery with one club, what they say about the ball's world, and what is likely of them
before anything is read.

State, radians, columns in this order: grip g, flexion Δf, unset ε_unset, roll Δσ, lean ℓ (total, beyond reference),
raised ε_body, aim, body κ, path (less aim), chi χ. The lean tie ℓ = c (Δf cos χ - Δσ sin χ) + a enters the prior with its
slope c integrated out.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.ball.response import BallAnswers, ResponseByLoft
from ferrule.club.delivery import (
    closing_about_shaft,
    closing_and_loft_for_face,
    closing_by_wrist,
    face_and_loft_of,
    face_of,
    loft_of,
)
from ferrule.coaching.references import LEAN_TIE, PRIORS, Reference
from ferrule.units import DEG

Floats = NDArray[np.float64]

STATE: Final = ("grip", "flexion", "unset", "roll", "lean", "raised", "aim", "body", "path", "chi")
G, F, U, R, L, B, A, K, P, X = range(len(STATE))
SIZE: Final = len(STATE)

CAUSES: Final = (
    "grip",
    "lead_wrist_flexion",
    "lead_wrist_unset",
    "forearm_roll",
    "shaft_lean",
    "posture",
    "aim",
    "arm_and_body",
)
"""The players of the split, in the order of their state columns `CAUSE_COLUMNS`."""
CAUSE_COLUMNS: Final = (G, F, U, R, L, B, A, K)
_PRIOR: Final = {
    part: np.array([PRIORS[name][i] * DEG for name in STATE[:-1]] + [0.0]) for i, part in enumerate(("mean", "sd"))
}


@lru_cache(maxsize=64)
def _with_chi(part: str, chi: float) -> Floats:
    """Means or spreads before any reading, χ with the rest; the same array for all, not to be written to."""
    out = _PRIOR[part].copy()
    out[X] = chi
    out.flags.writeable = False
    return out


@dataclass(frozen=True, slots=True)
class DeliveryModel:
    """Reference and priors of one club, and the forward functions on states of shape (n, 10)."""

    reference: Reference

    def face(self, x: Floats) -> Floats:
        """φ, radians, shape (n,)."""
        return face_of(self.reference.face, self.closing(x), x[:, L], x[:, B] + x[:, U], x[:, A])

    def closing(self, x: Floats) -> Floats:
        """ρ, radians, shape (n,)."""
        return closing_about_shaft(x[:, G], x[:, F], x[:, R], x[:, K], x[:, X], self.reference.flexion)

    def path(self, x: Floats) -> Floats:
        """Path, radians, + right, shape (n,)."""
        return np.asarray(x[:, A] + x[:, P])

    def loft(self, x: Floats) -> Floats:
        """Delivered loft, radians, shape (n,)."""
        return loft_of(self.reference.face, self.closing(x), x[:, L], x[:, B] + x[:, U])

    def prior_mean(self) -> Floats:
        """Means of the independent normals before any reading; the lean entry is a placeholder for the tie."""
        return _with_chi("mean", self.reference.chi)

    def prior_sd(self) -> Floats:
        """Their standard deviations; the lean entry is the spread of a around the tie."""
        return _with_chi("sd", self.reference.spread["chi_deg"])

    def lean_lever(self, x: Floats) -> Floats:
        """What the lean tie multiplies: Δf cos χ - Δσ sin χ, shape (n,)."""
        return np.asarray(x[:, F] * np.cos(x[:, X]) - x[:, R] * np.sin(x[:, X]))

    def prior_residual(self, states: "States") -> Floats:
        """Departures from the prior in units of its spread, shape (n, 10). Over the slopes of the lean tie, which are normal,
        ℓ is a normal too, wider where the lever is long.
        """
        z = (states.x - self.prior_mean()) / self.prior_sd()
        z[:, L] = (states.x[:, L] - LEAN_TIE[0] * states.lever) / states.lean_sd
        return np.asarray(z)

    def lean_sd(self, lever: Floats) -> Floats:
        """Spread of ℓ around its tie, over the slopes of the tie too, shape (n,)."""
        return np.asarray(np.sqrt((LEAN_TIE[1] * lever) ** 2 + self.prior_sd()[L] ** 2))


class States:
    """States of one model with what they say of face, path, loft and ball, each worked out once and only when asked for.

    x: shape (n, 10), radians; known: what is known of the following already, each of shape (n,). per_face: dρ/dφ, where the
    closing came from the face.
    """

    per_face: Floats

    def __init__(self, model: DeliveryModel, x: Floats, **known: Floats) -> None:
        self.model, self.x = model, x
        self._answers: tuple[ResponseByLoft, BallAnswers] | None = None
        self.__dict__.update(known)

    def some(self, chosen: slice | NDArray[np.intp]) -> "States":
        """Some of the states, with what is known of them."""
        known = {name: self.__dict__[name][chosen] for name in _FOLLOWING if name in self.__dict__}
        out = States(self.model, self.x[chosen], **known)
        if self._answers is not None:
            out._answers = self._answers[0], self._answers[1].some(chosen)
        return out

    @cached_property
    def lever(self) -> Floats:
        """What the lean tie multiplies."""
        return self.model.lean_lever(self.x)

    @cached_property
    def lean_sd(self) -> Floats:
        """Spread of ℓ around its tie, radians."""
        return self.model.lean_sd(self.lever)

    @cached_property
    def closing(self) -> Floats:
        """ρ, radians."""
        return self.model.closing(self.x)

    @cached_property
    def path(self) -> Floats:
        """Path, radians."""
        return self.model.path(self.x)

    @cached_property
    def face(self) -> Floats:
        """φ, radians."""
        return self._face_and_loft[0]

    @cached_property
    def loft(self) -> Floats:
        """Delivered loft, radians."""
        return self._face_and_loft[1]

    @cached_property
    def _face_and_loft(self) -> tuple[Floats, Floats]:
        x = self.x
        return face_and_loft_of(self.model.reference.face, self.closing, x[:, L], x[:, B] + x[:, U], x[:, A])

    def ball(self, response: ResponseByLoft) -> BallAnswers:
        """How the ball answers at the loft of each."""
        known = self._answers
        if known is None or known[0] is not response:
            known = self._answers = response, response.answers(self.loft)
        return known[1]


_FOLLOWING: Final = ("lever", "lean_sd", "closing", "path", "face", "loft", "per_face")


@dataclass(frozen=True, slots=True)
class Coordinates:
    """Coordinates of the state in which a posterior is near to a normal, shape (n, 10).

    face_first: φ stands in place of the grip, since what is seen of face and ball is straight in φ and curved in the grip;
    tied: a, scaled so that its prior is a normal, in place of the lean ℓ.
    """

    model: DeliveryModel
    face_first: bool
    tied: bool

    def states(self, y: Floats) -> States:
        """The states, shape (n,)."""
        model, x = self.model, y.copy()
        sin_chi, cos_chi = np.sin(x[:, X]), np.cos(x[:, X])
        lever = x[:, F] * cos_chi - x[:, R] * sin_chi
        lean_sd = model.lean_sd(lever)
        if self.tied:
            x[:, L] = LEAN_TIE[0] * lever + lean_sd / model.prior_sd()[L] * y[:, L]
        by_wrist = closing_by_wrist(x[:, F], x[:, R], sin_chi, cos_chi, model.reference.flexion)
        if not self.face_first:
            return States(model, x, lever=lever, lean_sd=lean_sd, closing=x[:, G] + by_wrist + x[:, K])
        rho, per_face, loft = closing_and_loft_for_face(
            model.reference.face, y[:, G], x[:, L], x[:, B] + x[:, U], x[:, A]
        )
        x[:, G] = rho - by_wrist - x[:, K]
        states = States(model, x, lever=lever, lean_sd=lean_sd, closing=rho, loft=loft, per_face=per_face)
        if per_face.all():
            states.face = y[:, G]
        return states

    def log_prior(self, states: States) -> Floats:
        """Log density of the prior in these coordinates, up to a constant, at states that came from them, shape (n,)."""
        z = self.model.prior_residual(states)
        log_density = -0.5 * np.einsum("ni,ni->n", z, z)
        if not self.tied:
            # Where ℓ stands by its tie, the change of volume takes this back.
            log_density -= np.log(states.lean_sd)
        if self.face_first:
            with np.errstate(divide="ignore"):
                # A face that no closing reaches has no volume: log 0, and so no weight.
                log_density += np.log(np.abs(states.per_face))
        return np.asarray(log_density)

    def lever_slopes(self, y: Floats) -> Floats:
        """How the lever of the lean tie moves with each coordinate at y, shape (10,); 0 where the lean goes by its tie."""
        slopes = np.zeros(SIZE)
        if not self.tied:
            slopes[[F, R]] = np.cos(y[X]), -np.sin(y[X])
        return slopes

    def of_prior_mean(self) -> Floats:
        """Where the means of the priors stand, shape (10,)."""
        return _of_prior_mean(self)


@lru_cache(maxsize=64)
def _of_prior_mean(coordinates: Coordinates) -> Floats:
    y = coordinates.model.prior_mean().copy()
    if coordinates.face_first:
        y[G] = float(coordinates.model.face(y[None, :])[0])
    y.flags.writeable = False
    return y


def departures_present(x: Floats, member: NDArray[np.bool_]) -> Floats:
    """States with only some causes departing.

    x: shape (n, 10); member: coalitions, shape (m, 8), in the order of `CAUSES`. Absent causes are 0, never their prior
    mean. Returns shape (m, n, 10).
    """
    mask = np.ones((member.shape[0], SIZE))
    mask[:, list(CAUSE_COLUMNS)] = member
    return np.asarray(mask[:, None, :] * x[None, :, :])
