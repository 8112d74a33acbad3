"""A table of ball flights dropped into a lesson: each row becomes a swing with what was measured of its ball."""

from dataclasses import dataclass, replace
from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import Session

from ferrule.analysis.balls import curve_of_launch
from ferrule.app.finding import now
from ferrule.app.flights import flight_of
from ferrule.app.form import LONGEST_TEXT, Form
from ferrule.app.golfers import club_in_bag, current_club
from ferrule.app.swing_rows import NewReading, lesson_and_hand, next_number, put_flight, reading_row
from ferrule.app.workspace import Workspace
from ferrule.ball.launch import Launch
from ferrule.club.clubs import known_name
from ferrule.coaching.quantities import QUANTITIES, SHAPES
from ferrule.errors import InputError, Issue
from ferrule.files.balldata import BallData, BallShot, read_ball_data
from ferrule.files.ballguess import BallGuess, guess_ball_mapping
from ferrule.files.ballmapping import COLUMNS, SIGNED, UNITS, BallMapping, read_ball_mapping
from ferrule.store.codec import sha256_of
from ferrule.store.tables import Club, Entry, Note, Swing
from ferrule.units import DEG

MOST_BALLS: Final = 300
_ANGLES: Final = {
    "start_deg": "ball.start_deg",
    "curve_deg": "ball.curve_deg",
    "face_deg": "delivery.face_deg",
    "path_deg": "delivery.path_deg",
    "attack_deg": "delivery.attack_deg",
    "delivered_loft_deg": "delivery.delivered_loft_deg",
}
_SAME: Final = {"side_m": "ball.side_m", "carry_m": "ball.carry_m", "club_speed_mps": "delivery.club_speed_mps"}
_LAUNCH: Final = ("ball_speed_mps", "launch_deg", "start_deg", "spin_rpm", "axis_tilt_deg")
# How far off the centre a strike has a name, metres (common practice, no source).
_OFF: Final = 0.008
_HOW: Final = {"ball": "ball", "delivery": "sensor"}


@dataclass(frozen=True, slots=True)
class BallsImported:
    """swings: ids in the order of the rows; issues: what the coach should know; again: the same file was there already."""

    swings: tuple[int, ...]
    issues: tuple[Issue, ...]
    again: bool = False


def guess(content: bytes) -> BallGuess:
    """What the columns of a table seem to be, to be shown and confirmed. Raises InputError when it is no ball data."""
    return guess_ball_mapping(content)


def confirmed_mapping(content: bytes, *, lengths: str, speeds: str, plus: str, mirrored: bool = False) -> str:
    """The guessed columns with what the coach said of them, as JSON.

    lengths: m, yd or ft; speeds: m/s, mph or km/h, both where the table itself does not say; plus: the side that a number
    without a minus means, right or left; mirrored: for a left-hander, whether the table counts sides as for a right-hander.
    Raises InputError with the faults by field.
    """
    form = Form()
    form.needed("lengths", lengths, tuple(UNITS["length"]))
    form.needed("speeds", speeds, tuple(UNITS["speed"]))
    form.needed("plus", plus, ("right", "left"))
    form.done()
    found = guess_ball_mapping(content)
    open_units = {issue.where for issue in found.doubts if issue.code == "unit_guessed"}
    said = {"length": lengths, "speed": speeds}
    columns = {
        key: replace(
            column,
            unit=said.get(COLUMNS[key], column.unit) if key in open_units else column.unit,
            sign=-1 if key in SIGNED and plus == "left" else 1,
        )
        for key, column in found.mapping.columns.items()
    }
    return replace(found.mapping, columns=columns, signs="golfer" if mirrored else "world").to_json()


def import_ball_data(
    ws: Workspace, lesson_id: int, content: bytes, file_name: str, *, mapping: str, club: str | None = None
) -> BallsImported:
    """Add every row of a table as a swing of the lesson, all of them or none.

    mapping: JSON of the confirmed columns (`files.ballmapping`). club: where the table does not say; the one in hand
    unless named. The same bytes again in the same lesson add nothing. Raises InputError with every fault.
    """
    form = Form()
    form.name("file", file_name.replace("\\", "/").rsplit("/", 1)[-1], "a file with a name")
    form.done()
    columns = read_ball_mapping(mapping)
    digest = f"balls:{lesson_id}:{sha256_of(content)}"
    with ws.reading() as session:
        _, hand = lesson_and_hand(session, lesson_id)
    data = read_ball_data(content, columns, hand)
    if len(data.shots) > MOST_BALLS:
        raise InputError.of(
            "too_many", "file", expected=f"at most {MOST_BALLS} balls in a lesson", got=str(len(data.shots)),
            cause="a table of several lessons", do="Export this lesson alone.",
        )  # fmt: skip
    with ws.change("import_ball_data", key=_unused_key(ws, digest), lesson_id=lesson_id) as change:
        session = change.session
        if change.repeated:
            return BallsImported((), (), again=True)
        made, notes = _add(session, lesson_id, data, club)
        issues = (*data.issues, *notes)
        session.add(Note(lesson_id=lesson_id, text=_told(file_name, len(made), columns, issues), written_at=now()))
        change.made_id = made[0]
        return BallsImported(tuple(made), issues)


