"""From delivery to launch: a rigid head meets a ball that grips, rolls or slides on the face.

One model. With K the inverse mass of ball and head at the point of contact and u the face's velocity against the ball,
the impulse P on the ball satisfies u' = u - K P, where

    along the face normal    u'_n = -e u_n        restitution e, which falls with speed
    along the face           u'_t = -e_t u_t      tangential restitution: 0 rolls at release, above 0 springs back
    friction                 |P_t| <= mu P_n      else the ball slides all the way: P_t = mu P_n

For a hit through the head's centre of mass this is the textbook pair v_n = (1+e) V cos(theta) / (1 + m/M),
v_t = (1+e_t) V sin(theta) / (7/2 + m/M) (Daish 1972). A hit off the centre turns the head about it (gear effect).

Limits, stated: no shaft force during the half millisecond; restitution, e_t and mu the same over the whole face; e_t does
not depend on the angle of the blow, though a real ball's does (Cross 2002); head turning rate before impact left out.
Default e_t 0.10, sd 0.08, and mu 0.26 (common practice): with them the face's share of the start line is inside the
measured 61-83 % (C30) for every club of the bag.
"""

from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from ferrule.ball.golf_ball import INERTIA, MASS, RADIUS
from ferrule.ball.launch import Launch, Launches, launches_from_vectors
from ferrule.club.clubs import Club, Kind
from ferrule.units import DEG

Floats = NDArray[np.float64]
Model = Literal["rolling", "grip_and_slip"]

TANGENTIAL_RESTITUTION: Final = 0.10
TANGENTIAL_RESTITUTION_SD: Final = 0.08
FRICTION: Final = 0.26
_PLAIN_FACE: Final = (0.78, 48.8)
_SPRINGY_FACE: Final = (0.82, 48.8)
_RESTITUTION_SLOPE: Final = 0.0029


@dataclass(frozen=True, slots=True)
class Head:
    """The club head as a body, for hits off its centre (common practice; the rules allow at most 5.9e-4, C49).

    depth: centre of mass behind the face, m; inertia_up, inertia_across: kg m^2 about the face's up direction and about
    the heel-toe direction; bulge, roll: radius of the face from heel to toe and from sole to crown, m, None when flat.
    """

    depth: float
    inertia_up: float
    inertia_across: float
    bulge: float | None = None
    roll: float | None = None


HEADS: Final[dict[Kind, Head]] = {
    "driver": Head(0.040, 4.4e-4, 2.8e-4, 0.286, 0.286),
    "wood": Head(0.030, 2.7e-4, 1.7e-4, 0.286, 0.286),
    "hybrid": Head(0.018, 2.6e-4, 1.4e-4, 0.45, 0.45),
    "iron": Head(0.005, 2.5e-4, 0.9e-4),
    "wedge": Head(0.005, 2.6e-4, 0.9e-4),
}
"""Common practice, spread about 20 %. Bulge: 12 mm towards the toe turns the face of a wood 2.4 degrees right."""


@dataclass(frozen=True, slots=True)
class Delivery:
    """How the head meets the ball, in the world: radians, m/s, kilograms, metres.

    face, path: + right of the target line (either hand); attack: + upwards; delivered_loft: elevation of the face normal;
    restitution: None for the default that falls with speed; toe, high: where on the face, from its centre, + towards
    the toe and the crown; handed: +1 when the toe points right (a right-handed golfer), -1 left; head: None for a hit
    that never turns the head.
    """

    face: float
    path: float
    attack: float
    delivered_loft: float
    club_speed: float
    head_mass: float
    restitution: float | None = None
    toe: float = 0.0
    high: float = 0.0
    handed: int = 1
    head: Head | None = None
    springy: bool = False


def delivery_with(
    club: Club, club_speed: float, face: float, path: float, attack: float, delivered_loft: float
) -> Delivery:
    """A centred delivery with the head of that club."""
    return Delivery(
        face,
        path,
        attack,
        delivered_loft,
        club_speed,
        club.head_mass,
        head=HEADS[club.kind],
        springy=club.kind in {"driver", "wood", "hybrid"},
    )


