"""A number as a person enters it: which kind, where in the swing, which side, read off what.

Read by eye or typed without a device, the side is a word ("14, cupped"). Read off a device, the number is taken as the
device shows it; what it means is asked once and remembered by the device.
"""

from dataclasses import dataclass
from typing import Final

from ferrule.app import devices, lessons, swings
from ferrule.app.devices import answer_sign, question_for, sign_of
from ferrule.app.swings import NewReading
from ferrule.app.views import DeviceView, SwingView
from ferrule.app.workspace import Workspace
from ferrule.coaching.quantities import GRIP_TURN
from ferrule.errors import InputError, Issue, fault
from ferrule.frames.handedness import Handedness
from ferrule.web import typed
from ferrule.web.units import IN_SI


@dataclass(frozen=True, slots=True)
class Measure:
    """A kind of number a coach enters. key holds {at} where the swing has several places; ways: (said, rises_when word)
    pairs, first the rising one; empty where a number has no side.
    """

    measure: str
    said: str
    key: str
    ways: tuple[tuple[str, str], ...]
    places: tuple[str, ...] = ()
    unit: str = "°"
    question: str = ""


_DOWN: Final = ("address", "top", "shaft_level_down", "impact")
MEASURES: Final[tuple[Measure, ...]] = (
    Measure("wrist.flexion_deg", "lead wrist, bowed or cupped", "wrist.{at}.flexion_deg",
            (("bowed", "bows"), ("cupped", "cups")), _DOWN, question="Does its number go up when the wrist bows or cups?"),
    Measure("wrist.ulnar_deviation_deg", "lead wrist, set or unset", "wrist.{at}.ulnar_deviation_deg",
            (("unset", "unsets"), ("set", "sets")), _DOWN, question="Does its number go up when the wrist sets or unsets?"),
    Measure("wrist.forearm_roll_deg", "forearm roll since address", "wrist.{at}.forearm_roll_deg",
            (("rolled closed", "supinates"), ("rolled open", "pronates")), _DOWN[1:],
            question="Does its number go up when the forearm supinates or pronates?"),
    Measure("shaft_lean_impact_deg", "hands ahead or behind at impact", "shaft_lean_impact_deg",
            (("ahead", "hands go ahead"), ("behind", "hands stay behind")),
            question="Does its number go up when the hands go ahead?"),
    Measure("handle_raise_deg", "handle raised at impact", "handle_raise_deg",
            (("raised", "handle rises"), ("lower", "handle drops")), question="Does its number go up when the handle rises?"),
    Measure("posture.forward_bend_deg", "forward bend", "posture.forward_bend_{at}_deg", (),
            ("address", "shaft_level", "impact"), question="Does its number go up when the golfer bends forward?"),
    Measure("leading_edge_tilt_shaft_level_deg", "leading edge at shaft level", "leading_edge_tilt_shaft_level_deg",
            (("tilted forward", "tilts forward"), ("tilted back", "tilts back")),
            question="Does its number go up when the edge tilts forward?"),
    Measure("body.chest_open_impact_deg", "chest at impact", "body.chest_open_impact_deg",
            (("open", "opens"), ("closed", "closes")), question="Does its number go up when the chest opens?"),
    Measure("body.pelvis_open_impact_deg", "pelvis at impact", "body.pelvis_open_impact_deg",
            (("open", "opens"), ("closed", "closes")), question="Does its number go up when the pelvis opens?"),
    Measure("grip_turn_deg", "grip, strong or weak", GRIP_TURN.key, (("strong", "stronger"), ("weak", "weaker")),
            question="Does its number go up when the grip is stronger?"),
    Measure("aim_deg", "aim of the body", "aim_deg", (("right", "right"), ("left", "left")),
            question="Does its number go up to the right or to the left?"),
    Measure("face_address_deg", "face at address", "face_address_deg", (("open", "opens"), ("closed", "closes")),
            question="Does its number go up when the face opens or closes?"),
    Measure("delivery.face_deg", "face at impact", "delivery.face_deg", (("open", "opens"), ("closed", "closes")),
            question="Does its number go up when the face opens or closes?"),
    Measure("delivery.path_deg", "path", "delivery.path_deg", (("right", "right"), ("left", "left")),
            question="Does its number go up to the right or to the left?"),
    Measure("delivery.attack_deg", "attack angle", "delivery.attack_deg", (("up", "up"), ("down", "down")),
            question="Does its number go up when the head comes up?"),
    Measure("delivery.delivered_loft_deg", "loft at impact", "delivery.delivered_loft_deg", ()),
    Measure("delivery.club_speed_mps", "club speed", "delivery.club_speed_mps", (), unit="m/s"),
    Measure("ball.start_deg", "ball's start", "ball.start_deg", (("right", "right"), ("left", "left")),
            question="Does its number go up to the right or to the left?"),
    Measure("ball.curve_deg", "ball's bend", "ball.curve_deg", (("right", "right"), ("left", "left")),
            question="Does its number go up to the right or to the left?"),
    Measure("ball.carry_m", "carry", "ball.carry_m", (), unit="m"),
)  # fmt: skip
BY_NAME: Final = {m.measure: m for m in MEASURES}