def _told(file_name: str, balls: int, columns: BallMapping, issues: tuple[Issue, ...]) -> str:
    """What was taken in and how it was read, as a note that stays with the lesson."""
    read = ", ".join(
        f"{c.source} as {key.rsplit('_', 1)[0].replace('_', ' ')}" + (f" in {c.unit}" if c.unit else "")
        for key, c in columns.columns.items()
    )
    said = [f"{balls} balls from {file_name}. Read: {read}.", *(i.message for i in issues)]
    return "\n".join(said)[:LONGEST_TEXT]


def _unused_key(ws: Workspace, digest: str) -> str:
    """The file's own key; a new one where the import was taken back."""
    with ws.reading() as session:
        key, times = digest, 0
        while True:
            entry = session.scalar(select(Entry).where(Entry.request_key == key))
            if entry is None or entry.undone_at is None:
                return key
            times += 1
            key = f"{digest}:{times}"


def _add(session: Session, lesson_id: int, data: BallData, club: str | None) -> tuple[list[int], list[Issue]]:
    lesson, hand = lesson_and_hand(session, lesson_id)
    otherwise = club_in_bag(session, lesson.golfer_id, club) if club else current_club(session, lesson.golfer_id)
    notes: list[Issue] = []
    made = []
    number = next_number(session, lesson_id)
    for shot in data.shots:
        with_club = _club_of(session, lesson.golfer_id, shot, otherwise, notes)
        swing = Swing(
            lesson_id=lesson_id, club_id=with_club.id, number=number, made_at=now(), strike=_strike(shot),
            tried_feel=None, tried_amount=None, mount=None,
        )  # fmt: skip
        session.add(swing)
        session.flush()
        for reading in _readings(shot, notes):
            session.add(reading_row(reading, reading.value, swing_id=swing.id))
        shape = shot.words.get("shape", "").lower().replace(" ", "-")
        if shape in SHAPES:
            put_flight(session, swing.id, flight_of(shape, hand))
        made.append(swing.id)
        number += 1
    session.flush()
    return made, notes


def _club_of(session: Session, golfer_id: int, shot: BallShot, otherwise: Club, notes: list[Issue]) -> Club:
    name = shot.words.get("club")
    if name is None:
        return otherwise
    known = known_name(name)
    if known is None:
        said = f"Row {shot.row}: no club is called {name!r}; entered with the {otherwise.name}."
        notes.append(Issue("unknown_club", "warning", f"row {shot.row}", said))
        return otherwise
    return club_in_bag(session, golfer_id, known)


def _strike(shot: BallShot) -> str | None:
    word = shot.words.get("strike")
    if word:
        return word.strip().lower().replace("center", "centre")
    toe, high = shot.values.get("toe_mm"), shot.values.get("high_mm")
    if toe is None and high is None:
        return None
    if abs(toe or 0.0) >= max(_OFF, abs(high or 0.0)):
        return "toe" if (toe or 0.0) > 0 else "heel"
    if abs(high or 0.0) >= _OFF:
        return "high" if (high or 0.0) > 0 else "low"
    return "centre"


def _readings(shot: BallShot, notes: list[Issue]) -> list[NewReading]:
    values = {key: shot.values[name] / DEG for name, key in _ANGLES.items() if name in shot.values}
    values |= {key: shot.values[name] for name, key in _SAME.items() if name in shot.values}
    doubts: dict[str, float] = {}
    if not {"ball.curve_deg", "ball.side_m"} & set(values) and all(key in shot.values for key in _LAUNCH):
        curve = curve_of_launch(Launch(*(shot.values[key] for key in _LAUNCH)))
        values["ball.curve_deg"], doubts["ball.curve_deg"] = curve.value / DEG, curve.sd / DEG
    made = []
    for key, value in values.items():
        quantity = QUANTITIES[key]
        if not quantity.low <= value <= quantity.high:
            said = f"Row {shot.row}: {value:.1f} cannot be ({quantity.words}): left out."
            notes.append(Issue("cell_left_out", "warning", f"row {shot.row}", said))
            continue
        made.append(NewReading(key, round(value, 4), doubts.get(key), _HOW[key.split(".")[0]]))
    return made
