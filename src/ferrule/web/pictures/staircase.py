"""From square to the face, one step for each cause: the steps add up to the face, opening up, closing down.

A thin line is the doubt of a step. What was assumed is paler than what was measured and says so.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ferrule.web.markup import Markup, join, tag
from ferrule.web.pictures.ink import Point, dot, length, line, svg, words, wrapped

WIDE: Final = 1000.0
NARROW: Final = 354.0


@dataclass(frozen=True, slots=True)
class Step:
    """One cause. share_deg + opens, - closes; sd_deg its doubt; how: sensor, video, ball, typed, by eye, assumed."""

    name: str
    share_deg: float
    sd_deg: float
    how: str

    @property
    def assumed(self) -> bool:
        """Whether nobody looked."""
        return self.how == "assumed"


def tops(steps: Sequence[Step]) -> list[tuple[float, float]]:
    """Where each step begins and ends, degrees open; the last end is the sum of the shares."""
    at = 0.0
    found = []
    for step in steps:
        found.append((at, at + step.share_deg))
        at += step.share_deg
    return found


def share_words(step: Step) -> str:
    """Three tenths in words: "3.3° opens · sensor"."""
    size = f"{abs(step.share_deg):.1f}°"
    does = "opens" if step.share_deg > 0 else "closes"
    said = f"{size} {does}" if abs(step.share_deg) >= 0.05 else "nothing"
    return f"{said} · {step.how}"


def staircase(steps: Sequence[Step], end_words: str, label: str) -> Markup:
    """The wide drawing, for a laptop or a tablet on its side."""
    ends = tops(steps)
    low, high = _span(steps)
    top, height = 34.0, 220.0
    scale = height / (high - low)

    def y(deg: float) -> float:
        return top + (high - deg) * scale

    left, right = 118.0, WIDE - 196.0
    pitch = (right - left) / max(1, len(steps))
    bar = min(112.0, pitch * 0.64)
    drawn: list[Markup] = [
        line(Point(30, y(0)), Point(WIDE - 20, y(0)), 2),
        words(Point(30, y(0) - 9), "square", paint="soft"),
    ]
    base = top + height + 34
    names = [wrapped(step.name, pitch - 14) for step in steps]
    deep = max((len(n) for n in names), default=1)
    deepest = base + 22 * (deep + max((len(_share_lines(s, pitch)) for s in steps), default=1) - 1)
    for i, (step, (start, end)) in enumerate(zip(steps, ends, strict=True)):
        x = left + i * pitch + (pitch - bar) / 2
        middle = x + bar / 2
        drawn.append(_block(x, min(y(start), y(end)), bar, abs(y(end) - y(start)), step))
        drawn.append(line(Point(middle, y(end - step.sd_deg)), Point(middle, y(end + step.sd_deg)), 2))
        onward = x + bar + (pitch - bar if i + 1 < len(steps) else 60)
        drawn.append(line(Point(x + bar, y(end)), Point(onward, y(end)), 1.4, "soft", "2 5"))
        drawn += [
            words(Point(middle, base + 22 * n), each, anchor="middle", bold=True) for n, each in enumerate(names[i])
        ]
        drawn += [
            words(Point(middle, base + 22 * (deep + n)), each, size=16, anchor="middle", paint="soft")
            for n, each in enumerate(_share_lines(step, pitch))
        ]
    drawn.append(_end(Point(right + 44, y(ends[-1][1] if ends else 0.0)), ends, end_words))
    return svg(WIDE, deepest + 18, label, *drawn)


def _share_lines(step: Step, pitch: float) -> list[str]:
    whole = share_words(step)
    return [whole] if length(whole, 16) < pitch - 8 else whole.split(" · ")


def staircase_narrow(steps: Sequence[Step], end_words: str, label: str) -> Markup:
    """The drawing for a phone: the steps go down the page, closed to the left, open to the right."""
    ends = tops(steps)
    low, high = _span(steps)
    left, right = 16.0, NARROW - 16.0
    scale = (right - left) / (high - low)

    def x(deg: float) -> float:
        return left + (deg - low) * scale

    first, pitch = 44.0, 92.0
    bottom = first + pitch * len(steps)
    drawn: list[Markup] = [
        words(Point(x(0), 20), "square", paint="soft", anchor=_anchor(x(0), NARROW)),
        line(Point(x(0), 30), Point(x(0), bottom + 8), 2),
    ]
    said: list[Markup] = []
    for i, (step, (start, end)) in enumerate(zip(steps, ends, strict=True)):
        y = first + i * pitch
        said.append(words(Point(left, y + 18), step.name, bold=True, halo=True))
        said.append(words(Point(left, y + 40), share_words(step), size=16, paint="soft", halo=True))
        drawn.append(_block(min(x(start), x(end)), y + 50, abs(x(end) - x(start)), 26, step))
        drawn.append(line(Point(x(end - step.sd_deg), y + 63), Point(x(end + step.sd_deg), y + 63), 2))
        drawn.append(
            line(
                Point(x(end), y + 76),
                Point(x(end), y + pitch + 50 if i + 1 < len(steps) else bottom + 18),
                1.4,
                "soft",
                "2 5",
            )
        )
    at = x(ends[-1][1] if ends else 0.0)
    paint = _paint(ends[-1][1] if ends else 0.0)
    drawn.append(dot(Point(at, bottom + 28), 9, paint))
    anchor = "end" if at > NARROW * 0.6 else "start"
    drawn.append(
        words(
            Point(at + (-16 if anchor == "end" else 16), bottom + 36),
            end_words,
            size=24,
            anchor=anchor,
            paint=paint,
            bold=True,
            serif=True,
        )
    )
    return svg(NARROW, bottom + 54, label, *drawn, *said)


def _span(steps: Sequence[Step]) -> tuple[float, float]:
    marks = [0.0, 1.0, -0.4]
    for step, (_, end) in zip(steps, tops(steps), strict=True):
        marks += [end - step.sd_deg, end + step.sd_deg, end]
    return min(marks), max(marks)


def _block(x: float, y: float, width: float, height: float, step: Step) -> Markup:
    paint = "open" if step.share_deg > 0 else "closed"
    return tag(
        "rect",
        x=round(x, 1), y=round(y, 1), width=round(max(width, 3.0), 1), height=round(max(height, 3.0), 1), rx=4,
        fill=f"var(--{paint})", fill_opacity=0.42 if step.assumed else None, class_="assumed" if step.assumed else None,
    )  # fmt: skip


def _end(at: Point, ends: Sequence[tuple[float, float]], end_words: str) -> Markup:
    paint = _paint(ends[-1][1] if ends else 0.0)
    return join(
        dot(at, 9, paint),
        words(Point(at.x + 18, at.y + 8), end_words, size=24, paint=paint, bold=True, serif=True),
    )


def _paint(face_deg: float) -> str:
    return "open" if face_deg > 0.25 else "closed" if face_deg < -0.25 else "ink"


def _anchor(x: float, width: float) -> str:
    return "start" if x < width * 0.2 else "end" if x > width * 0.8 else "middle"
