"""The short interview and screen: every question may be skipped, and is kept as soon as it is answered together."""

from ferrule.app import golfers as people
from ferrule.app.views import GolferView
from ferrule.app.workspace import Workspace
from ferrule.web.golfer_top import golfer_top
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, area, choose, fault_place, field, form, sheet, submit, tick
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.words import first_name, size

MISSES = (("right", "Right"), ("left", "Left"), ("straight", "Straight"), ("both", "Both ways"))
AGES = (("junior", "Junior"), ("adult", "Adult"), ("senior", "Senior"))
RANGES = (
    ("wrist_flexion_range_deg", "Lead wrist bows", "usual 80°"),
    ("wrist_extension_range_deg", "Lead wrist cups", "usual 70°"),
    ("wrist_radial_range_deg", "Lead wrist sets", "usual 20°"),
    ("wrist_ulnar_range_deg", "Lead wrist unsets", "usual 30°"),
    ("forearm_supination_range_deg", "Forearm turns palm up", ""),
    ("forearm_pronation_range_deg", "Forearm turns palm down", ""),
    ("chest_turn_range_deg", "Chest turns", ""),
    ("hip_turn_range_deg", "Hips turn", ""),
)


@page("/golfers/{golfer_id}/screen")
def screen_page(ws: Workspace, parts: Parts) -> Drawn:
    """The interview of one golfer."""
    golfer = people.golfer(ws, int(parts["golfer_id"]))
    head = golfer_top(ws, golfer, "golfer")
    return Drawn(f"{golfer.name}: interview", screen_html(golfer, head), golfer.id)


def screen_html(golfer: GolferView, head: Markup) -> Markup:
    """The page from its data."""
    name = first_name(golfer.name)
    body = tag(
        "main",
        tag(
            "section",
            tag("h1", f"Before the first ball: ask {name}", class_="calm"),
            tag("p", "Every answer helps and none is needed. Skip what you do not know.", class_="lead"),
        ),
        consent(golfer) if golfer.age_group == "junior" else None,
        form(f"{REST}/golfers/{golfer.id}", _misses(golfer), _pain(golfer), _goal(golfer), _ranges(golfer), _who(golfer), _keep(golfer), method="PATCH", data_then=f"/golfers/{golfer.id}"),
    )  # fmt: skip
    return sheet(head, body)


def _misses(golfer: GolferView) -> Markup:
    return tag(
        "section",
        tag("h2", "Where does the ball go?"),
        tag(
            "div",
            choose("big_miss", "The big miss", MISSES, chosen=golfer.big_miss or ""),
            choose("other_miss", "The other miss", MISSES, chosen=golfer.other_miss or ""),
            class_="fields",
        ),
    )


def _pain(golfer: GolferView) -> Markup:
    asked = golfer.pain_asked_at is not None
    return tag(
        "section",
        tag("h2", "Does anything hurt today?"),
        tag(
            "div",
            field("pain", "Where it hurts", wide=True, value=", ".join(golfer.pain), hint="Wrist, elbow, back ... Leave it empty when nothing hurts.", maxlength=400),
            class_="fields",
        ),
        tag("p", "Pain rules a way out before any ball does. With pain in the wrist or the back: no new bow, no full effort, and a doctor or physiotherapist first.", class_="caution") if golfer.pain else None,
        tag("p", "Not asked yet." if not asked else "Asked, nothing hurt.", class_="hint") if not golfer.pain else None,
    )  # fmt: skip


def _goal(golfer: GolferView) -> Markup:
    return tag(
        "section",
        tag("h2", "What for, and how much time is there?"),
        tag(
            "div",
            field("goal", "Goal", value=golfer.goal, wide=True, maxlength=2000),
            field("next_event", "Next event", value=golfer.next_event, wide=True, maxlength=2000),
            field("next_event_on", "On", value=golfer.next_event_on.isoformat() if golfer.next_event_on else "", kind="date"),
            field("balls_a_week", "Balls a week", value="" if golfer.balls_a_week is None else str(golfer.balls_a_week), kind="number", unit="balls"),
            class_="fields",
        ),
        tag("div", area("told_before", "What was told before", value=golfer.told_before), class_="fields"),
    )  # fmt: skip


def _ranges(golfer: GolferView) -> Markup:
    fields = []
    for name, label, hint in RANGES:
        value = getattr(golfer, name)
        fields.append(
            field(name, label, value="" if value is None else size(value, 1), kind="number", unit="°", hint=hint)
        )
    return tag(
        "section",
        tag("h2", "How far does it go?"),
        tag("p", "Without a club, slowly, as far as is comfortable. A way that needs more than the golfer has is never put forward.", class_="soft"),
        tag("div", *fields, class_="fields"),
    )  # fmt: skip


def _who(golfer: GolferView) -> Markup:
    return tag(
        "section",
        tag("h2", "Who"),
        tag(
            "div",
            field("name", "Name", value=golfer.name, maxlength=200),
            choose(
                "handedness", "Plays", (("right", "Right-handed"), ("left", "Left-handed")), chosen=golfer.handedness
            ),
            choose("age_group", "Age", AGES, chosen=golfer.age_group),
            class_="fields",
        ),
    )


def _keep(golfer: GolferView) -> Markup:
    return tag(
        "section",
        fault_place(""),
        tag(
            "div",
            submit("Keep and go on"),
            tag("a", "Skip all this", href=f"/golfers/{golfer.id}", class_="bare"),
            class_="tools",
        ),
    )


def consent(golfer: GolferView) -> Markup:
    """A child is recorded only when a parent or carer and the child agree."""
    name = first_name(golfer.name)
    if golfer.may_be_recorded:
        said = f"{golfer.carer_name} agreed to recordings, and so did {name}."
        return tag("section", tag("h2", "Recordings of a child"), tag("p", said), _withdraw(golfer), id="consent")
    return tag(
        "section",
        tag("h2", "Recordings of a child"),
        tag("p", f"{name} is a junior: nothing is recorded until a parent or carer and {name} both agree. Typed numbers and ball flights need no consent."),
        form(
            f"{REST}/golfers/{golfer.id}/consent",
            field("carer_name", "Parent or carer who agreed", id_="consent", maxlength=200),
            tick("golfer_agreed", f"{name} agreed too"),
            tag("div", submit("Note the consent", class_="a"), class_="tools"),
        ),
        id="consent",
    )  # fmt: skip


def _withdraw(golfer: GolferView) -> Markup:
    from ferrule.web.parts import button

    return button(
        "Consent was taken back",
        f"{REST}/golfers/{golfer.id}/consent",
        method="DELETE",
        class_="bare",
        sure="Tap again: no more recordings",
    )
