"""A golfer's bag: loft, lie, length and head of each club, as measured or as usual."""

from ferrule.app import golfers as people
from ferrule.app.settings import settings
from ferrule.app.views import ClubView, GolferView
from ferrule.app.workspace import Workspace
from ferrule.units import INCH
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, button, fault_place, field, form, sheet, submit, top
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.words import first_name, size


@page("/golfers/{golfer_id}/clubs")
def clubs_page(ws: Workspace, parts: Parts) -> Drawn:
    """The bag of one golfer."""
    golfer = people.golfer(ws, int(parts["golfer_id"]))
    yards = settings(ws).length_unit == "yards"
    return Drawn(f"{first_name(golfer.name)}’s clubs", clubs_html(golfer, people.clubs(ws, golfer.id), inches=yards), golfer.id)  # fmt: skip


def clubs_html(golfer: GolferView, bag: list[ClubView], *, inches: bool) -> Markup:
    """The page from its data. inches: lengths are in inches, else in centimetres."""
    name = first_name(golfer.name)
    here = f"{REST}/golfers/{golfer.id}/clubs"
    body = tag(
        "main",
        tag(
            "section",
            tag("h1", f"{name}’s clubs", class_="calm"),
            tag("p", "Loft and lie decide what a turn of the shaft does to the face. Usual numbers serve until somebody has measured the club; what is changed here changes every case with it.", class_="lead"),
        ),
        tag(
            "section",
            *(_club(club, here, inches) for club in bag) if bag else (tag("p", "The bag is empty. The first ball puts a 7-iron into it.", class_="soft"),),
            id="bag",
        ),
        tag(
            "section",
            tag("h2", "Another club"),
            tag("p", "One that was put away is back with its numbers when it is named again.", class_="soft"),
            form(
                here,
                tag("div", field("name", "Club", id_="new", hint="7-iron, driver, pitching wedge ... A club of another name needs its loft and length.", maxlength=60), *_numbers(None, "new", inches), class_="fields"),
                fault_place(""),
                tag("div", submit("Put it into the bag"), class_="tools"),
                method="PUT", clear=True, draft=f"new-club-{golfer.id}", data_say="In the bag.",
            ),
        ),
    )  # fmt: skip
    who = tag("a", tag("b", name), href=f"/golfers/{golfer.id}")
    return sheet(top(who, links=[("Golfers", "/", False), ("Clubs", f"/golfers/{golfer.id}/clubs", True)]), body)


def _club(club: ClubView, here: str, inches: bool) -> Markup:
    said = "as measured" if club.typed_in else "usual numbers"
    return tag(
        "div",
        tag("h2", club.name[:1].upper() + club.name[1:], tag("span", f" · {said}{', in hand' if club.is_current else ''}", class_="soft note"), class_="minor"),
        form(
            here,
            tag("input", type="hidden", name="name", value=club.name),
            tag("div", *_numbers(club, f"c{club.id}", inches), class_="fields four"),
            fault_place(""),
            tag(
                "div",
                submit("Keep", class_="a small"),
                None if club.is_current else button("Take it in hand", f"{here}/current", {"name": club.name}, class_="bare"),
                button("Usual numbers", here, {"name": club.name}, method="PUT", class_="bare") if club.typed_in else None,
                button("Put away", f"{here}/{club.id}", method="DELETE", class_="bare", sure="Tap again: out of the bag, its balls stay", aria_label=f"Put the {club.name} away"),
                class_="tools",
            ),
            method="PUT", draft=f"club-{club.id}", data_say="Kept.",
        ),
        class_="device", data_club=club.name,
    )  # fmt: skip


def _numbers(club: ClubView | None, id_: str, inches: bool) -> list[Markup]:
    """Loft, lie, length and head."""
    long = None if club is None else club.length_m / INCH if inches else club.length_m * 100
    shown = ("", "", "", "") if club is None else (
        size(club.loft_deg, 1), size(club.lie_deg, 1), size(long or 0.0, 2 if inches else 1), size(club.head_mass_kg * 1000),
    )  # fmt: skip
    length, unit = ("length_in", "in") if inches else ("length_cm", "cm")
    return [
        field("loft_deg", "Loft", value=shown[0], kind="number", unit="°", id_=id_),
        field("lie_deg", "Lie", value=shown[1], kind="number", unit="°", id_=id_),
        field(length, "Length", value=shown[2], kind="number", unit=unit, id_=id_),
        field("head_mass_g", "Head", value=shown[3], kind="number", unit="g", id_=id_),
    ]
