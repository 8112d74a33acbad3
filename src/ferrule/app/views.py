"""What the pages, the shell and the REST interface see: plain frozen data, no database behind it.

Angles in degrees, lengths in metres, speeds in m/s, as their keys say. Moments are in UTC.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from ferrule.app.calibration import CalibrationReport
from ferrule.app.trial_verdict import TrialVerdict


@dataclass(frozen=True, slots=True)
class GolferLine:
    """A golfer in the list."""

    id: int
    name: str
    handedness: str
    age_group: str
    lessons: int
    last_lesson_id: int | None
    last_lesson_at: datetime | None
    current_club: str | None
    next_event: str
    next_event_on: date | None
    pain: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GolferView:
    """One golfer in full. Ranges in degrees, None where nobody looked. pain_asked_at None: not asked yet."""

    id: int
    name: str
    handedness: str
    age_group: str
    added_at: datetime
    big_miss: str | None
    other_miss: str | None
    goal: str
    next_event: str
    next_event_on: date | None
    balls_a_week: int | None
    told_before: str
    pain: tuple[str, ...]
    pain_asked_at: datetime | None
    wrist_flexion_range_deg: float | None
    wrist_extension_range_deg: float | None
    wrist_radial_range_deg: float | None
    wrist_ulnar_range_deg: float | None
    forearm_supination_range_deg: float | None
    forearm_pronation_range_deg: float | None
    chest_turn_range_deg: float | None
    hip_turn_range_deg: float | None
    carer_name: str
    carer_consented_at: datetime | None
    golfer_agreed_at: datetime | None

    @property
    def may_be_recorded(self) -> bool:
        """False for a child as long as carer and child have not both agreed."""
        return self.age_group != "junior" or (self.carer_consented_at is not None and self.golfer_agreed_at is not None)


@dataclass(frozen=True, slots=True)
class ClubView:
    """A club in the bag, with its numbers; typed_in False where they are the usual ones of the table."""

    id: int
    golfer_id: int
    name: str
    loft_deg: float
    lie_deg: float
    length_m: float
    head_mass_kg: float
    typed_in: bool
    is_current: bool


@dataclass(frozen=True, slots=True)
class LessonLine:
    """A lesson in the list."""

    id: int
    golfer_id: int
    started_at: datetime
    ended_at: datetime | None
    place: str
    swings: int
    clubs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NoteView:
    """One note of a lesson."""

    id: int
    text: str
    written_at: datetime


@dataclass(frozen=True, slots=True)
class ReadingView:
    """One reading. value is in the unit and sign of the key; device_value is what the device showed."""

    id: int
    key: str
    value: float
    sd: float | None
    how: str
    device_id: int | None
    device: str | None
    device_value: float | None
    read_at: datetime


@dataclass(frozen=True, slots=True)
class SwingView:
    """One swing of a lesson. number None: a look at a swing, not a ball of its own.

    start: pull, straight, push; bend: left, straight, right of the world; shape: both in one word. rep_did: of a rep of a
    drill, whether it did what the drill is for. result: what the analysis of a recording found, as the machine interface
    has it (only from `swing`, None in lists).
    """

    id: int
    lesson_id: int
    club_id: int
    club: str
    number: int | None
    made_at: datetime
    mount: str | None
    strike: str | None
    start: str | None
    bend: str | None
    bends_much: bool
    shape: str | None
    tried_feel: str | None
    tried_amount: float | None
    set_aside: bool
    set_aside_why: str
    readings: tuple[ReadingView, ...]
    recording_id: int | None
    number_in_recording: int | None
    method: str | None = None
    result: Mapping[str, Any] | None = None
    rep_did: bool | None = None

    def reading(self, key: str, how: str | None = None) -> ReadingView | None:
        """The reading of this key (got in this way), or None."""
        return next((r for r in self.readings if r.key == key and how in (None, r.how)), None)


@dataclass(frozen=True, slots=True)
class RecordingView:
    """A recording in a lesson. state: waiting, analysed, unusable; issues: what to know about it, in words."""

    id: int
    lesson_id: int
    club: str
    file_name: str
    kind: str
    mount: str
    profile: str | None
    size_bytes: int
    sha256: str
    state: str
    method: str | None
    issues: tuple[Mapping[str, str], ...]
    swings: int
    imported_at: datetime
    job: "JobView | None"
    asks: str | None = None
    """What kind of layout is to be confirmed before it can be worked out: sensors, angles, markers, xdf; or None."""
    mapping: str | None = None
    """Name of the mapping it is read with."""
    calibration: CalibrationReport | None = None
    """What it says about each step of the calibration, where there is one in it."""


@dataclass(frozen=True, slots=True)
class JobView:
    """Background work. state: waiting, running, done, failed, cancelled. ahead: how many wait before it.

    left_s: about how long until it is done, by how long the last ones took; None when nothing is known yet.
    """

    id: int
    kind: str
    recording_id: int
    lesson_id: int
    file_name: str
    state: str
    message: str
    queued_at: datetime
    started_at: datetime | None
    ended_at: datetime | None
    ahead: int
    left_s: float | None = None


@dataclass(frozen=True, slots=True)
class WatchNote:
    """A file in the watched folder that could not be taken into a lesson, and why."""

    lesson_id: int
    file_name: str
    words: str
    at: datetime


@dataclass(frozen=True, slots=True)
class LessonView:
    """A lesson with everything in it. version rises with every change. grips: grip readings, newest last."""

    id: int
    golfer_id: int
    golfer: str
    handedness: str
    started_at: datetime
    ended_at: datetime | None
    place: str
    surface: str | None
    ball: str | None
    flight_seen_m: float | None
    at_hand: tuple[str, ...]
    version: int
    notes: tuple[NoteView, ...]
    swings: tuple[SwingView, ...]
    grips: tuple[tuple[str, ReadingView], ...]
    recordings: tuple[RecordingView, ...]
    can_undo: str | None
    can_redo: str | None
    watched: tuple[WatchNote, ...] = ()
    """Files in the watched folder that could not be taken in."""


@dataclass(frozen=True, slots=True)
class SignView:
    """What a device's number means for one measure."""

    measure: str
    rises_when: str
    shows_at_neutral: float


