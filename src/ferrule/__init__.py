"""Ferrule: from what the lead wrist does to where the ball goes, and back."""

__version__ = "0.1.0"
