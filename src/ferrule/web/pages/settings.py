"""Settings: units, what counts as square, the look, and what each device's number means."""

from ferrule.app import devices as gear
from ferrule.app.devices import question_for
from ferrule.app.settings import Settings, settings
from ferrule.app.views import DeviceView
from ferrule.app.workspace import Workspace
from ferrule.web.entry import BY_NAME
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, choose, empty, fault_place, field, form, sheet, submit, top
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.words import size


@page("/settings")
def settings_page(ws: Workspace, _parts: Parts) -> Drawn:
    """The coach's settings."""
    return Drawn("Settings", settings_html(settings(ws), gear.devices(ws)))


def settings_html(kept: Settings, devices: list[DeviceView]) -> Markup:
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
                class_="tools",
            ),
        ),
        _devices(devices),
        tag(
            "section",
            tag("h2", "Your data"),
            tag("p", "Everything stays in one folder on this machine; nothing is ever sent away. ", tag("code", "ferrule backup"), " copies it, ", tag("code", "ferrule check"), " looks it through."),
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
