"""What the swing page draws, taken from a swing's readings and the result of its analysis. Pure."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from ferrule.app.views import SwingView
from ferrule.web.pictures.golfer import FaceAt
from ferrule.web.pictures.ladder import Piece, Rung, closing_words
from ferrule.web.words import face_words, place_words, size, value_words

PLACES: Final = ("top", "shaft_level_down", "impact")
PARTS: Final = {
    "flexion": "wrist bows or cups",
    "deviation": "wrist sets or unsets",
    "wrist_axial": "play in the wrist",
    "forearm_roll": "forearm rolls",
    "arm_and_body": "arm and body",
}
_EDGE: Final = "leading_edge_tilt_shaft_level_deg"
USUAL_SPINE_DEG: Final = 36.0


def spine_deg(swing: SwingView) -> float:
    """Forward bend at address as it was read, else the usual one."""
    read = swing.reading("posture.forward_bend_address_deg")
    return read.value if read else USUAL_SPINE_DEG


def face_at(swing: SwingView, event: str, left_handed: bool) -> FaceAt:
    """The face at a place of the swing, from the analysis or from what was read; empty words when it was not read."""
    found = (swing.result or {}).get("face", {}).get(event, {})
    flexion = swing.reading(f"wrist.{event}.flexion_deg")
    wrist = value_words("wrist.flexion_deg", flexion.value) if flexion else ""
    spine = spine_deg(swing)
    if event == "impact":
        read = swing.reading("delivery.face_deg")
        face = read.value if read else _value(found.get("face_deg"))
        said = "" if face is None else face_words(face, left_handed)
        return FaceAt(None, face, spine, _both(said, wrist), left_handed)
    tilt = _value(found.get("edge_tilt_deg"))
    if event == "shaft_level_down":
        read = swing.reading(_EDGE)
        tilt = read.value if read else tilt
    if tilt is not None and abs(tilt) > 89:
        tilt = 89.0 if tilt > 0 else -89.0
    if event == "shaft_level_down" and tilt is not None:
        off = spine - tilt
        said = "like the spine" if abs(off) < 2 else f"{size(off)}° {'open' if off > 0 else 'closed'} to the spine"
        return FaceAt(tilt, None, spine, _both(said, wrist), left_handed)
    return FaceAt(tilt, None, spine, wrist, left_handed)


def _both(face: str, wrist: str) -> str:
    return (
        ", wrist ".join(p for p in (face, wrist) if p)
        if face and wrist
        else face or (f"wrist {wrist}" if wrist else "")
    )


def sentence(swing: SwingView, left_handed: bool) -> str:
    """The swing in one sentence: the face at impact and the wrist coming down, as far as they were read."""
    parts = []
    impact = face_at(swing, "impact", left_handed)
    if impact.face_deg is not None:
        parts.append(f"The face arrives {face_words(impact.face_deg, left_handed)}")
    for event in ("shaft_level_down", "top", "impact"):
        read = swing.reading(f"wrist.{event}.flexion_deg")
        if read is not None:
            said = f"wrist {value_words('wrist.flexion_deg', read.value)} {place_words(event)}"
            parts.append(said if parts else f"The {said}")
            break
    if parts:
        return f"{', the '.join(parts)}."
    if swing.shape:
        return f"A {swing.shape} ball." if swing.shape != "straight" else "A straight ball."
    return "Nothing was read of this swing yet."


def rungs_of(result: Mapping[str, Any]) -> list[Rung]:
    """The closing account from the top to impact as rungs; empty when there is none."""
    spans: dict[tuple[str, str], dict[str, float]] = {}
    for entry in result.get("closing_account", ()):
        spans.setdefault((entry["from"], entry["to"]), {})[entry["part"]] = float(entry["closing_deg"])
    order = ("top", "lead_arm_level_down", "shaft_level_down", "impact")
    kept = [(a, b, parts) for (a, b), parts in spans.items() if a in order and b in order]
    return [
        Rung(
            place_words(a).removeprefix("at ").capitalize(),
            place_words(b).removeprefix("at ").capitalize(),
            tuple(Piece(PARTS.get(p, p.replace("_", " ")), v) for p, v in parts.items() if p in PARTS),
            parts.get("total"),
        )
        for a, b, parts in kept
    ]


def account_label(rungs: Sequence[Rung]) -> str:
    """The ladder in one sentence."""
    said = [f"from {r.upper.lower()} to {r.lower.lower()} {closing_words(r.total_deg or 0.0)}" for r in rungs]
    return f"Closing about the shaft: {'; '.join(said)}."


def time_words(result: Mapping[str, Any]) -> str:
    """As "0.92 s up, 0.27 s down"; never a ratio."""
    up, down = result.get("time_up_s"), result.get("time_down_s")
    said = [f"{v:.2f} s {w}" for v, w in ((up, "up"), (down, "down")) if v is not None]
    return f"{', '.join(said)}." if said else ""


def _value(number: Any) -> float | None:
    if isinstance(number, Mapping):
        number = number.get("value")
    return None if number is None else float(number)
