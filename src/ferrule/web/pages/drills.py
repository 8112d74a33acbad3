"""The drills: ours and the coach's own, each with its picture, dose and limits; which suit a golfer, and one's own to add."""

from typing import Final, get_args

from ferrule.app import drills as written
from ferrule.app import golfers as people
from ferrule.app.cases import case_of
from ferrule.app.drills import OwnDrillView
from ferrule.app.progress import planned_club
from ferrule.app.views import GolferView
from ferrule.app.workspace import Workspace
from ferrule.coaching.case import Golfer
from ferrule.coaching.delivery_state import CAUSES
from ferrule.coaching.drills import STEPS, Drill, Picture, allowed, doses_for
from ferrule.coaching.drills_library import CLEAR, STOP_WRIST
from ferrule.coaching.wording_sheet import dose_sentence
from ferrule.coaching.wording_ways import TITLES
from ferrule.sheet.drill_pictures import described, drill_picture, seen_from
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import (
    REST,
    area,
    behind,
    button,
    choose,
    fault_place,
    field,
    form,
    pairs,
    select,
    sheet,
    submit,
    tick,
    top,
)
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.span_form import SPANNED, span_fields, spanned_named
from ferrule.web.words import first_name

LOADS: Final = {
    "none": "nothing more than holding a club",
    "light": "easy swings",
    "wrist": "works the wrist: not for growing, sore or stiff wrists",
}
WORKS_ON: Final = {
    "grip": "grip",
    "lead_wrist_flexion": "lead wrist, bowed or cupped",
    "lead_wrist_unset": "lead wrist, set or unset",
    "forearm_roll": "forearm roll",
    "shaft_lean": "hands at impact",
    "posture": "posture",
    "aim": "aim",
    "arm_and_body": "arms and body",
}
STEP_WORDS: Final = {"pose": "Poses", "slow": "Slow swings", "half": "Half swings", "full": "Full swings"}


@page("/drills")
def drills_page(ws: Workspace, parts: Parts) -> Drawn:
    """All drills, or those for one way (`way`), or as they suit one golfer (`golfer`); `change`: one's own to rewrite."""
    golfer, person = None, None
    if parts.get("golfer", "").isdigit():
        golfer = people.golfer(ws, int(parts["golfer"]))
        person = case_of(ws, golfer.id, planned_club(ws, golfer.id)).golfer
    way = parts.get("way", "")
    own = written.own_drills(ws)
    changed = next((o for o in own if str(o.id) == parts.get("change", "")), None)
    html = drills_html(written.library(ws), own, way if way in TITLES else "", golfer, person, changed)
    return Drawn("Drills", html, golfer.id if golfer else None)


def drills_html(
    library: tuple[Drill, ...],
    own: list[OwnDrillView],
    way: str,
    golfer: GolferView | None,
    person: Golfer | None,
    changed: OwnDrillView | None,
) -> Markup:
    """The page from its data."""
    links = [("Golfers", "/", False), ("Drills", "/drills", True), ("Settings", "/settings", False)]
    name = first_name(golfer.name) if golfer else ""
    shown = [d for d in library if not way or way in d.ways]
    ids = {o.drill.name: o.id for o in own}
    suits = [d for d in shown if person is None or allowed(d, person)[0]]
    held = [d for d in shown if d not in suits]
    away = [o for o in own if o.put_away]
    body = tag(
        "main",
        tag(
            "section",
            tag("h1", f"Drills for {name}" if golfer else "Drills", class_="calm"),
            tag("p", "Ours come from common practice, no source claimed. Every one starts slow and short and says when to stop.", class_="lead"),
            tag("p", tag("a", f"Back to {name}’s progress", href=f"/golfers/{golfer.id}/progress", class_="bare")) if golfer else None,
            _filter(way, golfer),
        ),
        tag(
            "section",
            tag("div", *(_drill(d, ids.get(d.name), person) for d in suits), class_="drills") if suits else tag("p", "None for this way yet: write down your own.", class_="soft"),
            id="library",
        ),
        tag("section", tag("h2", f"Held back for {name}"), tag("div", *(_drill(d, ids.get(d.name), person) for d in held), class_="drills held"), id="held-back") if held else None,
        tag(
            "section",
            tag("h2", f"Change “{changed.drill.title}”" if changed else "Your own"),
            behind("Write down a drill" if changed is None else "The drill", _write(changed), id_="write", opened=changed is not None),
            behind("Put away", tag("ul", *(tag("li", _away(o)) for o in away), class_="list"), id_="away") if away else None,
            id="own",
        ),
    )  # fmt: skip
    return sheet(top(links=links), body)


def _filter(way: str, golfer: GolferView | None) -> Markup:
    """One way at a time; choosing acts at once."""
    who = f"golfer={golfer.id}&" if golfer else ""
    options = [(f"/drills?{who}", "every way"), *((f"/drills?{who}way={w}", said) for w, said in TITLES.items())]
    chosen = f"/drills?{who}way={way}" if way else f"/drills?{who}"
    return tag("div", select("way", "For", options, chosen=chosen, id_="filter", data_go=True), class_="fields")


