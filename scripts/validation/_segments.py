"""Single segments with optical truth: how far orientation by integration drifts in seconds."""

from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation, Slerp

from ferrule.frames.rotations import rotation_from_scalar_first
from ferrule.sensing.strapdown import strapdown

Floats = NDArray[np.float64]


def rms(error: Floats) -> float:
    """Root mean square."""
    return float(np.sqrt(np.mean(error**2)))


def _aligned(gyr: Floats, rate: Floats) -> Rotation:
    """Constant turn from the sensor to the segment, from both rates (rad/s, each in its own axes)."""
    use = np.isfinite(rate).all(axis=1) & (np.linalg.norm(rate, axis=1) > 0.3)
    return Rotation.align_vectors(rate[use], gyr[use])[0]


def _truth_rate(time_s: Floats, rotation: Rotation) -> Floats:
    """Rate of a sampled orientation in the body, central differences, rad/s."""
    rate = np.full((len(rotation), 3), np.nan)
    turned = (rotation[:-2].inv() * rotation[2:]).as_rotvec()
    rate[1:-1] = turned / (time_s[2:] - time_s[:-2])[:, None]
    return rate


@dataclass(frozen=True, eq=False, slots=True)
class Tracked:
    """A segment's truth and its sensor on one clock. good: rows with truth."""

    time_s: Floats
    truth: Rotation
    gyr: Floats
    good: NDArray[np.bool_]
    mounting: Rotation


def _delay(time_s: Floats, gyr: Floats, rate: Floats) -> float:
    """By how much later a sensor shows a turn than the cameras do, s, within 60 ms: filters, and clocks that were set apart.

    gyr: as measured; rate: of the truth; rad/s, shape (n, 3). The shift that leaves the least (median) between both.
    """
    use = np.isfinite(rate).all(axis=1) & (np.linalg.norm(rate, axis=1) > 0.3)

    def left(late: float) -> float:
        seen = _earlier(time_s, gyr, late)[use]
        turned = Rotation.align_vectors(rate[use], seen)[0].apply(seen)
        return float(np.median(np.linalg.norm(rate[use] - turned, axis=1)))

    return float(min(np.arange(-0.060, 0.0605, 0.001), key=left))


def _earlier(time_s: Floats, gyr: Floats, late: float) -> Floats:
    """A rate without a delay."""
    return np.stack([np.interp(time_s + late, time_s, gyr[:, i]) for i in range(3)], axis=1)


def _on_time(segment: Tracked) -> tuple[Tracked, float]:
    """A segment with its sensor on the cameras' clock, and the delay taken out."""
    rate = np.where(segment.good[:, None], _truth_rate(segment.time_s, segment.truth), np.nan)
    late = _delay(segment.time_s, segment.gyr, rate)
    gyr = _earlier(segment.time_s, segment.gyr, late)
    return Tracked(segment.time_s, segment.truth, gyr, segment.good, _aligned(gyr, rate)), late


def _window_errors(parent: Tracked, child: Tracked, seconds: float, start_s: float = 0.0) -> Floats:
    """RMS error (deg) of the relative orientation in windows that each start from the truth: from its first sample, or from
    the mean over `start_s`.
    """
    t = parent.time_s
    out = []
    for start in np.arange(t[0], t[-1] - seconds, seconds):
        k = np.flatnonzero((t >= start) & (t < start + seconds))
        if k.size < 20 or not (parent.good[k] & child.good[k]).all():
            continue
        first = max(1, int(np.searchsorted(t[k], t[k[0]] + start_s)))
        turned = []
        for s in (parent, child):
            since = s.mounting * strapdown(t[k], s.gyr[k], Rotation.identity()) * s.mounting.inv()
            turned.append((s.truth[k[:first]] * since[:first].inv()).mean() * since)
        seen, true = turned[0].inv() * turned[1], parent.truth[k].inv() * child.truth[k]
        if np.degrees((true[0].inv() * true).magnitude()).max() < 10.0:
            continue  # nothing moved
        out.append(rms(np.degrees((true.inv() * seen).magnitude())))
    return np.array(out)


