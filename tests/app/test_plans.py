"""Trials, ways, windows, settings."""

import pytest
from scipy.integrate import quad
from scipy.stats import beta

from ferrule.app import plans, swings, trials
from ferrule.app.lessons import lesson as read_lesson
from ferrule.app.settings import Settings, change_settings, settings
from ferrule.app.trial_verdict import probability_better, verdict_on
from ferrule.app.undo import undo
from ferrule.app.views import LessonView
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError


def test_a_trial_runs_a_b_b_a_three_balls_each(ws: Workspace, lesson: LessonView) -> None:
    trial = trials.start_trial(ws, lesson.id, "flexed_early", "grip", feel_a="bow it early", club="driver")
    order = []
    for i in range(12):
        order.append((trial.next_way, trial.next_ball_in_block))
        trial, ball = trials.add_trial_ball(ws, trial.id, shape="draw", strike="centre", key=f"ball {i}")
        repeated, same = trials.add_trial_ball(ws, trial.id, shape="draw", strike="centre", key=f"ball {i}")
        assert (repeated, same.id) == (trial, ball.id)
    assert order == [(way, n) for way in "abba" for n in (1, 2, 3)]
    assert [b.block for b in trial.balls] == [1, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 4]
    assert (trial.next_way, trial.club) == (None, "driver")
    feels = {s.id: s.tried_feel for s in read_lesson(ws, lesson.id).swings}
    assert [feels[b.swing_id] for b in trial.balls[:4]] == ["bow it early"] * 3 + ["grip"]
    with pytest.raises(InputError, match="expected 12 balls, got one more"):
        trials.add_trial_ball(ws, trial.id, shape="draw")
    over = trials.end_trial(ws, trial.id, golfers_word="A flies straighter", golfer_prefers="a")
    assert (over.golfer_prefers, over.golfers_word) == ("a", "A flies straighter")
    undo(ws, lesson_id=lesson.id)
    undo(ws, lesson_id=lesson.id)
    assert len(trials.trial(ws, trial.id).balls) == 11
    assert trials.trials(ws, lesson.id)[0].next_way == "a"


def test_a_trials_verdict_says_how_sure_it_is(ws: Workspace, lesson: LessonView) -> None:
    trial = trials.start_trial(ws, lesson.id, "flexed_early", "grip", feel_a="bow it", feel_b="two knuckles")
    for shape in ("draw", "straight", "fade", "hook", "hook", "push-slice"):
        trial, ball = trials.add_trial_ball(ws, trial.id, shape=shape)
    verdict = trial.verdict
    assert verdict is not None
    assert (verdict.good_a, verdict.balls_a, verdict.good_b, verdict.balls_b) == (3, 3, 0, 3)
    assert verdict.sentence == (
        "bow it: 3 of 3 on line. two knuckles: 0 of 3. bow it is better here, almost certainly."
    )
    swings.set_aside(ws, ball.id)
    assert trials.trial(ws, trial.id).verdict.balls_b == 2  # type: ignore[union-attr]
    swings.set_aside(ws, trial.balls[3].swing_id)
    assert trials.trial(ws, trial.id).verdict is None


@pytest.mark.parametrize(
    ("a", "b", "words"),
    [
        ("ggg", "ggg", "Too close to tell"),
        ("gggbbb", "ggbbbb", "Too close to tell"),
        ("ggggbb", "gbbbbb", "A is likely better, about 9 in 10: enough to go on with, not yet proof"),
        ("bbbbbb", "gggggg", "B is better here, almost certainly"),
    ],
)
def test_verdict_words(a: str, b: str, words: str) -> None:
    shapes = {"g": "straight", "b": "slice"}
    balls = [(way, shapes[c]) for way, cs in (("a", a), ("b", b)) for c in cs]
    verdict = verdict_on(balls, "A", "B")
    assert verdict is not None
    assert words in verdict.sentence


@pytest.mark.parametrize("counts", [(4, 6, 2, 6), (6, 6, 0, 6), (0, 3, 3, 3), (3, 6, 3, 6), (2, 2, 5, 9)])
def test_the_exact_sum_is_the_integral(counts: tuple[int, int, int, int]) -> None:
    good_a, n_a, good_b, n_b = counts
    of_a, of_b = beta(1 + good_a, 1 + n_a - good_a), beta(1 + good_b, 1 + n_b - good_b)
    integral, _ = quad(lambda x: of_a.pdf(x) * of_b.cdf(x), 0.0, 1.0)
    assert probability_better(*counts) == pytest.approx(integral, abs=1e-9)
    assert probability_better(*counts) + probability_better(good_b, n_b, good_a, n_a) == pytest.approx(1.0)


def test_a_trial_needs_two_different_ways(ws: Workspace, lesson: LessonView) -> None:
    with pytest.raises(InputError, match="another way than the first"):
        trials.start_trial(ws, lesson.id, "grip", "grip")
    with pytest.raises(InputError) as caught:
        trials.start_trial(ws, lesson.id, "", "magic", balls_a_block=50)
    assert [f.where for f in caught.value.faults] == ["way_a", "way_b", "balls_a_block"]


def test_the_newest_way_and_window_hold(ws: Workspace, lesson: LessonView) -> None:
    plans.choose_way(ws, lesson.id, "grip", thought="two knuckles", club="driver")
    plans.choose_way(ws, lesson.id, "posture", thought="chest down", drill="wall", test="ten cold balls")
    assert [(w.way, w.club) for w in plans.chosen_ways(ws, lesson.golfer_id)] == [
        ("posture", "driver"),
        ("grip", "driver"),
    ]
    key = "wrist.shaft_level_down.flexion_deg"
    plans.set_window(ws, lesson.id, key, -6, 2)
    plans.set_window(ws, lesson.id, key, -4, 4, exaggerate_to=10)
    (window,) = plans.windows(ws, lesson.golfer_id, "driver")
    assert (window.low, window.high, window.exaggerate_to) == (-4, 4, 10)
    undo(ws, lesson_id=lesson.id)
    assert plans.windows(ws, lesson.golfer_id)[0].low == -6


@pytest.mark.parametrize(
    ("quantity", "low", "high", "where"),
    [
        ("wrist.top.flexion_deg", 5, 5, "high"),
        ("wrist.top.flexion_deg", 8, 5, "high"),
        ("wrist.top.flexion_deg", -300, 5, "low"),
        ("aura_deg", 1, 2, "quantity"),
    ],
)
def test_a_window_that_makes_no_sense_is_told(
    ws: Workspace, lesson: LessonView, quantity: str, low: float, high: float, where: str
) -> None:
    with pytest.raises(InputError) as caught:
        plans.set_window(ws, lesson.id, quantity, low, high)
    assert caught.value.faults[0].where == where
    with pytest.raises(InputError, match="one of flexed_early"):
        plans.choose_way(ws, lesson.id, "magic")


def test_settings_are_kept_and_checked(ws: Workspace) -> None:
    assert settings(ws) == Settings()
    assert change_settings(ws, length_unit="metres", tolerance_deg=3, coach_name=" Kaya ").coach_name == "Kaya"
    assert change_settings(ws, mode="sun") == Settings("metres", "mph", 3, "sun", "Kaya")
    assert settings(ws).tolerance_deg == 3
    for wrong in ({"mode": "disco"}, {"tolerance_deg": 0}, {"font": "big"}):
        with pytest.raises(InputError):
            change_settings(ws, **wrong)
    assert settings(ws).mode == "sun"
