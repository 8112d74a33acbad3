"""`explain` and `options`: from CASE.json to words."""

from pathlib import Path
from typing import Any, cast, get_args

from ferrule.analysis.explain import explain_case
from ferrule.analysis.kept_swing import kept_swing
from ferrule.analysis.options import work_out_options
from ferrule.analysis.options_on_swing import options_on_swing
from ferrule.analysis.recording_result import SwingAnalysis
from ferrule.app.analysis import Task, work_out_recording
from ferrule.app.recordings import LARGEST_BYTES
from ferrule.cli.answering import remarks, text_of
from ferrule.coaching.case import Case
from ferrule.coaching.wording_ways import TITLES
from ferrule.coaching.worth import Tilt
from ferrule.errors import InputError, Issue
from ferrule.files.casefile import read_case
from ferrule.frames.handedness import world_sign
from ferrule.store.codec import unpack_arrays

Answer = dict[str, Any]


def _case(path: Path) -> tuple[Case, list[Issue]]:
    return read_case(text_of(path, "a case (CASE.json)"))


def explained(path: Path) -> Answer:
    """The `explain` answer, with the reader's remarks among its issues."""
    case, noticed = _case(path)
    answer = explain_case(case).to_json()
    return answer | {"issues": [i.to_json() for i in noticed] + cast("list[Any]", answer["issues"])}


def optioned(
    path: Path, prefer: str, recording: Path | None = None, calibration: Path | None = None, swing: int = 1
) -> Answer:
    """The `options` answer. With a recording each way that changes anything also says under `recorded` what it would have
    done in that swing.
    """
    if prefer not in get_args(Tilt):
        raise InputError.of("choice", "--prefer", expected=f"one of {', '.join(get_args(Tilt))}", got=repr(prefer))
    if recording is None and (calibration is not None or swing != 1):
        lone = "--swing" if calibration is None else "--calibration"
        raise InputError.of("missing", lone, expected="a --recording with it", got="none")
    case, noticed = _case(path)
    found = work_out_options(case, cast("Tilt", prefer))
    answer = found.to_json()
    issues: list[Any] = [i.to_json() for i in noticed] + cast("list[Any]", answer["issues"])
    if recording is not None:
        kept, remarked = _recorded(case, recording, calibration, swing)
        issues += remarked
        sign = world_sign(case.golfer.handedness)
        on_swing = {o.option.way.name: o for o in options_on_swing(found, kept).options}
        for option in cast("list[Answer]", answer["options"]):
            if option["option"] in on_swing:
                on = on_swing[option["option"]]
                option["recorded"] = {"swing": swing, **on.outcome.to_json(sign), "sentence": on.sentence}
    return answer | {"issues": issues}


def _recorded(
    case: Case, recording: Path, calibration: Path | None, number: int
) -> tuple[SwingAnalysis, tuple[dict[str, str], ...]]:
    """One swing of a recording of this golfer with this club, and what there is to say of the recording. Raises InputError."""
    lesson = None if calibration is None else text_of(calibration, "a calibration", LARGEST_BYTES)
    hand, club = case.golfer.handedness, case.club
    content = text_of(recording, "a recording", LARGEST_BYTES)
    task = Task(
        content,
        recording.name,
        hand,
        club,
        calibration=lesson,
        calibration_name=calibration.name if calibration else "",
    )
    outcome = work_out_recording(task)
    if outcome.fault is not None:
        raise InputError([Issue("unusable", "fault", str(recording), outcome.fault)])
    if not outcome.swings:
        raise InputError.of(
            "no_swing", str(recording), expected="a swing", got="none", do="Record from the address to the finish"
        )
    chosen = next((s for s in outcome.swings if s.number == number), None)
    if chosen is None:
        raise InputError.of("no_such_swing", "--swing", expected=f"1 to {len(outcome.swings)}", got=str(number))
    return kept_swing(chosen.result, number, hand, unpack_arrays(chosen.traces)), outcome.issues


def explanation_table(answer: Answer) -> str:
    """The case as a coach reads it: sentence, rival, shares, shaft level, what is ruled out, the next look."""
    lines = [answer["headline"], answer["lead"], answer["sure"], *answer["notes"], ""]
    lines.append("Share of the face")
    lines += [f"  {_turn(c['share_deg']['value']):>14}  {c['sentence']}" for c in answer["causes"]]
    lines += ["", answer["shaft_level"]["sentence"]]
    lines += [f"  {c['sentence']}" for c in answer["shaft_level"]["causes"]]
    lines += ["", "First the simple things"]
    lines += [f"  {check['sentence']}" for check in answer["triage"]]
    if answer["path_causes"]:
        lines += ["", "The path", *(f"  {p['sentence']}" for p in answer["path_causes"])]
    if answer["next_looks"]:
        look = answer["next_looks"][0]
        lines += ["", f"Next look ({look['cost_s']} s): {look['sentence']}"]
    return "\n".join(lines + [""] * bool(answer["issues"]) + remarks(answer))


def options_table(answer: Answer) -> str:
    """The ways, best first."""
    lines = []
    for option in answer["options"]:
        lines.append(f"{option['rank']}. {TITLES[option['option']]}")
        lines.append(f"   {option['sentence']}")
        lines.append(f"   The ball: {option['ball_sentence']}.")
        lines.append(
            f"   To spare: {option['release_tolerance_ms']:.1f} ms in the release,"
            f" {option['arrival_tolerance_ms']:.1f} ms or {option['arrival_tolerance_m'] * 1000:.0f} mm of ball position."
        )
        if option["needs"]:
            lines.append(f"   Needs: {'; '.join(option['needs'])}.")
        if "recorded" in option:
            lines.append(
                f"   In swing {option['recorded']['swing']} of the recording: {option['recorded']['sentence']}"
            )
        lines += [f"   Caution: {c}" for c in option["cautions"]]
    return "\n".join(lines + remarks(answer))


def _turn(world_deg: float) -> str:
    """A share of the face in the world, which is what the table sums."""
    if abs(world_deg) < 0.05:
        return "0.0° "
    return f"{abs(world_deg):.1f}° {'right' if world_deg > 0 else 'left'}"
