"""Recordings from XDF files (extra `xdf`): streams and channels named by a mapping, put on one clock.

    {"schema": 1, "kind": "xdf", "name": "our streams", "gyr_range_degps": 2000, "acc_range_g": 16,
     "columns": {"forearm_acc_x_mps2": {"stream": "ForearmIMU", "channel": "ax", "unit": "g", "sign": -1},
                 "hand_gyr_z_radps": {"stream": "HandIMU", "channel": 6, "unit": "deg/s"}, ...,
                 "phase": {"stream": "Labels"}}}

`stream`: the stream's name or source id; `channel`: its label, or its number from 1. The clock is the one of the forearm's
stream, as the file's clock offsets put it; `phase` is a stream of text marks, each holding until the next.
"""

import contextlib
import io
import logging
import math
import warnings
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from ferrule.errors import InputError, Issue, MissingExtraError, fault
from ferrule.files.ballquantities import Reader, object_from_text, shown
from ferrule.files.mapping import UNITS, kind_of
from ferrule.files.native import KNOWN, OPTIONAL, REQUIRED
from ferrule.files.recording import recording_from_columns
from ferrule.sensing.recording import Recording
from ferrule.units import DEG, GRAVITY

Floats = NDArray[np.float64]

LARGEST_BYTES: Final = 600_000_000
LARGEST: Final = 1e9
"""No unit makes a sensor show more: a number beyond it is a damaged one."""
_TOP: Final = ("schema", "kind", "name", "gyr_range_degps", "acc_range_g", "columns")
_COLUMN: Final = ("stream", "channel", "unit", "sign")


@dataclass(frozen=True, slots=True)
class Channel:
    """One of our columns: stream, channel (label or number from 1, None for the marks) and factor to SI with sign."""

    stream: str
    channel: str | int | None
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class XdfMapping:
    """A checked mapping. gyr_range rad/s, acc_range m/s^2."""

    columns: dict[str, Channel]
    gyr_range: float | None = None
    acc_range: float | None = None
    name: str = ""


def read_xdf_mapping(source: str | bytes | Mapping[str, Any]) -> XdfMapping:
    """A mapping from JSON text or its parsed object. Raises InputError with every fault, unknown keys first."""
    reader = Reader()
    data = object_from_text(source, "mapping")
    if not isinstance(data, Mapping):
        reader.fail("type", "mapping", "an object with named values", shown(data))
        reader.finish()
    values = reader.object(data, "", _TOP)
    reader.schema(values)
    if values.get("kind", "xdf") != "xdf":
        reader.fail("choice", "kind", '"xdf"', shown(values.get("kind")))
    given = reader.object(values.get("columns"), "columns", tuple(n for n in KNOWN if n != "time_s"))
    columns: dict[str, Channel] = {}
    for name, raw in given.items():
        where, kind = f"columns.{name}", kind_of(name)
        entry = reader.object(raw, where, ("stream",) if kind == "phase" else _COLUMN)
        stream, channel = entry.get("stream"), entry.get("channel")
        if not isinstance(stream, str) or not stream:
            reader.fail("type", f"{where}.stream", "the name of a stream", shown(stream))
            continue
        if kind == "phase":
            columns[name] = Channel(stream, None)
            continue
        number = isinstance(channel, int) and not isinstance(channel, bool) and channel >= 1
        if not number and not (isinstance(channel, str) and channel):
            reader.fail("type", f"{where}.channel", "a channel's label, or its number from 1", shown(channel))
            continue
        unit = reader.choice(entry, "unit", where, tuple(UNITS[kind])) or next(iter(UNITS[kind]))
        sign = entry.get("sign", 1)
        if isinstance(sign, bool) or sign not in (1, -1):
            reader.fail("choice", f"{where}.sign", "1 or -1", shown(sign))
            sign = 1
        columns[name] = Channel(stream, channel, UNITS[kind][unit] * sign)
    for name in REQUIRED[1:]:
        if name not in given and not reader.unknown:
            reader.fail("missing", f"columns.{name}", "a stream and a channel", "nothing")
    ranges = [_above_zero(values, key, reader) for key in ("gyr_range_degps", "acc_range_g")]
    reader.finish()
    gyr, acc = ranges
    return XdfMapping(
        columns,
        None if gyr is None else gyr * DEG,
        None if acc is None else acc * GRAVITY,
        str(values.get("name", ""))[:80],
    )