def default_restitution(normal_speed: Floats, springy: bool | NDArray[np.bool_]) -> Floats:
    """Restitution by speed along the face normal, m/s.

    0.78 for a plain face with a standard ball (C54) and 0.82 for a thin one (C53) at the speed of the test, 48.8 m/s, and
    0.0029 less for each m/s faster (slope: Penner 2001, from memory); the spread between balls is about 0.02.
    """
    plain, thin = _PLAIN_FACE, _SPRINGY_FACE
    base = np.where(springy, thin[0], plain[0])
    return np.clip(base - _RESTITUTION_SLOPE * (normal_speed - thin[1]), 0.5, 0.92)


def strike(delivery: Delivery, model: Model = "grip_and_slip") -> Launch:
    """The launch from one delivery; see strike_many."""
    one = np.ones(1)
    return strike_many(
        delivery.face * one,
        delivery.path * one,
        delivery.attack * one,
        delivery.delivered_loft * one,
        delivery.club_speed * one,
        like=delivery,
        toe=delivery.toe,
        high=delivery.high,
        model=model,
    )[0]


def strike_many(
    face: Floats,
    path: Floats,
    attack: Floats,
    delivered_loft: Floats,
    club_speed: Floats,
    *,
    like: Delivery,
    toe: Floats | float = 0.0,
    high: Floats | float = 0.0,
    model: Model = "grip_and_slip",
    tangential_restitution: Floats | float | None = None,
    friction: float | None = None,
    restitution: Floats | float | None = None,
) -> Launches:
    """Launches from many deliveries of one head, each argument of shape (n,).

    like gives what the deliveries share: head, mass, hand, and the restitution unless restitution is given. model
    "rolling": no tangential spring and no sliding; "grip_and_slip": both, with the defaults of this module.
    """
    springs = tangential_restitution
    if springs is None:
        springs = 0.0 if model == "rolling" else TANGENTIAL_RESTITUTION
    grip = friction if friction is not None else (np.inf if model == "rolling" else FRICTION)
    normal, toe_axis, up_axis = face_axes(face, delivered_loft)
    toe_axis = like.handed * toe_axis
    velocity = club_speed * np.stack([np.cos(attack) * np.cos(path), np.sin(attack), np.cos(attack) * np.sin(path)])
    lever = _Lever(like.head, normal, toe_axis, up_axis, toe, high)
    out = _collide(velocity, like, lever, springs, grip, restitution)
    return launches_from_vectors(*out)


def face_axes(face: Floats, delivered_loft: Floats) -> tuple[Floats, Floats, Floats]:
    """Face normal, level direction along the face (+ right) and up direction along the face, each (3, n)."""
    cos_f, sin_f, cos_l, sin_l = np.cos(face), np.sin(face), np.cos(delivered_loft), np.sin(delivered_loft)
    flat = np.zeros_like(cos_f)
    return (
        np.stack([cos_l * cos_f, sin_l + flat, cos_l * sin_f]),
        np.stack([-sin_f, flat, cos_f]),
        np.stack([-sin_l * cos_f, cos_l + flat, -sin_l * sin_f]),
    )


class _Lever:
    """Point of contact seen from the head's centre of mass, and the face's normal there."""

    def __init__(
        self,
        head: Head | None,
        normal: Floats,
        toe_axis: Floats,
        up_axis: Floats,
        toe: Floats | float,
        high: Floats | float,
    ) -> None:
        self.normal = normal
        self.turns = head is not None and (bool(np.any(toe)) or bool(np.any(high)))
        if head is None or not self.turns:
            return
        self.arms = (head.depth * normal + toe * toe_axis + high * up_axis, head.depth * normal)
        self.inverse_inertia = (
            np.einsum("in,jn->ijn", up_axis, up_axis) / head.inertia_up
            + np.einsum("in,jn->ijn", toe_axis, toe_axis) / head.inertia_across
            + np.einsum("in,jn->ijn", normal, normal) / head.inertia_up
        )
        if head.bulge is not None:
            bent = normal + np.asarray(toe) / head.bulge * toe_axis
            if head.roll is not None:
                bent = bent + np.asarray(high) / head.roll * up_axis
            self.normal = bent / np.sqrt(np.sum(bent**2, axis=0))

    def inverse_mass(self) -> Floats:
        """What a unit impulse does to the head's surface at the contact by turning it, shape (3, 3, n).

        Less what it would do at the centre, so that a centred hit is exactly the textbook one.
        """
        off, centre = (self._turned(arm) for arm in self.arms)
        return off - centre

    def _turned(self, arm: Floats) -> Floats:
        x, y, z = arm
        none = np.zeros_like(x)
        cross = np.array([[none, -z, y], [z, none, -x], [-y, x, none]])
        return np.asarray(np.einsum("jin,jkn,kln->iln", cross, self.inverse_inertia, cross))


