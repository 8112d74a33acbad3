"""Recordings dropped into a lesson: the bytes are kept once, a job is queued, the swings appear when it is done."""

import hashlib
import json
import os
from collections.abc import Mapping
from typing import Any, Final

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from ferrule.app.analysis import METHOD, Contents, look_into
from ferrule.app.calibration import CALIBRATION, report_from
from ferrule.app.finding import found, now
from ferrule.app.form import Form
from ferrule.app.golfers import club_in_bag, view_of_golfer
from ferrule.app.sources import FINGERPRINT, bare, check_mapping, kind_of_mapping, what_is
from ferrule.app.swing_rows import club_for, lesson_and_hand
from ferrule.app.views import JobView, RecordingView
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError, NotFoundError
from ferrule.files.ballquantities import object_from_text
from ferrule.files.guessing import Guess
from ferrule.sensing.profiles import PROFILES
from ferrule.store.codec import pack_bytes, sha256_of, unpack_bytes
from ferrule.store.tables import Club, ColumnMapping, Golfer, Job, Lesson, Original, Recording, Swing

LARGEST_BYTES: Final = 200_000_000
KINDS: Final = ("swings", "calibration", "both")
USUAL_MOUNT: Final = "a"
WORKERS: Final = min(2, os.cpu_count() or 1)
"""So many recordings are worked out side by side; a page needs a core, too."""
ASKS: Final = "asks"
"""Key in a recording's remarks under which the guess waits that must be confirmed."""


def import_recording(
    ws: Workspace,
    lesson_id: int,
    content: bytes,
    file_name: str,
    *,
    club: str | None = None,
    mount: str = "a",
    kind: str | None = None,
    profile: str | None = None,
    mapping: str | None = None,
    key: str | None = None,
) -> RecordingView:
    """Keep a recording in a lesson and queue its analysis.

    The same bytes again in the same lesson give the same recording. mount: name of the sensor mounting; swings of a
    mount are analysed with its newest calibration. kind: swings, calibration or both, None: as the file's labels say.
    profile: kind of device, for its ranges; mapping: name of a saved mapping (None: our own layout, or the mapping saved
    for such a header). A file of a layout never seen is kept and asks what is what (`asks`); it is worked out once that
    is answered (`ferrule.app.mappings`). Raises InputError when the file is empty, too large or no recording, or when a
    child's recordings were not agreed to; then nothing is kept.
    """
    form = Form()
    shown_name = form.name("file", file_name.replace("\\", "/").rsplit("/", 1)[-1], "a file with a name")
    on_mount = form.name("mount", mount, "a name of the mounting, for example a")
    form.choice("kind", kind, KINDS)
    form.choice("profile", profile, tuple(PROFILES))
    form.done()
    if not content:
        raise InputError.of("empty", "file", expected="a recording", got="an empty file", do="Export it again")
    if len(content) > LARGEST_BYTES:
        raise InputError.of(
            "too_large", "file", expected=f"at most {LARGEST_BYTES // 1_000_000} MB",
            got=f"{len(content) / 1e6:.0f} MB", cause="a video or another kind of file", do="Choose a recording",
        )  # fmt: skip
    digest = sha256_of(content)
    with ws.reading() as session:
        _may_record(session, lesson_id)
        known = session.scalar(select(Recording.id).where(Recording.lesson_id == lesson_id, Recording.sha256 == digest))
        if known is not None:
            return views_of_recordings(session, recording_id=known)[0]
        have = session.scalar(select(Original.sha256).where(Original.sha256 == digest)) is not None
        saved = _saved_mapping(session, mapping)
        _, hand = lesson_and_hand(session, lesson_id)
    guess = None
    if saved is None and (guess := what_is(content, shown_name, hand)) is not None:
        with ws.reading() as session:
            saved = mapping_for(session, guess.fingerprint)
    if guess is not None and saved is None:
        contents = Contents("swings")
    else:
        guess = None
        contents = look_into(content, shown_name, profile, saved.mapping if saved else None)
    packed = None if have else pack_bytes(content)
    with ws.change("import_recording", key=key, lesson_id=lesson_id) as change:
        session = change.session
        if not change.repeated:
            _may_record(session, lesson_id)
            known = session.scalar(
                select(Recording.id).where(Recording.lesson_id == lesson_id, Recording.sha256 == digest)
            )
            if known is not None:  # dropped twice at the same moment
                change.made_id, change.can_undo = known, False
            else:
                lesson = found(session, Lesson, lesson_id)
                if session.scalar(select(Original.sha256).where(Original.sha256 == digest)) is None:
                    packing, stored = packed or pack_bytes(content)
                    session.add(Original(sha256=digest, size_bytes=len(content), packing=packing, content=stored))
                    session.flush()
                recording = Recording(
                    lesson_id=lesson_id, club_id=club_for(session, lesson.golfer_id, club).id, sha256=digest,
                    file_name=shown_name, kind=kind or contents.kind, profile=profile,
                    mount=mount_of(on_mount, saved), column_mapping_id=saved.id if saved else None,
                    state="waiting", imported_at=now(), issues=reported(contents) if guess is None else asking(guess),
                )  # fmt: skip
                session.add(recording)
                session.flush()
                if guess is not None:
                    pass  # nothing can be done before its layout is known
                elif recording.kind == "swings":
                    recording.calibration_id = newest_calibration(session, lesson_id, on_mount)
                    session.flush()
                else:
                    calibrates(session, recording)
                if guess is None and recording.kind != "calibration":
                    queue(session, recording)
                session.flush()
                change.made_id = recording.id
        made = views_of_recordings(session, recording_id=change.made_id or 0)
    return _only(made)


