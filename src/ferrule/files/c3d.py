"""Marker positions from a C3D file: by its parameter section, or by the header alone when that section is damaged.

The layout read here is that of the C3D user guide (c3d.org): 512-byte blocks; a header of 16-bit words; a parameter
section of groups and parameters; frames of points, then analog samples. Sound files are read by ezc3d (extra `c3d`), in a
process of its own, which a damaged file may stop.
"""

import importlib.util
import os
import struct
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from ferrule.errors import InputError, Issue, MissingExtraError

Floats = NDArray[np.float64]
Order = Literal["<", ">", "dec"]

LARGEST_BYTES: Final = 600_000_000
BLOCK: Final = 512
MOST_POINTS: Final = 2000
APART: Final = Path(__file__).with_name("c3d_apart.py")
LONGEST_S: Final = 60
_METRES: Final = {"mm": 1e-3, "cm": 1e-2, "m": 1.0}


@dataclass(frozen=True, eq=False, slots=True)
class Markers:
    """Markers of one file. time_s: shape (n,), from zero. positions: shape (n, m, 3), NaN where a marker was not seen, in
    the file's unit; unit: as the file names it, or None. labels: m names, or None when they cannot be read.
    """

    time_s: Floats
    positions: Floats
    labels: tuple[str, ...] | None
    unit: str | None


@dataclass(frozen=True, slots=True)
class C3dHeader:
    """The header's words that the points are read by. scale < 0: numbers are floats. order: of bytes."""

    parameter_block: int
    points: int
    analog: int
    first: int
    last: int
    scale: float
    data_block: int
    rate_hz: float
    order: Order

    @property
    def frames(self) -> int:
        """Number of frames."""
        return self.last - self.first + 1

    @property
    def frame_bytes(self) -> int:
        """Bytes of one frame."""
        return (4 * self.points + self.analog) * (4 if self.scale < 0 else 2)


def read_c3d(source: str | Path | bytes, name: str = "") -> tuple[Markers, list[Issue]]:
    """The markers of a file or of its bytes, and what there is to say about it.

    Raises InputError when it is no C3D file or holds no markers, MissingExtraError when ezc3d is not installed.
    """
    shown = name or (Path(source).name if not isinstance(source, bytes) else "markers")
    _need_library()
    content = _content(source, shown)
    header = read_header(content, shown)
    whole = _parameters_walk(content, header)
    read: Markers | None = None
    why = "its parameter section is damaged"
    if whole and len(content) >= (header.data_block - 1) * BLOCK + header.frames * header.frame_bytes:
        read, why = _with_library(content, header)
    if read is not None:
        return read, _rate_remarks(read)
    found = points_by_header(content, header, shown)
    told = Issue(
        "c3d_by_header", "warning", shown,
        f"{shown}: the points were read by the file's header alone ({why}). Names and unit of the markers are not known:"
        " name them by their number in the mapping, the first is 1.",
    )  # fmt: skip
    return found, [told, *_rate_remarks(found)]


def read_header(content: bytes, name: str) -> C3dHeader:
    """The header, its byte order found out. Raises InputError when there is none or it cannot be right."""
    if len(content) < BLOCK or content[1] != 0x50:
        got = "an empty file" if not content.strip() else "a file that does not begin like one"
        raise InputError.of(
            "not_c3d", name, expected="a C3D file", got=got, cause="another file was chosen, or an export that broke off",
            do="Choose the file that the cameras' program exported",
        )  # fmt: skip
    for order in _orders(content):
        header = _header(content, order)
        if _possible(header):
            return header
    raise InputError.of(
        "c3d_header", name, expected="a header with 1 to 2000 points at 10 to 10000 frames a second",
        got="numbers that cannot be", cause="a damaged file, or one without points", do="Export the file again",
    )  # fmt: skip


