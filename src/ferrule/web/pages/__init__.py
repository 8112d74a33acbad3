"""The pages: each module declares one under its address. Importing this package declares them all."""

from ferrule.web.pages import (
    balls,
    calibration,
    case,
    clubs,
    drills,
    export,
    first_run,
    golfers,
    interface,
    lesson,
    mapping,
    progress,
    screen,
    settings,
    swing,
)

__all__ = [
    "balls",
    "calibration",
    "case",
    "clubs",
    "drills",
    "export",
    "first_run",
    "golfers",
    "interface",
    "lesson",
    "mapping",
    "progress",
    "screen",
    "settings",
    "swing",
]
