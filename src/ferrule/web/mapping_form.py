"""The answers of the mapping page, one field each, as a mapping its reader takes; and a mapping as those fields."""

from collections.abc import Mapping
from typing import Any, Final

from ferrule.analysis.angles import ANGLES
from ferrule.errors import InputError, Issue, fault
from ferrule.files.guessing_streams import channel_of, shown_channel
from ferrule.web.typed import number_from

GROUPS: Final = (
    ("forearm_acc", "mps2", "Forearm: acceleration"),
    ("forearm_gyr", "radps", "Forearm: turning rate"),
    ("hand_acc", "mps2", "Hand: acceleration"),
    ("hand_gyr", "radps", "Hand: turning rate"),
)
AXES: Final = ("x", "y", "z")
ROLES: Final = (
    ("forearm.proximal", "Elbow"),
    ("forearm.radial", "Wrist, on the thumb’s side"),
    ("forearm.ulnar", "Wrist, on the little finger’s side"),
    ("forearm.distal", "Wrist, where it has one marker only"),
    ("hand.radial", "Knuckle of the forefinger"),
    ("hand.ulnar", "Knuckle of the little finger"),
    ("hand.distal", "Knuckles, where they have one marker only"),
    ("hand.proximal", "Back of the hand near the wrist, if worn"),
    ("club.grip", "Shaft, near the grip"),
    ("club.head", "Shaft, near the head"),
    ("club.toe", "Toe of the head"),
)
BOTH: Final = ("forearm.proximal",)
"""Roles that two markers share, their middle counting."""
KEPT: Final = ("delimiter", "decimal", "header_lines")


class Answers:
    """Typed answers by field, and the faults found in them."""

    def __init__(self, given: Mapping[str, Any]) -> None:
        self._given = given
        self.faults: list[Issue] = []

    def word(self, field: str) -> str:
        """What was chosen, "" for nothing."""
        value = self._given.get(field)
        return "" if value is None else str(value).strip()

    def number(self, field: str) -> float | None:
        """A number, or None."""
        try:
            return number_from(self._given.get(field))
        except ValueError as error:
            self.faults.append(Issue("bad_value", "fault", field, f"{field}: {error}."))
            return None

    def needs(self, field: str, expected: str) -> None:
        """Note that this field must be answered, unless something is wrong with its answer already."""
        if any(f.where == field for f in self.faults):
            return
        self.faults.append(fault("missing", field, expected=expected, got="nothing", do="Choose it"))


def mapping_of_answers(kind: str, before: Mapping[str, Any], given: Mapping[str, Any]) -> dict[str, Any]:
    """A mapping from the page's fields. before: the guess or saved mapping, for how the file is read.

    Raises InputError with every fault under the name of its field.
    """
    answers = Answers(given)
    make = {"angles": _angles, "markers": _markers, "xdf": _streams}.get(kind, _sensors)
    mapping = make(answers)
    if answers.faults:
        raise InputError(answers.faults)
    return {"schema": 1, **{k: before[k] for k in KEPT if k in before}, **mapping}


def _sensors(answers: Answers) -> dict[str, Any]:
    columns: dict[str, Any] = {}
    time = answers.word("time_s")
    rate = answers.number("rate_hz")
    if time:
        columns["time_s"] = {"from": time, "unit": answers.word("time_s.unit") or "s"}
    elif rate is None:
        answers.needs("time_s", "the column of the time, or how many rows there are a second")
    for name, chosen, unit, sign in _axes(answers):
        columns[name] = {"from": chosen, "unit": unit, "sign": sign}
    if answers.word("phase"):
        columns["phase"] = {"from": answers.word("phase")}
    out: dict[str, Any] = {"columns": columns, **_ranges(answers)}
    if not time and rate is not None:
        out["rate_hz"] = rate
    return out


def _streams(answers: Answers) -> dict[str, Any]:
    columns: dict[str, Any] = {}
    for name, chosen, unit, sign in _axes(answers):
        columns[name] = {**channel_of(chosen), "unit": unit, "sign": sign}
    if answers.word("phase"):
        columns["phase"] = {"stream": answers.word("phase")}
    return {"kind": "xdf", "columns": columns, **_ranges(answers)}


def _axes(answers: Answers) -> list[tuple[str, str, str, int]]:
    out = []
    for group, si, said in GROUPS:
        unit = answers.word(f"{group}.unit")
        sign = -1 if answers.word(f"{group}.sign") == "-1" else 1
        if not unit:
            answers.needs(f"{group}.unit", "a unit")
        for axis in AXES:
            name = f"{group}_{axis}_{si}"
            chosen = answers.word(name)
            if chosen:
                out.append((name, chosen, unit, sign))
            else:
                answers.needs(name, f"the column of {said.lower()}, {axis}")
    return out


