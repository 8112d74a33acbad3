"""Sentences about windows, feel gap, odd swings, and what was learned of sensors and eye. Same rules as `wording`."""

from typing import TYPE_CHECKING, Final

from ferrule.coaching.wording import degrees, direction_words, face_words, wrist_words
from ferrule.units import DEG

if TYPE_CHECKING:
    from ferrule.coaching.feel_gap import FeelGap
    from ferrule.coaching.windows import Window

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
    "ball.side_m": ("the landing of the ball", "to the right", "to the left"),
    "ball.carry_m": ("the carry", "long", "short"),
    "ball_position_m": ("the ball", "forward", "back"),
    "leading_edge_tilt_shaft_level_deg": ("the leading edge at shaft level", "tilted forward", "tilted back"),
    "forearm_shaft_angle_impact_deg": ("the angle between forearm and shaft", "wide", "narrow"),
    "body.chest_open_impact_deg": ("the chest", "open", "closed"),
    "body.pelvis_open_impact_deg": ("the hips", "open", "closed"),
    "delivery.attack_deg": ("the blow", "upwards", "downwards"),
    "delivery.delivered_loft_deg": ("the loft at impact", "high", "low"),
    "delivery.club_speed_mps": ("the speed of the head", "fast", "slow"),
}


def mounting_sentence(name: str, offset_deg: float, sd_deg: float) -> str:
    """What one mounting of the sensors adds to the face. offset_deg: + reads open."""
    which = f"mounting {name}" if name else "this mounting"
    if abs(offset_deg) < 0.75:
        return f"The balls bear the sensors out: {which} reads the face true, give or take {degrees(sd_deg)}."
    return (
        f"The balls say that {which} reads the face {face_words(offset_deg)} when it is square, give or take {degrees(sd_deg)}:"
        " it has been taken out."
    )


def eye_sentence(kind: str, bias: float, pairs: int) -> str:
    """What this coach's eye adds; bias in the unit of the reading, degrees for the kinds named here."""
    what, more, less = _EYE_KINDS.get(kind, ("this reading", "high", "low"))
    amount = degrees(bias) if kind.endswith("_deg") else f"{abs(bias):.2g} {'m/s' if kind.endswith('_mps') else 'm'}"
    return (
        f"Your eye has seen {what} about {amount} too {more if bias > 0 else less} in {pairs} comparisons with an"
        " instrument: it has been taken out."
    )


def odd_swing_sentence(number: int, quantity: str, departure_deg: float) -> str:
    """A swing unlike the others. quantity: face or path; departure_deg: + right in the world, less the typical."""
    side = "right" if departure_deg > 0 else "left"
    return (
        f"Swing {number} is not like the others: its {quantity} came {degrees(departure_deg)} further {side}. It is kept,"
        " and left out of what is typical."
    )


def odd_reading_sentence(number: int, key: str, value: float) -> str:
    """One reading of a swing far from those of the others; value in degrees."""
    place = _PLACES.get(key, "the lead wrist at address")
    return (
        f"Swing {number}: {place} was read as {value_words(key, value)}, far from the other swings. It is kept, and left out of"
        " what is typical; look whether it was read right."
    )


_PLACES: Final = {
    "wrist.top.flexion_deg": "the lead wrist at the top",
    "wrist.shaft_level_down.flexion_deg": "the lead wrist at shaft level coming down",
    "wrist.impact.flexion_deg": "the lead wrist at impact",
    "wrist.impact.ulnar_deviation_deg": "the set of the lead wrist at impact",
    "wrist.shaft_level_down.forearm_roll_deg": "the forearm roll at shaft level coming down",
    "wrist.impact.forearm_roll_deg": "the forearm roll at impact",
    "shaft_lean_impact_deg": "the hands at impact",
    "handle_raise_deg": "the handle at impact",
    "aim_deg": "the aim",
    "grip_turn_deg": "the grip",
    "ball_position_m": "the ball",
}


def value_words(key: str, value: float) -> str:
    """A value of a window's key in words. value: degrees, or metres of ball position."""
    if key == "ball_position_m":
        size = f"{abs(value) * 100:.0f} cm"
        return "at its usual place" if abs(value) < 0.005 else f"{size} {'forward' if value > 0 else 'back'}"
    if key.endswith("flexion_deg"):
        return wrist_words(value)
    if key == "aim_deg":
        return direction_words(value)
    if abs(value) < 0.75:
        return {"shaft_lean_impact_deg": "level with the ball", "grip_turn_deg": "neutral"}.get(key, "as at address")
    more, less = {
        "wrist.impact.ulnar_deviation_deg": ("unset", "set"),
        "wrist.shaft_level_down.forearm_roll_deg": ("rolled over", "rolled open"),
        "wrist.impact.forearm_roll_deg": ("rolled over", "short of its place at address"),
        "shaft_lean_impact_deg": ("ahead", "behind"),
        "handle_raise_deg": ("higher than at address", "lower than at address"),
        "grip_turn_deg": ("strong", "weak"),
    }[key]
    return f"{degrees(value)} {more if value > 0 else less}"


