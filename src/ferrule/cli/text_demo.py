"""The demo without a workbench: one simulated lesson from raw signals to why, and what to do."""

from typing import Any

from ferrule.analysis.explain import explain_case
from ferrule.analysis.options import work_out_options
from ferrule.analysis.recording import analyse_recording
from ferrule.cli.cases import explanation_table, options_table
from ferrule.cli.recordings import table
from ferrule.club.clubs import club_by_name
from ferrule.coaching.case import Case, CaseSwing, Golfer, Reading, Setting
from ferrule.simulator import SwingPlan, simulate_lesson

Answer = dict[str, Any]
# What the coach saw of the three balls: starts and bends, degrees to the right.
BALLS = ((4.0, 3.0), (3.0, 4.0), (5.0, 2.0))


def lesson() -> Answer:
    """Simulate a cupped and flipped golfer, analyse the recording, and reason from what it shows."""
    club = club_by_name("7-iron")
    made = simulate_lesson(seed=7, pattern="cupped_and_flipped", swings=[SwingPlan()] * len(BALLS))
    analysis = analyse_recording(made.recording, club=club)
    answer = analysis.to_json()
    swings = []
    for found, (start, curve) in zip(answer["swings"], BALLS, strict=False):  # type: ignore[call-overload]
        readings = {"ball.start_deg": Reading(start, 1.5, "by_eye"), "ball.curve_deg": Reading(curve, 3.0, "by_eye")}
        for event, angles in found["wrist"].items():
            for key, estimate in angles.items():
                if key in ("flexion_deg", "ulnar_deviation_deg", "forearm_roll_deg") and estimate is not None:
                    readings[f"wrist.{event}.{key}"] = Reading(estimate["value"], estimate["sd"], "sensor")
        face = found["face"]["impact"]["face_deg"]
        readings["delivery.face_deg"] = Reading(face["value"], face["sd"], "sensor")
        swings.append(CaseSwing(readings, mount="a", strike="centre"))
    setting = Setting(at_hand=("eye", "video", "sensor", "ball"))
    case = Case(Golfer("right", "right", "left"), club, tuple(swings), setting=setting)
    why = explain_case(case)
    ways = work_out_options(case, explanation=why)
    return {"recording": answer | {"handedness": "right"}, "why": why.to_json(), "ways": ways.to_json()}


def story(answer: Answer) -> str:
    """Recording, why, and the first three ways."""
    ways = answer["ways"] | {"options": answer["ways"]["options"][:3], "issues": []}
    return "\n\n".join(
        [
            "A simulated lesson: three swings with the 7-iron, sensors on lead forearm and hand.",
            table(answer["recording"]),
            "WHY",
            explanation_table(answer["why"]),
            "WHAT TO CHANGE",
            options_table(ways),
        ]
    )
