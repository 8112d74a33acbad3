"""Recordings of the invented golfers: simulated, and written as the files a coach would drop in."""

import tempfile
from dataclasses import dataclass
from pathlib import Path

from ferrule.app.demo.script import File, RecordedBall
from ferrule.ball.response import ball_response
from ferrule.club.clubs import BAG, typical_club_speed
from ferrule.files.native import write_recording_csv
from ferrule.frames.handedness import Handedness
from ferrule.simulator.grip import SimulatedClub
from ferrule.simulator.lesson import simulate_lesson
from ferrule.simulator.plans import SwingPlan
from ferrule.units import DEG

STARTS_DEG, BENDS_DEG, BENDS_MUCH_DEG = 1.8, 2.0, 8.0
"""From how many degrees a start or a bend is seen as one (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Simulation:
    """A file to be made, with whose hands and which club."""

    file: File
    handedness: Handedness
    club: str


def simulated_file(wanted: Simulation) -> bytes:
    """The bytes of a recording in the native layout; the same every time."""
    club = BAG[wanted.club]
    file = wanted.file
    plans = [
        SwingPlan(
            pattern=ball.pattern,
            face=ball.face_deg * DEG,
            lean=None if file.lean_deg is None else file.lean_deg * DEG,
            handle_raise=None if file.handle_raise_deg is None else file.handle_raise_deg * DEG,
            still=1.2,
        )
        for ball in file.balls
    ]
    lesson = simulate_lesson(
        seed=file.seed,
        pattern=file.pattern,
        swings=plans,
        handedness=wanted.handedness,
        club=SimulatedClub(club.loft, club.lie, club.length),
    )
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "recording.csv"
        write_recording_csv(lesson.recording, path)
        return path.read_bytes()


def seen_flight(ball: RecordedBall, club_name: str) -> str:
    """What a coach behind the golfer would call this ball's flight, from its face and path."""
    club = BAG[club_name]
    response = ball_response(club, typical_club_speed(club), club.loft - 5.0 * DEG)
    start = response.start(ball.face_deg, ball.path_deg)
    bend = response.curve((ball.face_deg - ball.path_deg) * DEG) / DEG
    words = ["push" if start > 0 else "pull"] if abs(start) > STARTS_DEG else []
    if abs(bend) > BENDS_MUCH_DEG:
        words.append("slice" if bend > 0 else "hook")
    elif abs(bend) > BENDS_DEG:
        words.append("fade" if bend > 0 else "draw")
    return "-".join(words) or "straight"