def _quartiles(errors: Floats) -> str:
    if not errors.size:
        return "no window with truth"
    q = np.percentile(errors, [25, 50, 75, 90])
    return f"{q[1]:.1f} (quarters {q[0]:.1f} to {q[2]:.1f}, nine in ten below {q[3]:.1f}; {errors.size} windows)"


def linked_segments(folder: Path) -> str:
    """Five linked segments moved by hand, rigid and loose sensors at 40 Hz, 3 s windows."""
    trial = folder / "trial1"
    optical = np.genfromtxt(trial / "omc.csv", delimiter=",", names=True, skip_header=2)
    clock = np.arange(optical.size) / 30.0
    lines = [
        "Linked segments moved by hand with optical truth (ring supplementary material): error of the relative orientation"
        " of neighbours inside 3 s windows started from the truth, degrees RMS, median over windows. 40 Hz sensors at up to"
        " 749 deg/s: a sample turns up to 19 deg, and the gyro's scale reads 2-4 % low against the cameras, the more so the"
        " faster it turns. The sensors' clock is set against the cameras' by one number for each sensor; what is left beyond"
        " the median are windows at several hundred deg/s, where a straight line between samples is no longer the turn.",
        "",
    ]
    for kind in ("rigid", "nonrigid"):
        imu = np.genfromtxt(trial / f"imu_{kind}.csv", delimiter=",", names=True, skip_header=2)
        t = np.arange(imu.size) / 40.0
        segments = []
        for n in range(1, 6):
            q = np.column_stack([optical[f"seg{n}_quat_{c}"] for c in "wxyz"])
            known = np.isfinite(q).all(axis=1)
            inside = np.clip(t, clock[known][0], clock[known][-1])
            truth = Slerp(clock[known], rotation_from_scalar_first(q[known]))(inside)
            near = np.interp(t, clock, known.astype(float)) > 0.99
            gyr = np.column_stack([imu[f"seg{n}_gyr_{c}"] for c in "xyz"])
            gyr = gyr - gyr[:40].mean(axis=0)
            good = near & (t >= clock[known][0]) & (t <= clock[known][-1])
            rate = np.where(good[:, None], _truth_rate(t, truth), np.nan)
            segments.append(Tracked(t, truth, gyr, good, _aligned(gyr, rate)))
        punctual, late = zip(*(_on_time(s) for s in segments), strict=True)
        before, after = (
            np.concatenate([_window_errors(a, b, 3.0) for a, b in pairwise(some)]) for some in (segments, punctual)
        )
        lines += [
            f"* {kind} sensors: {_quartiles(after)} (asked for with rigid ones: 3).",
            f"  * as recorded, {-1000.0 * float(np.median(late)):.0f} ms ahead of the cameras: {_quartiles(before)}.",
        ]
    return "\n".join(lines)


