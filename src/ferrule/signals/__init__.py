"""Signals: filtering, resampling, gaps, clipping; plain numerical work on arrays."""
