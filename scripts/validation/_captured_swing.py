"""A golf swing from motion capture, worn by two simulated sensors, through the analysis."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, sosfiltfilt
from scipy.spatial.transform import Rotation

from ferrule.analysis.recording import analyse_recording
from ferrule.club.clubs import club_by_name
from ferrule.frames.rotations import rotation_from_scalar_first
from ferrule.frames.wrist import wrist_angles, wrist_rotation
from ferrule.sensing.calibration import FLAT_TO_ADDRESS, FLAT_TO_ADDRESS_SD
from ferrule.sensing.recording import Recording
from ferrule.simulator import CalibrationPlan, Faults, simulate_lesson
from ferrule.simulator.calibrating import FLAT_PRONATION
from ferrule.simulator.curves import Curve, Step, smooth_step
from ferrule.simulator.synthesis import SkinMotion, Strike, draw_wobble, signals_from_motion
from ferrule.units import DEG, GRAVITY

Floats = NDArray[np.float64]

_CMU_EVENTS = {"address": 143, "top": 256, "impact": 330, "finish": 385}
"""Frames of the swing (120 a second) by eye and by where the hands are, from the data's description."""
_CMU_RATE = 120.0
HAND_ZERO = 45.0 * DEG
"""By how much the hand's own axes are turned towards a clinical zero, radians."""


@dataclass(frozen=True, eq=False, slots=True)
class CapturedSwing:
    """Lead arm of a captured swing: time, forearm and hand (segment to world, Y up), wrist centre (m).

    supination: of the forearm's bones since the zero pose, palm down, radians.
    """

    time_s: Floats
    forearm: Rotation
    hand: Rotation
    wrist: Floats
    supination: Floats

    def smoothed(self, cutoff_hz: float | None, stance_hz: float = 2.0) -> "CapturedSwing":
        """The same with less of the markers' jitter: zero-phase low-pass on quaternions and positions.

        cutoff_hz: for the swing, None leaves it as captured; stance_hz: for the stance before it, where jitter of 5 to 15
        deg/s would hide that the golfer stands still.
        """
        swinging = smooth_step((np.arange(self.time_s.size) - 100.0) / 20.0)[:, None]

        def low_passed(values: Floats, hz: float | None) -> Floats:
            if hz is None:
                return values
            sos = butter(2, hz, fs=1.0 / float(np.median(np.diff(self.time_s))), output="sos")
            return np.asarray(sosfiltfilt(sos, values, axis=0))

        def both(values: Floats) -> Floats:
            return low_passed(values, stance_hz) * (1.0 - swinging) + low_passed(values, cutoff_hz) * swinging

        def turn(rotation: Rotation) -> Rotation:
            q = rotation.as_quat()
            q = q * np.cumprod(np.concatenate(([1.0], np.sign(np.sum(q[1:] * q[:-1], axis=1)))))[:, None]
            return Rotation.from_quat(both(q))

        supination = both(self.supination[:, None])[:, 0]
        return CapturedSwing(self.time_s, turn(self.forearm), turn(self.hand), both(self.wrist), supination)


def read_captured_swing(folder: Path, *, twisting: bool = False) -> CapturedSwing:
    """The lead arm, turned into our segment axes.

    In the capture's zero pose the arm lies along +x with the palm down and the thumb along +z; so our Y (proximal) is
    its -x, our X (volar) its -y, our Z (ulnar on a left arm) its -z. The capture's zero of the hand is not a clinical
    one: it reads 65 deg ulnar at address, more than a wrist has. The hand's axes are turned about its volar axis so that
    address reads 20, as a flat-hand pose would have it.

    The hand's turn about its own long axis was not measured (one knuckle marker): the capture's model, deviation about
    an axis of the forearm and then flexion, sets it, and in our order of axes it reads up to 14 deg of twist. twisting:
    keep it; else the hand keeps its measured direction and does not twist.
    """
    table = np.genfromtxt(folder / "golf_lead_arm_derived.csv", delimiter=",", names=True)
    ours = Rotation.from_matrix([[0.0, -1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, -1.0]])

    def turned(name: str) -> Rotation:
        q = np.column_stack([table[f"lead_{name}_q{c}"] for c in "wxyz"])
        return rotation_from_scalar_first(q) * ours

    wrist = np.column_stack([table[f"lead_wrist_{c}_m"] for c in "xyz"])
    forearm, hand = turned("forearm"), turned("hand")
    if not twisting:
        x, y, z = (forearm.inv() * hand).apply([0.0, -1.0, 0.0]).T
        hand = forearm * wrist_rotation(np.arctan2(x, -y), np.arcsin(z), 0.0, side="left")
    clinical = Rotation.from_euler("X", HAND_ZERO)
    return CapturedSwing(table["t_s"], forearm, hand * clinical, wrist, table["supination_deg"] * DEG)


