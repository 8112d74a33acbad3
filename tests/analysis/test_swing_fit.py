"""A swing's constants from the wrist's acceleration and its hardly twisting; draws of what they leave open."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from ferrule.analysis import recording_doubt, swing_fit
from ferrule.analysis.recording import analyse_recording, swing_input
from ferrule.analysis.recording_result import SwingAnalysis
from ferrule.analysis.recording_session import open_session
from ferrule.analysis.recording_swing import WorkedSwing, work_out_swing
from ferrule.club.clubs import Club
from ferrule.frames.rotations import UP, rotation_about
from ferrule.sensing.orientation import LevelRun
from ferrule.simulator.faults import Faults
from ferrule.simulator.lesson import SimulatedLesson, simulate_lesson
from ferrule.simulator.plans import CalibrationPlan
from ferrule.units import DEG, GRAVITY

SEVEN = Club("7-iron", 34.0 * DEG, 62.5 * DEG, 0.94, 0.27)
HEARD = {"ringing": (30.0 * GRAVITY, 70.0 * GRAVITY), "gyro_ringing": 250.0 * DEG}


def worked(lesson: SimulatedLesson) -> WorkedSwing:
    session = open_session(lesson.recording, None)
    return work_out_swing(swing_input(session, session.candidates[0], SEVEN))


def change_error(lesson: SimulatedLesson, swing: SwingAnalysis, event: str) -> float:
    """Larger error of flexion and deviation since address, deg."""
    at, start = lesson.truth.swings[0].at[event], lesson.truth.swings[0].at["address"]  # type: ignore[index]
    change = swing.change[event]  # type: ignore[index]
    return (
        max(
            abs(change["flexion"].value - (at.flexion - start.flexion)),
            abs(change["ulnar_deviation"].value - (at.ulnar_deviation - start.ulnar_deviation)),
        )
        / DEG
    )


@pytest.mark.parametrize(
    ("fault", "before"),
    [({"gyro_scale": 0.015, "gyro_cross": 0.009}, 1.0), ({"lever": 0.02}, 1.0)],
    ids=["gains", "place"],
)
def test_gains_and_places_are_fitted_away(
    monkeypatch: pytest.MonkeyPatch, fault: dict[str, float], before: float
) -> None:
    lessons = [
        simulate_lesson(seed=s, faults=Faults.none().but(**HEARD, **fault), calibration=CalibrationPlan.perfect())
        for s in (31, 32)
    ]

    def errors() -> list[float]:
        found = [analyse_recording(told.recording, club=SEVEN, draws=0).swings[0] for told in lessons]
        return [change_error(told, swing, "top") for told, swing in zip(lessons, found, strict=True)]

    fitted = errors()
    whole = swing_fit.fit_swing

    def unfitted(*sides: object, **known: object) -> swing_fit.SwingFit:
        fit = whole(*sides, **known)  # type: ignore[arg-type]
        return swing_fit.SwingFit(np.zeros(swing_fit.COUNT), fit.covariance, fit.turn, fit.apart)

    monkeypatch.setattr("ferrule.analysis.swing_worlds.fit_swing", unfitted)
    assert max(fitted) < 0.6
    assert max(errors()) > before * max(fitted)


def test_what_is_left_open_is_less_than_what_was_known_before() -> None:
    swing = worked(simulate_lesson(seed=33))
    left = np.sqrt(np.diag(swing.fit.covariance))
    np.testing.assert_allclose(swing.fit.covariance, swing.fit.covariance.T, atol=1e-12)
    assert np.linalg.eigvalsh(swing.fit.covariance).min() > 0.0
    assert left[1] < 1.5 * DEG
    known = np.sqrt(np.diag(swing.given.mounts.covariance(swing.given.tilt_sds)))
    assert (left[28:] < known * 1.0001).all()
    # where the palm faces is what the untwisted wrist tells most of
    assert left[32] < 0.9 * known[4]


def test_accelerations_that_do_not_agree_are_left_aside() -> None:
    rng = np.random.default_rng(4)
    t = np.arange(400) / 500.0
    still = LevelRun(t, Rotation.from_quat(np.tile([0.0, 0.0, 0.0, 1.0], (400, 1))), np.zeros((400, 3)))
    first, second = (
        swing_fit.Side(still, 10.0 * rng.standard_normal((400, 3)), np.zeros(3), Rotation.identity()) for _ in range(2)
    )
    fit = swing_fit.fit_swing(
        first,
        second,
        untwisted=0.4,
        tilt_sd=0.01,
        clock_sd=0.001,
        mounts_covariance=0.04**2 * np.eye(6),
        skin=(0.0, 0.02, 0.9),
    )
    assert fit.turn == 0.4
    assert fit.apart == 0.0


def test_a_mended_segment_turns_as_its_rate_says() -> None:
    rng = np.random.default_rng(5)
    t = np.arange(600) / 500.0
    turned = Rotation.from_rotvec(np.stack([np.sin(3.0 * t), np.cos(2.0 * t), 0.4 * np.sin(5.0 * t)], axis=1))
    rate = np.zeros((600, 3))
    rate[1:-1] = (turned[2:] * turned[:-2].inv()).as_rotvec() * 250.0
    mount, heading = Rotation.from_rotvec([0.2, -0.3, 0.1]), 0.7
    run = swing_fit.mended(
        LevelRun(t, turned, turned.inv().apply(rate)),
        mount,
        heading,
        200,
        np.array([0.02, -0.05, 0.03]),
        0.01 * rng.standard_normal((3, 3)),
    )
    seen = (run.turned[2:] * run.turned[:-2].inv()).as_rotvec() * 250.0
    np.testing.assert_allclose(run.rate[2:-2], seen[1:-1], atol=2e-3)
    moved = run.turned[200] * (rotation_about(UP, heading) * turned[200] * mount).inv()
    np.testing.assert_allclose(moved.as_rotvec(), [0.02, -0.05, 0.03], atol=1e-12)


def test_drawn_numbers_are_square_to_each_other() -> None:
    rows = recording_doubt._normal_rows(240, 20)
    np.testing.assert_allclose(rows.mean(axis=0), 0.0, atol=1e-12)
    np.testing.assert_allclose(rows.T @ rows / len(rows), np.eye(rows.shape[1]), atol=1e-9)
    few = recording_doubt._normal_rows(40, 20)
    assert few.shape == (40, rows.shape[1])


def test_a_draw_is_read_where_it_comes_through_level() -> None:
    told = simulate_lesson(seed=34)
    session = open_session(told.recording, None)
    swing = work_out_swing(swing_input(session, session.candidates[0], SEVEN))
    drawn = recording_doubt.draw_swing(swing, session.forearm, session.hand, 240)
    k = drawn.events.index("shaft_level_down")
    late = 1000.0 * np.std(drawn.times[:, k])
    assert 0.4 < late < 4.0
    # a shaft that comes through level late is read with a face that has closed on
    assert np.corrcoef(drawn.times[:, k], drawn.values["face"][:, k])[0, 1] < -0.3
    result = analyse_recording(told.recording, club=SEVEN).swings[0]
    assert 1000.0 * result.events["shaft_level_down"].sd == pytest.approx(late, rel=1e-6)
