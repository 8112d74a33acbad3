"""The sketches of a swing that move with the finger, the places to jump to, and another swing laid over it."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Final

from ferrule.app.swing_frames import RecordedLine, SwingFrames
from ferrule.web.markup import Markup, tag
from ferrule.web.pictures.swing_sketch import SCALE, VIEWS, Spot, View, sketch, stage_of
from ferrule.web.words import day_words, place_words

SCRIPT: Final = "/static/swing_sketch.js"
STEP_MS: Final = 5
JUMPS: Final = (
    ("takeaway", "Takeaway"),
    ("top", "Top"),
    ("lead_arm_level_down", "Arm level"),
    ("shaft_level_down", "Shaft level"),
    ("impact", "Impact"),
)
SEEN: Final[Mapping[View, str]] = {
    "behind": "seen from behind",
    "face-on": "seen face-on, the target {side}",
}
MEASURED: Final = (
    "Forearm, hand, shaft and leading edge as the sensors told them, the edge drawn twice its length. The thin lines are a "
    "usual body: nothing of it was measured, and the upper arm is drawn along the forearm."
)
NOT_AIMED: Final = (
    "Where the target lies was not told in this recording: the sketches may be turned about the vertical."
)


@dataclass(frozen=True, eq=False, slots=True)
class Laid:
    """A second swing laid over: its frames, its name and what is to be said of the comparison."""

    frames: SwingFrames
    name: str
    note: str


def moving(
    frames: SwingFrames, spine_deg: float, left: bool, laid: Laid | None = None, *, plain: bool = False
) -> Markup:
    """Both sketches over their slider. plain: for the golfer, places without times."""
    swings = [frames.points.tolist()] + ([laid.frames.points.tolist()] if laid else [])
    stage = stage_of(swings, spine_deg, left)
    start = frames.events.get("top", float(frames.time_s[0]))
    at: list[Spot] = frames.at(start).tolist()
    ghost: list[Spot] | None = laid.frames.at(start).tolist() if laid else None
    table, other = frames.table(), laid.frames.table() if laid else ""
    marks = [[name, round(t * 1000, 1), place_words(name)] for name, t in frames.events.items()]
    figures = [
        tag(
            "figure",
            sketch(stage, view, at, f"The swing as a line sketch, {_seen(view, left)}", ghost),
            tag("figcaption", _seen(view, left), class_="soft"),
            style=f"flex:{stage.width(view):.0f} 1 0",
        )
        for view in VIEWS
    ]  # fmt: skip
    return tag(
        "div",
        tag("div", *figures, class_="stage", data_stage=True),
        _slider(frames, start),
        tag("p", f"{place_words('top').capitalize()}.", class_="place", data_said=True),
        tag(
            "div",
            *(
                tag("button", said, type="button", class_="a small", data_at=round(frames.events[name] * 1000, 1), aria_pressed="false")
                for name, said in JUMPS
                if name in frames.events
            ),
            tag("button", "Play slowly", type="button", class_="bare", data_play="Play slowly", data_stop="Stop"),
            class_="jumps", role="group", aria_label="Go to a place of the swing",
        ),
        class_="scrub",
        style=f"--ratio:{sum(stage.width(view) for view in VIEWS) / stage.height:.3f}",
        data_script=SCRIPT,
        data_keep=True,
        # Another table is another part: the one that is there is then put away with its finger and its place.
        data_key=f"sketch-{sha256((table + other).encode()).hexdigest()[:12]}",
        data_frames=table,
        data_ghost=other or None,
        data_marks=json.dumps(marks),
        data_sign=f"{stage.sign:g}",
        data_scale=f"{SCALE:g}",
        data_plain=plain,
        data_end="impact" if frames.struck else "the end of it",
    )  # fmt: skip


def _slider(frames: SwingFrames, start: float) -> Markup:
    low = round(float(frames.time_s[0]) * 1000 / STEP_MS) * STEP_MS
    return tag(
        "div",
        *(
            tag("span", class_="tick-mark", style=f"--at:{(t * 1000 - low) / max(-low, 1):.4f}")
            for name, t in frames.events.items()
            if name in dict(JUMPS)
        ),
        tag(
            "input", type="range", min=low, max=0, step=STEP_MS, value=round(start * 1000 / STEP_MS) * STEP_MS,
            aria_label="Where in the swing",
        ),
        class_="scrub-line",
    )  # fmt: skip


def _seen(view: View, left: bool) -> str:
    return SEEN[view].format(side="left" if left else "right")


def name_of(line: RecordedLine) -> str:
    """As "ball 4, 7-iron, 12 May"."""
    return f"{'ball ' + str(line.number) if line.number is not None else 'a look'}, {line.club}, {day_words(line.lesson_at)}"


def comparison_note(own: RecordedLine, other: RecordedLine) -> str:
    """What may be compared between two swings, and what may not."""
    said = []
    if own.lesson_id != other.lesson_id or own.mount != other.mount:
        said.append(
            "The sensors were put on anew between the two: compare how each one moves. A few degrees between the lines at one "
            "place may be the mounting alone."
        )
    else:
        said.append("The sensors sat the same for both, so places can be compared as well.")
    if own.club != other.club:
        said.append(f"The other swing was made with the {other.club}.")
    return " ".join(said)


def chooser(swing_id: int, lines: Sequence[RecordedLine], chosen: int | None) -> Markup | None:
    """Which other swing of this golfer is laid over; None when there is no other one."""
    others = [line for line in lines if line.id != swing_id]
    if not others:
        return None
    return tag(
        "form",
        tag(
            "div",
            tag("label", "Lay another swing over it", for_="f-with"),
            tag(
                "select",
                *(tag("option", name_of(line), value=line.id, selected=line.id == chosen) for line in others),
                id="f-with", name="with",
            ),
            class_="field",
        ),
        tag("button", "Lay it over", type="submit", class_="a small"),
        tag("a", "Take it off", href=f"/swings/{swing_id}#moving", class_="bare") if chosen is not None else None,
        action=f"/swings/{swing_id}#moving", method="get", class_="lay-over",
    )  # fmt: skip
