"""Real motion against Ferrule: a golf swing from motion capture, a robot's wrist, a person's arm, chains and pendulums.

The data are public and are not part of this repository; `report` says so when they are not there. Layout of the folder:
golf_cmu/, robot_arm/, body_imu/, chain/, pendulum/, single_imu/, each as published (sources in the report's text).
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from _captured_swing import golf_swing
from _segments import linked_segments, pendulum, rms, single_sensor
from numpy.typing import NDArray
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from ferrule.analysis.recording import analyse_recording
from ferrule.club.clubs import club_by_name
from ferrule.files.native import sensor_columns
from ferrule.files.recording import read_recording
from ferrule.frames.rotations import rotation_from_scalar_first
from ferrule.sensing.recording import SensorTrace
from ferrule.sensing.strapdown import strapdown
from ferrule.units import DEG

Floats = NDArray[np.float64]

TITLE = "Real motion"


def report(data: Path | None) -> str:
    """Markdown with measured figures, section by section."""
    parts: list[tuple[str, str, Callable[[Path], str]]] = [
        ("A golf swing from motion capture", "golf_cmu", golf_swing),
        ("A robot's wrist with encoder truth", "robot_arm", robot_arm),
        ("A person's forearm and hand", "body_imu", body),
        ("Linked segments moved by hand", "chain", linked_segments),
        ("A three-segment pendulum", "pendulum", pendulum),
        ("One sensor, fast rotation", "single_imu", single_sensor),
    ]
    out = []
    for title, folder, work in parts:
        there = data is not None and (data / folder).is_dir()
        text = work(data / folder) if data is not None and there else "The data are not here: nothing was measured."
        out.append(f"### {title}\n\n{text}\n")
    return "\n".join(out)


# A robot's wrist -------------------------------------------------------------------------------------------------------

ROBOT_MAPPING: dict[str, Any] = {
    "name": "two files, 125 rows a second",
    "rate_hz": 125.0,
    "columns": {
        name: {"from": f"{name.split('_')[1]}_{name.split('_')[2]}", "file": segment}
        for segment in ("forearm", "hand")
        for name in sensor_columns(segment)
    },
}


def robot_arm(folder: Path) -> str:
    """Relative orientation of two real sensors against encoder truth, after estimating the constant mounting."""
    lines = [
        "OpenAXES Example Robot Dataset (Webering, Fahnemann, Stanislawski 2023, doi:10.25835/psqqs9w0): two sensors either"
        " side of a robot's wrist, read by a column mapping from two files. Each sensor is tracked by itself (gyro and"
        " gravity); then one heading and two mountings, seven numbers that do not change, are fitted to the whole run.",
        "",
        "| run | length s | tracked: RMS deg (largest) | strapdown from the first rest: RMS deg | remarks of the reader |",
        "|---|---|---|---|---|",
    ]
    tracked_all, strapped_all = [], []
    for run in sorted(p for p in folder.iterdir() if p.is_dir()):
        recording, remarks = read_recording(
            run / "radius_adx.csv", second=run / "carpus_adx.csv", mapping=ROBOT_MAPPING
        )
        truth = [_quaternions(run / f"truth_{name}.csv") for name in ("radius", "carpus")]
        count = min(recording.time_s.size, len(truth[0]), len(truth[1]))
        relative = truth[0][:count].inv() * truth[1][:count]
        tracked = [_tracked(recording.time_s, s)[:count] for s in (recording.forearm, recording.hand)]
        strapped = [_strapped(recording.time_s, s)[:count] for s in (recording.forearm, recording.hand)]
        error = _mounted_error(tracked[0], tracked[1], relative)
        drifted = _mounted_error(strapped[0], strapped[1], relative)
        tracked_all.append(rms(error))
        strapped_all.append(rms(drifted))
        said = ", ".join(sorted({i.code for i in remarks})) or "none"
        lines.append(
            f"| {run.name} | {recording.time_s[-1]:.0f} | {rms(error):.2f} ({error.max():.2f}) | {rms(drifted):.2f} | {said} |"
        )
    lines += [
        "",
        f"Median {np.median(tracked_all):.2f}, worst {max(tracked_all):.2f} deg RMS (asked for: 1.2 and 2.0);"
        f" plain strapdown over a whole run {np.median(strapped_all):.2f} and {max(strapped_all):.2f}.",
    ]
    return "\n".join(lines)


def _quaternions(path: Path) -> Rotation:
    table = np.genfromtxt(path, delimiter=",", skip_header=1)
    return rotation_from_scalar_first(table[:, 1:5])


def _tracked(time_s: Floats, trace: SensorTrace) -> Rotation:
    """Orientation over minutes by gyro and gravity, Z up, heading free."""
    import vqf

    step = float(np.median(np.diff(time_s)))
    out = vqf.offlineVQF(np.ascontiguousarray(trace.gyr), np.ascontiguousarray(trace.acc), None, step)
    return rotation_from_scalar_first(out["quat6D"])


def _strapped(time_s: Floats, trace: SensorTrace) -> Rotation:
    """Orientation by integration alone from a rest at the start, Z up."""
    moving = np.linalg.norm(trace.gyr - np.median(trace.gyr[:25], axis=0), axis=1) > 0.1
    rest = max(25, int(np.argmax(moving)) - 5)
    level, _ = Rotation.align_vectors(np.array([[0.0, 0.0, 1.0]]), trace.acc[:rest].mean(axis=0)[None])
    return strapdown(time_s, trace.gyr - trace.gyr[:rest].mean(axis=0), level)


def _mounted_error(forearm: Rotation, hand: Rotation, relative: Rotation) -> Floats:
    """Angle in degrees, at each sample, between the relative orientation and its truth after the best constant fit."""
    some = np.linspace(0, len(relative) - 1, 120).astype(int)

    def error(p: Floats, k: Any) -> Rotation:
        heading = Rotation.from_rotvec([0.0, 0.0, float(p[6])])
        seen = Rotation.from_rotvec(p[0:3]).inv() * forearm[k].inv() * heading * hand[k] * Rotation.from_rotvec(p[3:6])
        return relative[k].inv() * seen

    def residual(p: Floats) -> Floats:
        return error(p, some).as_rotvec().ravel()

    best: Any = None
    for seed in range(24):
        rng = np.random.default_rng(seed)
        start = np.concatenate([*(Rotation.random(rng=rng).as_rotvec() for _ in range(2)), rng.uniform(-3.0, 3.0, 1)])
        fit = least_squares(residual, start, max_nfev=60)
        if best is None or fit.cost < best.cost:
            best = fit
        if best.cost < 0.5 * some.size * (2.5 * DEG) ** 2:
            break
    return np.degrees(error(best.x, slice(None)).magnitude())


# A person --------------------------------------------------------------------------------------------------------------


def body(folder: Path) -> str:
    """Everyday movement of a person: read, judged and cut without complaint."""
    from scipy.io import loadmat

    mat = loadmat(folder / "full_body_example_data.mat", squeeze_me=True, struct_as_record=False)
    time_s = np.asarray(mat["t"], dtype=np.float64)
    lines = [
        "Example recording of the qmt package (MIT, Bo Yang 2021): sensors on a person's forearm and hand, 100 s at 100 Hz,"
        " everyday movement and no golf. What Ferrule says of it:",
        "",
    ]
    for side in ("left", "right"):
        columns: dict[str, Floats] = {"time_s": time_s}
        for segment in ("forearm", "hand"):
            sensor = mat[f"{segment}_{side}"]
            columns |= dict(zip(sensor_columns(segment), np.hstack([sensor.acc, sensor.gyr]).T, strict=True))
        rows = "\n".join(",".join(map(repr, row)) for row in np.column_stack(list(columns.values())).tolist())
        recording, remarks = read_recording((",".join(columns) + "\n" + rows).encode(), name=f"{side} arm")
        handed = "right" if side == "left" else "left"
        analysis = analyse_recording(recording, handedness=handed, club=club_by_name("7-iron"), draws=0)  # type: ignore[arg-type]
        lines.append(
            f"* {side} arm: {len(analysis.swings)} movements fast enough to be a swing with a still start before them."
        )
        said = dict.fromkeys(f"  * {issue.severity}: {issue.message}" for issue in [*remarks, *analysis.issues])
        lines += list(said)[:6] + ([f"  * and {len(said) - 6} more"] if len(said) > 6 else [])
    return "\n".join(lines)
