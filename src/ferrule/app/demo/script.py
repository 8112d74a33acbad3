"""The words in which the invented practice ground is written down: golfers, lessons, balls, recordings."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from ferrule.app.golfers import GolferFields
from ferrule.simulator.plans import Pattern


@dataclass(frozen=True, slots=True)
class Ball:
    """A ball as a coach enters it. readings by key, typed (or as the device shows them); seen: by eye; filmed:
    off a video; aside: why not.
    """

    shape: str | None = None
    strike: str | None = None
    readings: Mapping[str, float] = field(default_factory=dict)
    seen: Mapping[str, float] = field(default_factory=dict)
    filmed: Mapping[str, float] = field(default_factory=dict)
    feel: str | None = None
    amount: float = 1.0
    aside: str | None = None
    club: str | None = None


@dataclass(frozen=True, slots=True)
class RecordedBall:
    """A ball that the sensors saw. face_deg, path_deg: as if right-handed, + right of the target."""

    face_deg: float
    path_deg: float
    strike: str = "centre"
    feel: str | None = None
    pattern: Pattern | None = None


@dataclass(frozen=True, slots=True)
class File:
    """A recording to be simulated: calibration and swings, from its seed. handle_raise_deg, lean_deg: of every swing."""

    name: str
    seed: int
    pattern: Pattern
    balls: tuple[RecordedBall, ...]
    handle_raise_deg: float | None = None
    lean_deg: float | None = None


@dataclass(frozen=True, slots=True)
class DemoTrial:
    """Two ways on the mat and how their balls flew, in order A-B-B-A."""

    way_a: str
    way_b: str
    feel_a: str
    feel_b: str
    shapes: tuple[str, ...]
    word: str
    prefers: str


@dataclass(frozen=True, slots=True)
class Plan:
    """What was settled at the end: way, one thought, one drill, one test, and a window (key, low, high, feel for)."""

    way: str
    thought: str
    drill: str
    test: str
    window: tuple[str, float, float, float] | None = None


@dataclass(frozen=True, slots=True)
class DemoLesson:
    """A lesson so many days ago at this hour (UTC). looks: name and answer; grip_deg: by eye.

    cold: the first ten balls were a cold test; practice: balls after the plan was made, or after the cold test; says: the
    golfer's trust in the change from 0 to 10, and words.
    """

    days_ago: int
    hour: int
    mat: str
    balls: tuple[Ball, ...] = ()
    notes: tuple[str, ...] = ()
    club: str = "7-iron"
    surface: str = "mat"
    at_hand: tuple[str, ...] = ("eye", "ball", "sensor")
    looks: tuple[tuple[str, float], ...] = ()
    grip_deg: float | None = None
    file: File | None = None
    trial: DemoTrial | None = None
    plan: Plan | None = None
    cold: bool = False
    practice: tuple[Ball, ...] = ()
    says: tuple[int, str] | None = None


@dataclass(frozen=True, slots=True)
class DemoGolfer:
    """A golfer: interview, screen, lessons. ranges by field name; event_in_days from today."""

    name: str
    handedness: str
    age_group: str
    big_miss: str
    other_miss: str | None
    goal: str
    told_before: str
    balls_a_week: int
    lessons: tuple[DemoLesson, ...]
    pain: tuple[str, ...] = ()
    event: str = ""
    event_in_days: int | None = None
    ranges: GolferFields = field(default_factory=GolferFields)
    device: tuple[str, str, str] | None = None
    """Name of the device the typed numbers come from, a key of its measure, and when its number rises."""
