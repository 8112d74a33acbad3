"""Which channels of which streams are the axes of forearm and hand: a proposal for an XDF file, with its reasons."""

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from ferrule.errors import InputError
from ferrule.files.fingerprint import fingerprint
from ferrule.files.guessing import GROUPS, Guess, place_sensors, sensor_units, spans
from ferrule.files.xdf import _first, _labels, _numbers, _streams

Floats = NDArray[np.float64]
BETWEEN: Final = " / "
"""Between a stream and its channel, as they are shown: "ForearmIMU / ax"."""


@dataclass(frozen=True, eq=False, slots=True)
class Streams:
    """numbers: channels as "stream / channel", shape (n,) each; steps: s between samples by stream; marks: text streams."""

    numbers: dict[str, Floats]
    steps: dict[str, float]
    marks: tuple[str, ...]


def streams_of(content: bytes, name: str) -> Streams:
    """What is in an XDF file. Raises InputError when it cannot be read, MissingExtraError without pyxdf."""
    numbers: dict[str, Floats] = {}
    steps: dict[str, float] = {}
    marks = []
    for stream in _streams(content, name):
        title = _first(stream, "name") or _first(stream, "source_id")
        data = _numbers(stream.get("time_series", ()))
        if data is None:
            marks.append(title)
            continue
        time = np.asarray(stream.get("time_stamps", ()), dtype=np.float64)
        labels = _labels(stream, data.shape[1])
        for k, label in enumerate(labels):
            if not np.isfinite(data[:, k]).sum() > 0.5 * len(data):
                continue
            channel = label if label and labels.count(label) == 1 else str(k + 1)
            numbers[f"{title}{BETWEEN}{channel}"] = data[:, k]
        step = float(np.median(np.diff(time))) if time.size > 1 else 0.0
        if 1e-6 < step < 1e3:
            steps[title] = step
    if not numbers:
        raise InputError.of("no_numbers", name, expected="streams of numbers", got="none")
    return Streams(numbers, steps, tuple(marks))


def guess_streams(streams: Streams) -> Guess:
    """A mapping by names of streams and channels; units and the sense of turning from the numbers."""
    header = (*streams.numbers, *streams.marks)
    placed, why = place_sensors(streams.numbers)
    step = min(streams.steps.values(), default=None)
    units, more = sensor_units({n: streams.numbers[h] for n, h in placed.items()}, step)
    columns: dict[str, Any] = {}
    for name, shown in placed.items():
        group = next(g for g in GROUPS if name.startswith(f"{g}_"))
        columns[name] = channel_of(shown) | units.get(group, {})
    if streams.marks:
        columns["phase"] = {"stream": streams.marks[0]}
    mapping = {"schema": 1, "kind": "xdf", "columns": columns}
    return Guess("xdf", header, fingerprint(header), mapping, why | more, spans(streams.numbers))


def channel_of(shown: str) -> dict[str, str | int]:
    """Stream and channel of "stream / channel"; a channel in digits is its number."""
    stream, _, channel = shown.rpartition(BETWEEN)
    return {"stream": stream, "channel": int(channel) if channel.isdigit() else channel}


def shown_channel(entry: dict[str, Any]) -> str:
    """As "stream / channel"."""
    return f"{entry.get('stream', '')}{BETWEEN}{entry.get('channel', '')}"