@dataclass(frozen=True, eq=False, slots=True)
class Wear:
    """How the sensors are worn: their faults and the calibration."""

    faults: Faults
    calibration: CalibrationPlan

    @classmethod
    def nominal(cls) -> "Wear":
        """Nominal faults, usual calibration."""
        return cls(Faults.nominal(), CalibrationPlan.usual())

    @classmethod
    def ideal(cls, **faults: object) -> "Wear":
        """Perfect sensors, aligned with the bones, a perfect calibration; only the blow's ringing is left, and `faults`."""
        nominal = Faults.nominal()
        rung = Faults(ringing=nominal.ringing, gyro_ringing=nominal.gyro_ringing)
        return cls(rung.but(**faults), CalibrationPlan.perfect())


def worn_swing(
    swing: CapturedSwing, seed: int, *, struck: bool, wear: Wear | None = None, rate_hz: float = 500.0
) -> tuple[Recording, Recording]:
    """Recording and calibration of two sensors worn through a captured swing. wear: default `Wear.nominal`."""
    worn = wear or Wear.nominal()
    faults, plan = worn.faults, replace(worn.calibration, separate=True)
    lesson = simulate_lesson(seed=seed, swings=[], faults=faults, calibration=plan)
    assert lesson.calibration is not None
    drawn = lesson.truth.faults
    rng = np.random.default_rng([seed, 1])
    impact = _CMU_EVENTS["impact"] / _CMU_RATE
    at = np.arange(swing.time_s[0] + 0.02, swing.time_s[-1] - 0.02, 1.0 / rate_hz)
    # The skin lags behind the bones' pronation by a tenth, as in the calibration: a staircase of smooth steps, one for
    # each frame.
    lag = (1.0 - faults.skin_follow) * (FLAT_PRONATION - swing.supination)
    spread = 3.0 / _CMU_RATE
    twist = Curve(
        float(lag[0]),
        tuple(
            Step(float(change), float(t) - spread, float(t) + spread)
            for change, t in zip(np.diff(lag), swing.time_s[1:], strict=True)
            if abs(change) > 1e-9
        ),
    )
    traces = []
    for sensor, segment, wobble, part in (
        (drawn.forearm, swing.forearm, faults.wobble_forearm, 0.5),
        (drawn.hand, swing.hand, faults.wobble_hand, 1.0),
    ):
        skin = SkinMotion(
            twist if part == 0.5 else Curve(0.0), draw_wobble(wobble, [(impact - 0.6, impact + 0.4)], rng)
        )
        strikes = [Strike(impact, part * 50.0 * GRAVITY, part * faults.gyro_ringing)] if struck else []
        traces.append(
            signals_from_motion(
                swing.time_s,
                segment,
                swing.wrist,
                sensor=sensor,
                faults=faults,
                rng=rng,
                at=at,
                skin=skin,
                strikes=strikes,
            )
        )
    return Recording(
        at, traces[0], traces[1], gyr_range=faults.gyro_range, acc_range=faults.acc_range
    ), lesson.calibration


