"""Backup, restore and check of a data folder, as a coach runs them."""

from pathlib import Path

from ferrule.app.finding import now
from ferrule.store.backup import CheckReport, back_up, check, restore

__all__ = ["CheckReport", "back_up_folder", "check_folder", "restore_folder"]


def back_up_folder(folder: Path | str, target: Path | str | None = None) -> Path:
    """Write a backup beside the data folder, or to `target` (new or empty). Works while the server runs."""
    source = Path(folder).absolute()
    wanted = Path(target) if target is not None else source.with_name(f"{source.name}-backup-{now():%Y%m%d-%H%M%S}")
    return back_up(source, wanted)


def restore_folder(backup: Path | str, folder: Path | str) -> CheckReport:
    """Put a backup into a new or empty folder and check it. Raises StoreError when the folder is in use."""
    restore(Path(backup), Path(folder))
    return check(Path(folder))


def check_folder(folder: Path | str) -> CheckReport:
    """Look through a data folder; `report.problems` says what was found, `report.clean` that nothing was."""
    return check(Path(folder))
