"""Which marker is what: a saved mapping of a marker file's labels, and its axes turned into the target frame.

    {"schema": 1, "kind": "markers", "name": "our lab", "axes": {"up": "z", "target": "x"}, "unit": "mm",
     "forearm": {"proximal": ["ELB_LAT", "ELB_MED"], "radial": "WR_THUMB", "ulnar": "WR_LITTLE"},
     "hand": {"radial": "HAND2", "ulnar": "HAND5"}, "club": {"grip": "C1", "head": "C2"}, "neutral_s": [1.0, 2.0]}

A role is a label, a marker's number (the first is 1), or a list of them whose middle counts. Where a segment has two
markers, they are `proximal` and `distal`. Without `hand.proximal` the middle of the wrist is used. `up` and `target` are
axes of the file: x, y, z, or -x, -y, -z.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from ferrule.analysis.markers import ROLES
from ferrule.errors import InputError, Issue, fault
from ferrule.files.ballquantities import Reader, object_from_text, shown
from ferrule.files.c3d import Markers, metres_a_unit

Floats = NDArray[np.float64]
Label = str | int

_TOP: Final = ("schema", "kind", "name", "axes", "unit", "forearm", "hand", "club", "neutral_s")
_AXES: Final = ("x", "y", "z", "-x", "-y", "-z")
_ARM: Final = ("proximal", "radial", "ulnar", "distal")
_CLUB: Final = ("grip", "head", "toe")
_FOREARM: Final = (0.12, 0.40)
"""Length of a forearm, child to tall adult, m: what an undeclared unit is guessed by."""


@dataclass(frozen=True, slots=True)
class MarkerMapping:
    """A checked mapping. roles: labels by role; up, target: axes of the file; unit: as declared; neutral_s: a straight
    wrist, from and to.
    """

    roles: dict[str, tuple[Label, ...]]
    up: str
    target: str
    unit: str | None = None
    name: str = ""
    neutral_s: tuple[float, float] | None = None


def read_marker_mapping(source: str | bytes | Mapping[str, Any]) -> MarkerMapping:
    """A mapping from JSON text or its parsed object. Raises InputError with every fault, unknown keys first."""
    reader = Reader()
    data = object_from_text(source, "mapping")
    if not isinstance(data, Mapping):
        reader.fail("type", "mapping", "an object with named values", shown(data))
        reader.finish()
    values = reader.object(data, "", _TOP)
    reader.schema(values)
    if values.get("kind", "markers") != "markers":
        reader.fail("choice", "kind", '"markers"', shown(values.get("kind")))
    axes = reader.object(values.get("axes"), "axes", ("up", "target"))
    up, target = (reader.choice(axes, key, "axes", _AXES) for key in ("up", "target"))
    for key, value in (("up", up), ("target", target)):
        if value is None and key not in axes:
            reader.fail("missing", f"axes.{key}", f"the axis of the file that points {key}", "nothing")
    if up and target and up[-1] == target[-1]:
        reader.fail("axes", "axes", "two different axes", f"{up} and {target}")
    unit = reader.choice(values, "unit", "", ("mm", "cm", "m"))
    roles: dict[str, tuple[Label, ...]] = {}
    for segment, names in (("forearm", _ARM), ("hand", _ARM), ("club", _CLUB)):
        for role, raw in reader.object(values.get(segment), segment, names).items():
            labels = _labels(raw)
            if labels is None:
                reader.fail(
                    "type", f"{segment}.{role}", "a label, a number from 1, or a list of up to four", shown(raw)
                )
            else:
                roles[f"{segment}.{role}"] = labels
    assert set(roles) <= set(ROLES)
    neutral = _stretch(values.get("neutral_s"), reader)
    reader.finish()
    assert up is not None and target is not None
    return MarkerMapping(roles, up, target, unit, str(values.get("name", ""))[:80], neutral)


def _labels(raw: Any) -> tuple[Label, ...] | None:
    given = raw if isinstance(raw, list) else [raw]
    if not 1 <= len(given) <= 4:
        return None
    for label in given:
        if isinstance(label, bool) or not isinstance(label, str | int):
            return None
        if label == "" or (isinstance(label, int) and label < 1):
            return None
    return tuple(given)


def _stretch(raw: Any, reader: Reader) -> tuple[float, float] | None:
    if raw is None:
        return None
    if (
        isinstance(raw, list)
        and len(raw) == 2
        and all(isinstance(x, int | float) and not isinstance(x, bool) for x in raw)
    ):
        try:
            low, high = float(raw[0]), float(raw[1])
        except OverflowError:
            low, high = 0.0, -1.0
        if 0.0 <= low < high < 1e6:
            return low, high
    reader.fail("type", "neutral_s", "two times in seconds, from and to", shown(raw))
    return None


def mapped_markers(markers: Markers, mapping: MarkerMapping) -> tuple[dict[str, Floats], list[Issue]]:
    """Positions by role in the target frame, metres, shape (n, 3), and what was guessed. Raises InputError for labels
    that the file does not have, all of them at once.
    """
    faults: list[Issue] = []
    found: dict[str, Floats] = {}
    for role, labels in mapping.roles.items():
        places = [_place(label, markers, role, faults) for label in labels]
        if None not in places:
            found[role] = markers.positions[:, [p for p in places if p is not None], :].mean(axis=1)
    if faults:
        raise InputError(faults)
    unit, remarks = _unit(markers, mapping, found)
    turn = np.stack([_direction(mapping.target), _direction(mapping.up), np.zeros(3)])
    turn[2] = np.cross(turn[0], turn[1])
    return {role: metres_a_unit(unit) * track @ turn.T for role, track in found.items()}, remarks


def _direction(axis: str) -> Floats:
    out = np.zeros(3)
    out["xyz".index(axis[-1])] = -1.0 if axis.startswith("-") else 1.0
    return out


def _place(label: Label, markers: Markers, role: str, faults: list[Issue]) -> int | None:
    count = markers.positions.shape[1]
    if isinstance(label, int):
        if label <= count:
            return label - 1
        faults.append(fault("no_such_marker", role, expected=f"a number from 1 to {count}", got=str(label)[:20]))
        return None
    if markers.labels is None:
        faults.append(
            fault(
                "no_labels",
                role,
                expected=f"a marker's number from 1 to {count}",
                got=f'the label "{label[:40]}"',
                cause="the file's parameter section, which holds the labels, is damaged",
            )
        )
        return None
    # some programs put a subject's name and a colon before each label
    hits = [i for i, name in enumerate(markers.labels) if label in (name, name.rsplit(":", 1)[-1])]
    if len(hits) != 1:
        listed = ", ".join(n[:20] for n in markers.labels[:12] if n)
        faults.append(
            fault(
                "no_such_marker" if not hits else "label_twice",
                role,
                expected=f'one marker "{label[:40]}"',
                got=f"{len(hits)} of them",
                do=f"The file has: {listed}",
            )
        )
        return None
    return hits[0]


def _unit(markers: Markers, mapping: MarkerMapping, found: Mapping[str, Floats]) -> tuple[str, list[Issue]]:
    """The declared unit, the file's own, or the one by which the forearm has a forearm's length (said so)."""
    declared = mapping.unit or markers.unit
    size = _forearm_length(found)
    if declared is not None:
        if size is None or _FOREARM[0] < size * metres_a_unit(declared) < _FOREARM[1]:
            return declared, []
        words = f"The forearm comes out {100 * size * metres_a_unit(declared):.1f} cm long in {declared}. Check the unit and the labels."
        return declared, [Issue("forearm_length", "warning", "unit", words)]
    fits = [] if size is None else [u for u in ("mm", "cm", "m") if _FOREARM[0] < size * metres_a_unit(u) < _FOREARM[1]]
    unit = fits[0] if fits else "mm"
    why = "the forearm then has a forearm's length" if fits else "it is the usual one"
    words = (
        f"The file does not name its unit: {unit} was guessed, because {why}. Set unit in the mapping to confirm it."
    )
    return unit, [Issue("unit_guessed", "warning", "unit", words)]


def _forearm_length(found: Mapping[str, Floats]) -> float | None:
    upper = found.get("forearm.proximal")
    lower = found.get("forearm.distal")
    if lower is None and "forearm.radial" in found and "forearm.ulnar" in found:
        lower = 0.5 * (found["forearm.radial"] + found["forearm.ulnar"])
    if upper is None or lower is None:
        return None
    length = np.linalg.norm(upper - lower, axis=1)
    return float(np.nanmedian(length)) if np.isfinite(length).any() else None