def golf_swing(folder: Path) -> str:
    """Events and wrist-angle changes of the captured swing through `analyse_recording`."""
    raw, twisting = read_captured_swing(folder), read_captured_swing(folder, twisting=True)
    lines = [
        "CMU Graphics Lab Motion Capture Database (mocap.cs.cmu.edu, created with funding from NSF EIA-0196217), golf"
        " subject: the lead arm's real motion, 120 frames a second. Sensor signals at 500 Hz were synthesised from it with"
        " nominal faults, the calibration was simulated with usual errors. A slow swing (0.6 s down) with no ball in the"
        " data: the blow is added at the frame where the hands are back at the address place. Marker jitter in the stance was"
        " smoothed at 2 Hz; the zero of the hand was moved by 45 deg of deviation to where a flat hand has it.",
        "",
        "| motion | swings found | takeaway | top (frames) | impact (frames) | flexion, address to top | to impact"
        " | deviation, address to top | to impact |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    nominal, smooth = Wear.nominal(), raw.smoothed(15.0)
    n = nominal.faults
    for label, swing, struck, wear in (
        ("smoothed at 15 Hz, struck", smooth, True, nominal),
        ("the same, perfect sensors and calibration", smooth, True, Wear.ideal()),
        ("perfect but for: the calibration", smooth, True, Wear(Wear.ideal().faults, CalibrationPlan.usual())),
        ("the accelerometers' bias", smooth, True, Wear.ideal(acc_bias=n.acc_bias)),
        ("the gyros' scale and cross-axis", smooth, True, Wear.ideal(gyro_scale=n.gyro_scale, gyro_cross=n.gyro_cross)),
        ("the sensors' place (8 mm)", smooth, True, Wear.ideal(lever=n.lever)),
        (
            "soft tissue",
            smooth,
            True,
            Wear.ideal(wobble_forearm=n.wobble_forearm, wobble_hand=n.wobble_hand, skin_follow=n.skin_follow),
        ),
        ("the clocks", smooth, True, Wear.ideal(clock_offset=None, clock_offset_sd=n.clock_offset_sd)),
        ("smoothed at 15 Hz, no blow", smooth, False, nominal),
        ("with the capture model's twist of the hand, struck", twisting.smoothed(15.0), True, nominal),
        ("with its glitches, struck", raw.smoothed(None), True, nominal),
    ):
        lines.append(
            _golf_row(label, swing, struck=struck, wear=wear, seeds=200 if wear is nominal and swing is smooth else 48)
        )
    lines += [
        "",
        "Events: median of (found - described), then the largest, in frames of 8.3 ms. Angles: RMS error in degrees over"
        " the seeds, and their mean, of the change since address (the mean of the still stand), at the found events, against"
        " the capture's own angles, axial first (asked for: events within 2 frames, angles within 1.5). Of 200 swings such an"
        " RMS is known to a twentieth, of 48 to a tenth. The row with perfect sensors is the"
        " error of the method alone; the rows after it add one fault each. This wrist deviates by 65 deg on its way to the"
        " top, twice what is usual, and turns about itself at twice the forearm's rate: a place 8 mm off, or half a per cent"
        " of gain, would turn one sensor's world against the other's by a degree or two. Both are fitted from the swing"
        " itself. What is left at the top is the calibration (where the palm faces, to 2 deg, over 65 deg of deviation); at"
        " impact it is soft tissue, which no gyroscope tells from the joint, and in the deviation a part that is the same for"
        f" every seed: {_turned_by(smooth):.0f} deg of turning bring this forearm's bones from the flat hand to address, where"
        f" {FLAT_TO_ADDRESS / DEG:.0f} +- {FLAT_TO_ADDRESS_SD / DEG:.0f} are assumed, and the skin under the sensor stays behind"
        " by a tenth of it.",
    ]
    return "\n".join(lines)


def _turned_by(swing: CapturedSwing) -> float:
    """Supination of the forearm's bones from palm down to address, degrees."""
    return float(np.interp(_CMU_EVENTS["address"] / _CMU_RATE, swing.time_s, swing.supination) / DEG)


def _golf_row(label: str, swing: CapturedSwing, *, struck: bool, wear: Wear, seeds: int) -> str:
    truth = wrist_angles(swing.forearm, swing.hand, side="left")
    club = club_by_name("7-iron")
    events: dict[str, list[float]] = {"takeaway": [], "top": [], "impact": []}
    errors: dict[tuple[str, str], list[float]] = {}
    found = 0
    for seed in range(seeds):
        recording, calibration = worn_swing(swing, seed, struck=struck, wear=wear)
        swings = analyse_recording(recording, club=club, calibration=calibration, draws=0).swings
        if not swings:
            continue
        best = min(
            swings, key=lambda s: abs(s.events["impact"].time_s * _CMU_RATE - 330) if "impact" in s.events else 1e9
        )
        found += 1
        for name, values in events.items():
            if name in best.events:
                described = _CMU_EVENTS.get(name, _CMU_EVENTS["address"])
                values.append(best.events[name].time_s * _CMU_RATE - described)
        # the address read is the mean of the still stand, here the third of a second before its end
        stand = best.events["address"].time_s - np.linspace(0.0, 0.3, 31)
        for angle, series in (("flexion", truth.flexion), ("ulnar_deviation", truth.ulnar_deviation)):
            for name in ("top", "impact"):
                if name not in best.change:
                    continue
                when = best.events[name].time_s
                true = np.interp(when, swing.time_s, series) - np.interp(stand, swing.time_s, series).mean()
                seen = best.change[name][angle].value
                errors.setdefault((angle, name), []).append(float(np.degrees(seen - true)))

    def event(name: str) -> str:
        v = np.array(events[name])
        return "not found" if not v.size else f"{np.median(v):+.1f} ({np.abs(v).max():.1f})"

    def angle_error(angle: str, name: str) -> str:
        v = np.array(errors.get((angle, name), []))
        return "not read" if not v.size else f"{np.sqrt(np.mean(v**2)):.2f} ({v.mean():+.2f})"

    cells = [label, f"{found} of {seeds}", *(event(n) for n in ("takeaway", "top", "impact"))]
    cells += [angle_error(a, n) for a in ("flexion", "ulnar_deviation") for n in ("top", "impact")]
    return "| " + " | ".join(cells) + " |"
