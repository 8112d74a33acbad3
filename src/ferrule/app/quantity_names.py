"""What a quantity is called in a verdict, and what its two sides are called."""

from typing import Final

from ferrule.coaching.change import Evidence

SIDES: Final = {
    "flexion_deg": ("more bowed", "more cupped"),
    "ulnar_deviation_deg": ("more unset", "more set"),
    "forearm_roll_deg": ("rolled further closed", "rolled further open"),
    "handle_raise_deg": ("higher", "lower"),
    "shaft_lean_impact_deg": ("further ahead", "further behind"),
    "chest_open_impact_deg": ("more open", "more closed"),
    "pelvis_open_impact_deg": ("more open", "more closed"),
    "leading_edge_tilt_shaft_level_deg": ("tilted further forward", "tilted further back"),
}
_WHERE: Final = {
    "address": "at address",
    "top": "at the top",
    "lead_arm_level_down": "at lead arm level",
    "shaft_level_down": "at shaft level",
    "impact": "at impact",
}
_NAMES: Final = {
    "handle_raise_deg": "handle at impact",
    "shaft_lean_impact_deg": "hands at impact",
    "body.chest_open_impact_deg": "chest at impact",
    "body.pelvis_open_impact_deg": "pelvis at impact",
    "leading_edge_tilt_shaft_level_deg": "leading edge at shaft level",
    "posture.forward_bend_address_deg": "bend at address",
    "posture.forward_bend_shaft_level_deg": "bend at shaft level",
    "posture.forward_bend_impact_deg": "bend at impact",
    "delivery.face_deg": "face at impact",
    "delivery.path_deg": "path",
    "aim_deg": "aim",
}


def name_of(key: str, evidence: Evidence) -> str:
    """What the quantity is called in a verdict: "lead wrist from address to the top"."""
    parts = key.split(".")
    if parts[0] not in ("wrist", "trail_wrist"):
        return _NAMES.get(key, key.rsplit(".", 1)[-1].removesuffix("_deg").replace("_", " "))
    part = "forearm" if parts[-1] == "forearm_roll_deg" else "wrist"
    side = "lead" if parts[0] == "wrist" else "trail"
    where = _WHERE.get(parts[1], parts[1].replace("_", " "))
    if evidence == "since_address":
        return f"{side} {part} from address to {where.removeprefix('at ')}"
    return f"{side} {part} {where}"
