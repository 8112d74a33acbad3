"""Frames and marks."""
