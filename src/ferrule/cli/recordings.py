"""`analyse` and `simulate`."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

from ferrule.analysis.angles import analyse_angles
from ferrule.analysis.markers import analyse_markers
from ferrule.analysis.recording import analyse_recording
from ferrule.app.mappings import saved_for
from ferrule.app.recordings import LARGEST_BYTES
from ferrule.app.sources import what_is
from ferrule.app.workspace import Workspace
from ferrule.cli.answering import remarks, text_of
from ferrule.club.clubs import Club, club_by_name
from ferrule.coaching.wording import degrees, face_words, wrist_words
from ferrule.errors import InputError, Issue
from ferrule.files.angle_traces import read_angle_mapping, read_angle_trace
from ferrule.files.ballquantities import object_from_text
from ferrule.files.c3d import read_c3d
from ferrule.files.layouts import from_header
from ferrule.files.mapping import ColumnMapping, read_mapping
from ferrule.files.markermapping import mapped_markers, read_marker_mapping
from ferrule.files.native import write_recording_csv, write_recording_parquet
from ferrule.files.recording import read_recording
from ferrule.files.xdf import read_xdf, read_xdf_mapping
from ferrule.frames.handedness import Handedness
from ferrule.simulator import PATTERNS, Faults, SwingPlan, simulate_lesson

Answer = dict[str, Any]
M = TypeVar("M")


def analysed(
    recording: Path,
    calibration: Path | None,
    handedness: str,
    club: str,
    profile: str | None,
    mapping: Path | None,
    hand: Path | None,
    quick: bool,
    folder: Path | None = None,
) -> Answer:
    """The `analyse` answer, with the reader's remarks among its issues. folder: whose saved mappings are recognised."""
    side = _side(handedness)
    known = club_by_name(club)
    given = _recognised(recording, side, folder) if mapping is None else text_of(mapping, "a mapping")
    kind = kind_of_source(recording, given)
    if kind in ("markers", "angles"):
        for option, file in (("--calibration", calibration), ("--hand", hand), ("--profile", profile)):
            if file is not None:
                raise InputError.of("not_for_this", option, expected=f"no {option} with {kind}", got=str(file))
        return _markers(recording, given, side, known) if kind == "markers" else _angles(recording, given, side)
    columns = None if given is None or kind == "xdf" else read_mapping(given)
    if kind == "xdf":
        read, issues = read_xdf(recording, _needed(given, recording, read_xdf_mapping))
    else:
        read, issues = read_recording(
            _table(recording, columns), second=None if hand is None else _table(hand, columns), mapping=columns,
            profile=profile, name=recording.name,
        )  # fmt: skip
    lesson = None
    if calibration is not None:
        lesson, more = read_recording(
            _table(calibration, columns), mapping=columns, profile=profile, name=calibration.name
        )
        issues = issues + more
    analysis = analyse_recording(
        read, handedness=side, club=known, calibration=lesson, profile=profile, **({"draws": 0} if quick else {})
    )
    answer = analysis.to_json()
    return answer | {"issues": _once(issues, cast("list[dict[str, str]]", answer["issues"])), "handedness": side}


def guessed(recording: Path, handedness: str) -> Answer:
    """The mapping a file most likely needs, with the reason for each part: to be looked over, not to be used unseen."""
    guess = what_is(text_of(recording, "a recording", LARGEST_BYTES), recording.name, _side(handedness))
    if guess is None:
        raise InputError.of(
            "no_guess", str(recording), expected="a recording of another layout",
            got="our own layout, or no recording that could be told", do="Give it to `ferrule analyse`, which says more",
        )  # fmt: skip
    return guess.to_json()


def guess_table(answer: Answer) -> str:
    """The mapping as JSON; the reasons go with --json."""
    return json.dumps(answer["mapping"], indent=1, ensure_ascii=False)


def _recognised(recording: Path, side: Handedness, folder: Path | None) -> bytes | None:
    """The saved mapping of a file's layout; a layout nobody has confirmed is refused with the way to do so."""
    if not recording.is_file() or recording.stat().st_size > LARGEST_BYTES:
        return None  # its reader says what is wrong
    guess = what_is(recording.read_bytes(), recording.name, side)
    if guess is None:
        return None
    known = None
    if folder is not None:
        with Workspace(folder, read_only=True) as ws:
            known = saved_for(ws, guess.fingerprint)
    if known is None:
        raise InputError.of(
            "mapping_needed", str(recording), expected="a mapping that says what is what in this file", got="none",
            do=f"Look over the guess of `ferrule guess {recording.name}`, and give it with --mapping",
        )  # fmt: skip
    return json.dumps(known[1]).encode()


def _table(path: Path, columns: ColumnMapping | None) -> Path | bytes:
    """A table of another layout from its header on; our own as it is."""
    if columns is None or not path.is_file() or path.stat().st_size > LARGEST_BYTES:
        return path
    return from_header(path.read_bytes())