def _drill(drill: Drill, own_id: int | None, person: Golfer | None) -> Markup:
    fit, why_not = allowed(drill, person) if person else (True, "")
    left = person is not None and person.handedness == "left"
    doses = doses_for(drill, person) if person else drill.doses
    return tag(
        "article",
        tag("h2", drill.title, class_="minor"),
        tag("p", why_not, class_="caution") if not fit else None,
        _plate(drill.picture, left),
        tag("p", drill.thought, class_="serif") if drill.thought != drill.title else None,
        tag("p", f"For: {'; '.join(TITLES[w].lower() for w in drill.ways)}.", class_="for"),
        behind(
            "How",
            *(tag("p", s) for s in drill.set_up),
            tag("ol", *(tag("li", s) for s in drill.do)),
            pairs(
                ("A good one", f"{drill.measure.words}." if drill.measure and drill.measure.words else None),
                ("Dose", tag("div", *(tag("p", dose_sentence(d)) for d in doses)) if fit else None),
                ("Stop if", f"{'; '.join(drill.stop)}."),
                ("Then", drill.next_step),
                ("Careful", " ".join(drill.cautions)),
                ("It asks", LOADS[drill.load]),
            ),
            id_=f"how-{drill.name}",
        ),
        tag(
            "div",
            tag("a", "Change", href=f"/drills?change={own_id}#own", class_="a small"),
            button("Put away", f"{REST}/drills/{own_id}/away", {"away": True}, class_="bare", sure="Tap again: no longer offer it"),
            class_="tools",
        ) if own_id is not None else None,
        class_="drill", data_drill=drill.name,
    )  # fmt: skip


def _plate(picture: Picture | None, left: bool) -> Markup | None:
    if picture is None:
        return None
    return tag(
        "figure",
        tag("div", Markup(drill_picture(picture, left)), class_="plate"),
        tag("figcaption", seen_from(picture).capitalize(), class_="hint"),
    )


def _away(own: OwnDrillView) -> Markup:
    return tag(
        "div",
        tag("span", own.drill.title, class_="main"),
        button("Offer it again", f"{REST}/drills/{own.id}/away", {"away": False}, class_="a small"),
        class_="item",
        data_faults=True,
    )


def _write(changed: OwnDrillView | None) -> Markup:
    """The form for a drill of one's own: purpose, set-up, measure, dose, steps, stop signs, cautions, what it loads."""
    d = changed.drill if changed else None
    m = d.measure if d else None
    spanned = spanned_named(m.key, m.gain_from) if m else None
    dose = d.doses[0] if d and d.doses else None
    reps = {x.step: str(x.reps) for x in d.doses} if d else {"slow": "5"}
    closes = {True: "open", False: "closed"}.get(d.closes, "either") if d and d.closes is not None else "either"
    loads = "" if d is None else "yes" if d.load == "wrist" else "no"
    return form(
        f"{REST}/drills/{changed.id}" if changed else f"{REST}/drills",
        field("title", "Title", value=d.title if d else "", id_="own", maxlength=120, wide=True),
        _ticks("ways", "What it is for", list(TITLES.items()), d.ways if d else ()),
        _ticks("causes", "What it works on", [(c, WORKS_ON[c]) for c in CAUSES], d.causes if d else ()),
        choose("closes", "It helps a face that arrives", [("open", "open"), ("closed", "closed"), ("either", "either")], chosen=closes),
        area("set_up", "Set-up", value="\n".join(d.set_up) if d else "", hint="A line each."),
        area("how", "Steps", value="\n".join(d.do) if d else "", hint="A line each, in order."),
        field("thought", "Thought", value=d.thought if d else "", id_="own", maxlength=400, wide=True, hint="Of club, face or ball rather than of arms."),
        choose("loads_the_wrist", "Does it load the wrist: against speed, weight, or its end of range?", [("yes", "yes"), ("no", "no")], chosen=loads,
               hint="If so, it is never given to children, or to sore or stiff wrists."),
        span_fields(SPANNED, "A good rep shows", none="nothing that is measured", chosen=spanned, low=m.at_least if m else None, high=m.at_most if m else None, id_="good"),
        tag("p", "As for a right-handed golfer: right and left turn over for a left-handed one. An empty end is open.", class_="hint"),
        tag("div", *(field(f"reps_{s}", f"{STEP_WORDS[s]} a set", value=reps.get(s, ""), kind="number", id_="own") for s in STEPS), class_="fields"),
        tag(
            "div",
            field("sets", "Sets a day", value=str(dose.sets) if dose else "2", kind="number", id_="own"),
            field("rest_s", "Rest between", value=str(dose.rest_s) if dose else "30", unit="seconds", kind="number", id_="own"),
            field("days_a_week", "Days a week", value=str(dose.days_a_week) if dose else "4", kind="number", id_="own"),
            class_="fields",
        ),
        area("stop", "Stop when", value="\n".join(d.stop if d else STOP_WRIST[:1]), hint="A line each."),
        area("cautions", "Careful", value="\n".join(d.cautions if d else (CLEAR,)), hint="A line each."),
        field("next_step", "When it is easy", value=d.next_step if d else "", id_="own", maxlength=400, wide=True),
        select("picture", "Picture", [("", "none"), *((p, described(p)) for p in get_args(Picture))], chosen=(d.picture or "") if d else "", id_="own"),
        fault_place(""),
        tag("div", submit("Keep it", class_="a"), tag("a", "Leave it as it is", href="/drills", class_="bare") if changed else None, class_="tools"),
        method="PUT" if changed else "POST",
        clear=changed is None,
        class_="stack one",
    )  # fmt: skip


def _ticks(name: str, label: str, options: list[tuple[str, str]], chosen: tuple[str, ...]) -> Markup:
    return tag(
        "fieldset",
        tag("legend", label),
        tag("div", *(tick(name, said, value=value, many=True, ticked=value in chosen) for value, said in options), class_="fields ticks"),
        fault_place(name),
        class_="field",
    )  # fmt: skip