def enter_reading(ws: Workspace, lesson_id: int, body: typed.TypedReading, key: str | None) -> SwingView | None:
    """Enter one number. Raises InputError with every fault under the name of its field.

    Gives the swing it went to; None for a grip, which belongs to the lesson and club.
    """
    lesson = lessons.lesson(ws, lesson_id)
    hand: Handedness = "left" if lesson.handedness == "left" else "right"
    faults: list[Issue] = []
    measure = BY_NAME.get(body.measure)
    if measure is None:
        faults.append(
            fault("missing", "measure", expected="what was read", got="nothing", do="Choose it from the list")
        )
    elif measure.places and body.at not in measure.places:
        faults.append(fault("missing", "at", expected="where in the swing", got="nothing", do="Choose it"))
    if body.value is None:
        faults.append(fault("missing", "value", expected="a number", got="nothing", do="Type it in"))
    if measure is None or body.value is None or faults:
        raise InputError(faults)
    glossary_key = measure.key.format(at=body.at)
    if body.unit is not None:
        body = body.model_copy(update={"value": body.value * _in_si(body.unit)})
    reading = (
        _by_word(measure, glossary_key, body, hand)
        if body.device in ("by_eye", "typed")
        else _off_device(ws, glossary_key, body, key)
    )
    try:
        return _put(ws, lesson_id, body, reading, [s.id for s in lesson.swings if s.number is not None], key)
    except InputError as error:
        raise InputError([_renamed(f, glossary_key) for f in error.faults]) from None


def _in_si(unit: str) -> float:
    if unit not in IN_SI:
        raise InputError.of("choice", "unit", expected=f"one of {', '.join(IN_SI)}", got=repr(unit))
    return IN_SI[unit]


def _put(
    ws: Workspace, lesson_id: int, body: typed.TypedReading, reading: NewReading, balls: list[int], key: str | None
) -> SwingView | None:
    if reading.key == GRIP_TURN.key:
        swings.read_grip(
            ws,
            lesson_id,
            reading.value,
            sd=reading.sd,
            how=reading.how,
            club=body.club,
            device_id=reading.device_id,
            key=key,
        )
        return None
    if body.swing == "new" or (body.swing == "last" and not balls):
        return swings.add_swing(ws, lesson_id, club=body.club, readings=[reading], key=key)
    if body.swing == "last":
        return swings.set_reading(ws, balls[-1], reading, key=key)
    if not body.swing.isdigit():
        raise InputError.of("choice", "swing", expected="a ball of this lesson", got=repr(body.swing))
    return swings.set_reading(ws, int(body.swing), reading, key=key)


def _by_word(measure: Measure, key: str, body: typed.TypedReading, hand: Handedness) -> NewReading:
    value = body.value or 0.0
    if measure.ways:
        word = dict(measure.ways).get(body.way or "")
        if word is None and value != 0.0:
            said = " or ".join(w for w, _ in measure.ways)
            raise InputError.of("missing", "way", expected=said, got="nothing", do="Choose one")
        if value < 0:
            raise InputError.of(
                "sign", "value", expected="a size, its side chosen as a word", got=f"{value:g}",
                cause="a number with a sign, as a device shows it", do="Type it without a sign, or choose the device",
            )  # fmt: skip
        value *= sign_of(measure.measure, word, hand) if word else 1.0
    return NewReading(key, value, body.sd, body.device)


def _off_device(ws: Workspace, key: str, body: typed.TypedReading, request: str | None) -> NewReading:
    if body.device == "new":
        try:
            device = devices.add_device(ws, body.device_name, key=f"{request}-device" if request else None)
        except InputError as error:
            raise InputError([f.under("device_name") for f in error.faults]) from None
    elif body.device.isdigit():
        device = next((d for d in devices.devices(ws) if d.id == int(body.device)), None) or _no_device(body)
    else:
        _no_device(body)
    question = question_for(key)
    if len(question.choices) > 1 and device.sign(question.measure) is None:
        if not body.rises_when:
            raise InputError.of(
                "sign_unknown", "rises_when", expected=f"when the number of {device.name} rises", got="no answer yet",
                do="Answer it once; it is remembered",
            )  # fmt: skip
        answer_sign(
            ws, device.id, question.measure, body.rises_when, shows_at_neutral=body.shows_at_neutral or 0.0,
            key=f"{request}-sign" if request else None,
        )  # fmt: skip
    return NewReading(key, body.value or 0.0, body.sd, "typed", device.id)


def _no_device(body: typed.TypedReading) -> DeviceView:
    raise InputError.of(
        "choice", "device", expected="a device that is known here", got=repr(body.device), do="Choose one"
    )


def _renamed(issue: Issue, glossary_key: str) -> Issue:
    """Faults about the reading belong beside the number on the form."""
    if issue.where != glossary_key:
        return issue
    message = issue.message.replace(f"{glossary_key}: ", "value: ", 1)
    return Issue(issue.code, issue.severity, "value", message)
