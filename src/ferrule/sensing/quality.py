"""Is a recording fit for use? What was found, what was mended, and what it means for a swing. Pure functions.

The rules for clipping and gaps are measured on simulated swings (500 Hz, 2000 deg/s range): up to about 10 ms of clipped
gyro changes angles by under 0.3 deg; up to 60 ms can be reconstructed to 1-4 deg; beyond that no angle after it holds.
"""

from collections.abc import Sized
from dataclasses import dataclass, replace
from math import inf
from typing import Final, Literal

import numpy as np

from ferrule.errors import Issue
from ferrule.sensing.clipping import CLIP_FLAG, CLIP_REPAIR, find_clipping, reconstruct_clipping
from ferrule.sensing.gaps import LONGEST_FILLED, Span, check_clock, find_gaps, resample_uniform
from ferrule.sensing.recording import Recording, SensorTrace
from ferrule.sensing.signal_check import SensorKey, check_silence, check_units, spoken, traces
from ferrule.sensing.stillness import runs
from ferrule.signals.derivative import usual_step
from ferrule.units import DEG

__all__ = [
    "Clip",
    "Quality",
    "Span",
    "SpanQuality",
    "check_clock",
    "check_silence",
    "check_units",
    "describe",
    "find_clipping",
    "find_gaps",
    "prepare",
    "quality_between",
    "reconstruct_clipping",
    "resample_uniform",
]

ANGLES_RATE_HZ: Final = 200.0
"""Below this wrist angles in a swing are uncertain."""
IMPACT_RATE_HZ: Final = 500.0
"""Below this the instant of impact, and with it the face, is uncertain."""


@dataclass(frozen=True, slots=True)
class Clip:
    """A stretch in which a signal of one sensor stood at full scale. repaired: reconstructed."""

    sensor: SensorKey
    signal: Literal["acc", "gyr"]
    span: Span
    repaired: bool


@dataclass(frozen=True, eq=False, slots=True)
class Quality:
    """What was found in a recording: gaps that were filled and gaps left open, clips, and rate."""

    rate_hz: float
    filled: tuple[Span, ...]
    gaps: tuple[Span, ...]
    clips: tuple[Clip, ...]


@dataclass(frozen=True, slots=True)
class SpanQuality:
    """What the quality means for one stretch, such as a swing.

    words: for the coach; angles_until_s: angles after this instant are refused (inf: none is); widen: extra sd to put
    on angles after a reconstructed clip, radians.
    """

    words: tuple[str, ...]
    angles_until_s: float
    widen: float


def prepare(recording: Recording) -> tuple[Recording, Quality]:
    """Make a recording ready for orientation: short gaps filled, short clips reconstructed in raw axes.

    Even clocks without gaps keep their samples exactly. What was done is in the `Quality`; nothing is hidden.
    """
    step = np.diff(recording.time_s)
    usual = usual_step(recording.time_s)
    spans = find_gaps(recording.time_s)
    filled = tuple(s for s in spans if s.length_s - usual <= LONGEST_FILLED)
    gaps = tuple(s for s in spans if s.length_s - usual > LONGEST_FILLED)
    clips: list[Clip] = []
    ready: dict[str, SensorTrace] = {}
    for name, trace in traces(recording):
        gyr_mask = find_clipping(trace.gyr, recording.gyr_range)
        acc_mask = find_clipping(trace.acc, recording.acc_range)
        repaired = trace.gyr
        if gyr_mask.any():
            repaired = reconstruct_clipping(recording.time_s, trace.gyr, gyr_mask)
        for signal, mask in (("gyr", gyr_mask), ("acc", acc_mask)):
            if not mask.any():
                continue
            for a, b in runs(np.asarray(mask.any(axis=1))):
                span = Span(float(recording.time_s[a]), float(recording.time_s[b - 1]) + usual)
                changed = signal == "gyr" and bool((repaired[a:b] != trace.gyr[a:b]).any())
                clips.append(Clip(name, signal, span, changed))  # type: ignore[arg-type]
        ready[name] = SensorTrace(trace.acc, repaired)
    out = replace(recording, **ready)  # type: ignore[arg-type]
    jitter = float(np.abs(step - usual)[step <= 1.5 * usual].max()) if step.size else 0.0
    if filled or jitter > 0.2 * usual:
        out = resample_uniform(out)
    return out, Quality(1.0 / usual, filled, gaps, tuple(clips))


