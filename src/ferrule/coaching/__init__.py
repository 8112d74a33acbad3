"""Golfer, reading, case; causes, next looks, ways, change, cautions, wording."""