def _above_zero(values: Mapping[str, Any], key: str, reader: Reader) -> float | None:
    raw = values.get(key)
    if raw is None:
        return None
    if isinstance(raw, bool) or not isinstance(raw, int | float) or not 0 < raw < 1e9:
        reader.fail("type", key, "a number above zero", shown(raw))
        return None
    return float(raw)


def read_xdf(
    source: str | Path | bytes, mapping: XdfMapping | Mapping[str, Any], name: str = ""
) -> tuple[Recording, list[Issue]]:
    """A recording in SI units. Raises InputError with what is wrong, MissingExtraError when pyxdf is not installed."""
    known = mapping if isinstance(mapping, XdfMapping) else read_xdf_mapping(mapping)
    title = name or (Path(source).name if not isinstance(source, bytes) else "recording")
    streams = _streams(source, title)
    faults: list[Issue] = []
    found = {s: _stream(streams, s, faults) for s in dict.fromkeys(c.stream for c in known.columns.values())}
    if faults:
        raise InputError(faults)
    numbers: dict[str, Floats] = {}
    clocks: dict[str, Floats] = {}
    for column, channel in known.columns.items():
        if column == "phase":
            continue
        stream = found[channel.stream]
        assert stream is not None and channel.channel is not None
        k = _place(stream, channel.channel, column, faults)
        if k is not None:
            clocks[column], numbers[column] = stream.time_s, stream.data[:, k] * channel.factor
    partly = [s for s in ("trail_forearm", "trail_hand") if 0 < sum(n.startswith(f"{s}_") for n in numbers) < 6]
    faults += [fault("missing_column", s, expected="six channels", got="some of them") for s in partly]
    if faults:
        raise InputError(faults)
    clock = clocks[REQUIRED[1]]
    inside = np.ones(clock.size, dtype=np.bool_)
    for other in clocks.values():
        inside &= (clock >= other[0]) & (clock <= other[-1])
    remarks: list[Issue] = []
    if inside.sum() < 50:
        raise InputError.of(
            "streams_do_not_overlap", title, expected="streams of the same minutes",
            got=f"clocks that share {int(inside.sum())} rows", cause="streams without common clock offsets",
            do="Record the streams together",
        )  # fmt: skip
    if not inside.all():
        remarks.append(Issue("files_trimmed", "note", "time_s", "The streams were cut to the time they share."))
    t = clock[inside]
    columns = {
        n: v[inside] if clocks[n] is clock else np.interp(t, clocks[n], v)
        for n, v in numbers.items()
        if n in (*REQUIRED, *OPTIONAL)
    }
    phase = None
    if "phase" in known.columns:
        phase = _marks(found[known.columns["phase"].stream], t)
    columns["time_s"] = t - t[0]
    recording, more = recording_from_columns(columns, phase, title, known.gyr_range, known.acc_range)
    return recording, remarks + more


@dataclass(frozen=True, eq=False, slots=True)
class _Stream:
    labels: tuple[str, ...]
    time_s: Floats
    data: Floats
    marks: tuple[str, ...]


def _streams(source: str | Path | bytes, name: str) -> list[dict[str, Any]]:
    try:
        import pyxdf
    except ImportError as error:
        words = "Reading XDF files needs the extra: python -m pip install 'ferrule[xdf]'."
        raise MissingExtraError(words) from error
    try:
        if isinstance(source, bytes):
            head, size = source[:4], len(source)
        else:
            size = Path(source).stat().st_size
            with Path(source).open("rb") as file:
                head = file.read(4)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError.of("unreadable", name, expected="a file that can be read", got=reason) from None
    if head != b"XDF:" or size > LARGEST_BYTES:
        got = "another kind of file" if head != b"XDF:" else f"{size / 1e6:.0f} MB"
        raise InputError.of("not_xdf", name, expected="an XDF file of at most 600 MB", got=got)
    try:
        with warnings.catch_warnings(), _quiet():
            warnings.simplefilter("ignore")
            streams, _ = pyxdf.load_xdf(io.BytesIO(source) if isinstance(source, bytes) else source)
    except Exception as error:  # whatever a damaged file makes the library raise
        raise InputError.of(
            "broken_xdf", name, expected="a whole XDF file", got=f"one that cannot be read ({error})"[:200],
            cause="a recording that broke off", do="Copy it again",
        ) from None  # fmt: skip
    return list(streams)


