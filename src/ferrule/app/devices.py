"""Devices that numbers are read off: their sign and zero are asked once, and a number is turned into ours once, here.

"Does your number go up when the wrist cups?" decides the sign; what the device shows at neutral is its zero. The
reading keeps the number as the device showed it beside the converted one.
"""

from dataclasses import dataclass
from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import Session

from ferrule.app.finding import found, now
from ferrule.app.form import Form
from ferrule.app.views import DeviceView, SignView
from ferrule.app.workspace import Workspace
from ferrule.coaching.quantities import GRIP_TURN, QUANTITIES
from ferrule.errors import InputError
from ferrule.frames.handedness import Handedness
from ferrule.store.tables import Device, DeviceSign, Golfer, Lesson, Reading, Swing

# measure: the word for a rising glossary value, then the word for a falling one.
_WORDS: Final[dict[str, tuple[str, str]]] = {
    "wrist.flexion_deg": ("bows", "cups"),
    "wrist.ulnar_deviation_deg": ("unsets", "sets"),
    "wrist.forearm_roll_deg": ("supinates", "pronates"),
    "trail_wrist.flexion_deg": ("bows", "cups"),
    "trail_wrist.ulnar_deviation_deg": ("unsets", "sets"),
    "trail_wrist.forearm_roll_deg": ("supinates", "pronates"),
    "shaft_lean_impact_deg": ("hands go ahead", "hands stay behind"),
    "handle_raise_deg": ("handle rises", "handle drops"),
    "posture.forward_bend_deg": ("bends forward", "stands up"),
    "body.chest_open_impact_deg": ("opens", "closes"),
    "body.pelvis_open_impact_deg": ("opens", "closes"),
    "leading_edge_tilt_shaft_level_deg": ("tilts forward", "tilts back"),
    "ball_position_m": ("forward", "back"),
    "grip_turn_deg": ("stronger", "weaker"),
    "delivery.attack_deg": ("up", "down"),
}
_SIDES: Final = ("right", "left")
_BY_HAND: Final = ("opens", "closes")
_FACES: Final = frozenset({"delivery.face_deg", "face_address_deg"})


@dataclass(frozen=True, slots=True)
class SignQuestion:
    """What to ask about a device before its first number of this kind: the number rises when...

    measure: name to answer under; choices: the words to choose from; a single choice needs no asking.
    """

    measure: str
    choices: tuple[str, ...]


def measure_of(key: str) -> str:
    """The kind of number a glossary key is: the sign of one event holds for all events."""
    parts = key.split(".")
    if parts[0] in {"wrist", "trail_wrist"}:
        return f"{parts[0]}.{parts[-1]}"
    return "posture.forward_bend_deg" if parts[0] == "posture" else key


def question_for(key: str) -> SignQuestion:
    """What to ask about a device for this glossary key (or measure)."""
    measure = measure_of(key)
    if measure in _WORDS:
        return SignQuestion(measure, _WORDS[measure])
    frame = QUANTITIES[measure].frame if measure in QUANTITIES else None
    if frame == "world":
        return SignQuestion(measure, (*_SIDES, *_BY_HAND) if measure in _FACES else _SIDES)
    if frame is not None:
        return SignQuestion(measure, ("rises",))
    raise InputError.of("unknown_key", key, expected="a quantity of the glossary", got=repr(key))


def sign_of(measure: str, rises_when: str, handedness: Handedness) -> float:
    """+1 when the device's number rises with ours for this golfer, else -1."""
    first, *_ = question_for(measure).choices
    if rises_when in _BY_HAND and measure in _FACES:
        first = "opens" if handedness == "right" else "closes"
    return 1.0 if rises_when == first else -1.0


def devices(ws: Workspace) -> list[DeviceView]:
    """Every device, by name, with what was asked about it."""
    with ws.reading() as session:
        return [_view(session, d) for d in session.scalars(select(Device).order_by(Device.name))]


