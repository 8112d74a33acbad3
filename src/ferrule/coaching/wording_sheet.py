"""Sentences of the golfer's sheet: the golfer's words, first names, nothing that reads as blame.

Directions are those of the world, angles in words ("4° bowed"). For growing golfers the sentences are shorter and say that
a grown-up stands by.
"""

from datetime import date
from typing import Final

from ferrule.coaching.case import Golfer
from ferrule.coaching.drills import Dose, Drill
from ferrule.coaching.drills_library import CLEAR
from ferrule.coaching.plan import Plan, Target
from ferrule.coaching.ways import WRIST_WAYS, WayName, wrist_hurts
from ferrule.coaching.wording import degrees, direction_words, flight_words, wrist_words
from ferrule.coaching.wording_change import count_words, day_words

# cause: where the turning of the face comes from, in the golfer's words
_FROM: Final = {
    "grip": "how the hands lie on the handle",
    "lead_wrist_flexion": "how the lead wrist is bent as you come down",
    "lead_wrist_unset": "when the wrist lets the club down",
    "forearm_roll": "how the forearm turns through the ball",
    "shaft_lean": "where the hands are when the club meets the ball",
    "posture": "the chest coming up through the ball",
    "aim": "where feet and shoulders point",
    "arm_and_body": "how arms and chest arrive together",
}
_CHANGE: Final[dict[WayName, str]] = {
    "flexed_early": "Set the face early: the lead wrist flat or a little bowed by the top, then turn through and let the club go.",
    "flexed_in_transition": "Leave your top as it is. While the swing turns round, the lead wrist goes from cupped to flat.",
    "rolled_late": "Leave your wrist as it is. Let the forearm turn the face home through the ball, evenly.",
    "grip": "Put the lead hand on the handle a little differently. The swing stays yours.",
    "trail_hand_grip": "Put the trail hand on the handle a little differently. The swing stays yours.",
    "forearm_roll": "Let the forearm turn evenly all the way through, not late and fast.",
    "posture": "Keep the chest over the ball until it is gone.",
    "shaft_lean": "Change where the hands are when the club meets the ball.",
    "ball_position": "Move the ball in your stance. The swing stays yours.",
    "aim": "Stand with feet, hips and shoulders along the line.",
    "keep_shape": "Keep your shape. Aim so that your usual ball finishes at the target.",
    "leave_as_is": "Nothing. What you do works: keep doing it.",
}
_PLACES: Final = {
    "address": "at address",
    "top": "at the top",
    "lead_arm_level_down": "when the lead arm is level coming down",
    "shaft_level_down": "when the shaft is level coming down",
    "impact": "when the club meets the ball",
}
_NUMBERS: Final = {
    "delivery.face_deg": "the face looks between {low} and {high}",
    "ball.start_deg": "the ball starts between {low} and {high}",
    "ball.curve_deg": "the ball bends between {low} and {high}",
    "delivery.path_deg": "the club travels between {low} and {high}",
    "aim_deg": "the aim is between {low} and {high}",
}
_SIZES: Final = {
    "handle_raise_deg": "the handle comes back to within {high} of where it was at address",
    "shaft_lean_impact_deg": "the hands are {low} to {high} ahead when the club meets the ball",
    "body.chest_open_impact_deg": "the chest is {low} to {high} open to the target when the club meets the ball",
    "body.pelvis_open_impact_deg": "the hips are {low} to {high} open to the target when the club meets the ball",
    "leading_edge_tilt_shaft_level_deg": "the leading edge leans {low} to {high} forward when the shaft is level coming down",
}
_STEPS: Final = {"pose": "poses", "slow": "slow swings", "half": "half swings", "full": "full swings"}


def why_sentences(
    club: str,
    start_deg: float | None,
    curve_deg: float | None,
    face_open_deg: float,
    largest: tuple[str, float] | None,
    left_handed: bool,
) -> tuple[str, ...]:
    """Why the ball does what it does. largest: cause by name and its share in degrees; directions in the world."""
    flight = flight_words(start_deg, curve_deg)
    out = [
        f"Your {club} {flight}." if start_deg is not None or curve_deg is not None else f"This is about your {club}."
    ]
    if abs(face_open_deg) < 0.75:
        out.append("The face looks at the target when it meets the ball.")
    else:
        right = (face_open_deg > 0) != left_handed
        out.append(
            f"When it meets the ball, the face looks about {degrees(face_open_deg)} {'right' if right else 'left'} of the"
            " target."
        )
    if largest is not None and abs(largest[1]) >= 1.0 and abs(face_open_deg) >= 0.75:
        if abs(largest[1]) > abs(face_open_deg) + 0.75 and (largest[1] > 0) == (face_open_deg > 0):
            source = _FROM[largest[0]]
            out.append(
                f"{source[:1].upper()}{source[1:]} alone would make that about {degrees(largest[1])};"
                " something else takes part of it back."
            )
            return tuple(out)
        part = "Most of that" if abs(largest[1]) > 0.5 * abs(face_open_deg) else "The largest part of that"
        out.append(f"{part}, about {degrees(largest[1])}, comes from {_FROM[largest[0]]}.")
    return tuple(out)


