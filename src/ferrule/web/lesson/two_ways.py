"""Two ways side by side: what the ball will do, what the golfer must do, the feel in the golfer's words, the cautions.

Which two are on show is in the address (`?a=grip&b=posture`); every other way is a tap away from taking a place.
"""

from typing import Any

from ferrule.analysis.explain import Explanation
from ferrule.app import cases
from ferrule.app.workspace import Workspace
from ferrule.coaching.ways import WRIST_WAYS, wrist_hurts
from ferrule.coaching.wording import cause_phrase, upper_first
from ferrule.coaching.wording_sheet import change_sentence
from ferrule.units import DEG
from ferrule.web.case_parts import caution
from ferrule.web.case_view import WayView, sign, ways_of
from ferrule.web.lesson.evidence import lesson_case
from ferrule.web.lesson.frame import lesson_sheet
from ferrule.web.lesson.held import Held, held_lesson
from ferrule.web.lesson.why import nothing_html
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, behind, button, fault_place, pairs
from ferrule.web.pictures.golfer import shaft_level_picture
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.ways import moves_the_face, nothing_to_change
from ferrule.web.words import listed

LETTERS = ("a", "b")


@page("/lessons/{lesson_id}/ways")
def ways_page(ws: Workspace, parts: Parts) -> Drawn:
    """The fifth screen of a lesson."""
    held = held_lesson(ws, int(parts["lesson_id"]))
    case = lesson_case(ws, held)
    title = f"{held.name}, two ways"
    if not case.swings:
        return Drawn(title, nothing_html(held, here="ways"), held.golfer.id)
    explanation = cases.explanation_of(ws, case)
    answer: dict[str, Any] = cases.options_of(ws, case).to_json()
    return Drawn(title, ways_html(held, explanation, ways_of(explanation, answer), parts), held.golfer.id)


def chosen_two(ways: list[WayView], parts: Parts) -> list[WayView]:
    """The ways in the address, else the first two."""
    by_name = {w.name: w for w in ways}
    rest = [w for w in ways if w.name != "leave_as_is"]
    out: list[WayView] = []
    for letter in LETTERS:
        way = by_name.get(parts.get(letter, ""))
        if way is None or way in out:
            taken = {parts.get(other) for other in LETTERS} | {w.name for w in out}
            way = next((w for w in rest if w.name not in taken), None)
        if way is not None:
            out.append(way)
    return out


def ways_html(held: Held, explanation: Explanation, ways: list[WayView], parts: Parts) -> Markup:
    """The screen from its data."""
    two = chosen_two(ways, parts)
    leave = next((w for w in ways if w.name == "leave_as_is"), None)
    asked = any(parts.get(letter) for letter in LETTERS)
    if leave is not None and not asked and nothing_to_change(explanation, ways):
        return _leave_html(held, leave, [w for w in ways if w is not leave])
    others = [w for w in ways if w not in two]
    return lesson_sheet(
        held,
        "ways",
        tag(
            "section",
            tag("h1", f"Two ways for {held.name}." if len(two) == 2 else f"One way for {held.name}.", class_="calm"),
            _to_the_golfer(held, explanation),
            caution(held.golfer),
            class_="first",
        ),
        tag("section", tag("div", *(_way(held, w, letter) for w, letter in zip(two, LETTERS, strict=False)), class_=_beside(two)), id="ways"),
        _let_the_balls_decide(held, two) if len(two) == 2 else None,
        behind("Other ways", *(_other(held, w, two) for w in others), id_="other-ways") if others else None,
        onward=len(two) < 2,
    )  # fmt: skip


def _to_the_golfer(held: Held, explanation: Explanation) -> Markup | None:
    """What is said to the golfer: what can be done, without a word of fault. Nothing where the face is square, and never
    to undo what rescues it.
    """
    face = explanation.face.value
    with_it = [c for c in explanation.causes if c.share.value * face > 0.0]
    if abs(face) < DEG or not with_it:
        return None
    largest = max(with_it, key=lambda c: c.probability_largest)
    share = sign(explanation.case) * largest.share.value / DEG
    if abs(share) < 1.0:
        return None
    said = cause_phrase(largest.cause, share, "golfer")
    return tag(
        "p",
        tag("span", f"To {held.name}: ", class_="soft"),
        f"“{upper_first(said)}.”",
        class_="lead",
        id="to-the-golfer",
    )


def _beside(two: list[WayView]) -> str:
    """Words, pictures and what is asked stand level where both have a picture; else no room is kept for the missing one."""
    return "ways level" if all(moves_the_face(w) for w in two) else "ways"


