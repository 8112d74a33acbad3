"""A coach's eye on the face, held against what sensors and balls of the same lesson say of the same swings.

The offset of a mounting is as large as the bias of an eye, so sensors alone cannot tell the two apart, however many
swings they see. The balls of the lesson teach the mounting first (`analysis.swing_faces`); what doubt is left of it is
what the pairs share.
"""

from collections.abc import Mapping
from dataclasses import replace

from ferrule.analysis.self_calibration import mount_offsets
from ferrule.analysis.swing_faces import swing_faces
from ferrule.coaching.case import Case, Reading
from ferrule.coaching.eye import EyePair
from ferrule.coaching.quantities import FACE
from ferrule.units import DEG


def face_pairs(case: Case, eyes: Mapping[int, Reading], against: str) -> list[EyePair]:
    """Pairs of the face by eye and the face that everything else gives, of swings that something else was read of.

    case: without what the eye said of the face; eyes: that, by place of the swing; against: the lesson, in any words.
    """
    if not eyes:
        return []
    # The tries of this case are among its swings: only other clubs' balls come beforehand.
    found = swing_faces(case, mount_offsets(replace(case, swings=tuple(case.untouched))))
    return [
        EyePair(FACE, eyes[s.swing], Reading(s.face.value / DEG, s.face.sd / DEG, "sensor"), against, found.alike / DEG)
        for s in found.swings
        if s.seen and s.swing in eyes
    ]


__all__ = ["face_pairs"]
