"""What several balls say together, in words."""

from typing import Final

from ferrule.coaching.wording import degrees, face_words
from ferrule.frames.handedness import Handedness

_MISSES: Final = {
    "one_way_right": "The misses go right.",
    "one_way_left": "The misses go left.",
    "two_way": "The misses go both ways: look at what scatters, not at the average.",
    "straight": "Most of them start where they should.",
    "too_few": "Too few balls to say which way the misses go.",
}


def balls_sentence(
    club: str,
    balls: int,
    handedness: Handedness,
    face: tuple[float, float],
    path: tuple[float, float],
    face_scatter: float,
    misses: str,
) -> str:
    """Typical face and path of several balls, each (value, sd) in degrees, + right of the target; scatter in degrees."""
    hand = 1 if handedness == "right" else -1
    side = "straight at the target" if abs(path[0]) < 0.75 else f"{degrees(path[0])} to the {_side(path[0])}"
    counted = "One ball" if balls == 1 else f"{balls} balls"
    said = (
        f"{counted} with the {club}: the face arrives {face_words(hand * face[0])} (give or take {degrees(face[1])}),"
        f" the path goes {side} (give or take {degrees(path[1])})."
    )
    if balls > 1 and face_scatter >= 0.75:
        said += f" From ball to ball the face varies by {degrees(face_scatter)}."
    return f"{said} {_MISSES[misses]}"


def _side(value: float) -> str:
    return "right" if value > 0 else "left"
