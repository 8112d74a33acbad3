"""What a coach said of a table of ball flights, kept by its header: a table like it is recognised and asks nothing again."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import select
from sqlalchemy.orm import Session

from ferrule.app.finding import now
from ferrule.app.workspace import Workspace
from ferrule.files.ballguess import guess_ball_mapping
from ferrule.files.fingerprint import fingerprint
from ferrule.store.tables import ColumnMapping

KIND: Final = "balls"
HEADER: Final = "header"
"""Key under which such a mapping says which header it belongs to; another one than recordings use, so that neither finds
the other's."""
SAID: Final = ("lengths", "speeds", "plus", "mirrored")
LONGEST_NAME: Final = 100


@dataclass(frozen=True, slots=True)
class BallLayout:
    """name: under which the layout is kept; said: the answers of last time by field."""

    name: str
    said: Mapping[str, str]


def ball_layout(ws: Workspace, content: bytes) -> BallLayout | None:
    """What was said of the last table with this header. Raises InputError when it is no table of ball flights."""
    header = _header(content)
    with ws.reading() as session:
        row = _saved(session, fingerprint(header))
        return None if row is None else BallLayout(row.name, _said(row))


def keep_ball_layout(ws: Workspace, content: bytes, said: Mapping[str, str]) -> None:
    """Remember what was said of a table that was taken in."""
    header = _header(content)
    print_ = fingerprint(header)
    with ws.reading() as session:
        row = _saved(session, print_)
        if row is not None and {**_said(row), **said} == _said(row):
            return
    with ws.change("keep_ball_layout", can_undo=False, in_book=False) as change:
        row = _saved(change.session, print_)
        if row is None:
            row = ColumnMapping(name=_free_name(change.session, header))
            change.session.add(row)
            row.mapping = {}
        kept = {k: v for k, v in said.items() if k in SAID and v}
        row.mapping = {"schema": 1, "kind": KIND, HEADER: print_, "said": {**_said(row), **kept}}
        row.saved_at = now()


def _header(content: bytes) -> list[str]:
    found = guess_ball_mapping(content)
    return [*(c.source for c in found.mapping.columns.values()), *found.left_out]


def _saved(session: Session, print_: str) -> ColumnMapping | None:
    rows = session.scalars(select(ColumnMapping))
    return next((r for r in rows if r.mapping.get("kind") == KIND and r.mapping.get(HEADER) == print_), None)


def _said(row: ColumnMapping) -> dict[str, str]:
    said: Any = row.mapping.get("said", {})
    return {str(k): str(v) for k, v in said.items()}


def _free_name(session: Session, header: list[str]) -> str:
    taken = set(session.scalars(select(ColumnMapping.name)))
    name = f"Ball flights: {', '.join(h for h in header if h)}"
    name = name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 3].rstrip(' ,')} ..."
    return next(n for i in range(1, len(taken) + 2) if (n := name if i == 1 else f"{name} ({i})") not in taken)


__all__ = ["KIND", "BallLayout", "ball_layout", "keep_ball_layout"]
