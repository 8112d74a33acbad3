"""The pages: each module declares one under its address. Importing this package declares them all."""

from ferrule.web.pages import calibration, case, drills, golfers, lesson, mapping, progress, screen, settings, swing

__all__ = ["calibration", "case", "drills", "golfers", "lesson", "mapping", "progress", "screen", "settings", "swing"]
