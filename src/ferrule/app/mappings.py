"""The question a file of an unknown layout asks, its answer, and what is remembered of it.

A guess with its reasons is kept beside the recording when it is dropped in. Confirmed or corrected, it becomes a mapping
under a name and the header's fingerprint; every waiting recording with that header is then read, and every later one.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import func, select

from ferrule.app.analysis import Contents, look_into
from ferrule.app.finding import found, now
from ferrule.app.form import Form
from ferrule.app.recordings import (
    asked_of,
    calibrates,
    mapping_for,
    mount_of,
    newest_calibration,
    queue,
    recording,
    reported,
    views_of_recordings,
)
from ferrule.app.sources import FINGERPRINT, bare, check_mapping, kind_of_mapping, what_is
from ferrule.app.swing_rows import lesson_and_hand
from ferrule.app.views import RecordingView
from ferrule.app.workspace import Workspace
from ferrule.errors import FerruleError, InputError, NotFoundError
from ferrule.store.codec import unpack_bytes
from ferrule.store.tables import ColumnMapping, Original, Recording

A_NAME: Final = "a name to know this layout by, such as the device"


@dataclass(frozen=True, slots=True)
class LayoutView:
    """What is known of a file's layout. header: names to choose from; mapping: guessed, or as saved; why: reasons of the
    guesses by part; shows: what each column spans; name: of the saved mapping, "" while it only is a guess; others: how
    many more recordings wait with it.
    """

    recording: RecordingView
    kind: str
    header: tuple[str, ...]
    mapping: Mapping[str, Any]
    why: Mapping[str, str]
    shows: Mapping[str, str]
    name: str
    others: int


@dataclass(frozen=True, slots=True)
class MappingLine:
    """A saved mapping in the list. recordings: how many were read with it; last_recording_id: the newest of them."""

    id: int
    name: str
    kind: str
    mapping: Mapping[str, Any]
    saved_at: datetime
    recordings: int
    last_recording_id: int | None


def layout(ws: Workspace, recording_id: int) -> LayoutView:
    """The layout of a recording, guessed or saved. Raises NotFoundError for a recording of our own layout."""
    with ws.reading() as session:
        row = found(session, Recording, recording_id)
        view = views_of_recordings(session, recording_id=recording_id)[0]
        asks = asked_of(row)
        if asks is not None:
            others = session.scalars(select(Recording).where(Recording.id != row.id, Recording.state == "waiting"))
            alike = sum((asked_of(o) or {}).get("fingerprint") == asks["fingerprint"] for o in others)
            return LayoutView(
                view,
                asks["kind"],
                tuple(asks["header"]),
                asks["mapping"],
                asks["why"],
                asks.get("shows", {}),
                "",
                alike,
            )
        saved = found(session, ColumnMapping, row.column_mapping_id) if row.column_mapping_id else None
        if saved is None:
            raise NotFoundError(
                "This recording is in Ferrule’s own layout: there is nothing to be said about its columns."
            )
        _, hand = lesson_and_hand(session, row.lesson_id)
        original = session.get_one(Original, row.sha256)
        content = unpack_bytes(original.packing, original.content)
    guess = what_is(content, view.file_name, hand)
    header, shows = (guess.header, guess.shows) if guess is not None else ((), {})
    kept = bare(saved.mapping) or {}
    return LayoutView(view, kind_of_mapping(saved.mapping), header, kept, {}, shows, saved.name, 0)


def confirm_layout(
    ws: Workspace, recording_id: int, name: str, mapping: Mapping[str, Any], *, key: str | None = None
) -> RecordingView:
    """Say what is what in a recording: the mapping is checked on the file itself, saved under a name, and the recording
    and all others that wait with the same header are worked out.

    Said again for a mapping in use, it is corrected, and everything read with it is worked out anew. Raises InputError
    with the faults by part of the mapping; then nothing is saved.
    """
    form = Form()
    tidy = form.name("name", name, A_NAME)
    form.done()
    check_mapping(mapping)
    with ws.reading() as session:
        row = found(session, Recording, recording_id)
        asks = asked_of(row)
        current = session.get(ColumnMapping, row.column_mapping_id) if row.column_mapping_id else None
        if asks is None and current is None:
            raise NotFoundError(
                "This recording is in Ferrule’s own layout: there is nothing to be said about its columns."
            )
        fingerprint = (
            asks["fingerprint"] if asks is not None else (current.mapping.get(FINGERPRINT) if current else None)
        )
        taken = session.scalar(select(ColumnMapping).where(ColumnMapping.name == tidy))
        known = mapping_for(session, fingerprint) if fingerprint else current
        if taken is not None and taken is not known and taken is not current:
            raise InputError.of(
                "name_taken", "name", expected="a name of its own", got=f"{tidy!r}, which another layout has",
                do="Choose another name",
            )  # fmt: skip
        alike = [r.id for r in session.scalars(select(Recording)) if r.id == row.id or _waits_with(r, fingerprint)]
    kinds = _kinds(ws, alike, recording_id, mapping)
    with ws.change("confirm_layout", key=key, lesson_id=row.lesson_id, can_undo=False) as change:
        session = change.session
        if not change.repeated:
            saved = session.get(ColumnMapping, known.id) if known is not None else None
            if saved is None:
                saved = ColumnMapping(name=tidy)
                session.add(saved)
            saved.name, saved.mapping, saved.saved_at = tidy, dict(mapping), now()
            if fingerprint is not None:
                saved.mapping = {**saved.mapping, FINGERPRINT: fingerprint}
            session.flush()
            for each, contents in kinds.items():
                other = session.get(Recording, each)
                if other is not None:
                    _take_up(session, other, saved, contents)
            session.flush()
            for other in session.scalars(select(Recording).where(Recording.column_mapping_id == saved.id)).all():
                if other.kind != "calibration":
                    queue(session, other)
            change.made_id = recording_id
    return recording(ws, recording_id)


def mapping_lines(ws: Workspace) -> list[MappingLine]:
    """Every saved mapping, by name."""
    with ws.reading() as session:
        used = (
            select(Recording.column_mapping_id, func.count().label("count"), func.max(Recording.id).label("last"))
            .where(Recording.column_mapping_id.is_not(None))
            .group_by(Recording.column_mapping_id)
        )
        counts = {row.column_mapping_id: (row.count, row.last) for row in session.execute(used)}
        return [
            MappingLine(
                m.id,
                m.name,
                kind_of_mapping(m.mapping),
                bare(m.mapping) or {},
                m.saved_at,
                *counts.get(m.id, (0, None)),
            )
            for m in session.scalars(select(ColumnMapping).order_by(ColumnMapping.name))
        ]


def saved_for(ws: Workspace, fingerprint: str) -> tuple[str, dict[str, Any]] | None:
    """Name and mapping saved for a header, or None."""
    with ws.reading() as session:
        row = mapping_for(session, fingerprint)
        return None if row is None else (row.name, bare(row.mapping) or {})


def forget_mapping(ws: Workspace, mapping_id: int, *, key: str | None = None) -> None:
    """Forget a mapping that no recording uses, or stop recognising files by one that is in use."""
    with ws.change("forget_mapping", key=key, can_undo=False) as change:
        if change.repeated:
            return
        row = found(change.session, ColumnMapping, mapping_id)
        used = change.session.scalar(select(Recording.id).where(Recording.column_mapping_id == mapping_id).limit(1))
        if used is None:
            change.session.delete(row)
        else:
            row.mapping = {k: v for k, v in row.mapping.items() if k != FINGERPRINT}


def _waits_with(row: Recording, fingerprint: str | None) -> bool:
    asks = asked_of(row)
    return asks is not None and asks.get("fingerprint") == fingerprint


def _kinds(ws: Workspace, ids: list[int], first: int, mapping: Mapping[str, Any]) -> dict[int, Contents]:
    """What each recording holds when read with the mapping. The one that was asked about must be readable; another that
    is not goes on waiting.
    """
    kinds: dict[int, Contents] = {}
    for each in sorted(ids, key=lambda i: i != first):
        with ws.reading() as session:
            row = session.get(Recording, each)
            if row is None:
                continue
            original = session.get_one(Original, row.sha256)
            content, name, profile = unpack_bytes(original.packing, original.content), row.file_name, row.profile
        try:
            kinds[each] = look_into(content, name, profile, bare(mapping))
        except FerruleError:
            if each == first:
                raise
    return kinds


def _take_up(session: Any, row: Recording, saved: ColumnMapping, contents: Contents) -> None:
    row.column_mapping_id, row.issues, row.state = saved.id, reported(contents), "waiting"
    row.kind, row.mount = contents.kind, mount_of(row.mount, saved)
    session.flush()
    if row.kind == "swings":
        row.calibration_id = newest_calibration(session, row.lesson_id, row.mount)
        session.flush()
    else:
        calibrates(session, row)
