"""What is what in a file of a layout not seen before: each field with what was guessed and why, to be confirmed once."""

from collections.abc import Sequence
from typing import Final

from ferrule.analysis.angles import ANGLES, Angle
from ferrule.app import lessons as teaching
from ferrule.app.mappings import LayoutView, layout
from ferrule.app.workspace import Workspace
from ferrule.web.mapping_form import AXES, BOTH, GROUPS, ROLES, answers_of_mapping
from ferrule.web.markup import Child, Markup, tag
from ferrule.web.parts import REST, behind, choose, fault_place, field, form, select, sheet, submit, top
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.words import counted

Option = tuple[str, str]
KINDS: Final = {
    "sensors": "motion sensors on forearm and hand",
    "xdf": "streams of motion sensors",
    "markers": "markers seen by cameras",
    "angles": "wrist angles that another program worked out",
    "balls": "a table of ball flights",
}
ANGLE_SAID: Final[dict[Angle, tuple[str, str, tuple[Option, ...]]]] = {
    "flexion": ("Bowed and cupped", "Its number goes up when the wrist", (("bows", "bows"), ("cups", "cups"))),
    "ulnar_deviation": ("Set and unset", "Its number goes up when the wrist", (("unsets", "unsets"), ("sets", "sets"))),
    "forearm_roll": (
        "Forearm roll", "Its number goes up when the forearm rolls", (("supinates", "closed (supinates)"), ("pronates", "open (pronates)")),
    ),
}  # fmt: skip
AXIS_OPTIONS: Final = tuple((a, a) for a in ("x", "y", "z", "-x", "-y", "-z"))


@page("/recordings/{recording_id}/layout")
def layout_page(ws: Workspace, parts: Parts) -> Drawn:
    """One recording's layout."""
    asked = layout(ws, int(parts["recording_id"]))
    lesson = teaching.lesson(ws, asked.recording.lesson_id)
    return Drawn("What is in this file?", layout_html(asked, lesson.golfer), lesson.golfer_id)


def layout_html(asked: LayoutView, golfer: str) -> Markup:
    """The page from its data."""
    lesson = f"/lessons/{asked.recording.lesson_id}"
    known = answers_of_mapping(asked.kind, asked.mapping)
    parts = {"angles": _angles, "markers": _markers}.get(asked.kind, _sensors)(asked, known)
    waiting = f" The same goes for {counted(asked.others, 'other recording')} that wait." if asked.others else ""
    body = tag(
        "main",
        tag(
            "section",
            tag("h1", "What is in this file?", class_="calm"),
            tag(
                "p",
                tag("b", asked.recording.file_name), f" looks like {KINDS[asked.kind]}, in a layout that was not seen before. ",
                "Below is what Ferrule guesses and why. Put right what is wrong and confirm it once; nothing is worked out before.",
                waiting, class_="lead",
            ) if not asked.name else tag("p", tag("b", asked.recording.file_name), f" is read as “{asked.name}”. What you change here holds for every recording read that way; they are worked out anew.", class_="lead"),
        ),
        form(
            f"{REST}/recordings/{asked.recording.id}/layout/answers",
            *parts,
            tag(
                "section",
                tag("h2", "What shall it be called?"),
                field("name", "A name to know this layout by", value=asked.name, hint="The device or the laboratory, for example. Files like it are recognised from then on.", wide=True, maxlength=120),
            ),
            fault_place(""), fault_place("columns"), fault_place("mapping"),
            tag("div", submit("That is right: read it" if not asked.name else "Change it, and read again"), tag("a", "Later", href=lesson, class_="bare"), class_="tools"),
            draft=f"layout-{asked.recording.id}",
            data_then=lesson,
        ),
    )  # fmt: skip
    head = top(tag("a", tag("b", golfer), href=lesson), links=[("Golfers", "/", False), ("The lesson", lesson, False)])
    return sheet(head, body)


def _guessed(asked: LayoutView, part: str) -> Markup | None:
    why = asked.why.get(part)
    return tag("p", tag("b", "Guessed. "), why.removeprefix("Guessed "), class_="hint", data_why=part) if why else None


def _names(asked: LayoutView, nothing: str = "none", *, spans: bool = True) -> list[Option]:
    """What can be chosen; spans: with the least and the greatest number in it."""
    shown = asked.shows if spans else {}
    return [("", nothing), *((h, f"{h} ({shown[h]})" if h in shown else h) for h in asked.header if h)]


def _group(*inside: Child) -> Markup:
    return tag("section", *inside)


