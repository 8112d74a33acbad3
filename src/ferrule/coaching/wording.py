"""Every sentence with a number in it is made here, so that pages, sheet and shell say the same.

Plain words, no sign codes: "14° cupped", "4° open". Functions take degrees; face angles as + open in the golfer's own
sense unless a world direction is asked for. Doubt is said in words with the number beside it.
"""

from collections.abc import Callable
from typing import Final, Literal

from ferrule.coaching.case import Reading, Swings
from ferrule.coaching.observation import mean_of
from ferrule.frames.handedness import Handedness

CAUSE_NAMES: Final = {
    "grip": "grip",
    "lead_wrist_flexion": "lead wrist",
    "lead_wrist_unset": "unsetting of the wrist",
    "forearm_roll": "forearm roll",
    "shaft_lean": "shaft lean",
    "posture": "forward bend",
    "aim": "aim",
    "arm_and_body": "arm and body",
}
# cause: what is wrong when it opens, when it closes; as the second half of "most likely ..."
_PHRASES: Final = {
    "grip": ("the grip is weak", "the grip is strong"),
    "lead_wrist_flexion": ("the lead wrist is too cupped", "the lead wrist is too bowed"),
    "lead_wrist_unset": ("the wrist unsets early and lifts the handle", "the wrist stays set and drops the handle"),
    "forearm_roll": ("the forearm rolls too little", "the forearm rolls too much"),
    "shaft_lean": ("the hands lead too far", "the hands lead too little"),
    "posture": ("the forward bend is lost", "the handle is held low"),
    "aim": ("the aim is open", "the aim is closed"),
    "arm_and_body": ("arm and body hold the face open", "arm and body turn the face shut"),
}
_FOR_THE_GOLFER: Final = {
    "grip": (
        "your lead hand can sit a little stronger on the handle",
        "your lead hand can sit a little weaker on the handle",
    ),
    "lead_wrist_flexion": ("your lead wrist can be flatter", "your lead wrist can be less bowed"),
    "lead_wrist_unset": ("your wrist can keep its set a little longer", "your wrist can let the set go a little more"),
    "forearm_roll": ("your lead forearm can roll a little more", "your lead forearm can roll a little less"),
    "shaft_lean": ("your hands can lead a little less", "your hands can lead a little more"),
    "posture": ("your chest can stay down longer", "your handle can come through a little higher"),
    "aim": ("your aim can go a little more closed", "your aim can go a little more open"),
    "arm_and_body": ("arms and body can turn the face a little more", "arms and body can turn the face a little less"),
}
_UNREAD: Final = {
    "grip": "The grip has not been looked at",
    "lead_wrist_flexion": "The lead wrist at impact has not been read",
    "lead_wrist_unset": "How far the wrist unsets has not been read",
    "forearm_roll": "The forearm roll has not been read",
    "shaft_lean": "The shaft lean has not been looked at",
    "posture": "The forward bend has not been looked at",
    "aim": "The aim has not been checked",
    "arm_and_body": "What arm and body add is seen by no instrument",
}


def degrees(value: float) -> str:
    """A size in degrees as one says it: whole from 2 upwards, halves below."""
    size = abs(value)
    if size >= 1.75:
        return f"{size:.0f}°"
    half = round(size * 2) / 2
    return f"{half:g}°"


def face_words(open_deg: float) -> str:
    """4° open, 2° closed, square."""
    if abs(open_deg) < 0.75:
        return "square"
    return f"{degrees(open_deg)} {'open' if open_deg > 0 else 'closed'}"


def wrist_words(flexion_deg: float) -> str:
    """14° cupped, 5° bowed, flat."""
    if abs(flexion_deg) < 1.0:
        return "flat"
    return f"{degrees(flexion_deg)} {'bowed' if flexion_deg > 0 else 'cupped'}"


def side_words(world_deg: float) -> str:
    """Right or left of the target line, in the world."""
    return "right" if world_deg > 0 else "left"


