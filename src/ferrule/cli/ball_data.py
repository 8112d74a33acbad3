"""`balls`: a table of ball flights in, face and path behind each of them out."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from math import hypot
from pathlib import Path
from typing import Any, Final, cast

from ferrule.analysis.balls import BallsRead, curve_of_launch, read_balls
from ferrule.ball.air import Air, air
from ferrule.ball.launch import Launch
from ferrule.ball.observed import Ball, Observed
from ferrule.cli.answering import remarks, text_of
from ferrule.club.clubs import Club, club_by_name
from ferrule.coaching.wording_balls import balls_sentence
from ferrule.errors import InputError, Issue
from ferrule.files.balldata import LARGEST_BYTES, BallShot, read_ball_data
from ferrule.files.ballguess import guess_ball_mapping
from ferrule.files.ballmapping import COLUMNS, BallMapping, read_ball_mapping
from ferrule.frames.handedness import Handedness
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG, RPM

Answer = dict[str, Any]
_LAUNCH: Final = ("ball_speed_mps", "launch_deg", "start_deg", "spin_rpm", "axis_tilt_deg")
_SHOWN: Final = {"angle": 1.0 / DEG, "spin": 1.0 / RPM, "spot": 1e3}
_FASTEST_WIND: Final = 25.0


def balls_read(
    path: Path, club: str, handedness: str | None, mapping: Path | None, wind: str | None, ball: str
) -> Answer:
    """Face and path from a CSV of ball flights; club, handedness: where the file itself does not say."""
    hand = _hand(handedness)
    if ball not in ("own", "range"):
        raise InputError.of("choice", "--ball", expected="own or range", got=repr(ball))
    still = _wind(wind)
    content = text_of(path, "a table of ball flights (CSV)", LARGEST_BYTES)
    notes: list[Issue] = []
    left_out: tuple[str, ...] = ()
    if mapping is not None:
        columns = read_ball_mapping(text_of(mapping, "a mapping of columns (JSON)"))
    else:
        guess = guess_ball_mapping(content)
        columns, left_out = guess.mapping, guess.left_out
        notes += guess.doubts
    data = read_ball_data(content, columns, hand)
    named = [(_club(shot, club, notes), shot) for shot in data.shots]
    named.sort(key=lambda pair: (pair[0].name, pair[1].row))
    groups = [
        _group(of, [shot for _, shot in pairs], still, cast("Ball", ball))
        for of, pairs in groupby(named, key=lambda pair: pair[0])
    ]
    return {
        "schema": 1,
        "mapping": _shown_mapping(columns),
        "columns_left_out": list(left_out),
        "clubs": groups,
        "issues": [
            {"code": i.code, "severity": i.severity, "where": i.where, "message": i.message}
            for i in (*notes, *data.issues)
        ],
    }


def table(answer: Answer) -> str:
    """One line a ball, then the sentence of each club."""
    lines = [f"{key:<20} from {source}" for key, source in answer["mapping"].items()]
    for group in answer["clubs"]:
        lines += ["", group["sentence"], "", f"{'row':>5} {'face':>14} {'path':>14} {'face less path':>16}"]
        for one in group["balls"]:
            cells = (one[key] for key in ("face_deg", "path_deg", "face_less_path_deg"))
            lines.append(f"{one['row']:>5} " + " ".join(f"{c['value']:>7.1f} ± {c['sd']:.1f}" for c in cells))
    return "\n".join([*lines, "", "Degrees, + to the right of the target.", *remarks(answer)])


def _group(club: Club, shots: Sequence[BallShot], still: Air | None, ball: Ball) -> Answer:
    seen = [_observed(shot, still) for shot in shots]
    speeds = [shot.values["club_speed_mps"] for shot in shots if "club_speed_mps" in shot.values]
    speed = None
    if speeds:
        middle = sum(speeds) / len(speeds)
        speed = Estimate(middle, hypot(1.0, max(abs(v - middle) for v in speeds) / 2.0))
    read = read_balls(seen, club, speed, still, ball)
    handedness: Handedness = "left" if shots[0].handed < 0 else "right"
    return {
        "club": club.name,
        "handedness": handedness,
        "sentence": _sentence(club, handedness, read),
        "pattern": {
            **{
                f"{key}_deg": {**_degrees(getattr(read.pattern, key).typical), "scatter_sd": _deg(getattr(read.pattern, key).scatter)}
                for key in ("face", "path", "face_less_path")
            },
            "misses": read.pattern.misses,
            "balls": read.pattern.balls,
        },
        "balls": [
            {
                "row": shot.row,
                "face_deg": _degrees(one.face),
                "path_deg": _degrees(one.path),
                "face_less_path_deg": _degrees(one.face_less_path),
                "read": {
                    key: round(value * _SHOWN.get(COLUMNS[key], 1.0), 3) for key, value in shot.values.items()
                } | shot.words,
                "issues": [i.code for i in one.issues],
            }
            for shot, one in zip(shots, read.deliveries, strict=True)
        ],
    }  # fmt: skip


def _observed(shot: BallShot, still: Air | None) -> Observed:
    """The row as seen; a measured launch without a curve or a side gives its curve by the flight model."""
    seen = shot.observed()
    if seen.curve is not None or seen.side is not None or any(key not in shot.values for key in _LAUNCH):
        return seen
    return replace(seen, curve=curve_of_launch(Launch(*(shot.values[key] for key in _LAUNCH)), still or air()))


def _sentence(club: Club, handedness: Handedness, read: BallsRead) -> str:
    face, path = read.pattern.face, read.pattern.path
    return balls_sentence(
        club.name,
        read.pattern.balls,
        handedness,
        (face.typical.value / DEG, face.typical.sd / DEG),
        (path.typical.value / DEG, path.typical.sd / DEG),
        face.scatter / DEG,
        read.pattern.misses,
    )


def _club(shot: BallShot, otherwise: str, notes: list[Issue]) -> Club:
    name = shot.words.get("club")
    if name is None:
        return club_by_name(otherwise)
    try:
        return club_by_name(name)
    except InputError:
        said = f"Row {shot.row}: no club is called {name!r}; taken as {otherwise}. Name the club with --club."
        notes.append(Issue("unknown_club", "warning", f"row {shot.row}", said))
        return club_by_name(otherwise)


def _hand(word: str | None) -> Handedness | None:
    if word is None:
        return None
    if word not in ("right", "left"):
        raise InputError.of("choice", "--handedness", expected="right or left", got=repr(word))
    return cast("Handedness", word)


def _wind(text: str | None) -> Air | None:
    if text is None:
        return None
    try:
        parts = tuple(float(part) for part in text.split(","))
    except ValueError:
        parts = ()
    if len(parts) != 3 or not all(abs(p) <= _FASTEST_WIND for p in parts):
        raise InputError.of(
            "wind", "--wind", expected='three numbers in m/s, "x,y,z": towards the target, up, to the right, each at most 25',
            got=repr(text), cause="another unit, or a side left out", do='A wind of 4 m/s from the left is "0,0,4".',
        )  # fmt: skip
    return air(wind=parts)


def _shown_mapping(mapping: BallMapping) -> dict[str, str]:
    return {key: f"{c.source!r}, in {c.unit}" if c.unit else repr(c.source) for key, c in mapping.columns.items()}


def _degrees(estimate: Estimate) -> dict[str, float]:
    return {"value": _deg(estimate.value), "sd": _deg(estimate.sd)}


def _deg(radians: float) -> float:
    return round(radians / DEG, 3) + 0.0
