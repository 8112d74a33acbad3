"""Measured figures of the ball room: reference trajectories, random flights against SciPy, the way back, speed."""

import time
from math import sqrt
from pathlib import Path

import numpy as np

from ferrule.ball.air import SEA_LEVEL, Air, air
from ferrule.ball.coefficients import LYU, NARUO, Coefficients
from ferrule.ball.flight import fly, fly_many
from ferrule.ball.flight_reference import fly_reference
from ferrule.ball.impact import delivery_with, strike, typical_attack
from ferrule.ball.landing import Scatter, TypicalDelivery, landing_spread
from ferrule.ball.launch import Launch, Launches
from ferrule.ball.observed import Observed, default_prior, infer_deliveries, infer_delivery
from ferrule.ball.shapes import shape_of
from ferrule.ball.simulated import simulate_shots
from ferrule.ball.strike_spot import SPOTS, StrikeSpot, strike_spot_mm
from ferrule.club.clubs import BAG, typical_club_speed
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG, RPM

TITLE: str = "Club and ball"

_CLUBS = ("driver", "7-iron", "pitching wedge", "sand wedge")
_LIMITS = {"driver": "1.2 / 1.6", "7-iron": "1.3 / 2.5", "pitching wedge": "1.8 / 3.8", "sand wedge": "none"}


def report(data: Path | None) -> str:  # noqa: ARG001 - no outside data: the checks are equations and SciPy
    """All figures as markdown. Nothing is read from disk; about a minute."""
    parts = [_trajectories(), _random_flights(), _face_share(), _way_back(), _shapes(), _landing(), _speed()]
    return "\n\n".join(parts)


def _trajectories() -> str:
    d37 = (70.0, 12.0, 2600.0, 0.0, 0.0)
    rows: list[tuple[str, tuple[float, ...], Air, Coefficients, float, float, float]] = [
        ("D32", (71.5, 6, 3000, 0, 0), SEA_LEVEL, NARUO, 221.445, 0.0, 5.7927),
        ("D33", (71.5, 6, 3000, 0, 0), SEA_LEVEL, LYU, 262.219, 0.0, 6.7261),
        ("D34", (78.67904, 10, 2520, 0, 0), SEA_LEVEL, NARUO, 260.068, 0.0, 6.9818),
        ("D35", (78.67904, 10, 2520, 0, 0), SEA_LEVEL, LYU, 286.853, 0.0, 7.4003),
        ("D36", (81.80832, 11, 2200, 0, 0), SEA_LEVEL, NARUO, 272.105, 0.0, 7.1569),
        ("D37", d37, SEA_LEVEL, NARUO, 231.062, 0.0, 6.5667),
        ("D38", d37, SEA_LEVEL, Coefficients(0.0, "smits_smith"), 231.119, 0.0, 6.5517),
        ("D39", (70, 12, 2600, 5, 0), SEA_LEVEL, NARUO, 230.495, 8.630, 6.5455),
        ("D40", (70, 12, 2600, 10, 0), SEA_LEVEL, NARUO, 228.813, 16.979, 6.4823),
        ("D41", d37, Air(1.00649, 1.7148e-5), NARUO, 244.714, 0.0, 6.2134),
        ("D42", d37, Air(1.225, 1.4607e-5, (-5.0, 0.0, 0.0)), NARUO, 214.144, 0.0, 6.9223),
        ("D43", d37, Air(1.225, 1.4607e-5, (5.0, 0.0, 0.0)), NARUO, 243.742, 0.0, 6.2033),
        ("D44", (53, 18, 6500, 0, 0), SEA_LEVEL, NARUO, 148.659, 0.0, 6.3236),
        ("D45", (70, 12, 2600, 0, 2), SEA_LEVEL, NARUO, 230.922, 8.064, 6.5667),
    ]
    lines = [
        "### Reference trajectories",
        "",
        "Against values from DOP853 at rtol 1e-11. Coefficients: Naruo, Mizota & Shimozono 2004 (Trans JSME B 70:2371);"
        " Lyu, Kensrud, Smith & Tosaya 2018 (doi:10.3390/proceedings2060238).",
        "",
        "| check | along, m | off by, mm | side off by, mm | time off by, ms |",
        "| --- | --- | --- | --- | --- |",
    ]
    for name, (speed, up, rpm, tilt, azimuth), medium, coefficients, along, side, seconds in rows:
        got = fly(Launch(speed, up * DEG, azimuth * DEG, rpm * RPM, tilt * DEG), medium, coefficients)
        x = sqrt(got.carry**2 - got.side**2)
        lines.append(
            f"| {name} | {x:.3f} | {1e3 * (x - along):+.1f} | {1e3 * (got.side - side):+.1f}"
            f" | {1e3 * (got.time - seconds):+.2f} |"
        )
    return "\n".join(lines)


