"""From ready-made wrist angles over time to readings at events, with the doubt that such a source deserves."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from ferrule.analysis.recording_result import wrapped
from ferrule.errors import InputError, Issue
from ferrule.frames.handedness import Handedness
from ferrule.sensing.stillness import runs
from ferrule.signals.derivative import rate_of_change, smoothed
from ferrule.statistics.estimate import Estimate
from ferrule.swing.events import EVENTS, EventName
from ferrule.units import DEG

Floats = NDArray[np.float64]
Angle = Literal["flexion", "ulnar_deviation", "forearm_roll"]
ANGLES: Final[tuple[Angle, ...]] = ("flexion", "ulnar_deviation", "forearm_roll")

RISES: Final[Mapping[Angle, Mapping[str, int]]] = {
    "flexion": {"bows": 1, "cups": -1, "flexes": 1, "extends": -1},
    "ulnar_deviation": {"unsets": 1, "sets": -1},
    "forearm_roll": {"supinates": 1, "pronates": -1},
}
"""Words by which a device's rising number is declared, with the sign they give."""
TRACE_SD: Final = 3.0 * DEG
"""Doubt of an angle that another program worked out (common practice: as an angle typed in)."""
ZERO_SD: Final = 8.0 * DEG
"""...added where its zero was guessed (common practice)."""
GIVEN_SD: Final = 0.005
"""Doubt of an event's time that came with the trace, s."""
ROLL_RATE: Final = 6.0
UNSET_RATE: Final = 4.0
"""Rates, rad/s, of rolling and unsetting that only a downswing reaches (simulation: at least 9)."""
APART: Final = 2.5
LAST: Final = 0.6
"""The top lies at most this long before the impact, s."""
STILL_RATE: Final = 15.0 * DEG
DOWN_S: Final = Estimate(0.28, 0.05)
"""Top to impact of a usual full swing, s (common practice)."""


@dataclass(frozen=True, eq=False, slots=True)
class AngleTrace:
    """Angles over time, radians, each shape (n,): flexion +, ulnar deviation +, supination +; NaN where missing.

    events: times that came with the trace, seconds on its clock, one mapping for each swing; zero_guessed: angles whose
    zero nobody declared.
    """

    time_s: Floats
    angles: dict[Angle, Floats]
    events: tuple[dict[EventName, float], ...] = ()
    zero_guessed: frozenset[Angle] = field(default=frozenset())


@dataclass(frozen=True, slots=True)
class AngleSwing:
    """Readings of one swing by event and angle, radians; events in seconds; quality: words for the coach."""

    events: dict[EventName, Estimate]
    readings: dict[EventName, dict[Angle, Estimate]]
    quality: tuple[str, ...]

    def to_json(self) -> dict[str, object]:
        """As a swing of the `analyse` answer; what was not measured is left out, the face altogether."""
        order = [name for name in EVENTS if name in self.events]
        return {
            "kind": "full_swing",
            "events": {n: {"time_s": self.events[n].to_json()} for n in order},
            "wrist": {
                n: {f"{a}_deg": {"value": e.value / DEG + 0.0, "sd": e.sd / DEG} for a, e in self.readings[n].items()}
                for n in order
                if n in self.readings
            },
            "face": {},
            "closing_account": [],
            "time_up_s": self._span("takeaway", "top"),
            "time_down_s": self._span("top", "impact"),
            "quality": list(self.quality),
        }

    def _span(self, start: EventName, end: EventName) -> float | None:
        if start not in self.events or end not in self.events:
            return None
        return self.events[end].value - self.events[start].value


@dataclass(frozen=True, eq=False, slots=True)
class AngleAnalysis:
    """All swings of a trace and what there is to say about it."""

    handedness: Handedness
    swings: tuple[AngleSwing, ...]
    issues: tuple[Issue, ...]

    def to_json(self) -> dict[str, object]:
        """The `analyse` answer, schema 1."""
        return {
            "schema": 1,
            "swings": [swing.to_json() for swing in self.swings],
            "issues": [issue.to_json() for issue in self.issues],
        }


def analyse_angles(trace: AngleTrace, *, handedness: Handedness = "right") -> AngleAnalysis:
    """Readings at the events that came with the trace, else at top and impact as the trace itself shows them.

    Raises InputError when there are no events and neither roll nor deviation to find them in.
    """
    issues: list[Issue] = []
    found: list[tuple[dict[EventName, Estimate], str]] = []
    if trace.events:
        low, high = float(trace.time_s[0]), float(trace.time_s[-1])
        for given in trace.events:
            inside: dict[EventName, Estimate] = {n: Estimate(s, GIVEN_SD) for n, s in given.items() if low <= s <= high}
            if len(inside) < len(given):
                lost = ", ".join(n.replace("_", " ") for n in given if n not in inside)
                words = f"Events outside the trace ({low:.2f} to {high:.2f} s) were left out: {lost}."
                issues.append(Issue("event_outside", "warning", "events", words))
            if inside:
                found.append((inside, "Events are as they came with the angles."))
    else:
        found = _found(trace)
    swings = tuple(_swing(trace, events, words) for events, words in found)
    if not swings:
        words = f"Expected a swing, got {trace.time_s[-1] - trace.time_s[0]:.1f} s without one. Give the times of the events."
        issues.append(Issue("no_swing", "warning", "", words))
    return AngleAnalysis(handedness, swings, tuple(issues))


