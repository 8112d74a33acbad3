"""The ways of a case on one recorded swing: what each that changes anything would have done in that very swing."""

from dataclasses import dataclass

from ferrule.analysis.options import Option, OptionsAnswer
from ferrule.analysis.recorded_ways import ways_on
from ferrule.analysis.recording_result import SwingAnalysis
from ferrule.coaching.counterfactual import Change, Outcome
from ferrule.coaching.evidence import swings_of_case
from ferrule.coaching.observation import mean_of
from ferrule.coaching.wording_ways import on_recorded_swing
from ferrule.frames.handedness import world_sign
from ferrule.units import DEG

SPINE = "posture.forward_bend_address_deg"


@dataclass(frozen=True, slots=True)
class OptionOnSwing:
    """One way on the swing."""

    option: Option
    outcome: Outcome
    sentence: str


@dataclass(frozen=True, slots=True)
class OptionsOnSwing:
    """recorded: the swing as it was; options: by rank."""

    recorded: Outcome
    options: tuple[OptionOnSwing, ...]


def options_on_swing(
    answer: OptionsAnswer,
    swing: SwingAnalysis,
    *,
    path_deg: float | None = None,
    spine_deg: float | None = None,
    head_speed: float | None = None,
) -> OptionsOnSwing:
    """path_deg (world), spine_deg (forward bend at address): as they were read of this swing, else those of the case;
    head_speed: m/s, as read of it, else as the recorded turn of the shaft has it. Raises InputError when the swing has no
    blow or its face was refused.
    """
    known = answer.explanation
    case = known.set_right
    spine = mean_of(swings_of_case(case), SPINE) if spine_deg is None else spine_deg
    path = known.path.value if path_deg is None else path_deg * DEG
    changing = [o for o in answer.options if o.way.change != Change()]
    done = ways_on(
        swing,
        case.club,
        {"": Change()} | {o.way.name: o.way.change for o in changing},
        path=world_sign(case.golfer.handedness) * path,
        address_spine=None if spine is None else spine * DEG,
        head_speed=head_speed,
    )
    before = done[""].outcome
    after = {o.way.name: done[o.way.name].outcome for o in changing}
    return OptionsOnSwing(
        before,
        tuple(OptionOnSwing(o, after[o.way.name], on_recorded_swing(before, after[o.way.name])) for o in changing),
    )
