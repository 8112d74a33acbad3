"""Every table, in the field's words."""

from ferrule.store.tables.base import Base, UtcTime
from ferrule.store.tables.bookkeeping import Entry, Setting
from ferrule.store.tables.drills import OwnDrill
from ferrule.store.tables.lessons import BallFlight, Lesson, Note, Reading, Swing
from ferrule.store.tables.people import Club, Device, DeviceSign, Golfer
from ferrule.store.tables.plans import ChosenWay, Trial, TrialBall, Window
from ferrule.store.tables.proof import ColdBall, ColdTest, Report
from ferrule.store.tables.recordings import ColumnMapping, Job, Original, Recording, SwingResult

__all__ = [
    "BallFlight",
    "Base",
    "ChosenWay",
    "Club",
    "ColdBall",
    "ColdTest",
    "ColumnMapping",
    "Device",
    "DeviceSign",
    "Entry",
    "Golfer",
    "Job",
    "Lesson",
    "Note",
    "Original",
    "OwnDrill",
    "Reading",
    "Recording",
    "Report",
    "Setting",
    "Swing",
    "SwingResult",
    "Trial",
    "TrialBall",
    "UtcTime",
    "Window",
]
