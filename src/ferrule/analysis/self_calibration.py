"""A case whose sensors and eye have had their learned offsets taken out, with honest doubt.

Nothing is counted twice: what the explanation itself reads (the balls of the untouched swings) does not teach the offset
it is then compared with. A mounting learns from the flights of the same lesson that the explanation leaves out: tries, and
balls with another club (`Case.same_lesson`). A coach's eye learns from its own record of pairs (`Case.eye`). A mounting
about which nothing was learned stays as it was read.
"""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from ferrule.analysis.swing_faces import swing_faces
from ferrule.coaching.case import Case, CaseSwing, Reading, as_right_handed, mirrored
from ferrule.coaching.evidence import swings_of_case
from ferrule.coaching.eye import EyeBias, kind_of, sd_for_many, without_bias
from ferrule.coaching.quantities import FACE, GRIP_TURN, QUANTITIES
from ferrule.coaching.wording_windows import eye_sentence, mounting_sentence
from ferrule.errors import Issue
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

_NOTHING: MappingProxyType[str, EyeBias] = MappingProxyType({})


def calibrated(case: Case) -> tuple[Case, list[Issue]]:
    """The case with learned offsets removed and what taught them left behind, and a note on each.

    Returns the case itself where there is nothing to remove.
    """
    out, issues = _eye_removed(case)
    out, more = _mounts_removed(out)
    if out.same_lesson or out.eye:
        out = replace(out, same_lesson=(), eye=_NOTHING)
    return out, issues + more


def mount_offsets(case: Case) -> dict[str, Estimate]:
    """Offset of each mounting, radians (+ reads open), from swings with a ball that the explanation leaves out."""
    known: dict[str, Estimate] = {}
    tries = tuple(s for s in case.swings if s.tried is not None) if case.untouched else ()
    for teacher in (*([replace(case, swings=tries)] if tries else []), *case.same_lesson):
        work = as_right_handed(teacher)
        taught = {s.mount or "" for s in work.swings if is_worn(s) and has_ball(s)}
        if taught:
            found = swing_faces(work, known).mounts
            known |= {name: found[name] for name in taught if name in found}
    return known


def _mounts_removed(case: Case) -> tuple[Case, list[Issue]]:
    if not any(is_worn(s) for s in case.swings):
        return case, []
    known = mount_offsets(case)
    work = as_right_handed(case)
    count: dict[str, int] = {}
    for swing in swings_of_case(work):
        if is_worn(swing) and not swing.zeroed:
            count[swing.mount or ""] = count.get(swing.mount or "", 0) + 1
    learned = {name: known[name] for name in count if name in known}
    if not learned:
        return case, []

    def corrected(swing: CaseSwing) -> CaseSwing:
        reading, offset = swing.get(FACE), learned.get(swing.mount or "")
        if reading is None or offset is None or reading.how != "sensor" or swing.zeroed:
            return swing
        own = reading.doubt(QUANTITIES[FACE])
        sd = sd_for_many(own, offset.sd / DEG, count[swing.mount or ""], 0.0)
        set_right = _with(swing, {FACE: Reading(reading.value - offset.value / DEG, sd, "sensor")})
        return replace(set_right, zeroed=True)

    out = replace(work, swings=tuple(corrected(s) for s in work.swings))
    issues = [
        Issue(
            "mounting_offset_learned",
            "note",
            f"mount {name}" if name else "mount",
            mounting_sentence(name, offset.value / DEG, offset.sd / DEG),
        )
        for name, offset in learned.items()
    ]
    return mirrored(out) if case.golfer.handedness == "left" else out, issues


def _eye_removed(case: Case) -> tuple[Case, list[Issue]]:
    eye = case.eye
    if not eye:
        return case, []
    count: dict[str, int] = {}
    for swing in swings_of_case(case):
        for key, reading in swing.readings.items():
            if reading.how == "by_eye":
                count[key] = count.get(key, 0) + 1
    used: set[str] = set()

    def corrected(swing: CaseSwing) -> CaseSwing:
        new = {}
        for key, reading in swing.readings.items():
            better = without_bias(reading, key, eye, max(count.get(key, 1), 1))
            if better is not None:
                new[key] = better
                used.add(kind_of(key))
        return _with(swing, new) if new else swing

    swings = tuple(corrected(s) for s in case.swings)
    grip = case.grip_turn
    if grip is not None:
        better = without_bias(grip, GRIP_TURN.key, eye, 1)
        if better is not None:
            grip = better
            used.add(GRIP_TURN.key)
    if not used:
        return case, []
    issues = [
        Issue("eye_bias_removed", "note", kind, eye_sentence(kind, eye[kind].bias.value, eye[kind].pairs))
        for kind in sorted(used)
        if eye[kind].found
    ]
    return replace(case, swings=swings, grip_turn=grip), issues


def is_worn(swing: CaseSwing) -> bool:
    """Whether sensors read the face of this swing."""
    reading = swing.get(FACE)
    return reading is not None and reading.how == "sensor"


def has_ball(swing: CaseSwing) -> bool:
    """Whether anything was seen of its ball."""
    return swing.shape is not None or any(k.startswith("ball.") for k in swing.readings)


def _with(swing: CaseSwing, new: Mapping[str, Reading]) -> CaseSwing:
    return replace(swing, readings=MappingProxyType({**swing.readings, **new}))


__all__ = ["calibrated", "has_ball", "is_worn", "mount_offsets"]
