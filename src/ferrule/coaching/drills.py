"""Drills: what one is, which suit a golfer, and whether a rep did what the drill is for.

The library itself is `drills_library`; coaches add their own. All doses and limits: common practice, no source. Cautions
follow science.md section G.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from ferrule.coaching.case import Golfer
from ferrule.coaching.ways import WayName, back_hurts, wrist_hurts

Step = Literal["pose", "slow", "half", "full"]
Load = Literal["none", "light", "wrist"]
"""none: no more than holding a club; light: easy swings; wrist: works the wrist against speed, weight or its end of range."""
Picture = Literal[
    "stop_at_shaft_level",
    "face_set_at_the_top",
    "toe_up_after",
    "toe_up_before",
    "gate",
    "wall_behind",
    "towel",
    "hand_on_the_line",
    "feet_together",
    "rails",
    "slow_motion",
    "tee_ahead",
]
STEPS: Final[tuple[Step, ...]] = ("pose", "slow", "half", "full")
FEWEST_REPS: Final = 5
STIFF_DEG: Final = {"flexion": 45.0, "extension": 40.0}
"""A measured range below this counts as stiff."""


@dataclass(frozen=True, slots=True)
class Measure:
    """What a good rep shows, on readings by glossary key (see `quantities`).

    gain_from: the reading is taken as the change from this key; at_least, at_most: bounds in the key's unit, in the
    direction the drill works for someone whose face is open (mirrored bounds belong to another drill).
    """

    key: str
    gain_from: str | None
    at_least: float | None
    at_most: float | None
    words: str


@dataclass(frozen=True, slots=True)
class Dose:
    """How much of one step: reps a set, sets a day, seconds of rest between sets, days a week."""

    step: Step
    reps: int
    sets: int
    rest_s: int
    days_a_week: int


@dataclass(frozen=True, slots=True)
class Drill:
    """One drill. ways, causes: what it is for (names of the machine interface); closes: it helps a face that arrives open
    (True), closed (False), or either (None).

    thought: in terms of club, face or ball; inner: the same about the body, for those who need it. picture: None where a
    coach's own drill has none.
    """

    name: str
    title: str
    ways: tuple[WayName, ...]
    causes: tuple[str, ...]
    closes: bool | None
    set_up: tuple[str, ...]
    do: tuple[str, ...]
    picture: Picture | None
    thought: str
    inner: str
    measure: Measure | None
    doses: tuple[Dose, ...]
    stop: tuple[str, ...]
    next_step: str
    cautions: tuple[str, ...]
    load: Load
    source: str = "common practice"
    own: bool = False


Verdict = Literal["good", "missed", "unmeasured"]


@dataclass(frozen=True, slots=True)
class Reps:
    """Reps of one drill, counted apart: those that did what it is for, those that missed it, those nobody measured."""

    good: int
    missed: int
    unmeasured: int


def allowed(drill: Drill, golfer: Golfer) -> tuple[bool, str]:
    """Whether this golfer may do the drill, and why not."""
    if drill.load == "wrist":
        if golfer.age_group == "junior":
            return False, "Still growing: nothing that loads the wrist."
        if wrist_hurts(golfer):
            return False, "The wrist hurts: nothing that works on it until a clinician has looked."
        if stiff(golfer):
            return False, "The wrist is stiff: nothing near its end of range."
    if drill.load != "none" and wrist_hurts(golfer) and _on_wrist(drill):
        return False, "The wrist hurts: nothing that works on it until a clinician has looked."
    if "posture" in drill.causes and back_hurts(golfer):
        return False, "The back hurts: holding the bend loads it near impact. Clearance from a clinician first."
    return True, ""


def drills_for(
    library: Iterable[Drill],
    golfer: Golfer,
    *,
    way: WayName | None = None,
    cause: str | None = None,
    closes: bool = True,
) -> list[Drill]:
    """Drills for a way or a cause that this golfer may do: those for both first, then the more particular, then the
    gentler.
    """
    order: Mapping[Load, int] = {"none": 0, "light": 1, "wrist": 2}
    fitting = []
    for drill in library:
        score = (way in drill.ways if way else 0) * 2 + (cause in drill.causes if cause else 0)
        if score and drill.closes in (None, closes) and allowed(drill, golfer)[0]:
            breadth = len(drill.ways) + len(drill.causes)
            fitting.append((-score, breadth, order[drill.load], drill.name, drill))
    return [d for *_, d in sorted(fitting, key=lambda row: row[:4])]


def rep_verdict(drill: Drill, readings: Mapping[str, float]) -> Verdict:
    """Whether a rep did what the drill is for. readings: of the swing, by glossary key, in its unit."""
    m = drill.measure
    if m is None or m.key not in readings or (m.gain_from is not None and m.gain_from not in readings):
        return "unmeasured"
    value = readings[m.key] - (readings[m.gain_from] if m.gain_from is not None else 0.0)
    low = m.at_least is None or value >= m.at_least
    high = m.at_most is None or value <= m.at_most
    return "good" if low and high else "missed"


def count_reps(drill: Drill, swings: Sequence[Mapping[str, float]]) -> Reps:
    """Reps counted apart; those that miss the purpose are never added to the good ones."""
    found = [rep_verdict(drill, s) for s in swings]
    return Reps(found.count("good"), found.count("missed"), found.count("unmeasured"))


def doses_for(drill: Drill, golfer: Golfer) -> tuple[Dose, ...]:
    """The steps this golfer may take: wrist work at full speed is not for growing, sore or stiff wrists. Growing and older
    golfers get half the sets, at most three days a week.
    """
    held = _on_wrist(drill) and (golfer.age_group == "junior" or wrist_hurts(golfer) or stiff(golfer))
    doses = tuple(d for d in drill.doses if not (held and d.step == "full"))
    if golfer.age_group == "adult":
        return doses
    return tuple(Dose(d.step, d.reps, max(1, d.sets // 2), d.rest_s, min(d.days_a_week, 3)) for d in doses)


def dose_for(drill: Drill, golfer: Golfer, step: Step = "slow") -> Dose:
    """The dose of a step; the gentlest there is where the step is not for this golfer."""
    doses = doses_for(drill, golfer)
    return next((d for d in doses if d.step == step), doses[0])


def load_of(works_the_wrist: bool, causes: Iterable[str]) -> Load:
    """The load of a drill from the coach's answer to "does it load the wrist?"; work on wrist or forearm is never none."""
    if works_the_wrist:
        return "wrist"
    return "light" if any(c in _WRIST_CAUSES for c in causes) else "none"


def next_step(drill: Drill, golfer: Golfer, step: Step, reps: Reps) -> Step:
    """One step up when eight of ten measured reps did what they are for, one down when fewer than half did."""
    steps = [d.step for d in doses_for(drill, golfer)]
    at = steps.index(step) if step in steps else 0
    measured = reps.good + reps.missed
    if measured < FEWEST_REPS:
        return steps[at]
    share = reps.good / measured
    return steps[min(at + 1, len(steps) - 1)] if share >= 0.8 else steps[max(at - 1, 0)] if share < 0.5 else steps[at]


def stiff(golfer: Golfer) -> bool:
    """Whether the measured wrist range is small; an unmeasured one is not called stiff."""
    r = golfer.wrist_range
    return r.measured and (r.flexion < STIFF_DEG["flexion"] or r.extension < STIFF_DEG["extension"])


_WRIST_CAUSES: Final = ("lead_wrist_flexion", "lead_wrist_unset", "forearm_roll")


def _on_wrist(drill: Drill) -> bool:
    return any(c in _WRIST_CAUSES for c in drill.causes)