_MEASURED: Final = {
    **_PLACES,
    "ball.start_deg": "the start of the ball",
    "ball.curve_deg": "the bend of the ball",
    "delivery.face_deg": "the face at impact",
    "delivery.path_deg": "the path",
    "body.chest_open_impact_deg": "the chest at impact",
    "body.pelvis_open_impact_deg": "the hips at impact",
}


def measure_words(key: str, gain_from: str | None, low: float | None, high: float | None) -> str:
    """What a good rep of a drill shows: "the lead wrist at the top is between 5° cupped and 20° bowed". low, high: in the
    key's unit; None: open on that side.
    """
    if gain_from is not None:
        return _gain_words(key, gain_from, low, high)
    ends = [_side_of(key, end) for end in (low, high) if end is not None]
    if len(ends) == 2:
        return f"{_MEASURED[key]} is between {ends[0]} and {ends[1]}"
    return f"{_MEASURED[key]} is {ends[0]} or {'more' if high is None else 'less'} on that side"


def _gain_words(key: str, gain_from: str, low: float | None, high: float | None) -> str:
    """A change from one place of the swing to another: "the lead wrist gains 5° or more of bow from the top to impact"."""
    what, place = _MEASURED[key].removesuffix(" coming down").split(" at ")
    start = _MEASURED[gain_from].removesuffix(" coming down").split(" at ")[-1]
    more, less = ("bow", "cup") if key.endswith("flexion_deg") else ("closing", "opening")
    ends = [(degrees(end), more if end >= 0 else less) for end in (low, high) if end is not None]
    if len(ends) == 1:
        amount = f"{ends[0][0]} or {'more' if high is None else 'less'} of {ends[0][1]}"
    elif ends[0][1] == ends[1][1]:
        first, second = ends if abs(low or 0.0) <= abs(high or 0.0) else ends[::-1]
        amount = f"{first[0]} to {second[0]} of {first[1]}"
    else:
        amount = f"between {ends[0][0]} of {ends[0][1]} and {ends[1][0]} of {ends[1][1]}"
    return f"{what.removesuffix(' roll')} gains {amount} from {start} to {place}"


def _side_of(key: str, value: float) -> str:
    if key in ("ball.start_deg", "ball.curve_deg", "delivery.face_deg", "delivery.path_deg"):
        return direction_words(value)
    if key.startswith("body."):
        return "square" if abs(value) < 0.75 else f"{degrees(value)} {'open' if value > 0 else 'closed'}"
    return value_words(key, value)


def window_sentence(window: "Window") -> str:
    """Where one angle has to be, and whether this golfer's scatter fits."""
    unit = DEG if window.key.endswith("_deg") else 1.0
    what, tolerance = _PLACES[window.key], degrees(window.tolerance / DEG)
    now = value_words(window.key, window.now / unit)
    head = f"{window.club}, {what}"
    if not window.reachable:
        return f"{head}: no change of it alone brings the face within {tolerance}."
    low = None if window.low is None else value_words(window.key, window.low / unit)
    high = None if window.high is None else value_words(window.key, window.high / unit)
    if low is None and high is None:
        return f"{head}: it hardly matters for the face within reach (now {now})."
    if low is not None and high is not None:
        span = f"between {low} and {high}" if low != high else f"{low}, within a degree"
    elif low is not None:
        span = f"from {low} on"
    else:
        span = f"up to {high}"
    text = f"{head}: {span} keeps the face within {tolerance} (now {now})."
    if window.count < 3:
        return text
    count = round(10 * window.inside)
    if not window.fits:
        return f"{text} That is narrower than its scatter from swing to swing: steadier comes before elsewhere."
    return (
        f"{text} As it is, about {count} of 10 swings fall inside."
        if count
        else f"{text} As it is, hardly a swing does."
    )


def feel_gap_sentence(gap: "FeelGap") -> str:
    """What came of what was asked for, and how much to ask for."""
    unit, cue = DEG if gap.key.endswith("_deg") else 1.0, gap.feel
    if gap.few:
        more = max(gap.needed - gap.tries, 1)
        return (
            f"“{cue}”: {gap.tries} {'try is' if gap.tries == 1 else 'tries are'} too few to say what comes of it:"
            f" {more} more first."
        )
    low, high = gap.came_interval
    asked = degrees(gap.asked / unit)
    text = f"“{cue}”: of {asked} asked for, {_amount(gap.came.value / unit)} came ({_span(low / unit, high / unit)}), from {gap.tries} tries."
    if gap.ask_for is None:
        return f"{text} This cue does not carry yet: try another."
    return f"{text} To get {asked}, ask for about {degrees(gap.ask_for / unit)}."


def _amount(value: float) -> str:
    if abs(value) < 0.75:
        return "nothing"
    return f"{degrees(value)}{'' if value > 0 else ' the other way'}"


def _span(low: float, high: float) -> str:
    if low < 0 < high:
        return f"anywhere from {abs(low):.0f} the other way to {high:.0f}"
    return f"between {min(abs(low), abs(high)):.0f} and {max(abs(low), abs(high)):.0f}"
