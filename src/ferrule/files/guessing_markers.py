"""What the markers of a file most likely are, which way is up and where the target lies: a proposal with its reasons."""

import re
from collections.abc import Mapping
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from ferrule.files.c3d import Markers
from ferrule.files.fingerprint import fingerprint
from ferrule.files.guessing import Guess
from ferrule.frames.handedness import Handedness

Floats = NDArray[np.float64]

_ROLES: Final[Mapping[str, re.Pattern[str]]] = {
    "forearm.proximal": re.compile(r"elb|(?<![a-z])e[lm]?(?![a-z])"),
    "forearm.radial": re.compile(r"(wr|wrist).{0,3}(thumb|rad|lat|a$)|wr[\W_]?r$|thumb|radi|(?<![a-z])rs(?![a-z])"),
    "forearm.ulnar": re.compile(
        r"(wr|wrist).{0,3}(little|pink|uln|med|b$)|wr[\W_]?u$|little|uln|(?<![a-z])us(?![a-z])"
    ),
    "hand.radial": re.compile(
        r"(hand|hnd|mcp|mc|fin|knuckle)[\W_a-z]{0,6}2|(?<![a-z])h[\W_]?2|index|(hand|mcp).{0,3}(rad|lat)"
    ),
    "hand.ulnar": re.compile(
        r"(hand|hnd|mcp|mc|fin|knuckle)[\W_a-z]{0,6}5|(?<![a-z])h[\W_]?5|(hand|mcp).{0,3}(uln|med|little|pink)"
    ),
    "hand.distal": re.compile(r"(?<![a-z])(hand|hnd|fin)(?![a-z0-9])"),
    "club.grip": re.compile(r"grip|butt|handle|club.?1|shaft.?1|^c[\W_]?gr"),
    "club.head": re.compile(r"head|club.?2|hosel|shaft.?2|heel|^c[\W_]?hd"),
    "club.toe": re.compile(r"toe|club.?3|^c[\W_]?to"),
}
_SIDE: Final = {"left": re.compile(r"^l(?=[a-z_ ])|left|lead"), "right": re.compile(r"^r(?=[a-z_ ])|right|trail")}
_WRONG_HEAD: Final = re.compile(r"(front|back|fore|[lr][fb])\W?(hd|head)")
STILL_S: Final = 0.3
"""How long the golfer surely stands still at the start of a cut recording (common practice)."""


def guess_markers(markers: Markers, handedness: Handedness = "right") -> Guess:
    """Roles by the labels of the lead side, up from the arm that hangs at the start, the target from the fastest hand."""
    count = markers.positions.shape[1]
    header = marker_names(markers)
    why: dict[str, str] = {}
    mapping: dict[str, Any] = {"schema": 1, "kind": "markers", "axes": {}, "forearm": {}, "hand": {}, "club": {}}
    found = {} if markers.labels is None else _roles(markers.labels, "left" if handedness == "right" else "right")
    if markers.labels is None:
        why["labels"] = f"The names of the {count} markers cannot be read: choose them by their number."
    for role, labels in found.items():
        segment, part = role.split(".")
        mapping[segment][part] = labels[0] if len(labels) == 1 else labels
        middle = " The middle of them counts." if len(labels) > 1 else ""
        why[role] = f"By name and side: {', '.join(labels)}.{middle}"
    if markers.labels is not None:
        for role in ("forearm.proximal", "forearm.radial", "forearm.ulnar", "hand.radial", "hand.ulnar"):
            why.setdefault(role, "No label is named like it: choose one, or leave it out where it was not worn.")
    _axes(markers, mapping, found, why)
    if markers.unit in ("mm", "cm", "m"):
        mapping["unit"], why["unit"] = markers.unit, "As the file says."
    else:
        unit, why["unit"] = _unit(markers, found)
        if unit:
            mapping["unit"] = unit
    if not mapping["club"]:
        del mapping["club"]
    return Guess("markers", header, fingerprint(header), mapping, why)