def pendulum(folder: Path) -> str:
    """Three-segment pendulum, about 162 Hz with jitter and gaps, 3 s windows."""
    lines = [
        "RepoIMU (Szczesna et al. 2016): three-segment pendulum, sensor and optical truth per segment, about 162 Hz with jitter"
        " and gaps up to 0.16 s. Relative orientation of neighbours inside 3 s windows started from the truth (the mean over its"
        " first half second), degrees RMS. The truth is noisy: within 50 ms it departs from the gyroscope by 1 to 2 deg one time"
        " in ten, 20 to 40 deg/s and more than any gyroscope's error. A window that starts from one sample of it keeps that"
        " sample's error throughout; trials in which most windows are so stay above 3 deg.",
        "",
    ]
    everything = []
    for trial in sorted({p.name.rsplit("_Segment", 1)[0] for p in folder.glob("Pendulum*.csv")}):
        files = sorted(folder.glob(f"{trial}_Segment_*.csv"))
        tables = [np.genfromtxt(p, delimiter=";", skip_header=2)[:, :11] for p in files]
        tables = [x[np.isfinite(x).all(axis=1)] for x in tables]
        tables = [x[np.concatenate(([True], np.diff(x[:, 0]) > 0.0))] for x in tables]
        start, end = max(x[0, 0] for x in tables), min(x[-1, 0] for x in tables)
        t = np.arange(start, end, 1.0 / 162.0)
        segments = []
        for x in tables:
            truth = Slerp(x[:, 0], rotation_from_scalar_first(x[:, 1:5]))(np.clip(t, x[0, 0], x[-1, 0]))
            gyr = np.column_stack([np.interp(t, x[:, 0], x[:, 8 + k]) for k in range(3)])
            after = np.clip(np.searchsorted(x[:, 0], t), 1, len(x) - 1)
            good = np.asarray(x[after, 0] - x[after - 1, 0] < 0.03)
            segments.append(Tracked(t, truth, gyr, good, _aligned(gyr, _truth_rate(t, truth))))
        errors = [
            np.concatenate([_window_errors(a, b, 3.0, start) for a, b in pairwise(segments)]) for start in (0.5, 0.0)
        ]
        everything.append((errors[0], errors[1]))
        lines.append(f"* {trial}: {_quartiles(errors[0])}")
    started, at_once = (np.concatenate(some) for some in zip(*everything, strict=True))
    lines += [
        f"* all trials: {_quartiles(started)} (asked for: 3).",
        f"* all trials, started from one sample of the truth: {_quartiles(at_once)}.",
    ]
    return "\n".join(lines)


def single_sensor(folder: Path) -> str:
    """Strapdown change over 2 s of fast movement against optical truth."""
    import h5py

    lines = [
        "BROAD (Laidig et al. 2021, CC BY 4.0): one sensor, optical truth, 286 Hz. Error of the turn over 2 s of movement by"
        " integration alone, degrees, gyro bias from the rest at the start. The sensor's filter is late by one number, read"
        " off the whole recording as a device profile would hold it.",
        "",
    ]
    for path in sorted(folder.glob("*.hdf5")):
        with h5py.File(path, "r") as file:
            gyr, quat = np.asarray(file["imu_gyr"]), np.asarray(file["opt_quat"])
            moving = np.asarray(file["movement"]).ravel().astype(bool)
            rate = float(file.attrs.get("sampling_rate", 285.714285714))
        good = np.isfinite(quat).all(axis=1)
        first = int(np.argmax(moving))
        gyr = gyr - np.nanmedian(gyr[: max(first, 100)], axis=0)
        truth = rotation_from_scalar_first(np.where(good[:, None], quat, [1.0, 0.0, 0.0, 0.0]))
        t = np.arange(len(gyr)) / rate
        rates = np.where(good[:, None], _truth_rate(t, truth), np.nan)
        segment = Tracked(t, truth, gyr, good, _aligned(gyr, rates))
        punctual, late = _on_time(segment)
        span = round(2.0 * rate)
        starts = [
            a for a in range(first, len(gyr) - span, span) if good[a : a + span].all() and moving[a : a + span].all()
        ]
        before, after = (np.array([_turn_error(s, a, span) for a in starts]) for s in (segment, punctual))
        peak = np.degrees(np.nanmax(np.linalg.norm(gyr, axis=1)))
        lines += [
            f"* {path.stem} (up to {peak:.0f} deg/s): {_quartiles(after)}",
            f"  * as recorded, {1000.0 * late:.0f} ms behind the cameras: {_quartiles(before)}",
        ]
    return "\n".join([*lines, "", "Asked for in fast rotation: 1 deg median."])


def _turn_error(segment: Tracked, first: int, span: int) -> float:
    """Error of the turn over so many samples, deg."""
    k = slice(first, first + span)
    since = strapdown(segment.time_s[k], segment.gyr[k], Rotation.identity())[-1]
    turned = segment.mounting * since * segment.mounting.inv()
    true = segment.truth[first].inv() * segment.truth[first + span - 1]
    return float(np.degrees((true.inv() * turned).magnitude()))
