"""`backup`, `restore` and `check`."""

from pathlib import Path
from typing import Any

from ferrule.app.keeping import back_up_folder, check_folder, restore_folder
from ferrule.errors import StoreError

Answer = dict[str, Any]


def backed_up(folder: Path, to: Path | None) -> Answer:
    """Where the backup was written."""
    return {"schema": 1, "said": f"Backup written to {back_up_folder(folder, to)}."}


def restored(source: Path, folder: Path) -> Answer:
    """Restore and check."""
    report = restore_folder(source, folder)
    if not report.clean:
        raise StoreError("Restored, but the check found problems: " + "; ".join(report.problems))
    return {"schema": 1, "said": f"Restored into {folder}; checked and found in order."}


def checked(folder: Path) -> Answer:
    """Raises StoreError when something was found."""
    report = check_folder(folder)
    if not report.clean:
        raise StoreError("The check found problems: " + "; ".join(report.problems))
    return {"schema": 1, "said": f"{folder} is in order."}


def told(answer: Answer) -> str:
    """The sentence."""
    return str(answer["said"])
