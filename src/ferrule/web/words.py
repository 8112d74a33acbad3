"""Numbers as words on a page: "14° cupped", "4° open", never a bare plus or minus; times, clubs and lists in plain words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Final

from ferrule.coaching import wording
from ferrule.units import MPH, YARD

# glossary name: words for a positive value, for a negative one, for nothing
_SIDES: Final[dict[str, tuple[str, str, str]]] = {
    "flexion_deg": ("bowed", "cupped", "flat"),
    "ulnar_deviation_deg": ("unset", "set", "neither set nor unset"),
    "forearm_roll_deg": ("rolled closed", "rolled open", "no roll"),
    "shaft_lean_impact_deg": ("hands ahead", "hands behind", "shaft upright"),
    "handle_raise_deg": ("handle raised", "handle lower", "handle as at address"),
    "leading_edge_tilt_shaft_level_deg": ("tilted forward", "tilted back", "toe straight up"),
    "chest_open_impact_deg": ("open", "closed", "square"),
    "pelvis_open_impact_deg": ("open", "closed", "square"),
    "attack_deg": ("up", "down", "level"),
    "ball_position_m": ("forward", "back", "usual place"),
    "grip_turn_deg": ("strong", "weak", "neutral"),
}
_FACES: Final = frozenset({"delivery.face_deg", "face_address_deg"})
_PLACES: Final = {
    "address": "at address",
    "takeaway": "at takeaway",
    "top": "at the top",
    "lead_arm_level_down": "at lead arm level coming down",
    "shaft_level_down": "at shaft level coming down",
    "impact": "at impact",
    "finish": "at the finish",
}
_SUBJECTS: Final = {
    "flexion_deg": "wrist",
    "ulnar_deviation_deg": "wrist",
    "forearm_roll_deg": "forearm",
    "forearm_shaft_angle_impact_deg": "forearm and shaft at impact",
    "shaft_lean_impact_deg": "shaft at impact",
    "handle_raise_deg": "handle at impact",
    "posture.forward_bend_address_deg": "forward bend at address",
    "posture.forward_bend_shaft_level_deg": "forward bend, shaft level",
    "posture.forward_bend_impact_deg": "forward bend at impact",
    "body.chest_open_impact_deg": "chest at impact",
    "body.pelvis_open_impact_deg": "pelvis at impact",
    "leading_edge_tilt_shaft_level_deg": "leading edge, shaft level",
    "aim_deg": "aim",
    "face_address_deg": "face at address",
    "ball_position_m": "ball position",
    "delivery.face_deg": "face at impact",
    "delivery.path_deg": "path",
    "delivery.attack_deg": "attack",
    "delivery.delivered_loft_deg": "loft at impact",
    "delivery.club_speed_mps": "club speed",
    "ball.start_deg": "ball's start",
    "ball.curve_deg": "ball's bend",
    "ball.carry_m": "carry",
    "ball.side_m": "landing",
    "grip_turn_deg": "grip",
}
HOW: Final = {
    "sensor": "sensor",
    "video": "video",
    "ball": "ball",
    "typed": "typed",
    "by_eye": "by eye",
    "assumed": "assumed",
}


KMH: Final = 1000.0 / 3600.0


@dataclass(frozen=True, slots=True)
class Units:
    """What the coach reads lengths and speeds in: yards or metres; mph, kmh or mps."""

    length: str = "yards"
    speed: str = "mph"

    @property
    def yards(self) -> bool:
        """Whether lengths are in yards."""
        return self.length == "yards"


USUAL: Final = Units()


def speed_words(mps: float, units: Units) -> str:
    """A speed in the coach's unit."""
    said, one = {"mph": ("mph", MPH), "kmh": ("km/h", KMH)}.get(units.speed, ("m/s", 1.0))
    return f"{size(mps / one)} {said}"


def size(value: float, places: int = 0) -> str:
    """A size without its sign, at most `places` decimals, no trailing zeros."""
    shown = f"{abs(value):.{places}f}"
    return shown.rstrip("0").rstrip(".") if "." in shown else shown


def face_words(face_deg: float, left_handed: bool) -> str:
    """The face in the world (+ right of the target) as open or closed for the hand, in the words of every sentence."""
    return wording.face_words(-face_deg if left_handed else face_deg)


