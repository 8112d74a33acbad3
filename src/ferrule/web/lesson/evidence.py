"""The case a lesson's screens are about, what is still being worked out, and what a look is expected to show."""

from math import atan, sin, tan
from typing import Final

from ferrule.analysis.explain import Explanation
from ferrule.app import cases
from ferrule.app.demo.ground import recording_to_come
from ferrule.app.views import LessonView
from ferrule.app.workspace import Workspace
from ferrule.coaching.case import Case, as_right_handed
from ferrule.coaching.looks import Look
from ferrule.coaching.references import BEND_TO_HANDLE, reference_of
from ferrule.frames.handedness import world_sign
from ferrule.units import DEG
from ferrule.web.case_view import flight_of
from ferrule.web.lesson.held import Held
from ferrule.web.words import counted, size, value_words

# look: least and most on its slider, degrees
SPANS: Final = {
    "grip": (-20.0, 20.0),
    "grip_photo": (-20.0, 20.0),
    "grip_level": (-20.0, 20.0),
    "forward_bend": (0.0, 24.0),
    "handle": (-4.0, 16.0),
    "shaft_lean": (-12.0, 20.0),
    "shaft_lean_by_eye": (-12.0, 20.0),
    "lead_wrist_by_eye": (-30.0, 30.0),
    "aim": (-12.0, 12.0),
    "path": (-12.0, 12.0),
    "wrist_at_address": (-40.0, 10.0),
    "ball_start": (-12.0, 12.0),
    "ball_curve": (-16.0, 16.0),
}


def lesson_case(ws: Workspace, held: Held) -> Case:
    """The case with the club in hand: of this lesson when it has anything of it, else the newest there is."""
    own = cases.case_of(ws, held.golfer.id, held.club, held.lesson.id)
    return own if own.swings or held.over else cases.case_of(ws, held.golfer.id, held.club)


def expected(explanation: Explanation, look: Look) -> float:
    """What the look should show from everything known so far, degrees in the sign of its answers."""
    case = explanation.case
    world = world_sign(case.golfer.handedness)
    work = as_right_handed(case)
    reference, mean = reference_of(work.club, work.reference), explanation.mean_state
    low, high = SPANS[look.name]
    match look.name:
        case "grip" | "grip_photo" | "grip_level":
            value = mean["grip"]
        case "forward_bend":
            slope, _, free, _ = BEND_TO_HANDLE
            value = free * DEG + max(mean["raised"], 0.0) / slope
        case "handle":
            value = mean["raised"] + mean["unset"] + reference.handle_raise
        case "shaft_lean" | "shaft_lean_by_eye":
            value = atan(tan(mean["lean"] + reference.lean) / sin(work.club.lie))
        case "lead_wrist_by_eye":
            value = mean["flexion"] + reference.flexion
        case "aim":
            value = world * mean["aim"]
        case "path":
            value = explanation.path.value
        case "wrist_at_address":
            value = reference.address_flexion - mean["grip"] / sin(reference.chi_address)
        case _:
            flight = flight_of(explanation, False, "")
            value = (flight.start_deg if look.name == "ball_start" else flight.curve_deg) * DEG
    return min(max(round(value / DEG), low), high)


def look_words(look: Look, value: float, left_handed: bool) -> str:
    """The value of a look as a coach would say it."""
    if look.name == "forward_bend":
        return "still fully bent over" if value < 0.5 else f"{size(value)}° of the bend lost"
    return value_words(look.key, value, left_handed)


def working_out(ws: Workspace, lesson: LessonView) -> str:
    """What is said while recordings of a lesson are still being worked out, or ask what is in them; else empty."""
    unread = [r for r in lesson.recordings if r.state == "waiting"]
    asking = sum(r.asks is not None for r in unread)
    stopped = sum(r.asks is None and (r.job is None or r.job.state not in ("waiting", "running")) for r in unread)
    working = len(unread) - asking - stopped + recording_to_come(ws, lesson.id)
    said = []
    if working:
        many = _of_this_lesson(working, "is", "are")
        said.append(f"{many} still being worked out. The answer changes by itself when that is done.")
    if asking:
        said.append(f"{_of_this_lesson(asking, 'asks', 'ask')} what is in it: answer under every ball.")
    if stopped:
        said.append(f"{_of_this_lesson(stopped, 'was', 'were')} not worked out: see under every ball.")
    return " ".join(said)


def _of_this_lesson(count: int, one: str, several: str) -> str:
    if count == 1:
        return f"A recording of this lesson {one}"
    return f"{counted(count, 'recording').capitalize()} of this lesson {several}"


__all__ = ["SPANS", "expected", "lesson_case", "look_words", "working_out"]
