"""Numerics on sampled signals: prefix products of rotations, derivatives, crossings, onsets. Knows nothing of golf."""
