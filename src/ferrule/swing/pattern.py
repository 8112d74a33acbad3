"""What the lead wrist did over the swing, in plain terms, with the measure behind each.

Thresholds are common practice without a source. They are compared with this swing's own address and top, not with a
norm; the names say what happened, not whether it was right.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from ferrule.signals.derivative import rate_of_change, smoothed, usual_step
from ferrule.swing.events import Event, EventName
from ferrule.units import DEG

Floats = NDArray[np.float64]
PatternName = Literal[
    "flexed_early",
    "flexed_in_transition",
    "near_neutral",
    "extended_to_impact",
]
Trait = Literal["released_late", "extending_in_transition", "rolled_late", "flick_before_impact"]

BENT: Final = 12.0 * DEG
"""Change of flexion that counts as a movement of its own."""
STAYED: Final = 8.0 * DEG
"""Flexion at impact short of neutral by this much with little change since the top: stayed extended."""
GIVEN_BACK: Final = 3.0 * DEG
"""Flexion given back between its largest value and impact that counts as a release."""
ROLL_LATE: Final = 60.0 * DEG
"""Forearm roll from shaft level to impact that counts as rolling late."""
FLICK: Final = 250.0 * DEG
"""Rate of extending over the last 20 ms that counts as a flick, rad/s."""
GAIN: Final = 4.0 * DEG
"""Least gain of flexion that counts as bowing."""
STARTS: Final = 25.0 * DEG
"""Rate of flexing, rad/s, from which the wrist counts as starting to bow."""


@dataclass(frozen=True, slots=True)
class WristPattern:
    """name: what the wrist did; traits: what else; measures: the angles behind it, radians (rates rad/s);
    bowing_starts_s: when the wrist starts to bow, relative to the turn-round (negative: before it), None if it never
    does before impact.
    """

    name: PatternName
    traits: tuple[Trait, ...]
    measures: dict[str, float]
    bowing_starts_s: float | None

    @property
    def words(self) -> str:
        """The pattern as a sentence part."""
        main = {
            "flexed_early": "bowed by the top",
            "flexed_in_transition": "near its address angle at the top, then bowed in transition",
            "near_neutral": "little bowing from top to impact",
            "extended_to_impact": "still cupped at impact",
        }[self.name]
        also = {
            "released_late": "some of it given back before impact",
            "extending_in_transition": "cupping more in transition",
            "rolled_late": "forearm rolled late",
            "flick_before_impact": "a flick just before impact",
        }
        return ", ".join([main, *(also[t] for t in self.traits)])


def wrist_pattern(
    time_s: Floats, flexion: Floats, forearm_roll: Floats, events: dict[EventName, Event]
) -> WristPattern | None:
    """Name the pattern of a swing. flexion, forearm_roll: radians, shape (n,), to impact. None without the events."""
    if any(name not in events for name in ("address", "top", "shaft_level_down", "impact")):
        return None

    def at(series: Floats, name: EventName) -> float:
        return float(np.interp(events[name].time_s, time_s, series))

    address, top = at(flexion, "address"), at(flexion, "top")
    level, impact = at(flexion, "shaft_level_down"), at(flexion, "impact")
    down = (time_s >= events["top"].time_s) & (time_s <= events["impact"].time_s)
    if down.sum() < 8:
        return None
    largest, first_low = float(flexion[down].max()), float(flexion[down][: max(int(down.sum()) // 2, 1)].min())
    step = usual_step(time_s)
    rate = rate_of_change(time_s, smoothed(flexion, round(0.02 / step)))
    last = (time_s >= events["impact"].time_s - 0.02) & (time_s <= events["impact"].time_s)
    end_rate = float(rate[last].mean())
    roll = at(forearm_roll, "impact") - at(forearm_roll, "shaft_level_down")
    measures = {
        "top_less_address": top - address,
        "shaft_level_less_top": level - top,
        "impact_less_top": impact - top,
        "given_back": largest - impact,
        "roll_after_shaft_level": roll,
        "rate_before_impact": end_rate,
    }
    if top - address > BENT:
        name: PatternName = "flexed_early"
    elif level - top > BENT:
        name = "flexed_in_transition"
    elif impact < -STAYED and impact - top < BENT:
        name = "extended_to_impact"
    else:
        name = "near_neutral"
    traits: list[Trait] = []
    if largest - impact > GIVEN_BACK and name in {"flexed_early", "flexed_in_transition"}:
        traits.append("released_late")
    if first_low < top - 0.5 * BENT:
        traits.append("extending_in_transition")
    if roll > ROLL_LATE:
        traits.append("rolled_late")
    if end_rate < -FLICK:
        traits.append("flick_before_impact")
    return WristPattern(name, tuple(traits), measures, _bowing_start(time_s, flexion, events, step))


def _bowing_start(time_s: Floats, flexion: Floats, events: dict[EventName, Event], step: float) -> float | None:
    """Start of the first stretch of flexing from the backswing on that gains at least `GAIN`, s after it."""
    top, impact = events["top"].time_s, events["impact"].time_s
    # 40 ms of smoothing: soft tissue trembles at 8-20 Hz
    slow = smoothed(flexion, round(0.04 / step))
    rising = (rate_of_change(time_s, slow) > STARTS) & (time_s > top - 0.9) & (time_s < impact)
    edges = np.diff(np.concatenate(([0], rising.astype(np.int8), [0])))
    for low, high in zip(np.flatnonzero(edges == 1), np.flatnonzero(edges == -1), strict=True):
        if slow[high - 1] - slow[low] >= GAIN:
            return float(time_s[low] - top)
    return None
