"""Rates of change and readings between samples."""

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter

Floats = NDArray[np.float64]

_SUM: Final = np.ones(3)
EVEN_S: Final = 1e-9
"""Steps that differ by less are one."""


def usual_step(time_s: Floats) -> float:
    """Median time from sample to sample, s, to a nanosecond: `np.median(np.diff(time_s))`, far faster on an even clock."""
    steps = time_s[1:] - time_s[:-1]
    if steps.size and steps.max() - steps.min() < EVEN_S:
        return float(steps[0])
    return middle(steps)


def middle(values: Floats) -> float:
    """Median of a series, shape (n,), nan when there is none or a value is nan: as `np.median`, without its overhead."""
    count = values.size
    if count == 0:
        return float("nan")
    half = count // 2
    # nan sorts last: asking for the last place shows it
    ordered = np.partition(values, (half - 1, half, -1) if count > 1 else (0,))
    if np.isnan(ordered[-1]):
        return float("nan")
    return float(ordered[half] if count % 2 else 0.5 * (ordered[half - 1] + ordered[half]))


def lengths(vectors: Floats) -> Floats:
    """Length of each of n vectors, shape (n, 3) to (n,)."""
    return np.asarray(np.sqrt(dots(vectors, vectors)))


def dots(a: Floats, b: Floats) -> Floats:
    """Scalar product of each pair of n vectors, shape (n, 3) to (n,)."""
    return np.asarray((a * b) @ _SUM)


def cross(a: Floats, b: Floats) -> Floats:
    """The product a x b of two vectors, shape (3,): as `np.cross`, without its overhead."""
    x, y, z = a.tolist()
    u, v, w = b.tolist()
    return np.array([y * w - z * v, z * u - x * w, x * v - y * u])


def rate_of_change(time_s: Floats, values: Floats) -> Floats:
    """Central differences along the first axis on any rising clock; one-sided at the ends. Same shape as values.

    As `np.gradient`: the slope of the parabola through a sample and its neighbours. ValueError with fewer than two.
    """
    if len(values) < 2:
        raise ValueError("a rate of change needs two samples")
    step = time_s[1:] - time_s[:-1]
    if values.ndim > 1:
        step = step[:, None]
    slope = (values[1:] - values[:-1]) / step
    out = np.empty(values.shape)
    out[0], out[-1] = slope[0], slope[-1]
    np.divide(step[1:] * slope[:-1] + step[:-1] * slope[1:], step[1:] + step[:-1], out=out[1:-1])
    return out


def running_integral(time_s: Floats, values: Floats) -> Floats:
    """Trapezoid integral from the first sample to each sample, along the first axis; zero at the first."""
    half = 0.5 * (time_s[1:] - time_s[:-1])
    out = np.zeros_like(values, dtype=np.float64)
    steps = values[1:] + values[:-1]
    steps *= half[:, None] if values.ndim > 1 else half
    np.cumsum(steps, axis=0, out=out[1:])
    return out


def smoothed(values: Floats, samples: int) -> Floats:
    """Centred moving mean over an odd number of samples along the first axis; the ends use what is there."""
    width = max(1, samples | 1)
    if width == 1:
        return values
    half, n = width // 2, len(values)
    total = np.zeros((n + 1, *values.shape[1:]))
    np.cumsum(values, axis=0, out=total[1:])
    if n <= width:
        low, high = np.maximum(np.arange(n) - half, 0), np.minimum(np.arange(n) + half + 1, n)
        count = (high - low).astype(np.float64)
        return np.asarray((total[high] - total[low]) / (count[:, None] if values.ndim > 1 else count))
    out = np.empty(values.shape)
    np.subtract(total[width:], total[:-width], out=out[half : n - half])
    out[half : n - half] /= width
    few = np.arange(half + 1, width)
    few = few[:, None] if values.ndim > 1 else few
    out[:half] = total[half + 1 : width] / few
    out[n - half :] = (total[n] - total[n - width + 1 : n - half]) / few[::-1]
    return out


def without_spikes(values: Floats, samples: int) -> Floats:
    """Centred running median over an odd number of samples, shape (n,): what lasts less than half of it is gone."""
    width = max(1, samples | 1)
    return np.asarray(median_filter(values, width, mode="nearest"))


def place_of(time_s: Floats, when: float) -> tuple[int, float]:
    """The sample before an instant, and the share of its step that is gone; the ends are kept to, as by `np.interp`."""
    k = min(max(int(np.searchsorted(time_s, when)), 1), len(time_s) - 1) - 1
    return k, min(max(float((when - time_s[k]) / (time_s[k + 1] - time_s[k])), 0.0), 1.0)


def unwrapped(angles: Floats) -> Floats:
    """`np.unwrap` of angles, shape (n,), which most often do not jump."""
    steps = np.diff(angles)
    if steps.size == 0 or max(float(steps.max()), -float(steps.min())) < np.pi:
        return angles
    return np.unwrap(angles)


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
