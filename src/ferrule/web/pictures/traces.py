"""The traces behind a swing, for those who want to see them: three plain lines over time, events marked by name."""

from collections.abc import Mapping
from math import degrees, isfinite
from typing import Any, Final

from ferrule.web.markup import Markup, tag
from ferrule.web.pictures.ink import Point, line, polyline, stroke, svg, words

WIDTH: Final = 720.0
HEIGHT: Final = 190.0
POINTS: Final = 240
ROWS: Final = (
    ("flexion", "wrist: bowed above, cupped below"),
    ("ulnar_deviation", "wrist: unset above, set below"),
    ("forearm_roll", "forearm: rolled closed above, rolled open below"),
)
_MARKS: Final = {"top": "top", "shaft_level_down": "shaft level", "impact": "impact"}


def traces_picture(traces: Mapping[str, Any], result: Mapping[str, Any]) -> Markup | None:
    """One drawing for each trace; None when the swing was not recorded. Angles come in radians, times in seconds."""
    if "time_s" not in traces:
        return None
    drawn = [_one(traces, name, title, result) for name, title in ROWS if name in traces]
    return (
        tag("div", *drawn, class_="traces", role="group", aria_label="Traces over time", tabindex=0) if drawn else None
    )


def _one(traces: Mapping[str, Any], name: str, title: str, result: Mapping[str, Any]) -> Markup:
    time = [float(t) for t in traces["time_s"]]
    values = [degrees(float(v)) for v in traces[name]]
    step = max(1, len(time) // POINTS)
    pairs = [(t, v) for t, v in zip(time[::step], values[::step], strict=True) if isfinite(v)]
    if len(pairs) < 2:
        return Markup("")
    t0, t1 = pairs[0][0], pairs[-1][0]
    low, high = min(0.0, *(v for _, v in pairs)), max(0.0, *(v for _, v in pairs))
    span = max(high - low, 10.0)

    def at(t: float, v: float) -> Point:
        return Point(8 + (t - t0) / max(t1 - t0, 1e-6) * (WIDTH - 70), 34 + (high - v) / span * (HEIGHT - 70))

    events = []
    for event, said in _MARKS.items():
        when = result.get("events", {}).get(event, {}).get("time_s", {}).get("value")
        if when is not None and t0 <= when <= t1:
            x = at(float(when), 0).x
            events.append(line(Point(x, 30), Point(x, HEIGHT - 28), 1.2, "soft", "2 6"))
            end = event == "impact"
            events.append(words(Point(x + (4 if end else -4), HEIGHT - 8), said, size=16, anchor="start" if end else "end" if event != "top" else "middle", paint="soft"))  # fmt: skip
    return svg(
        WIDTH,
        HEIGHT,
        f"{title}, from {low:.0f} to {high:.0f} degrees",
        words(Point(8, 20), title, size=16),
        *events,
        line(at(t0, 0), at(t1, 0), 1.4, "rule"),
        words(Point(WIDTH - 56, at(t1, high).y + 6), f"{high:.0f}°", size=16, paint="soft"),
        words(Point(WIDTH - 56, at(t1, low).y + 6), f"{abs(low):.0f}°", size=16, paint="soft") if low < 0 else None,
        stroke(polyline([at(t, v) for t, v in pairs]), 2.5),
    )
