"""An invented practice ground to look around in: golfers, lessons and recordings that nobody made."""

from ferrule.app.demo.ground import DemoGround, DemoProgress

__all__ = ["DemoGround", "DemoProgress"]
