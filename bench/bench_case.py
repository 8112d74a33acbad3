"""Speed of the reasoning: explain and options, one typed swing and sixty, and every way worked out on a recorded swing.
Targets: 5 ms and 50 ms for sixty typed swings, 150 ms for options on a recorded swing.
"""

import numpy as np
import pytest

from ferrule.analysis.explain import explain_case
from ferrule.analysis.options import work_out_options
from ferrule.analysis.recorded_ways import ways_on
from ferrule.analysis.recording import analyse_recording
from ferrule.club.clubs import club_by_name
from ferrule.coaching.case import Case, CaseSwing, Golfer, Reading, Setting
from ferrule.simulator.lesson import simulate_lesson


def typed(count: int) -> Case:
    rng = np.random.default_rng(1)
    swings = tuple(
        CaseSwing(
            {
                "wrist.impact.flexion_deg": Reading(float(rng.normal(-6, 3))),
                "wrist.shaft_level_down.flexion_deg": Reading(float(rng.normal(-15, 3))),
                "wrist.impact.forearm_roll_deg": Reading(float(rng.normal(1, 3))),
                "shaft_lean_impact_deg": Reading(float(rng.normal(4, 2))),
                "ball.start_deg": Reading(float(rng.normal(4, 2))),
                "ball.curve_deg": Reading(float(rng.normal(3, 3))),
            },
            strike="centre",
        )
        for _ in range(count)
    )
    setting = Setting(at_hand=("eye", "video", "sensor", "ball"))
    return Case(Golfer("right"), club_by_name("7-iron"), swings, setting=setting)


@pytest.mark.parametrize("swings", [1, 60])
def test_explain(benchmark, swings):
    case = typed(swings)
    explain_case(case)
    benchmark(explain_case, case)


@pytest.mark.parametrize("swings", [1, 60])
def test_options(benchmark, swings):
    case = typed(swings)
    known = explain_case(case)
    benchmark(work_out_options, case, explanation=known)


def test_options_on_a_recorded_swing(benchmark):
    club = club_by_name("7-iron")
    analysis = analyse_recording(simulate_lesson(seed=0).recording, club=club, draws=0)
    swing, case = analysis.swings[0], typed(1)
    known = explain_case(case)

    def ways():
        options = work_out_options(case, explanation=known).options
        return ways_on(swing, club, {o.way.name: o.way.change for o in options})

    assert len(benchmark(ways)) >= 5