def _found(trace: AngleTrace) -> list[tuple[dict[EventName, Estimate], str]]:
    """Swings by their fastest rolling or unsetting.

    In simulated swings of every pattern the forearm's fastest roll comes 10-17 ms before impact and its turn-round within
    15 ms of the top; the fastest unsetting comes 16-27 ms before impact, in some 96.
    """
    leading: Angle
    if "forearm_roll" in trace.angles:
        leading, threshold, early, impact_sd = "forearm_roll", ROLL_RATE, 0.014, 0.015
        how = "Top and impact were read off the forearm's roll: the top to about 30 ms, impact to 15."
    elif "ulnar_deviation" in trace.angles:
        leading, threshold, early, impact_sd = "ulnar_deviation", UNSET_RATE, 0.03, 0.045
        how = "Impact was read off the unsetting wrist, to about 45 ms; the top is a usual 0.28 s before it, to 70."
    else:
        raise InputError.of(
            "no_events", "events", expected="times of top and impact, or ulnar deviation or forearm roll to find them in",
            got="flexion alone", cause="bowing and cupping alone do not show where a swing turns round",
            do="Give an event column, or events in the mapping",
        )  # fmt: skip
    t, series = trace.time_s, _whole(trace.time_s, trace.angles[leading])
    step = float(np.median(np.diff(t)))
    rate = smoothed(rate_of_change(t, series), round(0.025 / step))
    free, peaks = rate.copy(), []
    while free[k := int(np.argmax(free))] >= threshold:
        low, high = np.searchsorted(t, [t[k] - APART, t[k] + APART])
        free[low:high] = -np.inf
        peaks.append(k)
    out = []
    for k in sorted(peaks):
        events: dict[EventName, Estimate] = {}
        address = _address(trace, k, step)
        if address is not None:
            events["address"] = address
        impact = Estimate(min(float(t[k]) + early, float(t[-1])), impact_sd)
        if leading == "forearm_roll":
            low = int(np.searchsorted(t, t[k] - LAST))
            top = Estimate(float(t[low + int(np.argmin(series[low : k + 1]))]), 0.03)
        else:
            top = Estimate(impact.value - DOWN_S.value, float(np.hypot(DOWN_S.sd, impact.sd)))
        if top.value > t[0]:
            events["top"] = top
        events["impact"] = impact
        out.append((events, how))
    return out


def _address(trace: AngleTrace, peak: int, step: float) -> Estimate | None:
    """End of the last stretch before the swing in which no angle moves."""
    t = trace.time_s
    calm = np.ones(len(t), dtype=np.bool_)
    for angle in trace.angles.values():
        calm &= np.abs(smoothed(rate_of_change(t, _whole(t, angle)), round(0.06 / step))) < STILL_RATE
    low, high = np.searchsorted(t, [t[peak] - 4.0, t[peak] - LAST])
    calm[: int(low)], calm[int(high) :] = False, False
    rests = [(a, b) for a, b in runs(calm) if t[b - 1] - t[a] >= 0.25]
    return Estimate(float(t[rests[-1][1] - 1]), 0.05) if rests else None


def _whole(time_s: Floats, values: Floats) -> Floats:
    """Missing values by a straight line between their neighbours."""
    good = np.isfinite(values)
    return values if good.all() else np.asarray(np.interp(time_s, time_s[good], values[good]))


def _swing(trace: AngleTrace, events: dict[EventName, Estimate], how: str) -> AngleSwing:
    readings: dict[EventName, dict[Angle, Estimate]] = {}
    words = [how, "The angles are another program's: each is taken to hold to about 3 degrees."]
    since = _at(trace, "forearm_roll", events["address"]) if "address" in events else None
    if "forearm_roll" in trace.angles and since is None:
        words.append("Forearm roll is as the file has it: there is no address to count from.")
    for name, event in events.items():
        here: dict[Angle, Estimate] = {}
        for angle in trace.angles:
            read = _at(trace, angle, event)
            if read is None:
                continue
            value, timing = read
            sd = float(np.hypot(TRACE_SD, timing))
            if angle == "forearm_roll" and since is not None:
                value -= since[0]
                if name == "address":
                    sd = timing
            elif angle in trace.zero_guessed:
                sd = float(np.hypot(sd, ZERO_SD))
            here[angle] = Estimate(wrapped(value), sd)
        if name != "finish":
            readings[name] = here
    return AngleSwing(dict(events), readings, tuple(words))


def _at(trace: AngleTrace, angle: Angle, event: Estimate) -> tuple[float, float] | None:
    """Value at an event, and its doubt from the event's time; None where the trace is missing for more than 30 ms."""
    if angle not in trace.angles:
        return None
    values, t = trace.angles[angle], trace.time_s
    good = np.isfinite(values)
    if np.abs(t[good] - event.value).min() > 0.03 + 2.0 * float(np.median(np.diff(t))):
        return None
    here, before, after = np.interp(
        [event.value, event.value - event.sd, event.value + event.sd], t[good], values[good]
    )
    return float(here), float(max(abs(before - here), abs(after - here)))


def swings_of_labels(labels: list[tuple[EventName, float]]) -> tuple[dict[EventName, float], ...]:
    """Labelled times, in time order, as swings: a new one begins where an event is not after the one before it."""
    out: list[dict[EventName, float]] = []
    order = {name: i for i, name in enumerate(EVENTS)}
    last = len(EVENTS)
    for name, when in labels:
        if order[name] <= last:
            out.append({})
        last = order[name]
        out[-1][name] = when
    return tuple(out)
