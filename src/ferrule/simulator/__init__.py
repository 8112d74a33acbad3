"""A two-segment swing with exact truth, and sensors with every fault we know."""

from ferrule.simulator.faults import Faults, Gap, Slip
from ferrule.simulator.grip import SimulatedClub
from ferrule.simulator.lesson import SimulatedLesson, simulate_lesson
from ferrule.simulator.plans import PATTERNS, CalibrationPlan, Pattern, SwingPlan
from ferrule.simulator.truth import SwingTruth, Truth

__all__ = [
    "PATTERNS",
    "CalibrationPlan",
    "Faults",
    "Gap",
    "Pattern",
    "SimulatedClub",
    "SimulatedLesson",
    "Slip",
    "SwingPlan",
    "SwingTruth",
    "Truth",
    "simulate_lesson",
]
