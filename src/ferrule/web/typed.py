"""What fingers type, as values: "14", "14,5", " 14.5° ", "" for unknown. Words say what was expected."""

import re
from datetime import date
from math import isfinite
from typing import Annotated, Any, Final

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from ferrule.units import INCH

_NUMBER: Final = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)")
_UNITS: Final = re.compile(r"\s*(°|deg|degrees|yd|yards|m|cm|mph|m/s|balls?)?\s*$", re.IGNORECASE)


def number_from(value: Any) -> float | None:
    """A number from a number or from what was typed; nothing is None. Raises ValueError in words."""
    if value is None or isinstance(value, bool):
        return None if value is None else _no_number(value)
    if isinstance(value, int | float):
        return float(value) if isfinite(value) else _no_number(value)
    text = _UNITS.sub("", str(value).strip().replace("−", "-"))
    if not text:
        return None
    if not _NUMBER.fullmatch(text):
        return _no_number(value)
    return float(text.replace(",", "."))


def _no_number(value: object) -> float:
    raise ValueError(f"expected a number such as 14 or 14.5, got {str(value)[:40]!r}")


def day_from(value: Any) -> date | None:
    """A calendar day from a day or from "2026-05-14" (what a date field gives); nothing is None."""
    if value is None or isinstance(value, date):
        return value
    text = str(value).strip()
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"expected a day such as 2026-05-14, got {text[:40]!r}") from None


def words_from(value: Any) -> str | None:
    """Text, or None when it is empty."""
    if value is None:
        return None
    text = str(value).strip()
    return text or None


def list_from(value: Any) -> list[str]:
    """A list of words, from a list or from words with commas between them."""
    if value is None:
        return []
    parts = value if isinstance(value, list) else str(value).replace(";", ",").split(",")
    return [str(p).strip() for p in parts if str(p).strip()]


Number = Annotated[float | None, BeforeValidator(number_from)]
Day = Annotated[date | None, BeforeValidator(day_from)]
Words = Annotated[str | None, BeforeValidator(words_from)]
WordList = Annotated[list[str], BeforeValidator(list_from)]


class Body(BaseModel):
    """The body of a request: unknown keys are refused by name, what is left out is left alone."""

    model_config = ConfigDict(extra="forbid", str_max_length=20_000)

    def given(self) -> dict[str, Any]:
        """The fields that were sent."""
        return self.model_dump(exclude_unset=True)


class NoBody(Body):
    """Nothing needs to be said."""


class NewGolfer(Body):
    """A golfer to add."""

    name: str = ""
    handedness: Words = Field(None, examples=["right"])
    age_group: Words = None


class GolferChange(Body):
    """What became known of a golfer. Only the fields that are sent are changed."""

    name: str = ""
    handedness: Words = None
    age_group: Words = None
    big_miss: Words = None
    other_miss: Words = None
    goal: str = ""
    next_event: str = ""
    next_event_on: Day = None
    balls_a_week: Number = None
    told_before: str = ""
    pain: WordList = Field(default_factory=list)
    wrist_flexion_range_deg: Number = None
    wrist_extension_range_deg: Number = None
    wrist_radial_range_deg: Number = None
    wrist_ulnar_range_deg: Number = None
    forearm_supination_range_deg: Number = None
    forearm_pronation_range_deg: Number = None
    chest_turn_range_deg: Number = None
    hip_turn_range_deg: Number = None


class Consent(Body):
    """A parent or carer agrees to recordings of a child; so does the child, or not."""

    carer_name: str = ""
    golfer_agreed: bool = False


class ClubChoice(Body):
    """A club by its name, with its numbers where they were measured. Inches, centimetres and grams are for fingers."""

    name: str = ""
    loft_deg: Number = None
    lie_deg: Number = None
    length_m: Number = None
    length_in: Number = None
    length_cm: Number = None
    head_mass_kg: Number = None
    head_mass_g: Number = None

    def numbers(self) -> dict[str, float | None]:
        """Loft, lie, length and head as the store has them."""
        length, head = self.length_m, self.head_mass_kg
        if self.length_in is not None:
            length = self.length_in * INCH
        elif self.length_cm is not None:
            length = self.length_cm / 100.0
        if self.head_mass_g is not None:
            head = self.head_mass_g / 1000.0
        return {"loft_deg": self.loft_deg, "lie_deg": self.lie_deg, "length_m": length, "head_mass_kg": head}

    def typed_as(self, name: str) -> str:
        """The field that a fault of the store is about."""
        if name == "club.name":
            return "name"
        others = {"length_m": ("length_in", "length_cm"), "head_mass_kg": ("head_mass_g",)}.get(name, ())
        return next((o for o in others if getattr(self, o) is not None), name)


