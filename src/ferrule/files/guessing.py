"""What a file of an unknown layout most likely holds: a proposal with its reasons, for a person to confirm.

A guess is a mapping as its reader takes it, perhaps with gaps, and for each part of it the reason in words. Nothing here
is used without somebody having seen it: `app` keeps the file, shows the guess, and reads the file once it is confirmed.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from ferrule.analysis.angles import ANGLES, RISES
from ferrule.errors import InputError
from ferrule.files.angle_traces import read_angle_trace
from ferrule.files.fingerprint import fingerprint
from ferrule.files.layouts import Layout
from ferrule.files.mapping import UNITS
from ferrule.signals.derivative import rate_of_change, smoothed
from ferrule.units import DEG, GRAVITY

Floats = NDArray[np.float64]
Kind = Literal["sensors", "angles", "markers", "xdf"]
GROUPS: Final = ("forearm_acc", "forearm_gyr", "hand_acc", "hand_gyr")
AXES: Final = ("x", "y", "z")

_ACC: Final = re.compile(r"acc|specific|(?<![a-z])a[\W_]?[xyz](?![a-z])")
_GYR: Final = re.compile(r"gyr|omega|angular|rot.{0,4}rate|turn.{0,4}rate|(?<![a-z])[gw][\W_]?[xyz](?![a-z])")
_AXIS: Final = re.compile(r"(?:(?<![a-z])|(?<=acc)|(?<=accel)|(?<=gyr)|(?<=gyro)|(?<=(?<![a-z])[agw]))([xyz])(?![a-z])")
_HAND: Final = re.compile(r"hand|palm|glove|metacarp|(?<![0-9])2(?![0-9])")
_FOREARM: Final = re.compile(r"fore.?arm|wrist|arm|(?<![0-9])1(?![0-9])")
_SQUARES: Final = re.compile(r"s[\^*]?2|s²")
"""The 2 of a second squared is no number of a sensor."""
_TRAIL: Final = re.compile(r"trail")
_TIME: Final = re.compile(r"time|stamp|clock|(?<![a-z])t(?![a-z])|(?<![a-z])(sec|ms)(?![a-z])")
_LABELS: Final = re.compile(r"phase|label|event|mark|segment|part")
_ANGLE: Final[Mapping[str, re.Pattern[str]]] = {
    "flexion": re.compile(r"flex|exten|(?<![a-z])fe(?![a-z])|bow|cup"),
    "ulnar_deviation": re.compile(r"ulnar|radial|deviat|(?<![a-z])(rud|rd|ud|dev)(?![a-z])|hinge|cock|(?<![a-z])set"),
    "forearm_roll": re.compile(r"roll|pron|sup|(?<![a-z])ps(?![a-z])|rotat|twist"),
}
_UNIT_OF_SLOPE: Final = (("rad/s", 1.0), ("deg/s", DEG), ("mdeg/s", DEG / 1000.0))


@dataclass(frozen=True, slots=True)
class Guess:
    """kind: which reader. header: what can be chosen from; fingerprint: of it. mapping: as the reader takes it, parts
    that nothing speaks for left out; why: reasons by part, in words. shows: what each column of numbers spans.
    """

    kind: Kind
    header: tuple[str, ...]
    fingerprint: str
    mapping: dict[str, Any]
    why: dict[str, str] = field(default_factory=dict)
    shows: dict[str, str] = field(default_factory=dict)

    def to_json(self) -> dict[str, Any]:
        """As kept beside a recording until it is answered."""
        return {
            "kind": self.kind,
            "header": list(self.header),
            "fingerprint": self.fingerprint,
            "mapping": self.mapping,
            "why": self.why,
            "shows": self.shows,
        }


def guess_table(layout: Layout) -> Guess:
    """Sensors or ready-made angles in a table, by names and numbers."""
    named = sum(bool(_ACC.search(_plain(h)) or _GYR.search(_plain(h))) for h in layout.numbers)
    angles = any(p.search(_plain(h)) for h in layout.numbers for p in _ANGLE.values())
    sensors = named >= 6 or (len(layout.numbers) >= 12 and not angles)
    return guess_sensors(layout) if sensors else guess_angles(layout)


def guess_sensors(layout: Layout) -> Guess:
    """Columns of a forearm and a hand sensor, their units and the sense of the turning rates."""
    why: dict[str, str] = {}
    columns: dict[str, Any] = {}
    mapping: dict[str, Any] = {"schema": 1, **layout.how}
    time = _time_column(layout)
    if time is None:
        why["time_s"] = "No column that rises all along was found: say how many rows there are a second."
        step = None
    else:
        unit, why["time_s"] = time_unit(time, layout.numbers[time])
        columns["time_s"] = {"from": time, "unit": unit}
        step = float(np.nanmedian(np.diff(layout.numbers[time]))) * UNITS["time"][unit]
    rest = {h: v for h, v in layout.numbers.items() if h != time}
    placed, told = place_sensors(rest)
    columns |= {name: {"from": h} for name, h in placed.items()}
    why |= told
    units, more = sensor_units({n: rest[h] for n, h in placed.items()}, step)
    for name in placed:
        columns[name] |= units.get(_group(name), {})
    why |= more
    label = next((h for h, w in layout.words.items() if w and _LABELS.search(_plain(h))), None)
    if label is not None:
        columns["phase"] = {"from": label}
    whole = mapping | {"columns": columns}
    return Guess("sensors", layout.header, fingerprint(layout.header), whole, why, spans(layout.numbers))


def place_sensors(columns: Mapping[str, Floats]) -> tuple[dict[str, str], dict[str, str]]:
    """Which column is which axis of which sensor: our names to theirs, and why. columns: numbers by name."""
    why: dict[str, str] = {}
    groups: dict[tuple[str, str], dict[str, str]] = {}
    for header in columns:
        plain = _plain(header)
        if _TRAIL.search(plain):
            continue
        signal = "gyr" if _GYR.search(plain) else "acc" if _ACC.search(plain) else None
        axes_named = _AXIS.findall(plain)
        if signal is None or not axes_named:
            continue
        bare = _SQUARES.sub("", plain)
        place = "hand" if _HAND.search(bare) else "forearm" if _FOREARM.search(bare) else "?"
        groups.setdefault((place, signal), {}).setdefault(axes_named[-1], header)
    out: dict[str, str] = {}
    if any(place == "?" for place, _ in groups):
        nameless = {signal: axes for (place, signal), axes in groups.items() if place == "?"}
        other = "hand" if ("forearm", "acc") in groups or ("forearm", "gyr") in groups else "forearm"
        for signal, axes in nameless.items():
            groups.setdefault((other, signal), axes)
    unit = {"acc": "mps2", "gyr": "radps"}
    for (place, signal), axes in groups.items():
        if place == "?":
            continue
        for axis, header in axes.items():
            out[f"{place}_{signal}_{axis}_{unit[signal]}"] = header
    for group in GROUPS:
        three = [out[n] for n in out if _group(n) == group]
        segment, kind = group.split("_")
        said = "acceleration" if kind == "acc" else "turning rate"
        if len(three) == 3:
            why[group] = f"By their names: {', '.join(three)}."
        else:
            why[group] = f"No three columns are named like the {said} of the {segment}: choose them."
    return _by_turning(out, columns, why)


def _by_turning(
    placed: dict[str, str], columns: Mapping[str, Floats], why: dict[str, str]
) -> tuple[dict[str, str], dict[str, str]]:
    """In a swing the hand turns faster than the forearm: said when the names say otherwise."""
    fastest = {}
    for place in ("forearm", "hand"):
        names = [n for n in placed if _group(n) == f"{place}_gyr"]
        if len(names) < 3:
            return placed, why
        rates = np.sqrt(sum(np.nan_to_num(columns[placed[n]]) ** 2 for n in names))
        fastest[place] = float(np.max(rates))
    if fastest["forearm"] > 1.15 * fastest["hand"]:
        why["hand_gyr"] += (
            " Look again: what is called the forearm turns faster than the hand, and in a swing it is the other way round."
        )
    return placed, why


def sensor_units(placed: Mapping[str, Floats], step: float | None) -> tuple[dict[str, dict[str, Any]], dict[str, str]]:
    """Unit and sign by group, with reasons. placed: numbers by our names; step: s between rows, None when not known."""
    units: dict[str, dict[str, Any]] = {}
    why: dict[str, str] = {}
    for place in ("forearm", "hand"):
        acc = _triple(placed, f"{place}_acc")
        gyr = _triple(placed, f"{place}_gyr")
        if acc is not None:
            unit, middle = _acceleration_unit(acc)
            units[f"{place}_acc"] = {"unit": unit, "sign": 1}
            why[f"{place}_acc.unit"] = (
                f"{unit}, because in the middle it shows {middle:.3g}, and at rest that is gravity."
                " At rest it should show plus gravity on the axis that points up: turn it round if yours shows minus."
            )
        if gyr is None:
            continue
        slope = _slope(acc, gyr, step) if acc is not None and step is not None else None
        if slope is not None:
            unit, factor = min(_UNIT_OF_SLOPE, key=lambda u: abs(np.log(abs(slope) / u[1])))
            sign = 1 if slope > 0 else -1
            word = "with" if sign > 0 else "against"
            units[f"{place}_gyr"] = {"unit": unit, "sign": sign}
            why[f"{place}_gyr.unit"] = (
                f"{unit}, because gravity then turns {word} it at {abs(slope) / factor:.2f} of its rate in the slow parts."
            )
            if sign < 0:
                why[f"{place}_gyr.unit"] += " So it is turned round."
            continue
        largest = float(np.nanmax(np.abs(gyr)))
        unit = "mdeg/s" if largest > 20_000 else "deg/s" if largest > 60 else "rad/s"
        units[f"{place}_gyr"] = {"unit": unit, "sign": 1}
        why[f"{place}_gyr.unit"] = f"{unit}, because the largest number is {largest:.3g}."
    return units, why


def _acceleration_unit(acc: Floats) -> tuple[str, float]:
    middle = float(np.nanmedian(np.linalg.norm(acc, axis=1)))
    gravities = {"m/s2": GRAVITY, "g": 1.0, "mg": 1000.0}
    unit = min(gravities, key=lambda u: abs(np.log(max(middle, 1e-9) / gravities[u])))
    return unit, middle


def _slope(acc: Floats, gyr: Floats, step: float) -> float | None:
    """By what factor the turning rates turn gravity in the slow parts: 1 for rad/s, negative when they run against it.

    At rest in the room d(g)/dt = -w x g in the sensor's axes; least squares over samples in which the arm hardly
    accelerates. None when there is too little of it or it does not fit.
    """
    good = np.isfinite(acc).all(axis=1) & np.isfinite(gyr).all(axis=1)
    acc, gyr = acc[good], gyr[good]
    width = max(3, int(0.06 / step) | 1)
    if len(acc) < 4 * width:
        return None
    unit = float(np.median(np.linalg.norm(acc, axis=1)))
    gravity: Floats = np.column_stack([smoothed(acc[:, k], width) for k in range(3)]) / max(unit, 1e-9)
    turning = np.column_stack([smoothed(gyr[:, k], width) for k in range(3)])
    change = rate_of_change(step * np.arange(len(gravity), dtype=np.float64), gravity)
    expected = -np.cross(turning, gravity)
    size = np.linalg.norm(expected, axis=1)
    quiet = np.abs(np.linalg.norm(gravity, axis=1) - 1.0) < 0.15
    quiet &= np.linalg.norm(change, axis=1) < 4.0
    quiet &= size > 0.2 * float(np.quantile(size[quiet], 0.9)) if quiet.any() else False
    if quiet.sum() < 50:
        return None
    a, b = change[quiet].ravel(), expected[quiet].ravel()
    slope = float(a @ b / (b @ b))
    fit = float(a @ b / np.sqrt((a @ a) * (b @ b)))
    return slope if abs(fit) > 0.5 else None


def guess_angles(layout: Layout) -> Guess:
    """Ready-made wrist angles: which column, unit, sign and zero, each with its reason."""
    why: dict[str, str] = {}
    columns: dict[str, Any] = {}
    mapping: dict[str, Any] = {"schema": 1, "kind": "angles", **layout.how, "columns": columns}
    time = _time_column(layout)
    if time is None:
        why["columns.time_s.from"] = "No column rises all along: say how many rows there are a second."
    else:
        unit, why["columns.time_s.from"] = time_unit(time, layout.numbers[time])
        columns["time_s"] = {"from": time, "unit": unit}
    rest = [h for h in layout.numbers if h != time]
    for angle, names in _ANGLE.items():
        hit = next((h for h in rest if names.search(_plain(h))), None)
        if hit is None:
            why[f"columns.{angle}.from"] = "No column is named like it."
            continue
        rest.remove(hit)
        columns[angle] = {"from": hit}
        why[f"columns.{angle}.from"] = f"By its name: {hit}."
    label = next((h for h, w in layout.words.items() if w and _LABELS.search(_plain(h))), None)
    if label is not None:
        columns["event"] = label
    _signs_and_zeros(layout, mapping, why)
    return Guess("angles", layout.header, fingerprint(layout.header), mapping, why, spans(layout.numbers))


def _signs_and_zeros(layout: Layout, mapping: dict[str, Any], why: dict[str, str]) -> None:
    """Unit, sign and zero as the reader would guess them, written out so that they are seen and confirmed."""
    columns = mapping["columns"]
    for angle in ANGLES:
        if angle not in columns:
            continue
        alone = (
            {"flexion": columns[angle]} if angle == "flexion" else {angle: columns[angle], "flexion": columns[angle]}
        )
        trial = {**mapping, "columns": {"time_s": columns.get("time_s"), **alone}, "confirm": True}
        if "time_s" not in columns:
            trial["columns"].pop("time_s")
            trial["rate_hz"] = 100.0
        try:
            trace, issues = read_angle_trace(layout.content, trial, "angles")
        except InputError:
            continue
        raw, read = layout.numbers[columns[angle]["from"]], trace.angles[angle]
        largest = int(np.nanargmax(np.abs(raw)))
        same = read[min(largest, read.size - 1)]
        unit = "rad" if abs(abs(same) - abs(raw[largest])) < 1e-6 * max(1.0, abs(raw[largest])) else "deg"
        sign = 1 if np.nansum(read[: raw.size] * raw[: read.size]) >= 0 else -1
        word = next(w for w, s in RISES[angle].items() if s == sign)
        columns[angle] = {**columns[angle], "unit": unit, "rises_when": word}
        if angle != "forearm_roll":
            columns[angle]["zero_deg"] = 0.0
        for issue in issues:
            what = {"unit_guessed": "unit", "sign_guessed": "rises_when", "zero_guessed": "zero_deg"}.get(issue.code)
            if what is not None and issue.where == angle:
                why[f"columns.{angle}.{what}"] = _reason(issue.message)


def _reason(message: str) -> str:
    """The guess and its reason, without the words before it."""
    at = message.find("Guessed ")
    return message[at:] if at >= 0 else message


def time_unit(name: str, values: Floats) -> tuple[str, str]:
    """Unit of a time column by its steps, and why."""
    steps = np.diff(values[np.isfinite(values)])
    step = float(np.median(steps[steps > 0])) if (steps > 0).any() else 0.0
    likely = [
        (u, 1.0 / (step * f)) for u, f in UNITS["time"].items() if step > 0 and 20.0 <= 1.0 / (step * f) <= 10_000.0
    ]
    if not likely:
        return "s", f"{name}: its steps of {step:.3g} fit no unit; seconds are the usual one."
    hinted = [u for u in likely if re.search(rf"(?<![a-z]){u[0]}(?![a-z])", _plain(name))]
    unit, rate = (hinted or likely)[0]
    return unit, f"{name} rises all along, and its steps of {step:.3g} {unit} make {rate:.0f} rows a second."


def _time_column(layout: Layout) -> str | None:
    def rises(values: Floats) -> bool:
        good = values[np.isfinite(values)]
        return good.size > 2 and bool((np.diff(good) >= 0).all()) and good[-1] > good[0]

    rising = [h for h, v in layout.numbers.items() if rises(v)]
    return next((h for h in rising if _TIME.search(_plain(h))), rising[0] if rising else None)


def _triple(placed: Mapping[str, Floats], group: str) -> Floats | None:
    unit = "mps2" if group.endswith("acc") else "radps"
    names = [f"{group}_{axis}_{unit}" for axis in AXES]
    if any(n not in placed for n in names):
        return None
    rows = min(placed[n].size for n in names)
    return np.column_stack([placed[n][:rows] for n in names])


def _group(name: str) -> str:
    """`forearm_acc` of `forearm_acc_x_mps2`."""
    return "_".join(name.split("_")[:-2])


def _plain(header: str) -> str:
    """Lower case, words of joined names apart."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", header).lower()


def spans(columns: Mapping[str, Floats]) -> dict[str, str]:
    """From the least to the greatest number of each column, in words, so that it can be told by eye."""
    out = {}
    for name, values in columns.items():
        good = values[np.isfinite(values)]
        if good.size:
            out[name] = " to ".join(f"{v:.0f}" if abs(v) >= 100 else f"{v:.3g}" for v in (good.min(), good.max()))
    return out