def _collide(
    velocity: Floats,
    like: Delivery,
    lever: _Lever,
    springs: Floats | float,
    grip: float,
    restitution: Floats | float | None,
) -> tuple[Floats, Floats]:
    """Ball velocity and spin vector after impact, each (3, n)."""
    n = lever.normal
    across_speed = np.sum(velocity * n, axis=0)
    given = like.restitution if restitution is None else restitution
    e = default_restitution(across_speed, like.springy) if given is None else given
    along = velocity - across_speed * n
    share = MASS / like.head_mass
    if not lever.turns:
        push = MASS * (1.0 + e) * across_speed / (1.0 + share)
        drag = MASS * (1.0 + np.asarray(springs)) * along / (3.5 + share)
        size = np.sqrt(np.sum(drag**2, axis=0))
        held = np.minimum(1.0, grip * push / np.maximum(size, 1e-300)) if np.isfinite(grip) else 1.0
        impulse = push * n + held * drag
    else:
        impulse = _impulse_with_turning(lever, like.head_mass, across_speed, along, e, springs, grip)
    spin = np.cross(-RADIUS * n, impulse, axis=0) / INERTIA
    return impulse / MASS, np.asarray(spin)


def _impulse_with_turning(
    lever: _Lever,
    head_mass: float,
    across_speed: Floats,
    along: Floats,
    e: Floats | float,
    springs: Floats | float,
    grip: float,
) -> Floats:
    n = lever.normal
    each = np.eye(3)[:, :, None]
    outer = np.einsum("in,jn->ijn", n, n)
    k = each * (1.0 / MASS + 1.0 / head_mass) + (RADIUS**2 / INERTIA) * (each - outer) + lever.inverse_mass()
    change = (1.0 + e) * across_speed * n + (1.0 + np.asarray(springs)) * along
    impulse = np.moveaxis(np.linalg.solve(np.moveaxis(k, -1, 0), change.T[:, :, None])[:, :, 0], 0, -1)
    push = np.sum(impulse * n, axis=0)
    drag = impulse - push * n
    size = np.sqrt(np.sum(drag**2, axis=0))
    slides = size > grip * push if np.isfinite(grip) else np.zeros(len(push), dtype=np.bool_)
    if slides.any():
        way = n + grip * drag / np.maximum(size, 1e-300)
        slid = (1.0 + e) * across_speed / np.einsum("in,ijn,jn->n", n, k, way) * way
        impulse = np.where(slides, slid, impulse)
    return np.asarray(impulse)


def spin_loft(face: float, path: float, attack: float, delivered_loft: float) -> float:
    """Angle between the head's velocity and the face normal, radians."""
    one = np.ones(1)
    normal = face_axes(face * one, delivered_loft * one)[0][:, 0]
    way = np.array([np.cos(attack) * np.cos(path), np.sin(attack), np.cos(attack) * np.sin(path)])
    return float(np.arccos(np.clip(normal @ way, -1.0, 1.0)))


def typical_attack(club: Club) -> float:
    """Radians, + upwards: level with a driver off a tee, down to -4 degrees with wedges (common practice, sd 2)."""
    return float(np.interp(club.length, [0.895, 0.94, 1.09, 1.15], [-4.0, -3.5, -2.0, 0.0])) * DEG


def with_strike(delivery: Delivery, toe: float, high: float) -> Delivery:
    """The same delivery struck at another place on the face, metres."""
    return replace(delivery, toe=toe, high=high)
