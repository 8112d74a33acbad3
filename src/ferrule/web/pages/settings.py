"""Settings: units, what counts as square, the look, and what each device's number means."""

from collections.abc import Sequence

from ferrule.app import devices as gear
from ferrule.app.devices import question_for
from ferrule.app.mappings import MappingLine, mapping_lines
from ferrule.app.settings import Settings, settings
from ferrule.app.views import DeviceView
from ferrule.app.workspace import Workspace
from ferrule.web.entry import BY_NAME
from ferrule.web.markup import Markup, tag
from ferrule.web.pages.mapping import KINDS
from ferrule.web.parts import REST, button, choose, empty, fault_place, field, form, sheet, submit, top
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.words import counted, size


@page("/settings")
def settings_page(ws: Workspace, _parts: Parts) -> Drawn:
    """The coach's settings."""
    return Drawn("Settings", settings_html(settings(ws), gear.devices(ws), mapping_lines(ws)))


def settings_html(kept: Settings, devices: list[DeviceView], layouts: Sequence[MappingLine] = ()) -> Markup:
    """The page from its data."""
    body = tag(
        "main",
        tag("section", tag("h1", "Settings", class_="calm")),
        form(
            f"{REST}/settings",
            tag(
                "section",
                tag("h2", "You"),
                tag(
                    "div",
                    field("coach_name", "Your name", value=kept.coach_name, maxlength=2000),
                    field("place", "Where you teach", value=kept.place, maxlength=2000),
                    class_="fields",
                ),
            ),
            tag(
                "section",
                tag("h2", "Units"),
                tag(
                    "div",
                    choose("length_unit", "Distances", (("yards", "Yards"), ("metres", "Metres")), chosen=kept.length_unit),
                    choose("speed_unit", "Speeds", (("mph", "Miles an hour"), ("kmh", "Kilometres an hour"), ("mps", "Metres a second")), chosen=kept.speed_unit),
                    field("tolerance_deg", "A face within this is square enough", value=size(kept.tolerance_deg, 1), kind="number", unit="°"),
                    class_="fields",
                ),
            ),
            tag(
                "section",
                tag("h2", "A watched folder"),
                tag("p", "Recordings that a device or its program writes there come into the open lesson by themselves, a second or two after they are whole.", class_="soft"),
                field("watched_folder", "Folder, written in full; empty for none", value=kept.watched_folder, wide=True, maxlength=2000, spellcheck="false"),
                id="watched",
            ),
            fault_place(""),
            tag("div", submit("Keep"), class_="tools"),
            method="PATCH",
            data_say="Kept.",
        ),
        tag(
            "section",
            tag("h2", "How the pages look here"),
            tag("p", "On this tablet or laptop only.", class_="soft"),
            tag(
                "div",
                tag("button", "Warm paper", type="button", class_="a", data_mode_to="paper"),
                tag("button", "In the sun: black on white", type="button", class_="a", data_mode_to="sun"),
                tag("button", "Dark, for a dim bay", type="button", class_="a", data_mode_to="dark"),
                class_="tools",
            ),
        ),
        _devices(devices),
        _layouts(layouts),
        tag(
            "section",
            tag("h2", "Your data"),
            tag("p", "Everything stays in one folder on this machine; nothing is ever sent away. ", tag("code", "ferrule backup"), " copies it, ", tag("code", "ferrule check"), " looks it through."),
            tag("p", tag("a", "What other programs can ask of this one", href="/interface", class_="bare"), class_="tools"),
        ),
    )  # fmt: skip
    return sheet(top(links=[("Golfers", "/", False), ("Settings", "/settings", True)]), body)


def _devices(devices: list[DeviceView]) -> Markup:
    if not devices:
        return tag(
            "section",
            empty("Devices", "When you first type a number off a device, Ferrule asks which way its number goes up. What you answered can be changed here."),
            id="devices",
        )  # fmt: skip
    return tag("section", tag("h2", "Devices"), *(_device(d) for d in devices), id="devices")


def _layouts(layouts: Sequence[MappingLine]) -> Markup:
    """Layouts of files that are recognised, each with a way to correct it and to forget it."""
    if not layouts:
        return tag(
            "section",
            empty("Layouts of files", "Drop any recording into a lesson: columns of other sensors, markers of cameras, wrist angles. Ferrule asks once what is what; what you answered can be changed here."),
            id="layouts",
        )  # fmt: skip
    rows = [
        tag(
            "li",
            tag(
                "div",
                tag("span", tag("span", line.name, class_="name"), tag("br"), tag("span", " · ".join([KINDS[line.kind], *([counted(line.recordings, "recording")] if line.kind != "balls" else [])]), class_="note"), class_="main"),
                tag("a", "Look it over", href=f"/recordings/{line.last_recording_id}/layout", class_="a small") if line.last_recording_id else None,
                button("Forget it", f"{REST}/mappings/{line.id}", method="DELETE", class_="bare", sure="Files like it are asked about again. Forget?"),
                class_="item",
            ),
            data_key=f"layout-{line.id}",
        )
        for line in layouts
    ]  # fmt: skip
    return tag("section", tag("h2", "Layouts of files"), tag("ul", *rows, class_="list"), id="layouts")


def _device(device: DeviceView) -> Markup:
    asked = [
        form(
            f"{REST}/devices/{device.id}/sign",
            tag("input", type="hidden", name="measure", value=s.measure),
            tag(
                "div",
                choose(
                    "rises_when",
                    (BY_NAME[s.measure].said if s.measure in BY_NAME else s.measure.replace("_", " ")) + ": its number goes up when it",
                    [(c, c) for c in question_for(s.measure).choices],
                    chosen=s.rises_when,
                ),
                field("shows_at_neutral", "What it shows at neutral", value=f"{s.shows_at_neutral:g}", kind="number", id_=f"d{device.id}-{s.measure.replace('.', '-')}"),
                class_="fields",
            ),
            fault_place(""),
            tag("div", submit("Change", class_="a small"), tag("span", "Every number kept from it is turned with it.", class_="hint"), class_="tools"),
            method="PUT",
            draft=f"device-{device.id}-{s.measure}",
            data_say="Changed, with every number kept from it.",
        )
        for s in device.signs
    ]  # fmt: skip
    return tag(
        "div", tag("h3", device.name), *(asked or [tag("p", "Nothing asked yet.", class_="soft")]), class_="device"
    )