def _random_flights(n: int = 500) -> str:
    rng = np.random.default_rng(500)
    off = np.zeros((n, 3))
    for i in range(n):
        launch = Launch(
            float(rng.uniform(5.0, 90.0)),
            float(rng.uniform(2.0, 60.0)) * DEG,
            float(rng.normal(0.0, 5.0)) * DEG,
            float(rng.uniform(500.0, 11_000.0)) * RPM,
            float(rng.normal(0.0, 15.0)) * DEG,
        )
        wind = (float(rng.normal(0.0, 4.0)), 0.0, float(rng.normal(0.0, 4.0)))
        medium = air(float(rng.uniform(0.0, 2500.0)), wind=wind, roughness=0.03 if i % 4 == 0 else None)
        coefficients = (NARUO, LYU)[i % 2]
        got, plain = fly(launch, medium, coefficients), fly_reference(launch, medium, coefficients, rtol=1e-10)
        off[i] = abs(got.carry - plain.carry), abs(got.side - plain.side), abs(got.time - plain.time)
    worst, middle = off.max(axis=0), np.median(off, axis=0)
    return "\n".join(
        [
            "### Random flights against SciPy DOP853 (rtol 1e-10)",
            "",
            f"{n} launches from 5 to 90 m/s, 2 to 60 degrees, 500 to 11,000 rpm, tilted, up to 2,500 m, in wind (a quarter of"
            " them with wind that grows with height), both coefficient sets. Demanded: 50 mm and 5 ms.",
            "",
            "| | carry, mm | side, mm | time, ms |",
            "| --- | --- | --- | --- |",
            f"| largest difference | {1e3 * worst[0]:.1f} | {1e3 * worst[1]:.1f} | {1e3 * worst[2]:.2f} |",
            f"| median | {1e3 * middle[0]:.3f} | {1e3 * middle[1]:.3f} | {1e3 * middle[2]:.4f} |",
        ]
    )


def _face_share() -> str:
    lines = [
        "### Share of the face in the start line",
        "",
        "Measured over all clubs: 61 to 83 % (Wood, Henrikson & Broadie 2018, doi:10.3390/proceedings2060249). Worked out for"
        " a typical delivery (common practice) and the default impact model:",
        "",
        "| club | share, % |",
        "| --- | --- |",
    ]
    for club in BAG.values():
        loft = default_prior(club).delivered_loft.value
        hit = delivery_with(club, typical_club_speed(club), DEG, 0.0, typical_attack(club), loft)
        lines.append(f"| {club.name} | {100.0 * strike(hit).azimuth / DEG:.1f} |")
    return "\n".join(lines)


def _way_back(n: int = 1000) -> str:
    lines = [
        "### From the ball back to face and path",
        "",
        f"{n} simulated shots a club (path sd 4.5 degrees, face less path 4, spin loft 2, speed 5 %, grip of the face, the"
        " ball anywhere between the coefficient sets), start seen to 1 degree, curve to 2. *Marked*: strike within 2 mm and"
        " read to 2 mm. *Centre*: strike within 4 mm and called so by word: gear effect of a driver then adds more than start"
        " and curve can undo, so its figures are over the demand. *True centre*: struck in the middle and called so.",
        "",
        "| club | strike | face RMS | path RMS | demanded | inside 90 %: face | path | face less path |",
        "| --- | --- | --- | --- | --- | --- | --- | --- |",
    ]
    spots: tuple[tuple[str, float, StrikeSpot], ...] = (
        ("true centre", 0.0, SPOTS["centre"]),
        ("marked", 0.002, strike_spot_mm(0.0, 0.0)),
        ("centre", 0.004, SPOTS["centre"]),
    )
    for name in _CLUBS:
        for word, strike_sd, spot in spots:
            rng = np.random.default_rng(1)
            shots = simulate_shots(BAG[name], n, rng, strike_sd)
            answers = infer_deliveries(shots.observed(rng, DEG, 2.0 * DEG, spot), BAG[name])
            truth = {"face": shots.face, "path": shots.path, "face_less_path": shots.face - shots.path}
            rms, inside = {}, {}
            for key, values in truth.items():
                guess: list[Estimate] = [getattr(a, key) for a in answers]
                miss = np.array([g.value for g in guess]) - values
                rms[key] = sqrt(float(np.mean(miss**2))) / DEG
                inside[key] = 100.0 * float(np.mean(np.abs(miss) < 1.645 * np.array([g.sd for g in guess])))
            lines.append(
                f"| {name} | {word} | {rms['face']:.2f} | {rms['path']:.2f} | {_LIMITS[name]} | {inside['face']:.1f}"
                f" | {inside['path']:.1f} | {inside['face_less_path']:.1f} |"
            )
    return "\n".join(lines)


