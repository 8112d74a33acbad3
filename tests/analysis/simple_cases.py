"""A case from a few numbers, for the tests of this folder."""

from ferrule.club.clubs import club_by_name
from ferrule.coaching.case import Case, CaseSwing, Golfer, Reading


def case_of(
    swing: dict[str, float] | list[dict[str, float]], club="7-iron", grip=None, how="typed", hand="right", **more
) -> Case:
    swings = swing if isinstance(swing, list) else [swing]
    made = tuple(
        CaseSwing({k: Reading(v, how=how) for k, v in s.items()}, strike=more.get("strike"), shape=more.get("shape"))
        for s in swings
    )
    return Case(Golfer(hand, **more.get("golfer", {})), club_by_name(club), made, grip)
