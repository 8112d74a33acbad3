"""The pages: each module declares one under its address. Importing this package declares them all."""

from ferrule.web.pages import case, golfers, lesson, progress, screen, settings, swing

__all__ = ["case", "golfers", "lesson", "progress", "screen", "settings", "swing"]
