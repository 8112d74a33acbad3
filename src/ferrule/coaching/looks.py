"""What to look at next: which reading would settle most about the largest cause for its cost, among what is at hand.

Costs, doubts and gear: common practice, no source; one table. The gain is worked out on the posterior's own points: how
much likelier the cause that will then be called largest is to be the true one, averaged over what the look may show.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.coaching.case import Gear, How, Reading
from ferrule.coaching.delivery_state import A, B, F, G, L, R, States, U
from ferrule.coaching.posterior import Posterior
from ferrule.units import DEG

Floats = NDArray[np.float64]

_OUTCOMES: Final = 24
USUAL_BEND_DEG: Final = 38.0
WORTH: Final = 0.004
"""Looks that make the largest cause less than this much surer are not offered (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Look:
    """One thing to look at. cost_s: seconds of the lesson; sd_deg: doubt of what comes back; needs: gear; reads: names of
    observations that already say it; question: what the coach asks or does; answers: label and value in degrees of the
    glossary key `key` for answering with one tap.
    """

    name: str
    needs: Gear
    cost_s: float
    sd_deg: float
    key: str
    reads: tuple[str, ...]
    question: str
    how_to: str
    answers: tuple[tuple[str, float], ...] = ()


LOOKS: Final[tuple[Look, ...]] = (
    Look("ball_start", "ball", 60, 1.2, "ball.start_deg", ("ball_start",), "Where does the ball start?",
         "Stand behind the ball and watch the first twenty metres of three balls.",
         (("Left", -4.0), ("Straight", 0.0), ("Right", 4.0))),
    Look("ball_curve", "ball", 60, 2.2, "ball.curve_deg", ("ball_curve",), "Which way does it bend?",
         "Watch three balls to the end.", (("Left", -5.0), ("Hardly", 0.0), ("Right", 5.0))),
    Look("grip", "eye", 15, 7.0, "grip_turn_deg", ("grip_turn",), "How is the lead hand set on the handle?",
         "Look face-on at address at the back of the lead hand.",
         (("Weak", -10.0), ("Neutral", 0.0), ("Strong", 10.0))),
    Look("grip_photo", "video", 45, 4.0, "grip_turn_deg", ("grip_turn",),
         "How is the lead hand set, seen close?",
         "Photograph the grip face-on at address, then with the hand opened: the line of the handle across the palm shows the turn.",
         (("Weak", -10.0), ("Neutral", 0.0), ("Strong", 10.0))),
    Look("forward_bend", "eye", 20, 2.9, "posture.forward_bend_impact_deg", ("bend_lost", "handle"),
         "At impact, is the golfer still bent over?", "Look from behind at the next ball.",
         (("Still down", 3.0), ("A little up", 8.0), ("Stood up", 16.0))),
    Look("handle", "video", 60, 2.0, "handle_raise_deg", ("handle",),
         "How much steeper is the shaft at impact than at address?", "Film from behind, at hand height, on the ball.",
         (("The same", 0.0), ("A little", 3.0), ("A lot", 8.0))),
    Look("shaft_lean", "video", 60, 3.0, "shaft_lean_impact_deg", ("shaft_lean",),
         "How far are the hands ahead at impact?", "Film face-on, square to the ball.",
         (("Behind", -4.0), ("Level", 0.0), ("A little ahead", 6.0), ("Far ahead", 12.0))),
    Look("shaft_lean_by_eye", "eye", 20, 4.5, "shaft_lean_impact_deg", ("shaft_lean",),
         "Are the hands ahead of the ball at impact?", "Look face-on at the next ball.",
         (("Behind", -4.0), ("Level", 0.0), ("A little ahead", 6.0), ("Far ahead", 12.0))),
    Look("lead_wrist", "sensor", 90, 3.5, "wrist.impact.flexion_deg", ("impact_flexion",),
         "What does the lead wrist read at impact?", "Put the sensors on and record three swings."),
    Look("lead_wrist_by_eye", "eye", 20, 7.0, "wrist.impact.flexion_deg", ("impact_flexion",),
         "Is the lead wrist cupped, flat or bowed at impact?", "Look face-on, just after the ball.",
         (("Cupped", -14.0), ("Flat", 0.0), ("Bowed", 12.0))),
    Look("forearm_roll", "sensor", 90, 4.0, "wrist.impact.forearm_roll_deg", ("impact_roll",),
         "How far has the forearm rolled by impact?", "Put the sensors on and record three swings."),
    Look("aim", "eye", 20, 1.0, "aim_deg", ("aim",), "Where do the feet and shoulders aim?",
         "Lay a club along the toes and look from behind.",
         (("Left", -4.0), ("Square", 0.0), ("Right", 4.0))),
    Look("path", "eye", 40, 3.0, "delivery.path_deg", ("path",), "Where does the divot point?",
         "Look at three divots, or at a line of tees.", (("Left", -5.0), ("Straight", 0.0), ("Right", 5.0))),
    Look("wrist_at_address", "eye", 15, 5.9, "wrist.address.flexion_deg", ("grip_address",),
         "How much is the lead wrist cupped at address?", "Look face-on before the swing.",
         (("Hardly", -5.0), ("Some", -15.0), ("A lot", -25.0))),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class RankedLook:
    """A look with its gain: how much surer the largest cause becomes (0 to 1)."""

    look: Look
    gain: float

    @property
    def rate(self) -> float:
        """Gain per minute."""
        return self.gain / self.look.cost_s * 60.0


def next_looks(
    posterior: Posterior,
    states: States,
    shares: Floats,
    at_hand: Sequence[Gear],
    read: dict[str, float],
    predictions: dict[str, Floats],
) -> list[RankedLook]:
    """Looks worth their cost, best first.

    states, shares: of the posterior's points; read: sd in radians of each observation already made, by name;
    predictions: for looks that go through the ball, what the ball would show at each point.
    """
    largest = np.argmax(np.abs(shares), axis=1)
    now = _surest(posterior.weight, largest, shares.shape[1])
    out = []
    for look in LOOKS:
        if look.needs not in at_hand or _known(look, read):
            continue
        shown = predictions[look.name] if look.name in predictions else _shown(look, states)
        gain = _expected(posterior.weight, largest, shares.shape[1], shown, look.sd_deg * DEG) - now
        if gain >= WORTH:
            out.append(RankedLook(look, gain))
    return sorted(out, key=lambda r: (-r.rate, r.look.name))


def _known(look: Look, read: dict[str, float]) -> bool:
    """Already read at least half as well again as the look would: looking again settles little."""
    return any(name in read and read[name] <= 1.5 * look.sd_deg * DEG for name in look.reads)


def _shown(look: Look, states: States) -> Floats:
    """What the look would show at each state, radians, without its doubt."""
    x = states.x
    match look.name:
        case "grip" | "grip_photo" | "wrist_at_address":
            # Through the address the grip shows with a rest of its own, which is part of the look's doubt.
            return np.asarray(x[:, G])
        case "forward_bend":
            return np.asarray(x[:, B])
        case "handle":
            return np.asarray(x[:, B] + x[:, U])
        case "shaft_lean" | "shaft_lean_by_eye":
            return np.asarray(x[:, L])
        case "lead_wrist" | "lead_wrist_by_eye":
            return np.asarray(x[:, F])
        case "forearm_roll":
            return np.asarray(x[:, R])
        case "aim":
            return np.asarray(x[:, A])
        case "path":
            return states.path
    raise ValueError(f"no prediction for the look {look.name!r}")


def readings_from_answer(name: str, label: str, bend_at_address: float | None = None) -> dict[str, Reading]:
    """Readings by glossary key that a tapped answer stands for, with the doubt of the look.

    bend_at_address: degrees, where it was read; the answers about forward bend are degrees lost from it. Raises
    KeyError for an unknown look or label.
    """
    look = next(entry for entry in LOOKS if entry.name == name)
    value = dict(look.answers)[label]
    if name == "forward_bend":
        address = USUAL_BEND_DEG if bend_at_address is None else bend_at_address
        out = {look.key: Reading(address - value, 4.0, "by_eye")}
        if bend_at_address is None:
            out["posture.forward_bend_address_deg"] = Reading(address, 3.0, "assumed")
        return out
    how: How = "by_eye" if look.needs == "eye" else look.needs
    sd = {"wrist_at_address": 7.0}.get(name, look.sd_deg)
    return {look.key: Reading(value, sd, how)}


def _surest(weight: Floats, largest: NDArray[np.intp], count: int) -> float:
    return float(np.bincount(largest, weight, count).max())


def _expected(weight: Floats, largest: NDArray[np.intp], count: int, shown: Floats, sd: float) -> float:
    """Expected probability of the likeliest largest cause after a reading with this doubt.

    The reading is cut into outcomes spread over what it may show; as a channel with rows that sum to one, so that on
    average a look never makes the coach less sure.
    """
    mean = float(weight @ shown)
    spread = float(np.sqrt(weight @ (shown - mean) ** 2 + sd**2))
    outcome = mean + spread * np.linspace(-2.6, 2.6, _OUTCOMES)
    channel = np.exp(-0.5 * ((outcome[None, :] - shown[:, None]) / sd) ** 2) + 1e-300
    channel /= channel.sum(axis=1, keepdims=True)
    joint = np.zeros((count, _OUTCOMES))
    np.add.at(joint, largest, weight[:, None] * channel)
    return float(joint.max(axis=0).sum())