def _shapes(n: int = 1000) -> str:
    lines = [
        "### From a tapped shape",
        "",
        "The start is judged with an error of 1 degree and the curve of 2 before one of the nine is tapped. Clear: the answer is"
        " at least 90 % sure of the side. Demanded: right in 95 % of the clear ones.",
        "",
        "| club | face: clear, % | right, % | face less path: clear, % | right, % |",
        "| --- | --- | --- | --- | --- |",
    ]
    for name in _CLUBS:
        rng = np.random.default_rng(2)
        shots = simulate_shots(BAG[name], n, rng)
        start = shots.launches.azimuth + rng.normal(0.0, DEG, n)
        curve = shots.flights.curve + rng.normal(0.0, 2.0 * DEG, n)
        seen = [
            Observed(shape=shape_of(float(a), float(c)), strike=SPOTS["centre"])
            for a, c in zip(start, curve, strict=True)
        ]
        answers = infer_deliveries(seen, BAG[name])
        cells = []
        for truth, chance in (
            (shots.face, np.array([a.chance_face_right() for a in answers])),
            (shots.face - shots.path, np.array([a.chance_curves_right() for a in answers])),
        ):
            clear = np.abs(chance - 0.5) > 0.4
            right = (chance > 0.5)[clear] == (truth > 0.0)[clear]
            cells += [f"{100 * clear.mean():.0f}", f"{100 * right.mean():.1f}" if clear.any() else "-"]
        lines.append(f"| {name} | {' | '.join(cells)} |")
    return "\n".join(lines)


def _landing() -> str:
    lines = [
        "### Landing spread",
        "",
        "Propagated through 99 deliveries against 16,384 simulated balls (scatter of an ordinary golfer, common practice).",
        "",
        "| club | side sd, m | simulated | carry sd, m | simulated |",
        "| --- | --- | --- | --- | --- |",
    ]
    for name in _CLUBS:
        prior = default_prior(BAG[name])
        typical = TypicalDelivery(0.0, 0.0, prior.attack.value, prior.delivered_loft.value, prior.club_speed.value)
        plain = landing_spread(BAG[name], typical, Scatter())
        drawn = landing_spread(BAG[name], typical, Scatter(), draws=16_384)
        lines.append(
            f"| {name} | {plain.side_sd:.2f} | {drawn.side_sd:.2f} | {plain.carry_sd:.2f} | {drawn.carry_sd:.2f} |"
        )
    return "\n".join(lines)


def _speed() -> str:
    rng = np.random.default_rng(2026)
    n = 10_000
    launches = Launches(
        rng.uniform(8.0, 90.0, n),
        rng.uniform(4.0, 55.0, n) * DEG,
        rng.normal(0.0, 4.0, n) * DEG,
        rng.uniform(1000.0, 10_000.0, n) * RPM,
        rng.normal(0.0, 12.0, n) * DEG,
        np.zeros(n),
    )
    fast = []
    for _ in range(4):
        start = time.perf_counter()
        fly_many(launches)
        fast.append(time.perf_counter() - start)
    start = time.perf_counter()
    for i in range(0, n, 500):
        fly_reference(launches[i], rtol=1e-8)
    plain = (time.perf_counter() - start) / len(range(0, n, 500))
    seen = Observed(Estimate(0.03, DEG), Estimate(0.05, 2.0 * DEG))
    infer_delivery(seen, BAG["7-iron"])
    start = time.perf_counter()
    for _ in range(20):
        infer_delivery(seen, BAG["7-iron"])
    back = (time.perf_counter() - start) / 20
    return "\n".join(
        [
            "### Speed",
            "",
            "On the machine that wrote this page, one core; `make bench` measures it on yours.",
            "",
            f"* 10,000 flights to their summary figures: {min(fast):.2f} s (demanded 0.4 s).",
            f"* A plain SciPy loop (DOP853, rtol 1e-8) takes {plain / (min(fast) / n):.0f} times as long for each flight.",
            f"* One way back from the ball: {1e3 * back:.1f} ms (demanded 20 ms).",
        ]
    )


if __name__ == "__main__":
    print(f"## {TITLE}\n\n{report(None)}")
