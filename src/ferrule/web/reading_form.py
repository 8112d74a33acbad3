"""The form for one number: what was read, where in the swing, off what; a device's sign is asked once, in place."""

from ferrule.app.devices import question_for
from ferrule.app.views import DeviceView, LessonView
from ferrule.web.entry import MEASURES, Measure
from ferrule.web.markup import Markup, tag
from ferrule.web.pad import last_ball
from ferrule.web.parts import REST, choose, fault_place, field, form, select, submit
from ferrule.web.words import Units, place_words

PLACES = {"shaft_level": "shaft level coming down"}
BARE = ("by_eye", "typed")


def reading_form(lesson: LessonView, devices: list[DeviceView], club: str, units: Units, swing: str = "") -> Markup:
    """The form for a lesson. swing: the id of the one swing it is for, else a ball is chosen."""
    return form(
        f"{REST}/lessons/{lesson.id}/readings",
        tag("input", type="hidden", name="club", value=club),
        tag("input", type="hidden", name="swing", value=swing) if swing else None,
        tag(
            "div",
            select("measure", "What", [("", "Choose"), *((m.measure, m.said) for m in MEASURES)]),
            *(_places(m) for m in MEASURES if m.places),
            class_="fields",
        ),
        tag(
            "div",
            field("value", "How much", kind="number"),
            *(_unit(m, units) for m in MEASURES),
            *(_way(m) for m in MEASURES if m.ways),
            class_="fields",
        ),
        tag(
            "div",
            select("device", "Read", _devices(devices)),
            *([] if swing else [select("swing", "For", _balls(lesson), chosen=_balls(lesson)[0][0])]),
            class_="fields",
        ),
        tag("div", field("device_name", "What do you call it?", hint="It is remembered under this name.", maxlength=200), data_when="device=new", class_="fields"),
        *(_asked(m, devices) for m in MEASURES if len(question_for(m.measure).choices) > 1),
        *(_known(m, d) for m in MEASURES for d in devices if d.sign(m.measure)),
        fault_place(""),
        tag("div", submit("Enter it", class_="a"), class_="tools"),
        clear=True,
        draft=f"reading-{lesson.id}-{swing}",
        class_="stack",
    )  # fmt: skip


def _places(measure: Measure) -> Markup:
    options = [(p, PLACES.get(p) or place_words(p)) for p in measure.places]
    chosen = "impact" if "impact" in measure.places else measure.places[-1]
    return tag(
        "div",
        select("at", "Where", options, chosen=chosen, id_=measure.measure.replace(".", "-")),
        data_when=f"measure={measure.measure}",
    )


def _unit(measure: Measure, units: Units) -> Markup | None:
    """The unit beside the number; degrees go without saying."""
    if measure.unit == "°":
        return None
    unit = ("yd" if units.yards else "m") if measure.unit == "m" else units.speed
    said = {"yd": "yards", "m": "metres", "mph": "miles an hour", "kmh": "kilometres an hour", "mps": "metres a second"}
    return tag(
        "p", f"in {said[unit]}", tag("input", type="hidden", name="unit", value=unit),
        class_="hint", data_when=f"measure={measure.measure}",
    )  # fmt: skip


def _way(measure: Measure) -> Markup:
    """By eye or typed: the side is a word."""
    return tag(
        "div",
        choose("way", "Which way", [(w, w) for w, _ in measure.ways]),
        data_when=f"measure={measure.measure} device={'|'.join(BARE)}",
    )


def _asked(measure: Measure, devices: list[DeviceView]) -> Markup:
    """Asked once for a device that has not said so yet."""
    unknown = ["new", *(str(d.id) for d in devices if d.sign(measure.measure) is None)]
    choices = question_for(measure.measure).choices
    return tag(
        "div",
        choose("rises_when", measure.question or "When does its number go up?", [(c, f"when it {c}" if c in ("opens", "closes") else c) for c in choices], hint="Asked once; it is remembered."),
        field("shows_at_neutral", "What it shows at neutral", value="0", kind="number", id_=f"zero-{measure.measure.replace('.', '-')}"),
        data_when=f"measure={measure.measure} device={'|'.join(unknown)}",
        class_="fields asked",
    )  # fmt: skip


def _known(measure: Measure, device: DeviceView) -> Markup | None:
    sign = device.sign(measure.measure)
    if sign is None:
        return None
    return tag(
        "p", f"{device.name}: its number goes up when it {sign.rises_when}. Change this under Settings.",
        class_="hint", data_when=f"measure={measure.measure} device={device.id}",
    )  # fmt: skip


def _devices(devices: list[DeviceView]) -> list[tuple[str, str]]:
    return [
        ("by_eye", "by eye"),
        ("typed", "measured, no device"),
        *((str(d.id), f"off {d.name}") for d in devices),
        ("new", "off a device that is new here"),
    ]


def _balls(lesson: LessonView) -> list[tuple[str, str]]:
    """The ball tapped last, a ball of its own, every other ball: each by its id, so that none that arrives takes its place."""
    balls = [s for s in lesson.swings if s.number is not None]
    last = last_ball(lesson)
    if last is None:
        return [("new", "a ball of its own")]
    return [
        (str(last.id), f"ball {last.number}, the last one{'' if last is balls[-1] else ' you tapped'}"),
        ("new", "a ball of its own"),
        *((str(s.id), f"ball {s.number}") for s in reversed(balls) if s is not last),
    ]