def add_device(ws: Workspace, name: str, *, key: str | None = None) -> DeviceView:
    """A device by the coach's name for it; the same name again gives the same device."""
    form = Form()
    tidy = form.name("name", name, "a name for the device")
    form.done()
    with ws.change("add_device", key=key, can_undo=False) as change:
        device = change.session.scalar(select(Device).where(Device.name == tidy))
        if device is None:
            device = Device(name=tidy, added_at=now())
            change.session.add(device)
            change.session.flush()
        change.made_id = device.id
        return _view(change.session, device)


def answer_sign(
    ws: Workspace, device_id: int, measure: str, rises_when: str, *, shows_at_neutral: float = 0.0,
    key: str | None = None,
) -> DeviceView:  # fmt: skip
    """Say when the device's number rises and what it shows at neutral. measure: a measure or any glossary key of it.

    When the answer is corrected later, every number kept from this device is converted again from what it showed.
    """
    question = question_for(measure)
    form = Form()
    word = form.needed("rises_when", rises_when, question.choices)
    zero = form.number("shows_at_neutral", shows_at_neutral, -360, 360, "what the device shows at neutral") or 0.0
    form.done()
    with ws.change("answer_sign", key=key, can_undo=False) as change:
        device = found(change.session, Device, device_id)
        if not change.repeated:
            sign = _sign(change.session, device_id, question.measure)
            if sign is None:
                sign = DeviceSign(device_id=device_id, measure=question.measure)
                change.session.add(sign)
            sign.rises_when, sign.shows_at_neutral, sign.asked_at = word, zero, now()
            change.session.flush()
            _convert_again(change.session, device_id, question.measure)
            change.made_id = device_id
        return _view(change.session, device)


def in_our_sign(session: Session, device_id: int, key: str, shown: float, handedness: Handedness) -> float:
    """The value under this glossary key of a number the device showed.

    Raises InputError when the device's sign for it was never asked.
    """
    device = found(session, Device, device_id)
    question = question_for(key)
    sign = _sign(session, device_id, question.measure)
    if sign is None:
        if len(question.choices) == 1:
            return shown
        raise InputError.of(
            "sign_unknown",
            key,
            expected=f"to know when the number of {device.name} rises ({' or '.join(question.choices)})",
            got="no answer yet",
            do="Answer it once; it is remembered",
        )
    value = sign_of(question.measure, sign.rises_when, handedness) * (shown - sign.shows_at_neutral)
    return value + 0.0  # never minus zero


def _convert_again(session: Session, device_id: int, measure: str) -> None:
    lessons = select(Reading, Golfer.handedness)
    of_swing = (
        lessons.join(Swing, Swing.id == Reading.swing_id)
        .join(Lesson, Lesson.id == Swing.lesson_id)
        .join(Golfer, Golfer.id == Lesson.golfer_id)
    )
    of_lesson = lessons.join(Lesson, Lesson.id == Reading.lesson_id).join(Golfer, Golfer.id == Lesson.golfer_id)
    for query in (of_swing, of_lesson):
        for reading, hand in session.execute(query.where(Reading.device_id == device_id)):
            if measure_of(reading.key) == measure and reading.device_value is not None:
                side: Handedness = "left" if hand == "left" else "right"
                reading.value = in_our_sign(session, device_id, reading.key, reading.device_value, side)


def _sign(session: Session, device_id: int, measure: str) -> DeviceSign | None:
    return session.scalar(select(DeviceSign).where(DeviceSign.device_id == device_id, DeviceSign.measure == measure))


def _view(session: Session, device: Device) -> DeviceView:
    signs = session.scalars(select(DeviceSign).where(DeviceSign.device_id == device.id).order_by(DeviceSign.measure))
    return DeviceView(
        device.id, device.name, tuple(SignView(s.measure, s.rises_when, s.shows_at_neutral) for s in signs)
    )


MEASURES: Final = tuple(dict.fromkeys(measure_of(k) for k in (*QUANTITIES, GRIP_TURN.key)))
"""Every kind of number a device may show."""