def recording(ws: Workspace, recording_id: int) -> RecordingView:
    """One recording. Raises NotFoundError."""
    with ws.reading() as session:
        return _only(views_of_recordings(session, recording_id=recording_id))


def original_bytes(ws: Workspace, recording_id: int) -> tuple[str, bytes]:
    """File name and bytes of a recording, exactly as they came."""
    with ws.reading() as session:
        row = found(session, Recording, recording_id)
        original = session.get_one(Original, row.sha256)
        return row.file_name, unpack_bytes(original.packing, original.content)


def update_recording(
    ws: Workspace, recording_id: int, *, club: str | None = None, mount: str | None = None, key: str | None = None
) -> RecordingView:
    """The recording was made with another club or mounting than said; its swings are worked out again in place."""
    form = Form()
    on_mount = None if mount is None else form.name("mount", mount, "a name of the mounting, for example a")
    form.done()
    with ws.reading() as session:
        lesson_id = found(session, Recording, recording_id).lesson_id
    with ws.change("update_recording", key=key, lesson_id=lesson_id, can_undo=False) as change:
        session = change.session
        row = found(session, Recording, recording_id)
        if not change.repeated:
            lesson = found(session, Lesson, lesson_id)
            if club is not None:
                row.club_id = club_in_bag(session, lesson.golfer_id, club).id
            if on_mount is not None and on_mount != row.mount:
                row.mount = on_mount
                if row.kind == "swings":
                    row.calibration_id = newest_calibration(session, lesson_id, on_mount)
            session.flush()
            if row.kind != "calibration":
                queue(session, row, again=True)
                row.state = "waiting"
    return recording(ws, recording_id)


def analyse_again(ws: Workspace, recording_id: int) -> RecordingView:
    """Queue a recording once more, whatever became of it: after a failure, or to use a newer method."""
    with ws.change("analyse_again", can_undo=False) as change:
        row = found(change.session, Recording, recording_id)
        change.lesson_id = row.lesson_id
        queue(change.session, row, again=True)
    return recording(ws, recording_id)


