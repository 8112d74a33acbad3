"""Readings as a table for other programs: one row a reading, as CSV or Parquet. Nothing in it can act as a formula."""

import csv
import io
from collections.abc import Iterable
from datetime import datetime
from typing import Any, Final, Literal, get_args

from sqlalchemy import select

from ferrule.app.finding import found
from ferrule.app.swing_rows import views_of_swings
from ferrule.app.views import ReadingView
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError
from ferrule.files.native import parquet_library
from ferrule.store.tables import Club, Device, Golfer, Lesson, Reading, Swing

TableForm = Literal["csv", "parquet"]
FORMS: Final = get_args(TableForm)
WORDS: Final = (
    "golfer", "handedness", "club", "mount", "shape", "start", "bend", "strike", "tried", "set_aside_why", "key", "how", "device",
)  # fmt: skip
NUMBERS: Final = ("tried_amount", "value", "sd", "device_value")
WHOLE: Final = ("golfer_id", "lesson_id", "swing_id", "ball")
MOMENTS: Final = ("lesson_started_at", "made_at", "read_at")
COLUMNS: Final = (
    "golfer_id", "golfer", "handedness", "lesson_id", "lesson_started_at", "swing_id", "ball", "made_at", "club", "mount",
    "shape", "start", "bend", "strike", "tried", "tried_amount", "set_aside", "set_aside_why", "key", "value", "sd", "how",
    "device", "device_value", "read_at",
)  # fmt: skip
"""value, sd: in the unit of the key (degrees, metres, m/s), + as docs/interface.md says. ball empty: a look of its own."""
_ACTS: Final = ("=", "+", "-", "@", "\t", "\r", "\n")
"""What a spreadsheet may take for the beginning of a formula."""

Row = dict[str, Any]


def reading_rows(ws: Workspace, *, golfer_id: int | None = None, lesson_id: int | None = None) -> list[Row]:
    """Every reading of a golfer or of a lesson, in order of the lessons and the balls; a ball without a reading has one
    row with its flight and strike. Raises NotFoundError.
    """
    out: list[Row] = []
    with ws.reading() as session:
        if lesson_id is not None:
            golfer_id = found(session, Lesson, lesson_id).golfer_id
        golfer = found(session, Golfer, golfer_id or 0)
        query = select(Lesson).where(Lesson.golfer_id == golfer.id).order_by(Lesson.started_at, Lesson.id)
        if lesson_id is not None:
            query = query.where(Lesson.id == lesson_id)
        for lesson in session.scalars(query).all():
            base: Row = {
                "golfer_id": golfer.id, "golfer": golfer.name, "handedness": golfer.handedness,
                "lesson_id": lesson.id, "lesson_started_at": lesson.started_at,
            }  # fmt: skip
            for swing in views_of_swings(session, Swing.lesson_id == lesson.id):
                ball: Row = {
                    **base, "swing_id": swing.id, "ball": swing.number, "made_at": swing.made_at, "club": swing.club,
                    "mount": swing.mount, "shape": swing.shape, "start": swing.start, "bend": swing.bend,
                    "strike": swing.strike, "tried": swing.tried_feel, "tried_amount": swing.tried_amount,
                    "set_aside": swing.set_aside, "set_aside_why": swing.set_aside_why or None,
                }  # fmt: skip
                out += [{**ball, **_reading(r)} for r in swing.readings] or [ball]
            grips = (
                select(Club.name, Reading, Device.name)
                .join(Club, Club.id == Reading.club_id)
                .outerjoin(Device, Device.id == Reading.device_id)
                .where(Reading.lesson_id == lesson.id)
                .order_by(Reading.read_at, Reading.id)
            )
            for club, r, device in session.execute(grips):
                out.append(
                    {**base, "club": club, **_values(r.key, r.value, r.sd, r.how, device, r.device_value, r.read_at)}
                )
    return [{name: row.get(name) for name in COLUMNS} for row in out]


def readings_file(ws: Workspace, form: str, *, golfer_id: int | None = None, lesson_id: int | None = None) -> bytes:
    """The readings of a golfer or a lesson as a file. form: csv (UTF-8 with a mark, so that spreadsheets read it) or
    parquet. Raises InputError for another form, NotFoundError, MissingExtraError without pyarrow.
    """
    if form not in FORMS:
        raise InputError.of("choice", "form", expected=" or ".join(FORMS), got=repr(form))
    rows = reading_rows(ws, golfer_id=golfer_id, lesson_id=lesson_id)
    return as_csv(rows) if form == "csv" else as_parquet(rows)


def as_csv(rows: Iterable[Row]) -> bytes:
    """Rows as CSV. A word that a spreadsheet could take for a formula gets an apostrophe before it."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\r\n")
    out.writerow(COLUMNS)
    for row in rows:
        out.writerow([_cell(row[name]) for name in COLUMNS])
    return text.getvalue().encode("utf-8-sig")


def as_parquet(rows: list[Row]) -> bytes:
    """Rows as Parquet, each column of its own kind."""
    arrow, parquet = parquet_library()
    kinds = {
        **dict.fromkeys(WORDS, arrow.string()),
        **dict.fromkeys(NUMBERS, arrow.float64()),
        **dict.fromkeys(WHOLE, arrow.int64()),
        **dict.fromkeys(MOMENTS, arrow.timestamp("us", tz="UTC")),
        "set_aside": arrow.bool_(),
    }
    columns = {name: arrow.array([row[name] for row in rows], type=kinds[name]) for name in COLUMNS}
    held = io.BytesIO()
    parquet.write_table(arrow.table(columns), held)
    return held.getvalue()


def safe_word(word: str) -> str:
    """A word as a spreadsheet will show it and never work it out."""
    return f"'{word}" if word.startswith(_ACTS) else word


def _cell(value: Any) -> Any:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.isoformat()
    return safe_word(value) if isinstance(value, str) else value


def _reading(r: ReadingView) -> Row:
    return _values(r.key, r.value, r.sd, r.how, r.device, r.device_value, r.read_at)


def _values(
    key: str, value: float, sd: float | None, how: str, device: str | None, shown: float | None, at: datetime
) -> Row:
    return {
        "key": key, "value": value, "sd": sd, "how": how, "device": device, "device_value": shown, "read_at": at,
    }  # fmt: skip