def quality_between(quality: Quality, start_s: float, end_s: float) -> SpanQuality:
    """What the quality of a recording means for one stretch of it, such as a swing from address to just past impact."""
    words: list[str] = []
    until, widen = inf, 0.0
    gaps = [g for g in quality.gaps if g.overlaps(start_s, end_s)]
    if gaps:
        worst = max(gaps, key=lambda g: g.length_s)
        until = min(g.start_s for g in gaps)
        words.append(f"{_ms(worst.length_s)} of signal are missing: angles after the gap are refused")
    if any(g.overlaps(start_s, end_s) for g in quality.filled):
        words.append("a gap of a few milliseconds was filled")
    for sensor in dict.fromkeys(c.sensor for c in quality.clips):
        inside = [
            c for c in quality.clips if c.sensor == sensor and c.signal == "gyr" and c.span.overlaps(start_s, end_s)
        ]
        length = sum(c.span.length_s for c in inside)
        if not inside:
            continue
        if length > CLIP_REPAIR or (length > CLIP_FLAG and not all(c.repaired for c in inside)):
            until = min(until, inside[0].span.start_s)
            words.append(
                f"the {spoken(sensor)} gyro was beyond its range for {_ms(length)}: angles after it are refused"
            )
        elif length > CLIP_FLAG:
            # Measured: reconstruction leaves 1.2 to 3.8 deg at impact for 20 to 40 ms, growing with the length.
            widen = max(widen, 4.0 * DEG * length / 0.040)
            words.append(
                f"the {spoken(sensor)} gyro was beyond its range for {_ms(length)}: reconstructed, less certain"
            )
        else:
            words.append(f"the {spoken(sensor)} gyro was beyond its range for {_ms(length)}")
    if quality.rate_hz < ANGLES_RATE_HZ:
        words.append(f"recorded at {quality.rate_hz:.0f} Hz: too slow for a full swing, angles are uncertain")
    elif quality.rate_hz < IMPACT_RATE_HZ * 0.98:
        words.append(f"recorded at {quality.rate_hz:.0f} Hz: the instant of impact and the face are uncertain")
    return SpanQuality(tuple(words), until, widen)


def _ms(seconds: float) -> str:
    return f"{1000.0 * seconds:.0f} ms"


def describe(quality: Quality) -> list[Issue]:
    """The quality of a whole recording as issues."""
    found: list[Issue] = []
    if quality.rate_hz < ANGLES_RATE_HZ:
        found.append(_remark("rate_low", "warning", "time_s", f"Recorded at {quality.rate_hz:.0f} Hz. Slow movement can be"
                     " read; for wrist angles in a full swing 200 Hz, for the face at impact 500 Hz are needed."))  # fmt: skip
    elif quality.rate_hz < IMPACT_RATE_HZ * 0.98:
        found.append(_remark("rate_low", "note", "time_s", f"Recorded at {quality.rate_hz:.0f} Hz. Wrist angles are fine;"
                     " the instant of impact, and with it the face, is certain from 500 Hz on."))  # fmt: skip
    if quality.filled:
        found.append(
            _remark("gap_filled", "note", "time_s", _count(quality.filled, "short gap") + " filled, each up to 10 ms.")
        )
    if quality.gaps:
        places = ", ".join(f"{_ms(g.length_s)} at {g.start_s:.2f} s" for g in quality.gaps[:3])
        more = f" and {len(quality.gaps) - 3} more" if len(quality.gaps) > 3 else ""
        text = f"{_count(quality.gaps, 'gap')} in the signal: {places}{more}. A swing with a gap in it is not read past it."
        found.append(_remark("gap", "warning", "time_s", text))
    for sensor in dict.fromkeys(c.sensor for c in quality.clips):
        for signal, device in (("gyr", "gyro"), ("acc", "accelerometer")):
            inside = [c for c in quality.clips if c.sensor == sensor and c.signal == signal]
            if not inside:
                continue
            longest = max(inside, key=lambda c: c.span.length_s)
            text = f"{sensor} {device}: beyond its range {len(inside)} times, at most {_ms(longest.span.length_s)}"
            text += f" (at {longest.span.start_s:.2f} s)."
            bad = signal == "gyr" and longest.span.length_s > CLIP_FLAG
            code = "gyro_clipped" if signal == "gyr" else "acceleration_clipped"
            found.append(_remark(code, "warning" if bad else "note", f"{sensor} {device}", text))
    return found


def _count(items: Sized, noun: str) -> str:
    number = len(items)
    return f"{number} {noun}" + ("s" if number != 1 else "")


def _remark(code: str, severity: Literal["note", "warning"], where: str, message: str) -> Issue:
    return Issue(code, severity, where, message)
