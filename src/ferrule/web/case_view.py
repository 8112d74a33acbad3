"""What the case page draws, taken from the explanation: the ball's flight, the staircase, the rail, the ways.

Pure: an explanation (and the answer of the ways) in, plain picture data out. World degrees turn into open and closed
here, by the golfer's hand.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import radians, sqrt, tan
from types import MappingProxyType
from typing import Any, Final

from ferrule.analysis.explain import CauseShare, Explanation
from ferrule.ball.response import BallResponse, ball_response
from ferrule.club.clubs import typical_club_speed
from ferrule.coaching.ball_evidence import seen_flight
from ferrule.coaching.case import Case, CaseSwing, as_right_handed
from ferrule.coaching.references import reference_of
from ferrule.coaching.wording import cause_phrase, face_words
from ferrule.coaching.wording_ways import FEELS, TITLES
from ferrule.units import DEG
from ferrule.web.pictures.flight import Flight
from ferrule.web.pictures.golfer import ShaftLevel
from ferrule.web.pictures.rail import Mark
from ferrule.web.pictures.staircase import Step
from ferrule.web.words import HOW, distance_words, side_words

SMALL_STEP_DEG: Final = 0.35
MOST_STEPS: Final = 5
USUAL_SPINE_DEG: Final = 36.0


@dataclass(frozen=True, slots=True)
class WayView:
    """One way, ready to be shown: sentences, and the sketch at shaft level. recorded: what it would have done to a recorded
    ball.
    """

    name: str
    title: str
    tag: str
    sketch: ShaftLevel
    ball: str
    needs: tuple[str, ...]
    tolerance: str
    wrist: str
    cautions: tuple[str, ...]
    sentence: str
    feel: str
    rank: int = 99
    recorded: str = ""


def sign(case: Case) -> float:
    """+1 where right of the target is open, -1 for a left-handed golfer."""
    return 1.0 if case.golfer.handedness == "right" else -1.0


def steps_of(explanation: Explanation) -> list[Step]:
    """The staircase: the larger causes one by one, what is left together, so that they add up to the face."""
    world = sign(explanation.case)
    large: list[tuple[CauseShare, float]] = []
    rest: list[tuple[CauseShare, float]] = []
    for cause in explanation.causes:
        share = world * cause.share.value / DEG
        (large if abs(share) >= SMALL_STEP_DEG and len(large) < MOST_STEPS else rest).append((cause, share))
    steps = [
        Step(step_name(cause.cause, share), share, cause.share.sd / DEG, HOW.get(cause.how, cause.how))
        for cause, share in large
    ]
    if rest:
        value = sum(share for _, share in rest)
        sd = sum((cause.share.sd / DEG) ** 2 for cause, _ in rest) ** 0.5
        how = "assumed" if all(c.how == "assumed" for c, _ in rest) else "mixed"
        if abs(value) >= 0.05 or not steps:
            steps.append(Step("all the rest", value, sd, how))
    return steps


def step_name(cause: str, share_deg: float) -> str:
    """The cause as a label under its step: "lead wrist too cupped"."""
    return cause_phrase(cause, share_deg).removeprefix("the ").replace(" is ", " ", 1)


def end_words(explanation: Explanation) -> str:
    """Where the staircase ends: "4° open"."""
    return face_words(sign(explanation.case) * explanation.face.value / DEG)


def flight_of(explanation: Explanation, yards: bool, whose: str) -> Flight:
    """The usual ball: as it was seen, else as the delivery sends it. Everything in the world."""
    world = sign(explanation.case)
    right_handed = as_right_handed(explanation.case)
    swings = [s for s in right_handed.swings if s.tried is None]
    ball = ball_of(right_handed)
    seen = [seen_flight(s) for s in swings]
    starts = [f.start.value * world for f in seen if f.start is not None]
    curves = [f.curve.value * world for f in seen if f.curve is not None]
    face, path = explanation.face.value / DEG, explanation.path.value / DEG
    start = _mean(starts) if starts else ball.start(face, path)
    curve = _mean(curves) if curves else ball.curve((face - path) * DEG) / DEG
    landing = start + curve
    off = ball.carry.value * tan(radians(landing))
    spread = _spread([s + c for s, c in zip(starts, curves, strict=False)]) if len(starts) == len(curves) else None
    path_said = "" if explanation.path.sd / DEG > 3.0 else f"path {_a_little(path)}"
    return Flight(
        start_deg=start,
        curve_deg=curve,
        landing_sd_deg=spread if spread is not None else max(2.0, explanation.face.sd / DEG),
        path_deg=path if path_said else None,
        title=f"{whose} usual ball" if starts or curves else "the ball to expect",
        start_words=_flight_words(start, curve),
        landing_words="on line"
        if abs(off) < 2
        else f"{distance_words(abs(off), yards)} {'right' if off > 0 else 'left'}",
        path_words=path_said,
        left_handed=world < 0,
    )


def ball_of(right_handed: Case) -> BallResponse:
    """How the ball answers this club, for the case in the right-handed mirror."""
    reference = reference_of(right_handed.club, right_handed.reference)
    speeds = [r.value for s in right_handed.swings if (r := s.get("delivery.club_speed_mps")) is not None]
    speed = _mean(speeds) if speeds else typical_club_speed(right_handed.club, right_handed.golfer.age_group)
    return ball_response(right_handed.club, speed, reference.face.delivered_loft)


def _flight_words(start: float, curve: float) -> tuple[str, ...]:
    starts = "starts straight" if abs(start) < 0.75 else f"starts {side_words(start)}"
    if abs(curve) < 1.0:
        return (starts,)
    back = start * curve < 0 and abs(start) >= 0.75
    return (f"{starts},", f"bends {'back ' if back else ''}{'right' if curve > 0 else 'left'}")


def _a_little(path: float) -> str:
    if abs(path) < 0.75:
        return "straight"
    return f"{'a little ' if abs(path) < 3 else ''}{'right' if path > 0 else 'left'}"


def marks_of(explanation: Explanation) -> list[Mark]:
    """The balls on the rail: face of each swing in degrees open, from its own reading or its start line."""
    case = as_right_handed(explanation.case)
    world = sign(explanation.case)
    share = ball_of(case).face_share.value
    path = world * explanation.path.value / DEG
    marks = []
    for swing in case.swings:
        face = face_open_deg(swing, share, path)
        if face is not None:
            tried = swing.tried
            said = "" if tried is None else tried.feel + ("" if tried.amount == 1 else f", {times_words(tried.amount)}")
            marks.append(Mark(face, "untouched" if tried is None else "try", said))
    return marks


def times_words(amount: float) -> str:
    """How much of a feel: "twice as much", "half as much", "3 times as much"."""
    known = {2.0: "twice as much", 0.5: "half as much", 1.5: "half as much again"}
    return known.get(amount, f"{amount:g} times as much")


def face_open_deg(swing: CaseSwing, face_share: float, path_deg: float) -> float | None:
    """Degrees open of one swing in the right-handed mirror; None when neither face nor start was seen."""
    read = swing.get("delivery.face_deg")
    if read is not None:
        return read.value
    start = seen_flight(swing).start
    return None if start is None else (start.value - (1 - face_share) * path_deg) / face_share


def ways_of(
    explanation: Explanation, answer: Mapping[str, Any], recorded: Mapping[str, str] = MappingProxyType({})
) -> list[WayView]:
    """The ways in their order, `leave_as_is` last. recorded: by way, what it would have done to a recorded ball."""
    case = explanation.case
    now_open = explanation.shaft_level.open_to_address_spine.value / DEG
    spine = spine_deg(case)
    found = sorted(answer.get("options", ()), key=lambda o: (o["option"] == "leave_as_is", o.get("rank", 99)))
    now = next((o for o in found if o["option"] == "leave_as_is"), None)
    return [_way(o, now, case, now_open, spine, recorded.get(o["option"], "")) for o in found]


def _way(
    o: Mapping[str, Any], now: Mapping[str, Any] | None, case: Case, now_open: float, spine: float, recorded: str
) -> WayView:
    left_handed = case.golfer.handedness == "left"
    with_it = _value(o.get("open_to_address_spine_deg"))
    name = str(o["option"])
    return WayView(
        name=name,
        title=TITLES.get(name, name.replace("_", " ").capitalize()),
        tag=_tag(o),
        sketch=ShaftLevel(
            spine, now_open, with_it,
            f"now {face_words(now_open)}", "" if with_it is None else f"with it {face_words(with_it)}", left_handed,
        ),
        ball=str(o.get("ball_sentence") or _ball_words(_value(o.get("start_deg")), _value(o.get("curve_deg")))),
        needs=tuple(_plain(n) for n in o.get("needs", ())),
        tolerance=_tolerance(o, now),
        wrist=_wrist(_value(o.get("range_used"))),
        cautions=tuple(_plain(c) for c in o.get("cautions", ())),
        sentence=str(o.get("sentence", "")),
        feel=FEELS.get(name, ""),
        rank=int(o.get("rank", 99)),
        recorded=recorded,
    )  # fmt: skip


def _tag(o: Mapping[str, Any]) -> str:
    return str(o.get("tag") or {1: "First choice", 2: "Second choice"}.get(int(o.get("rank", 0)), "Another way"))


def _plain(said: object) -> str:
    text = said if isinstance(said, str) else str(said.get("sentence", "")) if isinstance(said, Mapping) else str(said)
    return text.replace("_", " ")


def _ball_words(start: float | None, curve: float | None) -> str:
    if start is None:
        return ""
    begins = "start at the flag" if abs(start) < 1 else f"start {side_words(start)}"
    if curve is None or abs(curve) < 1:
        return f"{begins} and fly straight"
    return f"{begins} and bend {'a little ' if abs(curve) < 4 else ''}{'right' if curve > 0 else 'left'}"


def _tolerance(o: Mapping[str, Any], now: Mapping[str, Any] | None) -> str:
    here, before = _value(o.get("release_tolerance_ms")), _value((now or {}).get("release_tolerance_ms"))
    if here is None or not before or o is now:
        return ""
    ratio = here / before
    if ratio > 1.8:
        return f"{ratio:.1f} times as much to spare as now".replace(".0", "")
    if ratio > 1.15:
        return "more to spare than now"
    return "as much to spare as now" if ratio > 0.87 else "less to spare than now"


def _wrist(used: float | None) -> str:
    if used is None:
        return ""
    if used < 0.5:
        return "uses under half of what it can do"
    if used < 0.8:
        return "uses more than half of what it can do"
    return "uses most of what it can do: build up slowly, stop on pain"


def spine_deg(case: Case) -> float:
    """Forward bend at address as read, else the usual one."""
    values = [r.value for s in case.swings if (r := s.get("posture.forward_bend_address_deg")) is not None]
    return _mean(values) if values else USUAL_SPINE_DEG


def staircase_label(steps: Sequence[Step], end: str) -> str:
    """The staircase in one sentence, for those who do not see it."""
    parts = [f"{s.name} {'opens' if s.share_deg > 0 else 'closes'} {abs(s.share_deg):.1f} degrees" for s in steps]
    return f"From square to the face: {', '.join(parts)}; together {end}."


def _value(number: Any) -> float | None:
    if isinstance(number, Mapping):
        number = number.get("value")
    return None if number is None else float(number)


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def _spread(values: Sequence[float]) -> float | None:
    if len(values) < 3:
        return None
    mean = _mean(values)
    return max(1.0, sqrt(sum((v - mean) ** 2 for v in values) / (len(values) - 1)))
