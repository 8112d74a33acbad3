"""`analyse` and `simulate`."""

import json
from pathlib import Path
from typing import Any, cast

from ferrule.analysis.recording import analyse_recording
from ferrule.cli.answering import remarks, text_of
from ferrule.club.clubs import club_by_name
from ferrule.coaching.wording import degrees, face_words, wrist_words
from ferrule.errors import InputError, Issue
from ferrule.files.mapping import read_mapping
from ferrule.files.native import write_recording_csv, write_recording_parquet
from ferrule.files.recording import read_recording
from ferrule.frames.handedness import Handedness
from ferrule.simulator import PATTERNS, Faults, SwingPlan, simulate_lesson

Answer = dict[str, Any]


def analysed(
    recording: Path,
    calibration: Path | None,
    handedness: str,
    club: str,
    profile: str | None,
    mapping: Path | None,
    hand: Path | None,
    quick: bool,
) -> Answer:
    """The `analyse` answer, with the reader's remarks among its issues."""
    side = _side(handedness)
    known = club_by_name(club)
    columns = None if mapping is None else read_mapping(text_of(mapping, "a column mapping"))
    read, issues = read_recording(recording, second=hand, mapping=columns, profile=profile)
    lesson = None
    if calibration is not None:
        lesson, more = read_recording(calibration, mapping=columns, profile=profile)
        issues = issues + more
    analysis = analyse_recording(
        read, handedness=side, club=known, calibration=lesson, profile=profile, **({"draws": 0} if quick else {})
    )
    answer = analysis.to_json()
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
            if wrist is not None:
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