def work_out_with(ws: Workspace, club_id: int) -> None:
    """A club's numbers changed: what was recorded with it is worked out anew."""
    with ws.reading() as session:
        rows = select(Recording.id).where(Recording.club_id == club_id, Recording.kind != "calibration").limit(1)
        if session.scalar(rows) is None:
            return
    with ws.change("work_out_with", can_undo=False, in_book=False) as change:
        for row in change.session.scalars(select(Recording).where(Recording.club_id == club_id)).all():
            if row.kind != "calibration":
                change.lesson_id = row.lesson_id
                queue(change.session, row)


def jobs(ws: Workspace, *, unfinished: bool = True) -> list[JobView]:
    """Background work, in the order in which it is done."""
    query = select(Job.recording_id).order_by(Job.id)
    if unfinished:
        query = query.where(Job.state.in_(("waiting", "running")))
    with ws.reading() as session:
        ids = list(dict.fromkeys(session.scalars(query)))
        views = [v for i in ids for v in views_of_recordings(session, recording_id=i)]
    return [v.job for v in views if v.job is not None]


def save_mapping(ws: Workspace, name: str, text: str | bytes, *, key: str | None = None) -> None:
    """Save a mapping of any kind under a name; the same name again replaces it (also for `analyse_again` of older ones).

    Raises InputError with every fault of the mapping.
    """
    form = Form()
    tidy = form.name("name", name, "a name for the mapping")
    form.done()
    given = object_from_text(text, "mapping")
    if not isinstance(given, Mapping):
        raise InputError.of("mapping_not_json", "mapping", expected="a JSON object", got=type(given).__name__)
    check_mapping(given)
    with ws.change("save_mapping", key=key, can_undo=False) as change:
        row = change.session.scalar(select(ColumnMapping).where(ColumnMapping.name == tidy))
        known: dict[str, Any] = {}
        if row is None:
            row = ColumnMapping(name=tidy)
            change.session.add(row)
        elif FINGERPRINT in row.mapping:
            known = {FINGERPRINT: row.mapping[FINGERPRINT]}
        row.mapping, row.saved_at = {**given, **known}, now()


def mappings(ws: Workspace) -> list[str]:
    """Names of the saved column mappings."""
    with ws.reading() as session:
        return list(session.scalars(select(ColumnMapping.name).order_by(ColumnMapping.name)))


def cancel_job(ws: Workspace, job_id: int) -> None:
    """Stop work that waits or is under way; the recording stays and can be worked out later."""
    with ws.change("cancel_job", can_undo=False) as change:
        job = found(change.session, Job, job_id)
        change.lesson_id = found(change.session, Recording, job.recording_id).lesson_id
        _cancel(job)


def cancel_jobs(ws: Workspace, lesson_id: int) -> int:
    """Stop all work of a lesson that waits or is under way; returns how much there was."""
    with ws.change("cancel_job", lesson_id=lesson_id, can_undo=False) as change:
        found(change.session, Lesson, lesson_id)
        open_ones = select(Job).join(Recording, Recording.id == Job.recording_id).where(
            Recording.lesson_id == lesson_id, Job.state.in_(("waiting", "running"))
        )  # fmt: skip
        rows = list(change.session.scalars(open_ones))
        for job in rows:
            _cancel(job)
        return len(rows)


def _cancel(job: Job) -> None:
    if job.state == "waiting":
        job.state, job.ended_at, job.message = "cancelled", now(), "Taken off the queue."
    elif job.state == "running":
        job.state, job.ended_at, job.message = "cancelled", now(), "Stopped."


# -- rows -------------------------------------------------------------------------------------------------------------


def newest_calibration(session: Session, lesson_id: int, mount: str) -> int | None:
    """The newest calibration recording of this mounting in this lesson."""
    return session.scalar(
        select(Recording.id)
        .where(Recording.lesson_id == lesson_id, Recording.mount == mount, Recording.kind != "swings")
        .order_by(Recording.id.desc())
        .limit(1)
    )