@dataclass(frozen=True, slots=True)
class DeviceView:
    """A device and what was asked about it."""

    id: int
    name: str
    signs: tuple[SignView, ...]

    def sign(self, measure: str) -> SignView | None:
        """The answer for this measure, or None when it was not asked yet."""
        return next((s for s in self.signs if s.measure == measure), None)


@dataclass(frozen=True, slots=True)
class EntryView:
    """The newest thing that can be taken back or done again: its action in words and when it was entered."""

    id: int
    words: str
    made_at: datetime


@dataclass(frozen=True, slots=True)
class ChosenWayView:
    """The way golfer and coach settled on."""

    id: int
    golfer_id: int
    lesson_id: int
    club: str
    way: str
    thought: str
    drill: str
    test: str
    chosen_at: datetime


@dataclass(frozen=True, slots=True)
class WindowView:
    """A target interval in the unit of its key; exaggerate_to: what to feel for, in the same unit."""

    id: int
    golfer_id: int
    lesson_id: int
    club: str
    key: str
    low: float
    high: float
    exaggerate_to: float | None
    set_at: datetime


@dataclass(frozen=True, slots=True)
class TrialBallView:
    """One ball of a trial. set_aside: a mishit, hit again in the same block."""

    swing_id: int
    number: int
    block: int
    way: str
    set_aside: bool = False


@dataclass(frozen=True, slots=True)
class TrialView:
    """A trial. next_way: a or b, None when all balls are hit; next_ball_in_block, next_block from 1.

    verdict: what the balls say so far, with its doubt; None before each way has two.
    """

    id: int
    lesson_id: int
    club: str
    way_a: str
    way_b: str
    feel_a: str
    feel_b: str
    balls_a_block: int
    balls: tuple[TrialBallView, ...]
    next_way: str | None
    next_ball_in_block: int | None
    golfers_word: str
    golfer_prefers: str | None
    started_at: datetime
    ended_at: datetime | None
    verdict: TrialVerdict | None = None
    next_block: int | None = None

    @property
    def counted(self) -> int:
        """Balls that count."""
        return sum(not b.set_aside for b in self.balls)
