"""Sentences about windows, feel gap, odd swings, and what was learned of sensors and eye. Same rules as `wording`."""

from typing import Final

from ferrule.coaching.wording import degrees, face_words

_EYE_KINDS: Final = {
    "wrist.flexion_deg": ("the lead wrist", "bowed", "cupped"),
    "trail_wrist.flexion_deg": ("the trail wrist", "bowed", "cupped"),
    "wrist.ulnar_deviation_deg": ("the set of the lead wrist", "unset", "set"),
    "trail_wrist.ulnar_deviation_deg": ("the set of the trail wrist", "unset", "set"),
    "wrist.forearm_roll_deg": ("the forearm", "rolled over", "rolled back"),
    "posture.forward_bend_deg": ("the golfer", "bent over", "upright"),
    "grip_turn_deg": ("the grip", "strong", "weak"),
    "shaft_lean_impact_deg": ("the hands", "ahead", "behind"),
    "handle_raise_deg": ("the handle", "raised", "low"),
    "aim_deg": ("the aim", "to the right", "to the left"),
    "face_address_deg": ("the face at address", "to the right", "to the left"),
    "delivery.face_deg": ("the face", "to the right", "to the left"),
    "delivery.path_deg": ("the path", "to the right", "to the left"),
    "ball.start_deg": ("the start of the ball", "to the right", "to the left"),
    "ball.curve_deg": ("the bend of the ball", "to the right", "to the left"),
}


def mounting_sentence(name: str, offset_deg: float, sd_deg: float) -> str:
    """What one mounting of the sensors adds to the face. offset_deg: + reads open."""
    which = f"mounting {name}" if name else "this mounting"
    if abs(offset_deg) < 0.75:
        return f"The balls bear the sensors out: {which} reads the face right, give or take {degrees(sd_deg)}."
    return (
        f"The balls say that {which} reads the face {face_words(offset_deg)} when it is square, give or take {degrees(sd_deg)}:"
        " it has been taken out."
    )


def eye_sentence(kind: str, bias: float, pairs: int) -> str:
    """What this coach's eye adds; bias in the unit of the reading, degrees for the kinds named here."""
    what, more, less = _EYE_KINDS.get(kind, ("this reading", "high", "low"))
    amount = degrees(bias) if kind.endswith("_deg") else f"{abs(bias):.2g}"
    return (
        f"Your eye has seen {what} about {amount} too {more if bias > 0 else less} in {pairs} comparisons with an"
        " instrument: it has been taken out."
    )