def queue(session: Session, row: Recording, *, again: bool = False) -> None:
    """Queue the analysis of a recording unless exactly this work is queued or done already, or it still asks what it is."""
    if asked_of(row) is not None:
        return
    known = content_key(session, row)
    job = session.scalar(select(Job).where(Job.content_key == known))
    if job is None:
        session.add(Job(kind="analyse", recording_id=row.id, content_key=known, state="waiting",
                        attempts=0, queued_at=now()))  # fmt: skip
        row.state = "waiting"
    elif again and job.state not in {"waiting", "running"}:
        job.state, job.attempts, job.message = "waiting", 0, ""
        job.started_at = job.ended_at = None
        row.state = "waiting"


def views_of_recordings(
    session: Session, *, lesson_id: int | None = None, recording_id: int | None = None
) -> list[RecordingView]:
    """Recordings of a lesson, in order of import, or the one of this id."""
    query = select(Recording, Club.name, Original.size_bytes, ColumnMapping.name)
    query = query.join(Club, Club.id == Recording.club_id).join(Original, Original.sha256 == Recording.sha256)
    query = query.outerjoin(ColumnMapping, ColumnMapping.id == Recording.column_mapping_id).order_by(Recording.id)
    query = query.where(Recording.id == recording_id) if recording_id else query.where(Recording.lesson_id == lesson_id)
    rows = session.execute(query).all()
    ids = [r.id for r, _, _, _ in rows]
    per_recording = (
        select(Swing.recording_id, func.count().label("swings"))
        .where(Swing.recording_id.in_(ids))
        .group_by(Swing.recording_id)
    )
    counts: Mapping[int | None, int] = {row.recording_id: row.swings for row in session.execute(per_recording)}
    by_age = sorted(
        session.scalars(select(Job).where(Job.recording_id.in_(ids))),
        key=lambda j: (j.state in {"waiting", "running"}, j.ended_at or j.queued_at, j.id),
    )
    newest = {j.recording_id: j for j in by_age}
    unfinished = any(j.state in {"waiting", "running"} for j in by_age)
    waiting = list(session.scalars(select(Job.id).where(Job.state == "waiting").order_by(Job.id))) if unfinished else []
    pace = pace_of(session) if unfinished else None
    return [
        RecordingView(
            r.id, r.lesson_id, club, r.file_name, r.kind, r.mount, r.profile, size, r.sha256, r.state, r.method,
            tuple((r.issues or {}).get("issues", ())), counts.get(r.id, 0), r.imported_at,
            _job_view(newest.get(r.id), r, waiting, pace), (asked_of(r) or {}).get("kind"), mapping,
            report_from((r.issues or {}).get(CALIBRATION)),
        )
        for r, club, size, mapping in rows
    ]  # fmt: skip


def _job_view(job: Job | None, row: Recording, waiting: list[int], pace: float | None) -> JobView | None:
    if job is None:
        return None
    ahead = sum(i < job.id for i in waiting) if job.state == "waiting" else 0
    left = None
    if pace is not None and job.state == "waiting":
        left = pace * (ahead / WORKERS + 1.5)  # its own turn, and half of the one under way
    elif pace is not None and job.state == "running" and job.started_at is not None:
        left = max(pace - (now() - job.started_at).total_seconds(), 0.5)
    return JobView(
        job.id, job.kind, row.id, row.lesson_id, row.file_name, job.state, job.message, job.queued_at,
        job.started_at, job.ended_at, ahead, left,
    )  # fmt: skip