def direction_words(world_deg: float) -> str:
    """3° right, 2° left, straight."""
    return "straight" if abs(world_deg) < 0.75 else f"{degrees(world_deg)} {side_words(world_deg)}"


def opposite(handedness: Handedness) -> str:
    """The side to which an open face sends the ball."""
    return "right" if handedness == "right" else "left"


Voice = Literal["coach", "golfer"]


def cause_phrase(cause: str, share_deg: float, voice: Voice = "coach") -> str:
    """The cause as the second half of "most likely ...". share_deg: + opens.

    voice: the coach hears what is off, the golfer what can be done with it, without a word of fault.
    """
    return (_PHRASES if voice == "coach" else _FOR_THE_GOLFER)[cause][0 if share_deg > 0 else 1]


def likely_phrase(cause: str, share_deg: float, read: bool) -> str:
    """The same, never as if it had been seen when nobody looked."""
    if read:
        return cause_phrase(cause, share_deg)
    unseen = "which no instrument shows" if cause == "arm_and_body" else "which nobody has looked at yet"
    return f"{cause_phrase(cause, share_deg)}, {unseen}"


def cause_sentence(
    cause: str, share_deg: float, sd_deg: float, *, read: bool, seen: str = "", fault: bool = True
) -> str:
    """One sentence per cause: what it is, what it does to the face, how sure.

    seen: what was read, in words; fault: whether it is off by more than is usual and more than the doubt explains.
    """
    verb = "opens" if share_deg > 0 else "closes"
    amount = "hardly turns the face" if abs(share_deg) < 0.5 else f"{verb} the face about {degrees(share_deg)}"
    doubt = f", give or take {degrees(max(sd_deg, 0.5))}"
    if not read:
        return f"{_UNREAD[cause]}: most likely it {amount}{doubt}."
    if fault:
        head = upper_first(cause_phrase(cause, share_deg))
    else:
        head = f"The {CAUSE_NAMES[cause]} is {'in order' if abs(share_deg) < 1.0 else 'near the usual'}"
    return f"{head}{f' ({seen})' if seen else ''}: {'that' if fault else 'it'} {amount}{doubt}."


def upper_first(text: str) -> str:
    """The text with a capital at its start."""
    return text[:1].upper() + text[1:]


def lower_first(text: str) -> str:
    """The text as a part of a sentence."""
    return text[:1].lower() + text[1:]


def chance_words(probability: float) -> str:
    """A probability in words with a plain count beside it."""
    count = min(max(round(probability * 10), 1), 9)
    if probability >= 0.95:
        return "almost certainly"
    if probability >= 0.75:
        return f"very likely (about {count} in 10)"
    if probability >= 0.5:
        return f"likely (about {count} in 10)"
    return f"perhaps (about {count} in 10)"


def flight_words(start_deg: float | None, curve_deg: float | None) -> str:
    """What the ball does, world directions: starts right and bends right; flies straight."""
    start = None if start_deg is None else (0 if abs(start_deg) < 1.5 else 1 if start_deg > 0 else -1)
    bend = None if curve_deg is None else (0 if abs(curve_deg) < 2.0 else 1 if curve_deg > 0 else -1)
    side = {1: "right", -1: "left"}
    if start:
        if bend:
            return f"starts {side[start]} and bends {'further ' if bend == start else 'back '}{side[bend]}"
        return f"starts {side[start]}"
    if bend:
        return f"starts straight and bends {side[bend]}" if start == 0 else f"bends {side[bend]}"
    return "flies straight" if start == 0 else "goes somewhere not yet seen"


FACE_UNSEEN_SD_DEG: Final = 3.5
"""A face with more doubt than this has not been seen: neither ball nor instrument spoke of it."""


