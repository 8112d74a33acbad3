import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from ferrule.frames.wrist import wrist_rotation
from ferrule.swing.closing import PARTS, closing_record
from ferrule.swing.track import ArmTrack, ended_at


def smooth(rng: np.random.Generator, size: float) -> np.polynomial.Polynomial:
    return np.polynomial.Polynomial(rng.normal(0.0, size, 4))


def made_up_track(seed: int, rate_hz: float = 500.0) -> ArmTrack:
    rng = np.random.default_rng(seed)
    t = np.arange(0.0, 0.4, 1.0 / rate_hz)
    turn = [smooth(rng, 2.0) for _ in range(3)]
    size, pace, start = (0.6, 0.5, 0.1), rng.uniform(3.0, 12.0, 3), rng.uniform(0.0, 6.0, 3)

    def pose(x: np.ndarray) -> tuple[Rotation, Rotation]:
        forearm = Rotation.from_rotvec(np.stack([p(x) for p in turn], axis=1))
        angles = [size[i] * np.sin(pace[i] * x + start[i]) for i in range(3)]
        return forearm, forearm * wrist_rotation(*angles, side="left")

    h = 1e-6
    rates = []
    for before, after in zip(pose(t - h), pose(t + h), strict=True):
        rates.append((after * before.inv()).as_rotvec() / (2.0 * h))
    forearm, hand = pose(t)
    return ArmTrack(t, forearm, hand, rates[0], rates[1])


@settings(derandomize=True, max_examples=25, deadline=None)
@given(st.integers(0, 10_000))
def test_parts_found_on_their_own_sum_to_the_hands_total(seed: int) -> None:
    track = made_up_track(seed)
    shaft = track.hand.apply(np.array([0.0, -np.cos(0.7), -np.sin(0.7)]))
    account = closing_record(track, shaft).between(0.05, 0.35)
    assert abs(account["residual"]) < 1e-3
    assert set(account) == {*PARTS, "total", "residual"}


def one_joint(chi: float, flexion: float, deviation: float, roll: float) -> dict[str, float]:
    """A hanging left arm whose joints turn steadily from zero to the given angles; shaft in the cocking plane at chi."""
    t = np.linspace(0.0, 0.5, 1001)
    share = t / 0.5
    forearm = Rotation.from_rotvec(np.stack((0.0 * t, roll * share, 0.0 * t), axis=1))
    hand = forearm * wrist_rotation(flexion * share, deviation * share, 0.0 * t, side="left")
    rates = []
    for body in (forearm, hand):
        m = np.gradient(body.as_matrix(), t, axis=0) @ body.inv().as_matrix()
        rates.append(np.stack((m[:, 2, 1], m[:, 0, 2], m[:, 1, 0]), axis=1))
    shaft = hand.apply(np.array([0.0, -np.cos(chi), -np.sin(chi)]))
    return closing_record(ArmTrack(t, forearm, hand, rates[0], rates[1]), shaft).between(0.0, 0.5)


@pytest.mark.parametrize(
    ("chi_deg", "flexion_deg", "roll_deg", "closing_deg"),
    [
        pytest.param(90.0, 10.0, 0.0, 10.000, id="B70"),
        pytest.param(60.0, 10.0, 0.0, 8.660, id="B71"),
        pytest.param(30.0, 10.0, 0.0, 5.000, id="B72"),
        pytest.param(25.0, 10.0, 0.0, 4.226, id="B73-flexion"),
        pytest.param(25.0, 0.0, 10.0, 9.063, id="B73-roll"),
        pytest.param(0.0, 10.0, 0.0, 0.0, id="B74-flexion"),
        pytest.param(0.0, 0.0, 10.0, 10.0, id="B74-roll"),
    ],
)
def test_one_joint_closes_as_the_geometry_says(
    chi_deg: float, flexion_deg: float, roll_deg: float, closing_deg: float
) -> None:
    account = one_joint(np.radians(chi_deg), np.radians(flexion_deg), 0.0, np.radians(roll_deg))
    part = "flexion" if flexion_deg else "forearm_roll"
    assert np.degrees(account[part]) == pytest.approx(closing_deg, abs=1e-3)
    assert np.degrees(account["total"]) == pytest.approx(closing_deg, abs=1e-2)


@pytest.mark.parametrize("chi_deg", [0.0, 25.0, 60.0, 90.0])
def test_b75_deviation_alone_does_not_close(chi_deg: float) -> None:
    account = one_joint(np.radians(chi_deg), 0.0, np.radians(10.0), 0.0)
    assert abs(account["deviation"]) < 1e-9
    assert abs(account["total"]) < 1e-6


def test_track_ends_where_it_is_told_from_the_samples_before() -> None:
    track = made_up_track(3)
    fine = made_up_track(3, 10_000.0)
    cut = 150
    end = ended_at(track, cut, float(track.time_s[cut]) + 0.0017)
    k = int(np.argmin(np.abs(fine.time_s - end.time_s[-1])))
    assert len(end) == cut + 2
    assert np.degrees((end.hand[-1].inv() * fine.hand[k]).magnitude()) < 0.05
    assert np.degrees((end.forearm[-1].inv() * fine.forearm[k]).magnitude()) < 0.05