class DeviceName(Body):
    """A device by the coach's name for it."""

    name: str = ""


class SignAnswer(Body):
    """When a device's number rises, in the words of the question, and what it shows at neutral."""

    measure: str
    rises_when: Words = None
    shows_at_neutral: Number = None


class LessonSetting(Body):
    """Where and with what a lesson is held. Yards are for distances typed in yards."""

    place: str = ""
    surface: Words = None
    ball: Words = None
    flight_seen_m: Number = None
    flight_seen_yd: Number = None
    at_hand: WordList = Field(default_factory=lambda: ["eye", "ball"])


class NoteText(Body):
    """A note."""

    text: str = ""


class Ball(Body):
    """One ball as tapped: start (left, straight, right, or pull, push) and bend (left, straight, right)."""

    club: Words = None
    start: Words = None
    bend: Words = None
    bends_much: bool = False
    shape: Words = None
    strike: Words = None
    feel: Words = None
    amount: Number = None


class Strike(Body):
    """Where on the face; empty for unknown."""

    strike: Words = None


class Tried(Body):
    """What the golfer tried, and how much of it; empty for the golfer's own swing."""

    feel: Words = None
    amount: Number = None


class Why(Body):
    """Why a swing is left out."""

    why: str = "mishit"


class TypedReading(Body):
    """A number for one place of one swing, as a person enters it.

    swing: id of the swing, `last`, or `new` for a ball of its own. measure: kind of number (wrist.flexion_deg, ...); at:
    place of the swing where the measure has several. value: the number; way: the word for its side (bowed, cupped, ...)
    when it was read without a device. device: `by_eye`, `typed`, `new` or the id of a device; device_name names a new
    one. rises_when, shows_at_neutral: the answer to the question about a device that is asked once.
    """

    swing: str = "last"
    measure: str = ""
    at: Words = None
    value: Number = None
    way: Words = None
    device: str = "by_eye"
    device_name: str = ""
    rises_when: Words = None
    shows_at_neutral: Number = None
    sd: Number = None
    unit: Words = None
    club: Words = None


class KeyedReading(Body):
    """A number under its glossary key, in the key's unit and sign (or as a device shows it)."""

    key: str
    value: Number = None
    sd: Number = None
    how: str = "typed"
    device_id: int | None = None


class LookAnswer(Body):
    """The answer to a next look, in degrees of the look's key or of one of its answers."""

    look: str
    value: Number = None
    sd: Number = None
    how: Words = None
    club: Words = None
    device_id: int | None = None


class TrialStart(Body):
    """Two different ways by name, each with a feel in the golfer's words."""

    way_a: str = ""
    way_b: str = ""
    feel_a: str = ""
    feel_b: str = ""
    club: Words = None
    balls_a_block: int = 3


class TrialEnd(Body):
    """The golfer's word at the end of a trial; golfer_prefers: a, b or nothing."""

    golfers_word: str = ""
    golfer_prefers: Words = None


class SettingsChange(Body):
    """Settings to change."""

    length_unit: Words = None
    speed_unit: Words = None
    tolerance_deg: Number = None
    mode: Words = None
    coach_name: str | None = None
    place: str | None = None
    watched_folder: str | None = None


class PlanChoice(Body):
    """What was settled: a way by name, one thought, one drill (of the library by its title, or in words), one test."""

    way: Words = None
    thought: str = ""
    drill: str = ""
    test: str = ""
    club: Words = None


class ColdStart(Body):
    """A cold test with a club; elsewhere: another target or the course."""

    club: Words = None
    elsewhere: str = ""


class GolferSays(Body):
    """What the golfer says: trust in the change from 0 to 10, where it hurts or is numb, and words."""

    confidence: Number = None
    hurts: WordList = Field(default_factory=list)
    words: str = ""


class NamedMapping(Body):
    """What is what in a layout, as its reader takes it (docs/recordings.md), and a name to know it by."""

    name: str = ""
    mapping: dict[str, Any] = Field(default_factory=dict)