def headline(club: str, flight: str | None, face_open_deg: float, why: str, face_sd_deg: float = 0.0) -> str:
    """The sentence that answers: the miss first, then its likeliest cause."""
    if face_sd_deg > FACE_UNSEEN_SD_DEG and flight is None:
        what = f"With the {club} nobody has seen yet where the face points at impact"
    elif flight is not None and flight != "flies straight":
        what = f"The {club} {flight}"
    elif abs(face_open_deg) < 1.0:
        what = f"The {club} arrives square"
    else:
        what = f"The {club} arrives {face_words(face_open_deg)}"
    return f"{what}: {why}." if why else f"{what}."


def lead_sentence(open_deg: float, sd_deg: float, rival: str | None, helper: str | None) -> str:
    """The face with its interval, then the rival and what pulls the other way."""
    low, high = open_deg - 1.645 * sd_deg, open_deg + 1.645 * sd_deg
    if sd_deg > FACE_UNSEEN_SD_DEG:
        text = f"Where the face points at impact is not known: {interval_words(low, high)}."
        return f"{text} The rival: {rival}." if rival else text
    about = "about square" if abs(open_deg) < 0.75 else f"about {face_words(open_deg)}"
    text = f"The face is {about}, {interval_words(low, high)}."
    if rival:
        text += f" The rival: {rival}."
    if helper:
        text += f" {helper}."
    return text


def interval_words(low: float, high: float) -> str:
    """Between 2 and 6; between square and 3 open; anywhere from 1 closed to 3 open. Degrees, whole."""
    least, most = round(low), round(high)
    if least == most == 0:
        return "within half a degree"
    if least >= 0 or most <= 0:
        near, far = sorted((abs(least), abs(most)))
        if near == 0:
            return f"between square and {far}° {'open' if most > 0 else 'closed'}"
        return f"between {near}° and {far}°" if near < far else f"near {near}°"
    return f"anywhere from {-least}° closed to {most}° open"


def sure_sentence(open_deg: float, probability_open: float, cause: str | None, probability: float, swings: int) -> str:
    """How sure, in words: of the face first, then of the cause, then from what."""
    side = "Open" if open_deg > 0 else "Closed"
    chance = probability_open if open_deg > 0 else 1.0 - probability_open
    parts = [f"{side}, {chance_words(chance)}." if chance >= 0.75 else "Open or closed on average is not settled."]
    if cause is not None:
        subject = "Arm and body are" if cause == "arm_and_body" else f"The {CAUSE_NAMES[cause]} is"
        count = min(max(round(probability * 10), 1), 9)
        parts.append(f"{subject} the largest cause in about {count} of 10 such golfers.")
    parts.append("From one swing." if swings == 1 else f"From {swings} untouched swings." if swings else "")
    return " ".join(p for p in parts if p)


def cancel_sentence(one: str, other: str, amount_deg: float) -> str:
    """Two that cancel: said before the net."""
    return f"{upper_first(one)} and {other}: the two cancel about {degrees(amount_deg)}. A matched pair is not a fault."


def taken_back(one: str, amount_deg: float) -> str:
    """One departure that the rest of the delivery makes up for."""
    return f"{upper_first(one)}, and the rest of the delivery takes back about {degrees(amount_deg)}: what is matched is not a fault."


def shaft_level_sentence(open_deg: float, sd_deg: float, owed_deg: float, flexion_deg: float | None, seen: bool) -> str:
    """The pattern coming down, and what is still owed. seen: something was read with the shaft level."""
    state = (
        "square with the spine at address"
        if abs(open_deg) < 4.0
        else f"{degrees(open_deg)} {'open' if open_deg > 0 else 'closed'} against the spine at address"
    )
    doubt = f"give or take {degrees(sd_deg)}"
    if not seen:
        return f"Coming down, with the shaft level, nothing has been read: the face is likely {state}, {doubt}."
    wrist = f", and the lead wrist {wrist_words(flexion_deg)}" if flexion_deg is not None else ""
    return (
        f"Coming down, with the shaft level, the face is {state}, {doubt}{wrist}:"
        f" {degrees(max(owed_deg, 0.0))} of closing still owed."
    )