def _sensors(asked: LayoutView, known: dict[str, str]) -> list[Markup]:
    names = _names(asked, "choose", spans=False)
    out = []
    if asked.kind == "sensors":
        out.append(_time(asked, known, "time_s", "time_s.unit", names))
    for group, si, said in GROUPS:
        units = ("m/s2", "g", "mg") if group.endswith("acc") else ("rad/s", "deg/s", "mdeg/s")
        out.append(
            _group(
                tag("h2", said),
                _guessed(asked, group),
                tag(
                    "div",
                    *(select(f"{group}_{a}_{si}", f"Axis {a}", names, chosen=known.get(f"{group}_{a}_{si}", "")) for a in AXES),
                    class_="fields",
                ),
                tag(
                    "div",
                    choose(f"{group}.unit", "Unit", [(u, u.replace("2", "²")) for u in units], chosen=known.get(f"{group}.unit", "")),
                    choose(f"{group}.sign", "Sense", (("1", "As it is"), ("-1", "Turned round")), chosen=known.get(f"{group}.sign", "1")),
                    class_="fields",
                ),
                _guessed(asked, f"{group}.unit"),
            )
        )  # fmt: skip
    out.append(
        _group(
            tag("h2", "What else is in it"),
            tag(
                "div",
                select("phase", "Which movement it was, by name", _names(asked), chosen=known.get("phase", "")),
                class_="fields",
            ),
            behind(
                "The sensors’ full scale, where you know it",
                tag(
                    "div",
                    field("gyr_range_degps", "Turning rate", value=known.get("gyr_range_degps", ""), kind="number", unit="°/s"),
                    field("acc_range_g", "Acceleration", value=known.get("acc_range_g", ""), kind="number", unit="g"),
                    class_="fields",
                ),
                tag("p", "With it, a signal that hit its end is told from a fast one.", class_="hint"),
                id_="ranges",
            ),
        )
    )  # fmt: skip
    return out


def _time(asked: LayoutView, known: dict[str, str], name: str, unit: str, names: Sequence[Option]) -> Markup:
    units = [("s", "s"), ("ms", "ms"), ("us", "µs"), ("ns", "ns")]
    return _group(
        tag("h2", "Time"),
        tag(
            "div",
            select(name, "Column", [("", "there is none"), *names[1:]], chosen=known.get(name, "")),
            choose(unit, "Unit", units, chosen=known.get(unit, "s")),
            field("rate_hz", "Without such a column: rows a second", value=known.get("rate_hz", ""), kind="number", unit="Hz"),
            class_="fields",
        ),
        _guessed(asked, name),
    )  # fmt: skip


def _angles(asked: LayoutView, known: dict[str, str]) -> list[Markup]:
    names = _names(asked)
    out = [_time(asked, known, "columns.time_s.from", "columns.time_s.unit", names)]
    for angle in ANGLES:
        title, rises, words = ANGLE_SAID[angle]
        where = f"columns.{angle}"
        out.append(
            _group(
                tag("h2", title),
                tag(
                    "div",
                    tag("div", select(f"{where}.from", "Column", names, chosen=known.get(f"{where}.from", "")), _guessed(asked, f"{where}.from")),
                    tag("div", choose(f"{where}.unit", "Unit", (("deg", "degrees"), ("rad", "radians")), chosen=known.get(f"{where}.unit", "")), _guessed(asked, f"{where}.unit")),
                    tag("div", choose(f"{where}.rises_when", rises, words, chosen=known.get(f"{where}.rises_when", "")), _guessed(asked, f"{where}.rises_when")),
                    tag("div", field(f"{where}.zero_deg", "It shows at a straight wrist", value=known.get(f"{where}.zero_deg", ""), kind="number", unit="°"), _guessed(asked, f"{where}.zero_deg")) if angle != "forearm_roll" else None,
                    class_="fields",
                ),
            )
        )  # fmt: skip
    out.append(
        _group(
            tag("h2", "Places of the swing"),
            select("columns.event.from", "Column that names them (address, top, impact)", names, chosen=known.get("columns.event.from", "")),
            tag("p", "Without it, top and impact are read off the trace, with wider doubt.", class_="hint"),
        )
    )  # fmt: skip
    return out


def _markers(asked: LayoutView, known: dict[str, str]) -> list[Markup]:
    names = _names(asked, "not worn")
    parts = []
    for segment, said in (("forearm", "Forearm of the lead arm"), ("hand", "Lead hand"), ("club", "Club")):
        fields = []
        for role, title in ROLES:
            if not role.startswith(segment):
                continue
            fields.append(tag("div", select(role, title, names, chosen=known.get(role, "")), _guessed(asked, role)))
            if role in BOTH:
                fields.append(select(f"{role}.2", f"{title}, second marker", names, chosen=known.get(f"{role}.2", "")))
        parts.append(_group(tag("h2", said), tag("div", *fields, class_="fields")))
    parts.append(
        _group(
            tag("h2", "The room"),
            _guessed(asked, "labels"),
            tag(
                "div",
                tag("div", choose("axes.up", "Which axis points up", AXIS_OPTIONS, chosen=known.get("axes.up", "")), _guessed(asked, "axes.up")),
                tag("div", choose("axes.target", "Which axis points to the target", AXIS_OPTIONS, chosen=known.get("axes.target", "")), _guessed(asked, "axes.target")),
                tag("div", choose("unit", "Unit", (("mm", "mm"), ("cm", "cm"), ("m", "m")), chosen=known.get("unit", "")), _guessed(asked, "unit")),
                class_="fields",
            ),
            behind(
                "A moment with a straight wrist",
                tag(
                    "div",
                    field("neutral_from", "From", value=known.get("neutral_from", ""), kind="number", unit="s"),
                    field("neutral_to", "To", value=known.get("neutral_to", ""), kind="number", unit="s"),
                    class_="fields",
                ),
                tag("p", "The wrist’s zero is taken from it. Without it, absolute angles hold to about 5 degrees; changes are better.", class_="hint"),
                fault_place("neutral_s"),
                id_="neutral",
            ),
        )
    )  # fmt: skip
    return parts


def asks_line(recording_id: int) -> Markup:
    """Where a recording is listed that waits for an answer: the way to it."""
    return tag("a", "What is in it?", href=f"/recordings/{recording_id}/layout", class_="a small")