def pace_of(session: Session) -> float | None:
    """About how long one piece of work takes, s: the middle of the last ones; None before the first."""
    done = select(Job.started_at, Job.ended_at).where(Job.state == "done").order_by(Job.id.desc()).limit(9)
    took = sorted((b - a).total_seconds() for a, b in session.execute(done).all() if a is not None and b is not None)
    return took[len(took) // 2] if took else None


def mapping_of(session: Session, row: Recording) -> dict[str, Any] | None:
    """The mapping a recording was read with, as its reader takes it, or None for our own layout."""
    return bare(found(session, ColumnMapping, row.column_mapping_id).mapping) if row.column_mapping_id else None


def mapping_for(session: Session, fingerprint: str) -> ColumnMapping | None:
    """The mapping saved for a header of this fingerprint, the newest where there are several."""
    rows = session.scalars(select(ColumnMapping).order_by(ColumnMapping.saved_at.desc(), ColumnMapping.id.desc()))
    return next((r for r in rows if r.mapping.get(FINGERPRINT) == fingerprint), None)


def mount_of(mount: str, saved: ColumnMapping | None) -> str:
    """The mounting a file belongs to: sensors as said; markers and ready-made angles share nothing with them."""
    kind = kind_of_mapping(saved.mapping if saved else None)
    if saved is None or mount != USUAL_MOUNT or kind not in ("markers", "angles"):
        return mount
    return "markers" if kind == "markers" else saved.name


def asking(guess: Guess) -> dict[str, Any]:
    """What a recording holds while nobody has said what is what in it."""
    words = (
        "A layout that was not seen before. Say once what is what; it is remembered, and the swings appear."
        " Nothing is worked out from a guess."
    )
    issue = {"code": "layout_asked", "severity": "warning", "where": "file", "message": words}
    return {"issues": [issue], ASKS: guess.to_json()}


def reported(contents: Contents) -> dict[str, Any] | None:
    """What a recording holds about its calibration, if there is one in it."""
    return None if contents.report is None else {CALIBRATION: contents.report.to_json()}


def asked_of(row: Recording) -> dict[str, Any] | None:
    """The guess that waits to be confirmed, or None."""
    asks = (row.issues or {}).get(ASKS)
    return asks if isinstance(asks, dict) else None


def _saved_mapping(session: Session, name: str | None) -> ColumnMapping | None:
    if name is None:
        return None
    row = session.scalar(select(ColumnMapping).where(ColumnMapping.name == name))
    if row is None:
        names = ", ".join(session.scalars(select(ColumnMapping.name).order_by(ColumnMapping.name))) or "none saved yet"
        raise InputError.of("unknown_mapping", "mapping", expected=f"a saved column mapping ({names})", got=repr(name))
    return row


def _only(views: list[RecordingView]) -> RecordingView:
    if not views:
        raise NotFoundError("This recording is not there any more. It may have been erased or undone; reload.")
    return views[0]


def calibrates(session: Session, calibration: Recording) -> None:
    """A new calibration of a mounting: its swings are worked out again with it."""
    if calibration.kind == "calibration":
        calibration.state, calibration.method = "analysed", METHOD
    rows = session.scalars(
        select(Recording).where(
            Recording.lesson_id == calibration.lesson_id,
            Recording.mount == calibration.mount,
            Recording.kind == "swings",
        )
    )
    for row in rows.all():
        row.calibration_id = calibration.id
        session.flush()
        queue(session, row)


def content_key(session: Session, row: Recording) -> str:
    """What the result depends on: bytes, calibration, golfer's hand, club, mapping and method."""
    lesson = found(session, Lesson, row.lesson_id)
    golfer = found(session, Golfer, lesson.golfer_id)
    club = found(session, Club, row.club_id)
    calibration = session.get(Recording, row.calibration_id) if row.calibration_id else None
    parts = (
        METHOD, row.id, row.sha256, calibration.sha256 if calibration else "", golfer.handedness, club.name,
        club.loft_deg, club.lie_deg, club.length_m, row.profile or "",
        json.dumps(mapping_of(session, row), sort_keys=True),
    )  # fmt: skip
    return hashlib.sha256(repr(parts).encode()).hexdigest()


def _may_record(session: Session, lesson_id: int) -> None:
    lesson = found(session, Lesson, lesson_id)
    golfer = view_of_golfer(found(session, Golfer, lesson.golfer_id))
    if not golfer.may_be_recorded:
        raise InputError.of(
            "consent_needed", "file", expected="the consent of a parent or carer and the child's own agreement",
            got="neither or only one of them", do="Note both on the golfer's page first; numbers may be typed meanwhile",
        )  # fmt: skip