def kind_of_source(recording: Path, mapping: bytes | None) -> str:
    """What a file is: "markers", "xdf", "angles" or "recording", by its ending, else by its mapping."""
    ending = {".c3d": "markers", ".xdf": "xdf"}.get(recording.suffix.lower())
    if ending is not None or mapping is None:
        return ending or "recording"
    given = object_from_text(mapping, "mapping")
    return "angles" if isinstance(given, dict) and given.get("kind") == "angles" else "recording"


def _needed(mapping: bytes | None, recording: Path, read: Callable[[bytes], M]) -> M:
    if mapping is None:
        raise InputError.of(
            "mapping_needed",
            str(recording),
            expected="a mapping that says what is what in this file",
            got="none",
            do="Write one and give it with --mapping",
        )
    return read(mapping)


def _markers(recording: Path, mapping: bytes | None, side: Handedness, club: Club) -> Answer:
    """The `analyse` answer of a marker recording."""
    known = _needed(mapping, recording, read_marker_mapping)
    markers, issues = read_c3d(recording)
    roles, more = mapped_markers(markers, known)
    analysis = analyse_markers(markers.time_s, roles, handedness=side, club=club, neutral_s=known.neutral_s)
    answer = analysis.to_json()
    found = cast("list[dict[str, str]]", answer["issues"])
    return answer | {"issues": _once(issues + more, found), "handedness": side}


def _angles(recording: Path, mapping: bytes | None, side: Handedness) -> Answer:
    known = _needed(mapping, recording, read_angle_mapping)
    trace, issues = read_angle_trace(_table(recording, known.table), known, recording.name)
    answer = analyse_angles(trace, handedness=side).to_json()
    return answer | {"issues": _once(issues, cast("list[dict[str, str]]", answer["issues"])), "handedness": side}


def _once(read: list[Issue], found: list[dict[str, str]]) -> list[dict[str, str]]:
    """Reader's remarks and the analysis's own, each once."""
    out = [i.to_json() for i in read]
    return out + [f for f in found if f not in out]


def table(answer: Answer) -> str:
    """Each swing in words: events, wrist, face, how the face closed."""
    lines: list[str] = []
    right_handed = answer["handedness"] == "right"
    for number, swing in enumerate(answer["swings"], 1):
        lines.append(f"Swing {number}: {swing['kind'].replace('_', ' ')}")
        for event, when in swing["events"].items():
            if when is None:
                continue
            time = when["time_s"]
            words = [f"  {event.replace('_', ' '):<22} {time['value']:8.3f} s  ± {time['sd'] * 1000:.1f} ms"]
            wrist, face = swing["wrist"].get(event), swing["face"].get(event)
            if wrist is not None and "flexion_deg" in wrist:
                words.append(wrist_words(_value(wrist["flexion_deg"])))
            if face is not None and event == "impact":
                opened = _value(face["face_deg"]) * (1.0 if right_handed else -1.0)
                words.append(f"face {face_words(opened)} against address")
            lines.append("  ".join(words))
        for part in swing["closing_account"]:
            if (part["from"], part["to"]) == ("shaft_level_down", "impact"):
                value = _value(part["closing_deg"])
                lines.append(
                    f"    {part['part'].replace('_', ' '):<20} {'closes' if value > 0 else 'opens'} {degrees(value)}"
                )
        lines += [f"  {q}" for q in swing["quality"]]
    if not lines:
        lines.append("No swing was found.")
    return "\n".join(lines + remarks(answer))


def _value(number: Any) -> float:
    return float(number["value"] if isinstance(number, dict) else number)


def simulated(
    out: Path,
    pattern: str,
    swings: int,
    rate: float,
    handedness: str,
    seed: int,
    perfect: bool,
    truth: Path | None,
) -> Answer:
    """Write a simulated recording, and its truth beside it where asked."""
    if pattern not in PATTERNS:
        raise InputError.of("choice", "--pattern", expected=f"one of {', '.join(PATTERNS)}", got=repr(pattern))
    if out.suffix not in (".csv", ".parquet"):
        raise InputError.of("choice", str(out), expected="a name that ends in .csv or .parquet", got=out.name)
    lesson = simulate_lesson(
        seed=seed,
        pattern=pattern,
        rate_hz=rate,
        faults=Faults.none() if perfect else Faults.nominal(),
        swings=[SwingPlan()] * swings,
        handedness=_side(handedness),
    )
    (write_recording_csv if out.suffix == ".csv" else write_recording_parquet)(lesson.recording, out)
    if truth is not None:
        events = [{name: float(time) for name, time in swing.events.items()} for swing in lesson.truth.swings]
        truth.write_text(json.dumps({"schema": 1, "swings": [{"events_s": e} for e in events]}, indent=1))
    return {
        "schema": 1,
        "written": str(out),
        "rows": len(lesson.recording.time_s),
        "swings": swings,
        "pattern": pattern,
    }


def simulated_table(answer: Answer) -> str:
    """One line."""
    return (
        f"{answer['written']}: {answer['rows']} rows, {answer['swings']} swings, {answer['pattern'].replace('_', ' ')}."
    )


def _side(handedness: str) -> Handedness:
    if handedness not in ("right", "left"):
        raise InputError.of("choice", "--handedness", expected="right or left", got=repr(handedness))
    return cast("Handedness", handedness)