def points_by_header(content: bytes, header: C3dHeader, name: str) -> Markers:
    """The points, read by the header alone: unnamed, in the file's own unit. A frame count beyond the file is cut to it."""
    start = (header.data_block - 1) * BLOCK
    frames = min(header.frames, max(len(content) - start, 0) // header.frame_bytes)
    if frames < 2:
        raise InputError.of(
            "c3d_no_frames", name, expected="frames of points", got=f"{frames} whole frames",
            cause="a copy that broke off", do="Copy or export the file again",
        )  # fmt: skip
    width = 4 * header.points + header.analog
    raw = content[start : start + frames * header.frame_bytes]
    if header.scale < 0:
        table = _floats(raw, header.order)
    else:
        kind = ">i2" if header.order == ">" else "<i2"
        table = np.frombuffer(raw, dtype=kind).astype(np.float64)
    points = table.reshape(frames, width)[:, : 4 * header.points].reshape(frames, header.points, 4)
    positions = points[:, :, :3] * (1.0 if header.scale < 0 else header.scale)
    positions = _seen(positions, points[:, :, 3] < 0)
    return Markers(np.arange(frames) / header.rate_hz, positions, None, None)


def _need_library() -> None:
    if importlib.util.find_spec("ezc3d") is None:
        raise MissingExtraError("Reading C3D files needs the extra: python -m pip install 'ferrule[c3d]'.")


def _content(source: str | Path | bytes, name: str) -> bytes:
    try:
        size = len(source) if isinstance(source, bytes) else Path(source).stat().st_size
        if size > LARGEST_BYTES:
            raise InputError.of("too_large", name, expected="at most 600 MB", got=f"{size / 1e6:.0f} MB")
        return source if isinstance(source, bytes) else Path(source).read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError.of("unreadable", name, expected="a file that can be read", got=reason) from None


def _orders(content: bytes) -> tuple[Order, ...]:
    """Byte orders to try: the one that the parameter section names, then the others."""
    place = (max(content[0], 1) - 1) * BLOCK + 3
    named = content[place] if 0 < place < len(content) else 0
    usual: dict[int, tuple[Order, ...]] = {85: ("dec", "<", ">"), 86: (">", "<", "dec")}
    return usual.get(named, ("<", "dec", ">"))


def _header(content: bytes, order: Order) -> C3dHeader:
    end = ">" if order == ">" else "<"
    words = struct.unpack_from(f"{end}5H", content, 2)
    data, _ = struct.unpack_from(f"{end}2H", content, 16)
    scale, rate = float(_floats(content[12:16], order)[0]), float(_floats(content[20:24], order)[0])
    return C3dHeader(content[0], words[0], words[1], words[2], words[3], scale, data, rate, order)


def _floats(raw: bytes, order: Order) -> Floats:
    """Numbers of 4 bytes. "dec": VAX F format, the words swapped and the exponent greater by two."""
    if order == "dec":
        halves = np.frombuffer(raw, dtype="<u2").reshape(-1, 2)
        swapped = halves[:, ::-1].astype("<u2").tobytes()
        with np.errstate(invalid="ignore"):
            return np.frombuffer(swapped, dtype="<f4").astype(np.float64) / 4.0
    with np.errstate(invalid="ignore"):
        return np.frombuffer(raw, dtype=f"{order}f4").astype(np.float64)


def _possible(header: C3dHeader) -> bool:
    return (
        0 < header.points <= MOST_POINTS
        and header.analog <= 60_000
        and header.frames >= 2
        and np.isfinite(header.scale)
        and 1e-9 < abs(header.scale) < 1e6
        and header.data_block >= 2
        and np.isfinite(header.rate_hz)
        and 10.0 <= header.rate_hz <= 10_000.0
    )


def _parameters_walk(content: bytes, header: C3dHeader) -> bool:
    """Whether the parameter section can be walked from end to end within its blocks, and knows the points.

    A reader in another language must never be handed a section whose offsets lead astray.
    """
    start = (header.parameter_block - 1) * BLOCK
    if header.parameter_block < 2 or start + 4 > len(content):
        return False
    end = min(start + content[start + 2] * BLOCK, (header.data_block - 1) * BLOCK, len(content))
    kind = ">" if header.order == ">" else "<"
    place, groups, seen = start + 4, {}, set()
    while place + 2 <= end:
        length, group = struct.unpack_from("bb", content, place)
        if length == 0 and group == 0:
            break
        size = abs(length)
        if size == 0 or group == 0 or place + 4 + size > end:
            return False
        name = content[place + 2 : place + 2 + size]
        if not all(32 <= c < 127 for c in name):
            return False
        after = place + 2 + size
        step = struct.unpack_from(f"{kind}H", content, after)[0]
        following = after + step
        if group < 0:
            groups[-group] = name.upper()
            body = after + 3 + (content[after + 2] if after + 2 < end else BLOCK)
        else:
            body = _parameter_end(content, after, end)
            seen.add((group, name.upper()))
        if body < 0 or body > end or (step and (following < body or following > end)):
            return False
        if not step:
            break
        place = following
    point = next((n for n, name in groups.items() if name == b"POINT"), None)
    return point is not None and {(point, n) for n in (b"USED", b"LABELS")} <= seen


def _parameter_end(content: bytes, after: int, end: int) -> int:
    """Where the body of a parameter ends, or -1 when its dimensions cannot be."""
    if after + 4 > end:
        return -1
    width = abs(struct.unpack_from("b", content, after + 2)[0])
    dimensions = content[after + 3]
    if width not in (1, 2, 4) or dimensions > 7 or after + 4 + dimensions >= end:
        return -1
    count = 1
    for d in content[after + 4 : after + 4 + dimensions]:
        count *= d
    body = after + 4 + dimensions + count * width
    return body + 1 + content[body] if body < end else -1


def _with_library(content: bytes, header: C3dHeader) -> tuple[Markers | None, str]:
    """The markers as ezc3d reads them; None and why when it cannot, or when it contradicts the header."""
    with tempfile.TemporaryDirectory() as folder:
        place, out = Path(folder, "file.c3d"), Path(folder, "read.npz")
        place.write_bytes(content)
        try:
            words = [sys.executable, str(APART), str(place), str(out), str(os.getpid())]
            done = subprocess.run(words, capture_output=True, timeout=LONGEST_S, check=False)
        except subprocess.TimeoutExpired:
            return None, f"the rest of it was not read within {LONGEST_S} s"
        if done.returncode != 0:
            said = done.stderr.decode(errors="replace").strip() if done.returncode > 0 else "its reader broke down"
            return None, f"the rest of it cannot be read: {said}"[:160]
        with np.load(out) as read:
            data, missing, labels = read["points"], read["residuals"], tuple(str(x) for x in read["labels"])
            rate, units = float(read["rate"]), [str(x) for x in read["units"]]
    if data.ndim != 3 or data.shape[1] != header.points or len(labels) < header.points:
        return None, "its parameter section names another number of points than its header"
    if not 10.0 <= rate <= 10_000.0 or data.shape[2] < 2:
        return None, "its parameter section gives no possible rate"
    positions = _seen(np.moveaxis(data[:3], 0, 2).transpose(1, 0, 2), (missing < 0).T)
    unit = units[0] if units else None
    time = np.arange(len(positions)) / rate
    return Markers(time, positions, labels[: header.points], unit if unit in _METRES else None), ""


def _seen(positions: Floats, missing: NDArray[np.bool_]) -> Floats:
    """NaN for points marked as missing, for those at the very origin, and for numbers that cannot be positions."""
    with np.errstate(invalid="ignore"):
        bad = missing | ~(np.abs(positions) < 1e6).all(axis=2) | (positions == 0.0).all(axis=2)
    return np.asarray(np.where(bad[:, :, None], np.nan, positions))


def _rate_remarks(markers: Markers) -> list[Issue]:
    rate = 1.0 / float(markers.time_s[1] - markers.time_s[0])
    if rate >= 200.0:
        return []
    return [
        Issue(
            "rate_low",
            "warning",
            "time_s",
            f"Recorded at {rate:.0f} frames a second. Slow movement can be read; wrist angles in a full swing need 200.",
        )
    ]


def metres_a_unit(unit: str) -> float:
    """Factor to metres of "mm", "cm" or "m"."""
    return _METRES[unit]
