"""Sentences about the ways: what the golfer does, what face and ball then do. Same rules as `wording`."""

from dataclasses import replace
from typing import Final

from ferrule.coaching.counterfactual import Delivered, Outcome
from ferrule.coaching.ways import Way
from ferrule.coaching.wording import degrees, direction_words, face_words, lower_first, side_words, wrist_words
from ferrule.units import DEG

PLENTY_MS: Final = 20.0
"""A release that may be this much early or late needs no number."""
TITLES: Final = {
    "flexed_early": "Bow early, release late",
    "flexed_in_transition": "Keep the top, bow in transition",
    "rolled_late": "Keep the wrist, roll it late",
    "grip": "Turn the grip",
    "trail_hand_grip": "Turn the trail hand",
    "forearm_roll": "Settle the forearm roll",
    "posture": "Stay bent over",
    "shaft_lean": "Move the hands at impact",
    "ball_position": "Move the ball",
    "aim": "Square the aim",
    "keep_shape": "Keep the shape and aim for it",
    "leave_as_is": "Leave it as it is",
}
FEELS: Final = {
    "flexed_early": "as if the knuckles of the lead hand pointed at the ground by the top",
    "flexed_in_transition": "as if revving a handle with the lead hand while the swing turns round",
    "rolled_late": "as if the lead forearm turned the watch face down through the ball",
    "grip": "the handle lies a little further in the fingers",
    "trail_hand_grip": "the palm of the trail hand faces a little more up",
    "forearm_roll": "as if both arms stayed in front of the chest",
    "posture": "as if the chest looked at the ball until it is gone",
    "shaft_lean": "as if the handle passed the ball first",
    "ball_position": "nothing: only the ball moves",
    "aim": "nothing: only the feet and shoulders move",
    "keep_shape": "the same swing, another start",
    "leave_as_is": "the same swing",
}


def way_sentence(way: Way, now: Delivered, outcome: Outcome, aimed: float, world: float) -> str:
    """What to do and what it does to the face, in one sentence or two."""
    after = face_words(outcome.face / DEG)
    what = _what(way, now, outcome, aimed, world)
    if way.idle:
        return what
    if way.name == "leave_as_is":
        return f"{what} The face arrives {after}."
    if way.name in ("keep_shape", "aim"):
        return what
    coming_down = ""
    if abs(outcome.shaft_open - now.shaft_open) > 1.0 * DEG:
        coming_down = f" Coming down: {_open(now.shaft_open)}, then {_open(outcome.shaft_open)}."
    return f"{what} The face arrives {after}.{coming_down}"


def ball_sentence(start_deg: float, curve_deg: float, loft_change: float) -> str:
    """What the next balls will do, world directions."""
    height = ""
    if abs(loft_change) >= 1.5 * DEG:
        height = ", lower" if loft_change < 0 else ", higher"
    straight = abs(start_deg) < 0.75
    start = "start at the target" if straight else f"start {degrees(start_deg)} {side_words(start_deg)}"
    if abs(curve_deg) < 1.0:
        return f"{start} and hardly bend{height}"
    again = "" if straight else "further " if start_deg * curve_deg > 0 else "back "
    return f"{start} and bend {degrees(curve_deg)} {again}to the {side_words(curve_deg)}{height}"


def on_recorded_swing(before: Outcome, after: Outcome) -> str:
    """What a way would have done to one recorded swing; before: as it was recorded."""
    was, is_now = face_words(before.face / DEG), face_words(after.face / DEG)
    face = f"still {is_now}" if was == is_now else f"{is_now} instead of {was}"
    level = ""
    if abs(after.shaft_open - before.shaft_open) > 1.0 * DEG:
        level = f" Coming down: {_side(after.shaft_open)} instead of {_side(before.shaft_open)}, against the spine."
    return f"The face would have arrived {face}.{level}"


def spare_words(now_ms: float, before_ms: float) -> str:
    """How much the release may be early or late for 2° of face, with a way and without."""
    if max(now_ms, before_ms) > PLENTY_MS:
        return "To spare in the release: plenty, the face hardly turns at the ball."
    if abs(now_ms / before_ms - 1.0) < 0.05:
        return f"To spare in the release: {now_ms:.1f} ms either way, as before."
    return f"To spare in the release: {now_ms:.1f} ms either way instead of {before_ms:.1f}."


def face_unseen(sd_deg: float) -> str:
    """Said before any way where nobody has seen where the face points."""
    return (
        "Nobody has seen yet where the face points at impact, and what stands here may be off by"
        f" {degrees(1.645 * sd_deg)} and more: see where five balls start before anything is changed."
    )


