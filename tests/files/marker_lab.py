"""A simulated lesson as cameras would have seen it: markers on elbow, wrist, hand and club, written as C3D by ezc3d."""

from pathlib import Path

import ezc3d
import numpy as np

from ferrule.simulator import CalibrationPlan, Faults, SwingPlan, simulate_lesson

LABELS = ("ELB", "WRR", "WRU", "H2", "H5", "CGR", "CHD", "CTO")
MAPPING = {
    "schema": 1,
    "kind": "markers",
    "axes": {"up": "z", "target": "x"},
    "forearm": {"proximal": "ELB", "radial": "WRR", "ulnar": "WRU"},
    "hand": {"radial": "H2", "ulnar": "H5"},
    "club": {"grip": "CGR", "head": "CHD"},
}
FOREARM, PALM, SHAFT = 0.25, 0.09, 0.85


def lesson(handedness="right", seed=3, swings=1, rate_hz=400.0, pattern="cupped_and_flipped"):
    return simulate_lesson(
        seed=seed,
        pattern=pattern,
        rate_hz=rate_hz,
        faults=Faults.none(),
        swings=[SwingPlan()] * swings,
        calibration=CalibrationPlan.none(),
        handedness=handedness,
    )


def positions(truth, noise=0.0005, seed=0):
    """Markers in the target frame, metres, shape (n, 8, 3). The elbow hangs from a fixed shoulder by an upper arm."""
    # Z of the segment is ulnar for a left limb; a mirrored (left-handed) golfer's lead limb is the right one, Z radial
    z = 1.0 if truth.handedness == "right" else -1.0
    forearm, hand = truth.forearm, truth.hand
    long = forearm.apply([0.0, 1.0, 0.0])
    shoulder = np.array([0.0, 1.4, 0.0])
    wrist = shoulder - 0.55 * long
    elbow = wrist + FOREARM * long
    across = forearm.apply([0.0, 0.0, z])
    palm = wrist + hand.apply([0.0, -PALM, 0.0])
    knuckles = hand.apply([0.0, 0.0, z])
    grip = palm
    head = grip + SHAFT * truth.shaft
    out = [
        elbow,
        wrist - 0.03 * across,
        wrist + 0.03 * across,
        palm - 0.04 * knuckles,
        palm + 0.04 * knuckles,
        grip,
        head,
    ]
    out.append(head + 0.08 * np.cross(truth.shaft, truth.face_normal))
    table = np.stack(out, axis=1)
    return table + np.random.default_rng(seed).normal(0.0, noise, table.shape)


def write(path: Path, table, rate_hz, labels=LABELS, unit="mm", analog=0):
    """Target frame to the lab's: x to the target, z up, so y is to the left."""
    lab = table[:, :, [0, 2, 1]] * [1.0, -1.0, 1.0] * {"mm": 1e3, "m": 1.0}[unit]
    file = ezc3d.c3d()
    points = np.ones((4, lab.shape[1], lab.shape[0]))
    points[:3] = np.moveaxis(lab, 2, 0).transpose(0, 2, 1)
    file["parameters"]["POINT"]["RATE"]["value"] = [float(rate_hz)]
    file["parameters"]["POINT"]["LABELS"]["value"] = tuple(labels)
    file["parameters"]["POINT"]["UNITS"]["value"] = [unit]
    file["data"]["points"] = points
    if analog:
        file["parameters"]["ANALOG"]["RATE"]["value"] = [2.0 * rate_hz]
        file["parameters"]["ANALOG"]["LABELS"]["value"] = [f"A{i}" for i in range(analog)]
        file["data"]["analogs"] = np.random.default_rng(0).normal(size=(1, analog, 2 * len(table)))
    file.write(str(path))
    return path
