"""`sheet`: the golfer's sheet as a file."""

from pathlib import Path
from typing import Any

from ferrule.app.sheets import FORMS, golfer_named, sheet
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError, StoreError

Answer = dict[str, Any]


def written(folder: Path, golfer: str, out: Path, paper: str, large_print: bool, club: str | None) -> Answer:
    """Write the sheet; the folder may be open in the workbench meanwhile."""
    form = out.suffix.casefold().removeprefix(".")
    if form not in FORMS:
        raise InputError.of(
            "choice", "--out", expected=f"a file that ends in {', '.join('.' + f for f in FORMS)}", got=repr(out.name)
        )
    with Workspace(folder, read_only=True) as ws:
        who = golfer_named(ws, golfer)
        content = sheet(ws, who.id, form, club=club, paper=paper, large_print=large_print)
    try:
        out.write_bytes(content)
    except OSError as error:
        raise StoreError(f"{out} could not be written ({error.strerror}). Choose another place.") from None
    return {"schema": 1, "golfer": who.name, "file": str(out), "bytes": len(content)}


def told(answer: Answer) -> str:
    """Where the sheet is."""
    return f"The sheet of {answer['golfer']} is in {answer['file']}."
