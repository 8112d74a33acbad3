"""Settings of the coach: units, how close is close enough, how the pages look."""

from dataclasses import dataclass, fields
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
    """tolerance_deg: half-width of face that counts as square; mode: light, sun (black on white, thicker), dark."""

    length_unit: str = "yards"
    speed_unit: str = "mph"
    tolerance_deg: float = 2.0
    mode: str = "light"
    coach_name: str = ""
    place: str = ""


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
