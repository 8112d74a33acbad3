"""Why the path is where it is: aim, ball position, standing up, body early or late. Wide, and common practice, no source,
save for the ball position, which follows from the arc.
"""

from dataclasses import dataclass
from typing import Final

from ferrule.club.arrival import ARC_RADIUS
from ferrule.coaching.case import Swings
from ferrule.coaching.evidence import bend_lost
from ferrule.coaching.observation import summary_of
from ferrule.coaching.wording import degrees, side_words
from ferrule.units import DEG

SHOWN_FROM_DEG: Final = 2.0
STANDING_UP_PATH: Final = 0.2
"""Degrees of path to the right per degree of forward bend lost beyond the usual 5 (common practice, no source)."""
CHEST_USUAL_DEG: Final = (20.0, 40.0)
"""Chest open at impact within which the body is neither late nor early (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class PathCause:
    """One likely reason for the path, with its share in degrees (right-handed mirror, + right) where it can be said."""

    cause: str
    share_deg: float | None
    sentence: str


def path_causes(swings: Swings, path_deg: float, aim_deg: float, lie_cosine: float, world: float) -> list[PathCause]:
    """Reasons for a path of `path_deg`, largest first; empty when the path is near the target line."""
    if abs(path_deg) < SHOWN_FROM_DEG:
        return []
    side = side_words(world * path_deg)
    out: list[PathCause] = []
    if abs(aim_deg) >= 1.0 and aim_deg * path_deg > 0:
        out.append(PathCause("aim", aim_deg, f"The aim takes the path about {degrees(aim_deg)} {side} with it."))
    ball = summary_of(swings, "ball_position_m", "grip")
    if ball is not None:
        share = -ball.value / ARC_RADIUS * lie_cosine / DEG
        if abs(share) >= 0.3 and share * path_deg > 0:
            place = "forward" if ball.value > 0 else "back"
            out.append(
                PathCause(
                    "ball_position",
                    share,
                    f"The ball lies {abs(ball.value) * 100:.0f} cm {place}: about {degrees(share)} {side}.",
                )
            )
    bend = bend_lost(swings)
    if bend is not None and bend.value / DEG > 10.0 and path_deg > 0:
        share = STANDING_UP_PATH * (bend.value / DEG - 5.0)
        out.append(
            PathCause(
                "standing_up", share, f"Standing up pushes the hands out and the path about {degrees(share)} {side}."
            )
        )
    chest = summary_of(swings, "body.chest_open_impact_deg", "bend")
    if chest is not None:
        low, high = CHEST_USUAL_DEG
        if chest.value / DEG > high and path_deg < 0:
            out.append(PathCause("body_early", None, f"The chest is far open at impact; that pulls the path {side}."))
        if chest.value / DEG < low and path_deg > 0:
            out.append(
                PathCause("body_late", None, f"The chest is hardly open at impact; that leaves the path {side}.")
            )
    out.sort(key=lambda c: -abs(c.share_deg or 0.0))
    left = path_deg - sum(c.share_deg or 0.0 for c in out)
    if abs(left) >= SHOWN_FROM_DEG:
        out.append(
            PathCause(
                "not_yet_known",
                left,
                f"{degrees(left)} of the path to the {side_words(world * left)} is not yet explained: look at the shaft when the lead arm"
                " is level, and at how far the chest has turned.",
            )
        )
    return out