def _way(held: Held, way: WayView, letter: str) -> Markup:
    """One way: its picture, the golfer's words first, then what ball and body do, and how to rehearse it."""
    label = f"Coming down, seen from behind: the leading edge {way.sketch.now_words}, {way.sketch.way_words}, beside the spine"
    stopped = way.name in WRIST_WAYS and _wrist_is_sore(held)
    return tag(
        "div",
        tag(
            "div",
            tag("p", f"Way {letter.upper()}", class_="tag soft"),
            tag("h2", way.title),
            tag("p", f"“{change_sentence(way.name)}”", class_="says"),  # type: ignore[arg-type]
            tag("p", f"It feels {_feel(way.feel)}.", class_="serif") if way.feel else None,
        ),
        tag("div", shaft_level_picture(way.sketch, label)) if moves_the_face(way) else None,
        tag(
            "div",
            pairs(
                ("The ball will", way.ball),
                (f"{held.name} must", listed(list(way.needs)) or way.sentence),
                ("Forgiving", way.tolerance),
                ("The wrist", way.wrist),
                ("Careful", " ".join(way.cautions)),
            ),
            tag("p", "The wrist hurts: nothing that works on it until a clinician has looked.", class_="caution") if stopped else None,
            tag("p", "Rehearse: three slow ones without a ball, eyes on the club face.", class_="rehearse"),
            button("Settle on it without a trial", f"{REST}/lessons/{held.lesson.id}/plan", {"way": way.name, "club": held.club}, class_="bare", data_then=held.address("practice")),
        ),
        class_="way", data_way=way.name,
    )  # fmt: skip


def _feel(feel: str) -> str:
    return feel if feel.startswith(("as if", "like")) else f"like this: {feel}"


def _wrist_is_sore(held: Held) -> bool:
    from ferrule.coaching.case import Golfer

    return wrist_hurts(Golfer(handedness=held.hand, pain=held.golfer.pain))


def _let_the_balls_decide(held: Held, two: list[WayView]) -> Markup:
    a, b = two
    running = held.trial is not None and held.trial.ended_at is None
    go = (
        tag("a", "Go on with the trial", href=held.address("trial"), class_="do")
        if running
        else button(
            "Start the trial",
            f"{REST}/lessons/{held.lesson.id}/trials",
            {"way_a": a.name, "way_b": b.name, "feel_a": a.title, "feel_b": b.title, "club": held.club},
            class_="do",
            data_then=held.address("trial"),
        )
    )
    return tag(
        "div",
        tag("div", tag("p", "Let the balls decide: three a turn, four turns.", class_="says"), tag("small", "Rehearse each way before its turn. The steadier start and what can be repeated win.")),
        go, fault_place(""), class_="row", data_faults=True,
    )  # fmt: skip


def _other(held: Held, way: WayView, two: list[WayView]) -> Markup:
    """A way that is not on show, and the two places it can take."""
    names = [w.name for w in two]
    places = [
        tag("a", f"In place of “{old.title}”", href=f"{held.address('ways')}?{_query(names, i, way.name)}", class_="a small")
        for i, old in enumerate(two)
        if way.name != "leave_as_is"
    ]  # fmt: skip
    return tag(
        "div",
        tag("h3", way.title),
        tag("p", way.sentence or way.ball),
        tag("p", " ".join(way.cautions), class_="soft") if way.cautions else None,
        tag(
            "div", *places,
            button("Settle on it", f"{REST}/lessons/{held.lesson.id}/plan", {"way": way.name, "club": held.club}, class_="bare", data_then=held.address("practice")),
            class_="strikes",
        ),
        class_="brief",
    )  # fmt: skip


def _query(names: list[str], place: int, name: str) -> str:
    now = [*names]
    now[place] = name
    return "&".join(f"{letter}={n}" for letter, n in zip(LETTERS, now, strict=False))


def _leave_html(held: Held, leave: WayView, others: list[WayView]) -> Markup:
    """Nothing to change: said first, the others a tap away."""
    rows = [
        tag(
            "div",
            tag("h3", way.title),
            tag("p", way.sentence or way.ball),
            tag("div", tag("a", "Look at it beside another", href=f"{held.address('ways')}?a={way.name}", class_="a small"), class_="strikes"),
            class_="brief",
        )
        for way in others
    ]  # fmt: skip
    return lesson_sheet(
        held,
        "ways",
        tag(
            "section",
            tag("h1", f"Leave {held.name}’s {held.club} as it is.", class_="calm"),
            tag("p", f"{leave.sentence} A change would not make the ball better; keeping it is work enough.", class_="lead"),
            tag("div", button("Settle on that", f"{REST}/lessons/{held.lesson.id}/plan", {"way": leave.name, "club": held.club}, class_="do", data_then=held.address("close")), class_="tools"),
            fault_place(""), class_="first", data_faults=True, id="leave",
        ),
        behind("If something is to change all the same", *rows, id_="other-ways"),
        onward=False,
    )  # fmt: skip


__all__ = ["chosen_two", "ways_html", "ways_page"]