def _ranges(answers: Answers) -> dict[str, float]:
    ranges = {key: answers.number(key) for key in ("gyr_range_degps", "acc_range_g")}
    return {key: value for key, value in ranges.items() if value is not None}


def _angles(answers: Answers) -> dict[str, Any]:
    columns: dict[str, Any] = {}
    time, rate = answers.word("columns.time_s.from"), answers.number("rate_hz")
    if time:
        columns["time_s"] = {"from": time, "unit": answers.word("columns.time_s.unit") or "s"}
    elif rate is None:
        answers.needs("columns.time_s.from", "the column of the time, or how many rows there are a second")
    for angle in ANGLES:
        where = f"columns.{angle}"
        chosen = answers.word(f"{where}.from")
        zero = answers.number(f"{where}.zero_deg")
        if not chosen:
            if angle == "flexion":
                answers.needs(f"{where}.from", "the column that shows the wrist bowed or cupped")
            continue
        entry: dict[str, Any] = {"from": chosen}
        for key, expected in (("unit", "a unit"), ("rises_when", "what the wrist does while the number rises")):
            word = answers.word(f"{where}.{key}")
            if word:
                entry[key] = word
            else:
                answers.needs(f"{where}.{key}", expected)
        if angle != "forearm_roll":
            if zero is None:
                answers.needs(f"{where}.zero_deg", "what it shows at a straight wrist, in degrees")
            entry["zero_deg"] = zero
        columns[angle] = entry
    if answers.word("columns.event.from"):
        columns["event"] = answers.word("columns.event.from")
    out: dict[str, Any] = {"kind": "angles", "columns": columns}
    if not time and rate is not None:
        out["rate_hz"] = rate
    return out


def _markers(answers: Answers) -> dict[str, Any]:
    out: dict[str, Any] = {"kind": "markers", "axes": {}}
    for key in ("up", "target"):
        axis = answers.word(f"axes.{key}")
        if axis:
            out["axes"][key] = axis
        else:
            answers.needs(f"axes.{key}", "an axis of the cameras")
    if answers.word("unit"):
        out["unit"] = answers.word("unit")
    for role, _said in ROLES:
        chosen = [_marker(w) for w in (answers.word(role), answers.word(f"{role}.2")) if w]
        if chosen:
            segment, part = role.split(".")
            out.setdefault(segment, {})[part] = chosen[0] if len(chosen) == 1 else chosen
    begin, end = answers.number("neutral_from"), answers.number("neutral_to")
    if begin is not None and end is not None:
        out["neutral_s"] = [begin, end]
    return out


def _marker(word: str) -> str | int:
    """A label, or the number of a marker whose label cannot be read ("marker 3")."""
    number = word.removeprefix("marker ")
    return int(number) if number != word and number.isdigit() else word


def answers_of_mapping(kind: str, mapping: Mapping[str, Any]) -> dict[str, str]:
    """The page's fields as a mapping fills them."""
    out: dict[str, str] = {}
    for key in ("rate_hz", "gyr_range_degps", "acc_range_g", "unit"):
        if mapping.get(key) is not None:
            value = mapping[key]
            out[key] = value if isinstance(value, str) else f"{value:g}"
    columns = mapping.get("columns", {})
    if kind == "markers":
        return out | _marker_answers(mapping)
    if kind == "angles":
        for key, raw in columns.items():
            entry = {"from": raw} if isinstance(raw, str) else raw
            for part, value in entry.items():
                out[f"columns.{key}.{part}"] = value if isinstance(value, str) else f"{value:g}"
        return out
    for name, raw in columns.items():
        entry = {"from": raw} if isinstance(raw, str) else raw
        if name == "phase":
            out[name] = str(entry.get("from", entry.get("stream", "")))
            continue
        out[name] = str(entry["from"]) if "from" in entry else shown_channel(entry)
        group = name if name == "time_s" else "_".join(name.split("_")[:-2])
        if "unit" in entry:
            out[f"{group}.unit"] = str(entry["unit"])
        if "sign" in entry:
            out[f"{group}.sign"] = str(entry["sign"])
    return out


def _marker_answers(mapping: Mapping[str, Any]) -> dict[str, str]:
    out = {f"axes.{key}": str(value) for key, value in mapping.get("axes", {}).items()}
    for role, _said in ROLES:
        segment, part = role.split(".")
        raw = mapping.get(segment, {}).get(part)
        labels = raw if isinstance(raw, list) else [] if raw is None else [raw]
        for field, label in zip((role, f"{role}.2"), labels, strict=False):
            out[field] = f"marker {label}" if isinstance(label, int) else str(label)
    neutral = mapping.get("neutral_s")
    if neutral:
        out |= {"neutral_from": f"{neutral[0]:g}", "neutral_to": f"{neutral[1]:g}"}
    return out
