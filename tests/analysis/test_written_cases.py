"""The fourteen written cases of docs/cases: their pages say what the product says, and their key statements hold.

What a coach would say: common practice, no source.
"""

import importlib.util
import re
from functools import lru_cache
from pathlib import Path

import pytest

from ferrule.analysis.explain import Explanation, explain_case
from ferrule.analysis.options import OptionsAnswer, work_out_options
from ferrule.coaching.ways import WRIST_WAYS
from ferrule.files.casefile import read_case
from ferrule.units import DEG

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "docs" / "cases"
NAMES = sorted(p.stem for p in FOLDER.glob("*.json"))


@lru_cache
def answered(number: str) -> tuple[Explanation, OptionsAnswer]:
    name = next(n for n in NAMES if n.startswith(number))
    case, remarks = read_case((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    assert not remarks
    explanation = explain_case(case)
    return explanation, work_out_options(case, explanation=explanation)


def ranks(options: OptionsAnswer) -> dict[str, int]:
    return {o.way.name: o.rank for o in options.options}


def all_words(number: str) -> list[str]:
    explanation, options = answered(number)
    story = explanation.story
    out = [story.headline, story.lead, story.sure, story.shaft_level, *story.notes]
    out += [c.sentence for c in explanation.causes] + [c.sentence for c in explanation.triage]
    out += [c.sentence for c in explanation.path_causes] + [i.message for i in options.issues]
    for option in options.options:
        out += [option.sentence, option.ball_sentence, *option.way.needs, *option.way.cautions]
    return out


def writer():
    spec = importlib.util.spec_from_file_location("written_cases", ROOT / "scripts" / "cases.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_there_are_fourteen():
    assert len(NAMES) == 14


@pytest.mark.parametrize("name", NAMES)
def test_page_says_what_the_product_says(name):
    """A stale page: run scripts/cases.py."""
    module = writer()
    page = (FOLDER / f"{name}.md").read_text(encoding="utf-8")
    said = module.said(*answered(name[:2]))
    assert module.with_block(page, said) == page


@pytest.mark.parametrize("name", NAMES)
def test_sentences_are_words_a_coach_would_say(name):
    for text in all_words(name[:2]):
        assert not re.search(r"[+−]\d|(?<![\w–])-\d", text), text
        assert not re.search(r"\b0°|  |\.\.|nan|_", text), text
        assert not re.search(r"\b(you|your)\b", text), text


@pytest.mark.parametrize("name", NAMES)
def test_one_rival_at_most_and_no_fault_claimed_that_nobody_saw(name):
    explanation, _ = answered(name[:2])
    story = explanation.story
    assert story.headline.count("perhaps") + 2 * story.lead.count("The rival") <= 2
    for cause in explanation.causes:
        if cause.how == "assumed":
            assert re.search(r"has not been|seen by no instrument", cause.sentence), cause.sentence


def test_01_cupped_at_shaft_level_names_the_pattern_not_the_instant():
    explanation, options = answered("01")
    assert "24° cupped coming down and is rescued late" in explanation.story.headline
    assert abs(explanation.face.value) < 1.0 * DEG
    assert explanation.shaft_level.open_to_address_spine.value > 15 * DEG
    assert options.options[0].way.name == "flexed_in_transition"


def test_02_standing_up_is_named_and_mended_first():
    explanation, options = answered("02")
    assert "forward bend is lost" in explanation.story.headline
    assert any("standing up hides the difference" in n for n in explanation.story.notes)
    assert explanation.path_causes[0].cause == "standing_up"
    assert options.options[0].way.name == "posture"


def test_03_strong_grip_and_hook_never_gets_more_bow():
    explanation, options = answered("03")
    assert "the grip is strong" in explanation.story.headline
    assert options.options[0].way.name == "grip"
    assert options.options[0].way.change.grip < 0
    for option in options.options:
        change = option.way.change
        assert max(change.flexion, change.level_flexion, change.top) <= 0.0
    place = ranks(options)
    assert min(place["flexed_early"], place["flexed_in_transition"]) > place["leave_as_is"]


def test_04_weak_grip_is_turned_first():
    explanation, options = answered("04")
    assert "the grip is weak" in explanation.story.headline
    assert options.options[0].way.name == "grip"
    assert options.options[0].way.change.grip > 0


def test_05_two_way_miss_is_told_by_its_scatter():
    explanation, options = answered("05")
    assert "the scatter is" in explanation.story.headline
    assert "forearm roll varies most" in explanation.story.headline
    assert explanation.spread[0].cause == "forearm_roll"
    assert options.options[0].way.name == "forearm_roll"
    assert options.options[0].way.steadies
    assert options.options[0].side_spread < 0.8 * next(
        o.side_spread for o in options.options if o.way.name == "leave_as_is"
    )


def test_06_slicer_hears_of_the_path_and_of_the_next_balls():
    explanation, options = answered("06")
    assert "the face is not the trouble, the path is" in explanation.story.headline
    assert any(
        "next balls start 1° left and still curve right" in n and "expect it" in n for n in explanation.story.notes
    )
    assert any(i.code == "path_first" for i in options.issues)
    assert next(c for c in explanation.triage if c.check == "path").state == "suspect"
    assert ranks(options)["leave_as_is"] > 1


def test_07_driver_only_gets_hands_and_ball_together():
    explanation, options = answered("07")
    assert "the hands lead too far" in explanation.story.headline
    best = options.options[0]
    assert best.way.name == "shaft_lean"
    assert best.way.joined == ("ball_position",)
    assert best.way.change.lean < 0 < best.way.change.ball_forward


def test_08_left_handed_is_told_in_the_real_left_and_right():
    explanation, options = answered("08")
    assert explanation.story.headline.startswith("The 7-iron starts left and bends further left")
    assert explanation.face.value < 0
    assert "open" in explanation.story.lead
    assert "the lead wrist is too cupped" in explanation.story.headline
    keep = next(o for o in options.options if o.way.name == "keep_shape")
    assert "right: the usual ball" in keep.sentence


def test_09_junior_gets_no_wrist_way_first_and_every_one_with_its_caution():
    explanation, options = answered("09")
    assert "the lead wrist is too cupped" in explanation.story.headline
    assert options.options[0].way.name == "grip"
    for option in options.options:
        if option.way.name in WRIST_WAYS and not option.way.idle:
            assert any("Still growing" in c for c in option.way.cautions)


def test_10_senior_keeps_out_of_the_last_ten_degrees_and_may_keep_the_shape():
    _, options = answered("10")
    place = ranks(options)
    assert place["keep_shape"] <= 3
    assert place["grip"] < min(place["flexed_early"], place["flexed_in_transition"])
    for option in options.options:
        o = option.outcome
        assert max(o.flexion_top, o.flexion_level, o.flexion_impact) <= 18.0 * DEG + 1e-9


def test_11_sore_wrist_is_never_put_to_work():
    explanation, options = answered("11")
    assert "lead wrist" in explanation.story.headline
    wrist = [o for o in options.options if o.way.name in WRIST_WAYS]
    assert min(o.rank for o in wrist) == len(options.options) - len(wrist) + 1
    assert all(any("clinician" in c for c in o.way.cautions) for o in wrist if not o.way.idle)


def test_12_contradiction_comes_before_any_cause():
    explanation, _ = answered("12")
    assert "do not fit each other" in explanation.story.headline
    assert "the face at address" in explanation.story.headline
    message = next(i.message for i in explanation.issues if i.code == "contradiction")
    assert "it says 5° closed, all the others together" in message
    assert "open" in message


def test_13_ball_alone_gives_the_face_and_asks():
    explanation, _ = answered("13")
    assert explanation.face.sd < 1.5 * DEG
    assert all(c.how == "assumed" for c in explanation.causes)
    assert "nobody has looked at either yet" in explanation.story.headline
    assert explanation.looks[0].look.name in ("wrist_at_address", "grip")


def test_14_nothing_wrong_is_left_alone():
    explanation, options = answered("14")
    assert "nothing here that needs a change" in explanation.story.headline
    assert options.options[0].way.name == "leave_as_is"
    assert not any(i.code in ("contradiction", "path_first") for i in options.issues)
