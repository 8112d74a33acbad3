"""Settings of the coach: units, how close is close enough, how the pages look."""

from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, Final

from sqlalchemy import select

from ferrule.app.form import Form
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError
from ferrule.store.tables import Setting

CHOICES: Final = {
    "length_unit": ("yards", "metres"),
    "speed_unit": ("mph", "mps", "kmh"),
    "mode": ("light", "sun", "dark"),
}


@dataclass(frozen=True, slots=True)
class Settings:
    """tolerance_deg: half-width of face that counts as square; mode: light, sun (black on white, thicker), dark;
    watched_folder: whose new recordings come into the open lesson, "" for none.
    """

    length_unit: str = "yards"
    speed_unit: str = "mph"
    tolerance_deg: float = 2.0
    mode: str = "light"
    coach_name: str = ""
    place: str = ""
    watched_folder: str = ""


def settings(ws: Workspace) -> Settings:
    """The coach's settings; the usual ones where nothing was set."""
    with ws.reading() as session:
        kept: dict[str, Any] = {row.name: row.value for row in session.scalars(select(Setting))}
    names = {f.name for f in fields(Settings)}
    return Settings(**{n: v for n, v in kept.items() if n in names})


def change_settings(ws: Workspace, *, key: str | None = None, **changed: Any) -> Settings:
    """Change the named settings. Raises InputError with the faults by name."""
    form = Form()
    names = {f.name for f in fields(Settings)}
    for name, value in changed.items():
        if name not in names:
            raise InputError.of("unknown_key", name, expected=f"one of {', '.join(sorted(names))}", got=repr(name))
        if name in CHOICES:
            form.needed(name, value, CHOICES[name])
        elif name == "tolerance_deg":
            form.number(name, value, 0.5, 10, "a half-width in degrees")
        elif name == "watched_folder":
            changed[name] = _folder(form, value, ws.folder.path)
        else:
            changed[name] = form.text(name, value)
    form.done()
    with ws.change("change_settings", key=key, can_undo=False) as change:
        if not change.repeated:
            for name, value in changed.items():
                row = change.session.get(Setting, name)
                if row is None:
                    change.session.add(Setting(name=name, value=value))
                else:
                    row.value = value
    return settings(ws)


def _folder(form: Form, value: str | None, own: Path) -> str:
    """A folder that is there and can be read, or "" for none."""
    text = form.text("watched_folder", value).strip('"')
    if not text:
        return ""
    path = Path(text).expanduser()
    try:
        if not path.is_absolute() or not path.is_dir():
            form.fail(
                "no_folder", "watched_folder", "a folder on this machine, written in full", repr(text),
                "a mistyped name, or a folder of another machine", "Copy it from the file manager",
            )  # fmt: skip
        elif own.resolve() in (path.resolve(), *path.resolve().parents):
            form.fail(
                "own_folder", "watched_folder", "the folder your device writes to", "Ferrule's own data folder",
                do="Choose another",
            )  # fmt: skip
        else:
            next(path.iterdir(), None)
    except OSError as error:
        form.fail("no_folder", "watched_folder", "a folder that may be read", str(error.strerror or error))
    return str(path)