def next_balls(start_deg: float, curve_deg: float) -> str:
    """What a squared face alone will not mend while the path stays; world directions."""
    start = "at the target" if abs(start_deg) < 0.5 else f"{degrees(start_deg)} {side_words(start_deg)}"
    return (
        f"With the face square to the target and this path, the next balls start {start} and still curve"
        f" {side_words(curve_deg)}, about {degrees(curve_deg)}: expect it."
    )


def scatter_words(cause: str | None, sd_deg: float) -> str:
    """What varies, for a miss both ways; as the second half of the headline."""
    if cause is None:
        return "the average is not the trouble, the scatter is, and what varies has not been found yet"
    return (
        f"the average is not the trouble, the scatter is. The {CAUSE_NAMES[cause]} varies most,"
        f" about {degrees(sd_deg)} of face from swing to swing"
    )


def standing_up_hides(open_to_address_deg: float, open_to_present_deg: float) -> str:
    """The leading edge against the address spine and against the present one."""
    hidden = open_to_present_deg < 0.75
    now = "square with" if hidden else f"{degrees(open_to_present_deg)} open against"
    return (
        f"Coming down the face is {degrees(open_to_address_deg)} open against the spine at address and {now}"
        " the spine as it is then: standing up hides the difference."
    )


def pulls_back(cause: str, share_deg: float) -> str:
    """What pulls the other way."""
    return f"{upper_first(cause_phrase(cause, share_deg))}, which takes back about {degrees(share_deg)}"


def shaft_level_cause(cause: str, share_deg: float, sd_deg: float) -> str:
    """A share at shaft level, degrees about the shaft, + opens."""
    doubt = f"give or take {degrees(sd_deg)}"
    source = "arm and body" if cause == "arm_and_body" else f"the {CAUSE_NAMES[cause]}"
    if abs(share_deg) < 0.75:
        return f"Coming down, hardly anything from {source}, {doubt}."
    way = "open" if share_deg > 0 else "closed"
    return f"Coming down, about {degrees(share_deg)} {way} about the shaft from {source}, {doubt}."


_SEEN_KEYS: Final = {
    "lead_wrist_flexion": ("wrist.impact.flexion_deg", wrist_words),
    "forearm_roll": (
        "wrist.impact.forearm_roll_deg",
        lambda v: _or(v, "as at address", "rolled over", "short of its place at address"),
    ),
    "shaft_lean": (
        "shaft_lean_impact_deg",
        lambda v: f"hands {_or(v, 'level with the ball', 'ahead', 'behind')}",
    ),
    "posture": (
        "handle_raise_deg",
        lambda v: f"handle {_or(v, 'as high as at address', 'higher than at address', 'lower than at address')}",
    ),
}


def _or(value_deg: float, none: str, positive: str, negative: str) -> str:
    """A size with its word, or the word for nothing at all."""
    if abs(value_deg) < 0.75:
        return none
    return f"{degrees(value_deg)} {positive if value_deg > 0 else negative}"


def grip_words(turn_deg: float) -> str:
    """8° strong, 5° weak, neutral."""
    return _or(turn_deg, "neutral", "strong", "weak")


def seen_words(cause: str, swings: Swings, grip_turn: Reading | None, world: float) -> str:
    """What was read of a cause, in words; empty when there is no single number for it."""
    if cause == "grip" and grip_turn is not None:
        return grip_words(grip_turn.value)
    if cause == "aim":
        return _mean_in_words(swings, "aim_deg", lambda v: direction_words(world * v))
    if cause in _SEEN_KEYS:
        key, words = _SEEN_KEYS[cause]
        return _mean_in_words(swings, key, words)
    return ""


def _mean_in_words(swings: Swings, key: str, words: Callable[[float], str]) -> str:
    mean = mean_of(swings, key)
    return "" if mean is None else words(mean)
