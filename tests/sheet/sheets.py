"""Three demo golfers for the sheet: an adult, a left-handed golfer with large print, a junior. All invented."""

from datetime import date, timedelta

import numpy as np

from ferrule.coaching.case import Golfer
from ferrule.coaching.change import Block, Kind, Question
from ferrule.coaching.change_verdict import verdict_on
from ferrule.coaching.drills_library import DRILLS
from ferrule.coaching.plan import Target, make_plan
from ferrule.coaching.wording_sheet import why_sentences
from ferrule.sheet.content import SheetContent, sheet_content

TODAY = date(2026, 4, 6)


def blocks(club: str, levels: list[tuple[int, Kind, float]], seed: int = 1, sd: float = 3.0) -> list[Block]:
    rng = np.random.default_rng(seed)
    return [
        Block(TODAY - timedelta(days=35) + timedelta(days=7 * week), kind, club, level + sd * rng.normal(size=10))
        for week, kind, level in levels
    ]


def adult() -> SheetContent:
    golfer = Golfer("right", big_miss="right")
    target = Target(
        "wrist.shaft_level_down.flexion_deg", "7-iron", -4.0, 4.0,
        "as if revving a handle with the lead hand while the swing turns round", 14.0,
    )  # fmt: skip
    plan = make_plan(golfer, "flexed_in_transition", target, DRILLS, TODAY, cause="lead_wrist_flexion")
    question = Question(
        "lead wrist, top to shaft level", "since_address", "7-iron", "up", better="more bowed", worse="more cupped"
    )
    seen = blocks("7-iron", [(0, "baseline", 1), (1, "baseline", 2), (1, "practice", 10), (2, "retention", 8),
                             (2, "practice", 11), (3, "retention", 9), (3, "practice", 11), (4, "retention", 9)])  # fmt: skip
    why = why_sentences("7-iron", 3.0, 4.0, 4.0, ("lead_wrist_flexion", 3.0), False)
    verdict = verdict_on(seen, question)
    return sheet_content("Anna Example", golfer, plan, why, TODAY, verdict=verdict, coach="Kim")


def left_handed() -> SheetContent:
    golfer = Golfer("left", big_miss="left", age_group="senior")
    target = Target("handle_raise_deg", "driver", 0.0, 4.0, "as if the chest looked at the ball until it is gone")
    plan = make_plan(golfer, "posture", target, DRILLS, TODAY, cause="posture")
    question = Question("start line", "ball", "driver", "up", better="further right", worse="further left")
    seen = blocks(
        "driver", [(0, "baseline", -5), (1, "baseline", -4), (1, "practice", -2), (2, "retention", -4)], 5, 2.2
    )
    why = why_sentences("driver", -4.0, -3.0, 3.5, ("posture", 2.0), True)
    return sheet_content(
        "Otto",
        golfer,
        plan,
        why,
        TODAY,
        verdict=verdict_on(seen, question),
        coach="Kim",
        paper="us-letter",
        large_print=True,
    )


def junior() -> SheetContent:
    golfer = Golfer("right", big_miss="both", age_group="junior")
    target = Target("ball.start_deg", "9-iron", -3.0, 3.0, "like throwing the ball at the gate")
    plan = make_plan(golfer, "rolled_late", target, DRILLS, TODAY, cause="arm_and_body")
    why = why_sentences("9-iron", 2.5, None, 2.0, ("arm_and_body", 1.5), False)
    return sheet_content("Mia", golfer, plan, why, TODAY)


DEMOS = {"adult": adult, "left_handed": left_handed, "junior": junior}