@contextlib.contextmanager
def _quiet() -> Iterator[None]:
    """The library logs each oddity; ours are told as issues."""
    log = logging.getLogger("pyxdf")
    before = log.level
    log.setLevel(logging.CRITICAL + 1)
    try:
        yield
    finally:
        log.setLevel(before)


def _stream(streams: list[dict[str, Any]], wanted: str, faults: list[Issue]) -> _Stream | None:
    names = [(_first(s, "name"), _first(s, "source_id")) for s in streams]
    hits = [s for s, both in zip(streams, names, strict=True) if wanted in both]
    if len(hits) != 1:
        listed = ", ".join(n[:30] for n, _ in names[:10]) or "none"
        faults.append(
            fault(
                "no_such_stream",
                "streams",
                expected=f'one stream "{wanted[:40]}"',
                got=f"{len(hits)} of them",
                do=f"The file has: {listed}",
            )
        )
        return None
    stream = hits[0]
    time = np.asarray(stream.get("time_stamps", ()), dtype=np.float64).reshape(-1)
    series = stream.get("time_series", ())
    data = _numbers(series)
    if data is not None:
        rows = min(len(time), len(data))
        time, data = time[:rows], data[:rows]
        good = np.isfinite(time)
        time, data = time[good], data[good]
        order = (
            np.concatenate(([True], np.diff(np.maximum.accumulate(time)) > 0)) if time.size else np.zeros(0, np.bool_)
        )
        if order.sum() < 50:
            faults.append(fault("too_few_rows", wanted[:40], expected="at least 50 samples on a rising clock",
                                got=str(int(order.sum()))))  # fmt: skip
            return None
        return _Stream(_labels(stream, data.shape[1]), time[order], data[order], ())
    marks = tuple(str(row[0]) if len(row) else "" for row in series)
    return _Stream((), time[: len(marks)], np.zeros((0, 0)), marks)


def _numbers(series: Any) -> Floats | None:
    """Samples of a stream of numbers, shape (n, channels), NaN for what no sensor shows; None for a stream of text."""
    if not (isinstance(series, np.ndarray) and series.dtype.kind in "fiu"):
        return None
    data = series.astype(np.float64).reshape(len(series), series.size // max(len(series), 1))
    return np.asarray(np.where(np.abs(data) < LARGEST, data, np.nan))


def _first(stream: Mapping[str, Any], key: str) -> str:
    value = stream.get("info", {}).get(key) or [""]
    return str(value[0] if isinstance(value, list) else value)


def _labels(stream: Mapping[str, Any], count: int) -> tuple[str, ...]:
    """Channel labels of a stream's description, empty where it has none."""
    try:
        channels = stream["info"]["desc"][0]["channels"][0]["channel"]
        labels = [str(c["label"][0]) for c in channels]
    except (LookupError, TypeError):
        labels = []
    return tuple((labels + [""] * count)[:count])


def _place(stream: _Stream, channel: str | int, column: str, faults: list[Issue]) -> int | None:
    if stream.marks or not stream.data.size:
        faults.append(fault("no_numbers", column, expected="a stream of numbers", got="a stream of text"))
        return None
    if isinstance(channel, int):
        if channel <= stream.data.shape[1]:
            return channel - 1
    elif stream.labels.count(channel) == 1:
        return stream.labels.index(channel)
    listed = ", ".join(n[:20] for n in stream.labels if n) or f"{stream.data.shape[1]} channels without labels"
    faults.append(
        fault(
            "no_such_channel",
            column,
            expected=f"one channel {str(channel)[:40]!r}",
            got="none or several",
            do=f"The stream has: {listed}",
        )
    )
    return None


def _marks(stream: _Stream | None, time_s: Floats) -> NDArray[np.str_] | None:
    """Marks as a label for each sample: each holds until the next."""
    if stream is None or not stream.marks or not math.isfinite(float(stream.time_s.sum())):
        return None
    at = np.searchsorted(stream.time_s, time_s, side="right") - 1
    words = np.array([*stream.marks, ""], dtype=np.str_)
    return np.asarray(np.char.strip(words[np.where(at < 0, len(stream.marks), at)]))