def path_first(path_deg: float) -> str:
    """No way turns the path: said where the path is what bends the ball; world direction."""
    return (
        f"The path is {direction_words(path_deg)}. No change of grip or wrist turns the path: work on the path first, and judge"
        " these ways by the start of the ball alone."
    )


_IDLE: Final = {
    "grip": "The grip fits this face: there is nothing to turn.",
    "posture": "The forward bend is kept well already: there is little to win here.",
    "forearm_roll": "The forearm rolls as it should for this face.",
    "rolled_late": "The forearm rolls as it should for this face.",
    "ball_position": "The ball lies well for this face.",
    "shaft_lean": "The hands lead as they should.",
    "trail_hand_grip": "The trail hand sits well for this face.",
    "aim": "The aim is square already.",
}


def _not_bowed(now: Delivered) -> str:
    """Why a flexed way is not for this golfer."""
    if now.flexion_level > 2.0 * DEG:
        return (
            f"Not for this golfer: the lead wrist is {wrist_words(now.flexion_level / DEG)} coming down as it is, and more bow"
            " closes the face further. If the wrist is to change at all, it is towards less bow."
        )
    return "Not for this golfer as things are: more bow closes the face further."


def _open(angle: float) -> str:
    if abs(angle) < 2.0 * DEG:
        return "square with the spine"
    return f"{_side(angle)} against the spine"


def _side(angle: float) -> str:
    if abs(angle) < 2.0 * DEG:
        return "square"
    return f"{degrees(angle / DEG)} {'open' if angle > 0 else 'closed'}"


def _more(change: float, up: str, down: str) -> str:
    return f"{degrees(change / DEG)} {up if change > 0 else down}"


def _what(way: Way, now: Delivered, outcome: Outcome, aimed: float, world: float) -> str:
    said = _alone(way, now, outcome, aimed, world)
    for partner in way.joined:
        said += f" And {lower_first(_alone(replace(way, name=partner, joined=()), now, outcome, aimed, world))}"
    return said


def _alone(way: Way, now: Delivered, outcome: Outcome, aimed: float, world: float) -> str:
    """What to do in one way, without what goes with it."""
    c = way.change
    if way.steadies:
        return "Let the forearm roll the same amount in every swing, earlier and evenly."
    if way.idle:
        bowed = way.name in ("flexed_early", "flexed_in_transition")
        return _not_bowed(now) if bowed else _IDLE[way.name]
    match way.name:
        case "flexed_early":
            return (
                f"Have the lead wrist {wrist_words(outcome.flexion_top / DEG)} by the top (now"
                f" {wrist_words(now.flexion_top / DEG)}), {wrist_words(outcome.flexion_level / DEG)} coming down, and let it go"
                f" through the ball ({wrist_words(outcome.flexion_impact / DEG)} at impact)."
            )
        case "flexed_in_transition":
            return (
                f"Leave the top as it is; while the swing turns round, take the lead wrist to"
                f" {wrist_words(outcome.flexion_level / DEG)} (now {wrist_words(now.flexion_level / DEG)} there), and"
                f" {wrist_words(outcome.flexion_impact / DEG)} at impact."
            )
        case "rolled_late":
            return f"Leave the wrist; let the forearm roll {_more(c.roll, 'more', 'less')} through the ball."
        case "grip":
            return f"Turn the lead hand {_more(c.grip, 'stronger', 'weaker')} on the handle."
        case "trail_hand_grip":
            return f"Turn the trail hand {_more(c.trail, 'under the handle (stronger)', 'over the handle (weaker)')}."
        case "forearm_roll":
            return f"Let the forearm roll {_more(c.roll, 'more', 'less')} by impact, earlier and evenly."
        case "posture":
            if abs(c.raised) < 0.75 * DEG:
                return "Keep the forward bend on the way down."
            return f"Keep the forward bend, so that the handle arrives {_more(c.raised, 'higher', 'lower')}."
        case "shaft_lean":
            return f"Have the hands {_more(c.lean, 'further ahead', 'less far ahead')} at impact."
        case "ball_position":
            return f"Put the ball {abs(c.ball_forward) * 100:.0f} cm {'forward' if c.ball_forward > 0 else 'back'}."
        case "aim":
            return f"Turn feet, hips and shoulders {direction_words(world * c.aim / DEG)}."
        case "keep_shape":
            return f"Keep the swing and aim {direction_words(world * aimed / DEG)}: the usual ball then finishes at the target."
        case "leave_as_is":
            return "Change nothing."