def side_words(value: float, unit: str = "°", places: int = 0, straight: str = "straight") -> str:
    """As "3° right", "2° left", "straight"; + is to the right of the target."""
    if abs(value) < 0.5 * 10**-places:
        return straight
    return f"{size(value, places)}{unit} {'right' if value > 0 else 'left'}"


def value_words(key: str, value: float, left_handed: bool = False, units: Units = USUAL) -> str:
    """The value of a glossary key as a coach would say it, unit included."""
    if key in _FACES:
        return face_words(value, left_handed)
    name = key.rsplit(".", 1)[-1]
    if name in _SIDES:
        positive, negative, nothing = _SIDES[name]
        shown, unit = (value * 100, " cm") if key.endswith("_m") else (value, "°")
        if abs(shown) < 0.5:
            return nothing
        return f"{size(shown)}{unit} {positive if shown > 0 else negative}"
    if key in ("aim_deg", "delivery.path_deg", "ball.start_deg", "ball.curve_deg"):
        return side_words(value)
    if key == "ball.side_m":
        return side_words(value / YARD if units.yards else value, " yd" if units.yards else " m", straight="on line")
    if key == "ball.carry_m":
        return distance_words(value, units.yards)
    if key.endswith("_mps"):
        return speed_words(value, units)
    return f"{size(value)}°"


def distance_words(metres: float, yards: bool) -> str:
    """A length on the ground in the coach's unit."""
    return f"{size(metres / YARD)} yd" if yards else f"{size(metres)} m"


def subject_words(key: str) -> str:
    """What a key is about: "wrist at the top", "path"."""
    parts = key.split(".")
    if parts[0] in ("wrist", "trail_wrist") and len(parts) == 3:
        side = "trail " if parts[0] == "trail_wrist" else ""
        return f"{side}{_SUBJECTS[parts[2]]} {_PLACES[parts[1]]}"
    return _SUBJECTS.get(key, key.replace("_", " "))


def doubt_words(key: str, sd: float, units: Units = USUAL) -> str:
    """As "give or take 2.5°", in the coach's unit."""
    if key.endswith("_m"):
        said = f"{size(sd * 100)} cm" if key == "ball_position_m" else distance_words(sd, units.yards)
    else:
        said = speed_words(sd, units) if key.endswith("_mps") else f"{size(sd, 1)}°"
    return f"give or take {said}"


def brief_words(key: str, value: float, left_handed: bool = False, units: Units = USUAL) -> str:
    """A reading for a list: "16° cupped at shaft level", "face at impact 4° open"."""
    parts = key.split(".")
    if parts[0] == "wrist" and len(parts) == 3:
        place = place_words(parts[1]).removesuffix(" coming down")
        return f"{value_words(key, value, left_handed, units)} {place}"
    return f"{subject_words(key)} {value_words(key, value, left_handed, units)}"


def place_words(event: str) -> str:
    """As "at the top", "shaft level coming down"."""
    return _PLACES.get(event, event.replace("_", " "))


def listed(items: Sequence[str]) -> str:
    """As "a", "a and b", "a, b and c"."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"


def counted(number: int, one: str, many: str | None = None) -> str:
    """As "no swings", "one swing", "three swings", "14 swings"."""
    small = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
    word = small[number] if 0 <= number < len(small) else str(number)
    return f"{word} {one if number == 1 else many or one + 's'}"


def ordinal(number: int) -> str:
    """As "first", "second", ... "13th"."""
    known = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
    if 1 <= number <= len(known):
        return known[number - 1]
    ending = "th" if 10 <= number % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def day_words(moment: datetime | date, today: date | None = None) -> str:
    """As "today", "yesterday", "12 March", "12 March 2025"."""
    on = moment.astimezone().date() if isinstance(moment, datetime) else moment
    now = today or datetime.now(UTC).astimezone().date()
    ago = (now - on).days
    if ago in (0, 1, -1):
        return {0: "today", 1: "yesterday", -1: "tomorrow"}[ago]
    months = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")  # fmt: skip
    said = f"{on.day} {months[on.month - 1]}"
    return said if on.year == now.year else f"{said} {on.year}"


def first_name(name: str) -> str:
    """The name by which a golfer is called on the range."""
    return name.split(maxsplit=1)[0] if name.split() else name