def change_sentence(way: WayName) -> str:
    """What to change, in the golfer's words."""
    return _CHANGE[way]


def number_sentence(target: Target) -> str:
    """The window as a sentence: where in the swing, between what and what, with which club."""
    parts = target.key.split(".")
    low, high = target.low, target.high
    if parts[0] in ("wrist", "trail_wrist") and parts[-1] == "flexion_deg":
        side = "lead" if parts[0] == "wrist" else "trail"
        place = _PLACES.get(parts[1], parts[1].replace("_", " "))
        return f"With the {target.club}, {place}: the {side} wrist between {wrist_words(low)} and {wrist_words(high)}."
    if target.key in _NUMBERS:
        said = _NUMBERS[target.key].format(low=direction_words(low), high=direction_words(high))
        return f"With the {target.club}: {said}."
    if target.key in _SIZES:
        return f"With the {target.club}: {_SIZES[target.key].format(low=degrees(low), high=degrees(high))}."
    if target.key == "ball_position_m":
        return f"With the {target.club}: the ball within {max(abs(low), abs(high)) * 100:.0f} cm of the mark."
    name = target.key.rsplit(".", 1)[-1].removesuffix("_deg").replace("_", " ")
    return f"With the {target.club}: {name} between {low:.0f}° and {high:.0f}°."


def feel_sentences(target: Target) -> tuple[str, ...]:
    """The feel, and how far to overdo it: what is felt is more than what happens."""
    feel = target.feel.strip().rstrip(".")
    out = [f"It feels {feel if feel.startswith(('as if', 'like')) else f'like this: {feel}'}."] if feel else []
    if target.exaggerate_to is not None:
        if target.key.endswith("flexion_deg"):
            more = wrist_words(target.exaggerate_to)
        elif target.key in _NUMBERS:
            more = direction_words(target.exaggerate_to)
        else:
            more = degrees(target.exaggerate_to)
        out.append(f"Overdo it: for you, aiming for {more} is what brings it there. It will feel like too much.")
    return tuple(out)


def dose_sentence(dose: Dose) -> str:
    """Five slow swings, three times, half a minute's rest between, on up to five days a week."""
    times = {1: "once", 2: "twice"}.get(dose.sets, f"{count_words(dose.sets)} times")
    rest = "" if dose.sets == 1 else f", {_rest(dose.rest_s)} between"
    days = "one day" if dose.days_a_week == 1 else f"up to {count_words(dose.days_a_week)} days"
    return f"{count_words(dose.reps).capitalize()} {_STEPS[dose.step]}, {times}{rest}, on {days} a week."


def caution_sentences(golfer: Golfer, way: WayName, drill: Drill | None) -> tuple[str, ...]:
    """What to look out for, the most serious first; none twice."""
    out: list[str] = []
    if way in WRIST_WAYS or (drill is not None and drill.load == "wrist"):
        if wrist_hurts(golfer):
            out.append("Your wrist comes first: no wrist work until a doctor or physiotherapist has looked at it.")
        out.append("Stop if wrist, hand or forearm hurts, tingles, goes numb or clicks. Then tell me before going on.")
    else:
        out.append("Stop if anything hurts. Then tell me before going on.")
    if golfer.age_group == "junior":
        out.append("Only swing when a grown-up is there and nobody stands near you.")
    if drill is not None:
        out += [c for c in drill.cautions if golfer.age_group != "junior" or c != CLEAR]
    return tuple(dict.fromkeys(out))


def test_sentence(plan: Plan) -> str:
    """The next test with its date."""
    return f"{plan.test} Then we see what has stayed with you."


def test_date_words(on: date) -> str:
    """The date of the next test: 12 May 2026."""
    return day_words(on)


def plan_notes(plan: Plan) -> tuple[str, ...]:
    """Why nothing new is built, if so, in the golfer's words."""
    if plan.mode == "maintain":
        return ("Your event is close: nothing new now. Play with what you have.",)
    if plan.mode == "pause":
        return ("Wrist work pauses for now.",)
    return ()


def _rest(seconds: int) -> str:
    return {20: "20 seconds' rest", 30: "half a minute's rest", 45: "45 seconds' rest", 60: "a minute's rest"}.get(
        seconds, f"{seconds} seconds' rest"
    )