def marker_names(markers: Markers) -> tuple[str, ...]:
    """Labels, or numbers from 1 where they cannot be read."""
    if markers.labels is not None:
        return tuple(label for label in markers.labels if label)
    return tuple(f"marker {i}" for i in range(1, markers.positions.shape[1] + 1))


def _roles(labels: tuple[str, ...], lead: str) -> dict[str, list[str]]:
    """Labels by role: the ones of the lead side where sides are named."""
    short = {label: label.rsplit(":", 1)[-1].lower() for label in labels if label}
    other = _SIDE["right" if lead == "left" else "left"]
    sided = any(_SIDE[lead].search(s) for s in short.values())
    out: dict[str, list[str]] = {}
    taken: set[str] = set()
    for role, names in _ROLES.items():
        if role == "hand.distal" and ("hand.radial" in out or "hand.ulnar" in out):
            continue
        club = role.startswith("club.")
        hits = [
            label for label, s in short.items()
            if label not in taken and names.search(_bare(s)) and not (role == "club.head" and _WRONG_HEAD.search(s))
            and (club or not sided or (_SIDE[lead].search(s) and not other.search(s)))
        ]  # fmt: skip
        if hits:
            out[role] = hits[: 2 if role == "forearm.proximal" else 1]
            taken.update(out[role])
    return out


def _bare(label: str) -> str:
    """A label without the letter of its side: "lelb" is "elb"."""
    return re.sub(r"^(l|r)(?=elb|wr|h[\W_]?[25]|hand|hnd|fin|mcp|thumb|rad|uln|mc)", "", label)


def _track(markers: Markers, labels: list[str]) -> Floats:
    assert markers.labels is not None
    track: Floats = markers.positions[:, [markers.labels.index(label) for label in labels], :].mean(axis=1)
    return track


def _axes(markers: Markers, mapping: dict[str, Any], found: Mapping[str, list[str]], why: dict[str, str]) -> None:
    hands = [r for r in ("hand.radial", "hand.ulnar", "hand.distal") if r in found]
    if "forearm.proximal" not in found or not hands:
        why["axes.up"] = why["axes.target"] = (
            "It shows once elbow and hand are known: choose it as the cameras were set up."
        )
        return
    elbow, hand = _track(markers, found["forearm.proximal"]), _track(markers, found[hands[0]])
    step = float(np.median(np.diff(markers.time_s)))
    still = max(2, int(STILL_S / step))
    hanging = np.nanmean((elbow - hand)[:still], axis=0)
    if not np.isfinite(hanging).all():
        return
    up = int(np.argmax(np.abs(hanging)))
    mapping["axes"]["up"] = _axis(up, hanging[up])
    why["axes.up"] = "The elbow stands furthest above the hand along it at the start, where the arms hang."
    speed = np.gradient(hand, step, axis=0)
    speed[:, up] = 0.0
    size = np.linalg.norm(speed, axis=1)
    if not np.isfinite(size).any():
        return
    fastest = speed[int(np.nanargmax(size))]
    along = int(np.argmax(np.abs(fastest)))
    mapping["axes"]["target"] = _axis(along, fastest[along])
    why["axes.target"] = "Where the hand is fastest, at the bottom of the swing, it moves along it."


def _axis(index: int, value: float) -> str:
    return ("-" if value < 0 else "") + "xyz"[index]


def _unit(markers: Markers, found: Mapping[str, list[str]]) -> tuple[str, str]:
    lower = found.get("forearm.radial") or found.get("forearm.ulnar")
    if "forearm.proximal" not in found or lower is None:
        return "", "The file does not name it: choose it."
    length = float(
        np.nanmedian(np.linalg.norm(_track(markers, found["forearm.proximal"]) - _track(markers, lower), axis=1))
    )
    fits = [u for u, m in (("mm", 1e-3), ("cm", 1e-2), ("m", 1.0)) if 0.12 < length * m < 0.40]
    if not fits:
        return "", f"The forearm is {length:.3g} long in the file, which fits no unit: look at the markers again."
    return fits[0], f"The file does not name it; in {fits[0]} the forearm is {length:.3g} long, as forearms are."
