"""What a dropped file is: our own layout, one whose mapping is known, or one that has to be asked about once.

Sensors in other columns, streams (XDF), markers (C3D) and ready-made angles all come through here; `read_source` gives
what the analysis takes. A mapping is kept with the fingerprint of the header it was made for, and found again by it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from numpy.typing import NDArray

from ferrule.analysis.angles import AngleTrace
from ferrule.errors import InputError, Issue
from ferrule.files.angle_traces import read_angle_mapping, read_angle_trace
from ferrule.files.c3d import read_c3d
from ferrule.files.guessing import Guess, guess_table
from ferrule.files.guessing_markers import guess_markers
from ferrule.files.guessing_streams import guess_streams, streams_of
from ferrule.files.layouts import from_header, layout_of
from ferrule.files.mapping import mapping_from
from ferrule.files.markermapping import mapped_markers, read_marker_mapping
from ferrule.files.native import REQUIRED
from ferrule.files.recording import read_recording
from ferrule.files.xdf import read_xdf, read_xdf_mapping
from ferrule.frames.handedness import Handedness
from ferrule.sensing.recording import Recording

FINGERPRINT: Final = "fingerprint"
"""Key under which a kept mapping says which header it belongs to."""
OURS: Final = 6
"""With so many of our own column names a table is our own layout, whole or not."""
ENDS: Final = 65_536


@dataclass(frozen=True, eq=False, slots=True)
class MarkerTracks:
    """Positions by role, metres, shape (n, 3); neutral_s: a straight wrist, from and to."""

    time_s: NDArray[Any]
    roles: dict[str, NDArray[Any]]
    neutral_s: tuple[float, float] | None


Source = Recording | MarkerTracks | AngleTrace


def what_is(content: bytes, name: str, handedness: Handedness = "right") -> Guess | None:
    """What a file of an unknown layout most likely holds; None for our own layout and for what is no recording at all,
    which its reader refuses in words.

    Raises InputError for a C3D or XDF file that cannot be read, MissingExtraError when its library is not installed.
    """
    ending = name.lower().rsplit(".", 1)[-1]
    if ending == "c3d" or (content[1:2] == b"\x50" and content[:1] < b"\x20" and b"\x00" in content[:512]):
        return guess_markers(read_c3d(content, name)[0], handedness)
    if ending == "xdf" or content.startswith(b"XDF:"):
        return guess_streams(streams_of(content, name))
    ends = content[:ENDS] + content[-ENDS:]
    if sum(column.encode() in ends for column in REQUIRED) >= OURS:
        return None
    try:
        guess = guess_table(layout_of(content, name))
    except InputError:
        return None
    columns = guess.mapping["columns"]
    return guess if len(columns) > 1 or len(guess.header) >= 4 else None


def read_source(
    content: bytes, name: str, mapping: Mapping[str, Any] | None = None, profile: str | None = None
) -> tuple[Source, list[Issue]]:
    """A file as the analysis takes it, with remarks. mapping: as kept, or None for our own layout.

    Raises InputError with every fault, MissingExtraError when a library is not installed.
    """
    kind = kind_of_mapping(mapping)
    given = bare(mapping)
    if kind == "markers":
        known = read_marker_mapping(given or {})
        markers, issues = read_c3d(content, name)
        roles, more = mapped_markers(markers, known)
        return MarkerTracks(markers.time_s, roles, known.neutral_s), issues + more
    if kind == "angles":
        return read_angle_trace(from_header(content), given or {}, name)
    if kind == "xdf":
        return read_xdf(content, given or {}, name)
    if given is None:
        return read_recording(content, name=name, profile=profile)
    return read_recording(from_header(content), name=name, profile=profile, mapping=mapping_from(given))


def calibration_of(
    content: bytes, name: str, mapping: Mapping[str, Any] | None = None, profile: str | None = None
) -> Recording:
    """A calibration recording: sensors only. Raises InputError."""
    source, _ = read_source(content, name, mapping, profile)
    if isinstance(source, Recording):
        return source
    raise InputError.of("not_sensors", name, expected="a calibration of sensors", got="another kind of recording")


def check_mapping(mapping: Mapping[str, Any]) -> None:
    """Raise InputError with every fault of a mapping of any kind."""
    given = bare(mapping) or {}
    kind = kind_of_mapping(mapping)
    if kind == "markers":
        read_marker_mapping(given)
    elif kind == "angles":
        read_angle_mapping(given)
    elif kind == "xdf":
        read_xdf_mapping(given)
    else:
        mapping_from(given)


def kind_of_mapping(mapping: Mapping[str, Any] | None) -> str:
    """`markers`, `angles`, `xdf`, `sensors`, or `balls` for a table of ball flights."""
    kind = (mapping or {}).get("kind", "sensors")
    return kind if kind in ("markers", "angles", "xdf", "balls") else "sensors"


def bare(mapping: Mapping[str, Any] | None) -> dict[str, Any] | None:
    """A kept mapping as its reader takes it."""
    if mapping is None:
        return None
    return {k: v for k, v in mapping.items() if k != FINGERPRINT and not (k == "kind" and v == "sensors")}
