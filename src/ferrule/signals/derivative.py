"""Rates of change and readings between samples."""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter

Floats = NDArray[np.float64]


def rate_of_change(time_s: Floats, values: Floats) -> Floats:
    """Central differences along the first axis on any rising clock; one-sided at the ends. Same shape as values."""
    return np.asarray(np.gradient(values, time_s, axis=0), dtype=np.float64)


def running_integral(time_s: Floats, values: Floats) -> Floats:
    """Trapezoid integral from the first sample to each sample, along the first axis; zero at the first."""
    dt = np.diff(time_s)
    steps = 0.5 * (values[1:] + values[:-1]) * (dt[:, None] if values.ndim > 1 else dt)
    out = np.zeros_like(values, dtype=np.float64)
    np.cumsum(steps, axis=0, out=out[1:])
    return out


def smoothed(values: Floats, samples: int) -> Floats:
    """Centred moving mean over an odd number of samples along the first axis; the ends use what is there."""
    width = max(1, samples | 1)
    if width == 1:
        return values
    half = width // 2
    total = np.concatenate((np.zeros((1, *values.shape[1:])), np.cumsum(values, axis=0)))
    n = len(values)
    low = np.maximum(np.arange(n) - half, 0)
    high = np.minimum(np.arange(n) + half + 1, n)
    count = (high - low).astype(np.float64)
    return np.asarray((total[high] - total[low]) / (count[:, None] if values.ndim > 1 else count))


def without_spikes(values: Floats, samples: int) -> Floats:
    """Centred running median over an odd number of samples, shape (n,): what lasts less than half of it is gone."""
    width = max(1, samples | 1)
    return np.asarray(median_filter(values, width, mode="nearest"))


def crossings(time_s: Floats, values: Floats, *, rising: bool | None = None) -> Floats:
    """Times at which a series crosses zero, between samples by a straight line.

    time_s, values: shape (n,). rising: True for upward crossings only, False for downward, None for both.
    """
    sign = values > 0.0
    change = np.flatnonzero(sign[1:] != sign[:-1])
    if rising is not None:
        change = change[sign[change + 1] == rising]
    before, after = values[change], values[change + 1]
    share = before / (before - after)
    return np.asarray(time_s[change] + share * (time_s[change + 1] - time_s[change]))
