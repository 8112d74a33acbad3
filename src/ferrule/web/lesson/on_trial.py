"""Trial: whose turn it is in letters to be read from the ball, the pad, the golfer's word, the verdict with its doubt."""

from ferrule.app import cases
from ferrule.app.trial_verdict import ON_LINE
from ferrule.app.trials import ORDER
from ferrule.app.views import TrialView
from ferrule.app.workspace import Workspace
from ferrule.coaching.wording_trial import chance_for
from ferrule.coaching.wording_ways import FEELS, TITLES
from ferrule.web.case_parts import caution
from ferrule.web.case_view import ways_of
from ferrule.web.lesson.evidence import lesson_case
from ferrule.web.lesson.frame import lesson_sheet, undo_line
from ferrule.web.lesson.held import Held, held_lesson
from ferrule.web.markup import Markup, tag
from ferrule.web.pad import after_ball, pad
from ferrule.web.parts import REST, button, choose, fault_place, field, form, submit
from ferrule.web.shell import Drawn, Parts, page


@page("/lessons/{lesson_id}/trial")
def trial_page(ws: Workspace, parts: Parts) -> Drawn:
    """The sixth screen of a lesson."""
    held = held_lesson(ws, int(parts["lesson_id"]))
    title = f"{held.name}, trial"
    trial = held.trial
    if trial is None:
        case = lesson_case(ws, held)
        first: list[str] = []
        if case.swings:
            answer = cases.options_of(ws, case)
            found = ways_of(answer.explanation, answer.to_json())
            first = [w.name for w in found if w.name != "leave_as_is"][:2]
        return Drawn(title, before_html(held, first), held.golfer.id)
    if trial.ended_at is not None:
        return Drawn(title, verdict_html(held, trial), held.golfer.id)
    if trial.next_way is None:
        return Drawn(title, word_html(held, trial), held.golfer.id)
    return Drawn(title, turn_html(held, trial), held.golfer.id)


def name_of(trial: TrialView, letter: str) -> str:
    """What a way is called in this trial."""
    feel, way = (trial.feel_a, trial.way_a) if letter == "a" else (trial.feel_b, trial.way_b)
    return feel or TITLES.get(way, way)


def before_html(held: Held, first: list[str]) -> Markup:
    """No trial yet: which two, and how it goes."""
    if len(first) < 2:
        go = tag("a", "See the ways first", href=held.address("ways"), class_="do")
    else:
        a, b = first
        go = button(
            "Start the trial", f"{REST}/lessons/{held.lesson.id}/trials",
            {"way_a": a, "way_b": b, "feel_a": TITLES[a], "feel_b": TITLES[b], "club": held.club}, class_="do",
        )  # fmt: skip
    said = f"{TITLES[first[0]]}, or {TITLES[first[1]][:1].lower()}{TITLES[first[1]][1:]}?" if len(first) > 1 else ""
    return lesson_sheet(
        held,
        "trial",
        tag(
            "section",
            tag("h1", "Let the balls decide.", class_="calm"),
            tag("p", f"{said} Three balls a turn, A, B, B, A: twelve balls. Two rehearsals without a ball before every turn.".strip(), class_="lead"),
            tag("div", go, tag("a", "Choose two others", href=held.address("ways"), class_="bare") if said else None, class_="tools"),
            caution(held.golfer), fault_place(""), class_="first", data_faults=True, id="trial",
        ),
        onward=False,
    )  # fmt: skip


def turn_html(held: Held, trial: TrialView) -> Markup:
    """The next ball: the way in large letters."""
    letter = trial.next_way or "a"
    way = trial.way_a if letter == "a" else trial.way_b
    rehearse = trial.next_ball_in_block == 1
    feel = FEELS.get(way, "")
    return lesson_sheet(
        held,
        "trial",
        tag(
            "section",
            tag("h1", f"Way {letter.upper()}, ball {trial.next_ball_in_block} of {trial.balls_a_block}", class_="turn huge"),
            _blocks(trial),
            tag("p", tag("b", name_of(trial, letter)), f": {feel}." if feel else ".", class_="says"),
            tag("p", "First two rehearsals without a ball.", class_="rehearse") if rehearse else None,
            tag("div", pad(f"{REST}/trials/{trial.id}/balls"), after_ball(held.lesson) if trial.balls else undo_line(held), class_="ball-turn"),
            tag("p", button("Stop the trial here", f"{REST}/trials/{trial.id}/end", class_="bare", sure="Tap again to stop the trial")),
            fault_place(""), fault_place("trial"),
            class_="first", data_faults=True, id="trial",
        ),
        onward=False, undo=False,
    )  # fmt: skip


def _blocks(trial: TrialView) -> Markup:
    """The twelve balls in their four turns: those that are in are filled, the next one ringed."""
    n = trial.balls_a_block
    groups = []
    for block, letter in enumerate(ORDER, 1):
        done = sum(b.block == block and not b.set_aside for b in trial.balls)
        here = block == trial.next_block
        marks = [tag("i", class_="in" if i < done else "next" if here and i == done else "") for i in range(n)]
        groups.append(tag("span", tag("b", letter.upper()), *marks, class_="turn-of now" if here else "turn-of"))
    return tag("p", *groups, class_="dots blocks", role="img", aria_label=f"{trial.counted} of {4 * n} balls are in")


def word_html(held: Held, trial: TrialView) -> Markup:
    """All balls are hit: the golfer speaks first."""
    return lesson_sheet(
        held,
        "trial",
        tag(
            "section",
            tag("h1", f"Hear {held.name} before anybody counts.", class_="calm"),
            form(
                f"{REST}/trials/{trial.id}/end",
                choose("golfer_prefers", f"Which one would {held.name} keep?", (("a", f"A: {name_of(trial, 'a')}"), ("b", f"B: {name_of(trial, 'b')}"), ("", "Neither")), chosen="-"),
                field("golfers_word", f"In {held.name}’s words", id_="trial", wide=True, maxlength=2000),
                fault_place(""),
                tag("div", submit("What do the balls say?"), class_="tools"),
                draft=f"trial-{trial.id}", class_="stack",
            ),
            after_ball(held.lesson),
            class_="first", id="trial",
        ),
        onward=False, undo=False,
    )  # fmt: skip


def verdict_html(held: Held, trial: TrialView) -> Markup:
    """What the balls said, how sure that is, and the golfer's word beside it; either way may be kept with one tap."""
    verdict = trial.verdict
    said = verdict.sentence if verdict is not None else "Too few balls were seen to say anything."
    prefers = {"a": name_of(trial, "a"), "b": name_of(trial, "b")}.get(trial.golfer_prefers or "")
    better = None if verdict is None else ("a" if verdict.a_better >= 0.5 else "b")
    sure = 0.5 if verdict is None else max(verdict.a_better, 1.0 - verdict.a_better)
    first = trial.golfer_prefers if trial.golfer_prefers and sure < 0.8 else better or trial.golfer_prefers or "a"
    order = (first, "b" if first == "a" else "a")
    kept = held.plan
    settled = kept is not None and kept.chosen_at >= (trial.ended_at or kept.chosen_at)
    keep = [
        button(
            f"Keep {letter.upper()}: {name_of(trial, letter)}", f"{REST}/lessons/{held.lesson.id}/plan",
            {"way": trial.way_a if letter == "a" else trial.way_b, "club": trial.club},
            class_="do" if letter == first and not settled else "a", data_then=held.address("practice"),
        )
        for letter in order
    ]  # fmt: skip
    return lesson_sheet(
        held,
        "trial",
        tag(
            "section",
            tag("h1", said, class_="calm", data_says=True),
            tag("div", *(_row(held, trial, letter) for letter in ("a", "b")), class_="tried"),
            _doubt(verdict.a_better, verdict.balls_a + verdict.balls_b) if verdict is not None else None,
            tag("p", f"{held.name} would keep “{prefers}”." if prefers else "", f" “{trial.golfers_word}”" if trial.golfers_word else "", class_="lead") if prefers or trial.golfers_word else None,
            tag("div", *keep, class_="tools"),
            tag("p", button("Another trial of the same two", f"{REST}/lessons/{held.lesson.id}/trials", {"way_a": trial.way_a, "way_b": trial.way_b, "feel_a": trial.feel_a, "feel_b": trial.feel_b, "club": trial.club}, class_="bare")),
            fault_place(""), class_="first", data_faults=True, id="trial",
        ),
        onward=settled,
    )  # fmt: skip


def _row(held: Held, trial: TrialView, letter: str) -> Markup:
    """The balls of one way: filled where they finished on line, crossed where set aside."""
    swings = {s.id: s for s in held.lesson.swings}
    marks = []
    for ball in trial.balls:
        swing = swings.get(ball.swing_id)
        if ball.way != letter or swing is None or ball.set_aside:
            continue
        marks.append(tag("i", class_="in" if swing.shape in ON_LINE else "", title=swing.shape or "not seen"))
    on = sum(
        swings[b.swing_id].shape in ON_LINE
        for b in trial.balls
        if b.way == letter and not b.set_aside and b.swing_id in swings
    )
    label = f"{name_of(trial, letter)}: {on} of {len(marks)} on line"
    return tag("p", tag("b", f"{letter.upper()} "), tag("span", *marks, class_="dots", role="img", aria_label=label), class_="row-of")  # fmt: skip


def _doubt(a_better: float, counted: int) -> Markup:
    """Where the probability stands between the two, drawn as a mark on a line with its ends named."""
    letter, sure = ("A", a_better) if a_better >= 0.5 else ("B", 1.0 - a_better)
    how = chance_for(f"way {letter}", sure)
    return tag(
        "div",
        tag(
            "p",
            tag("span", "B", class_="soft"),
            tag("span", tag("i", class_="stands-at", style=f"left:{100 * a_better:.0f}%"), class_="line-of", role="img", aria_label=f"How sure: {how}"),
            tag("span", "A", class_="soft"),
            class_="between",
        ),
        tag("p", f"Which is better: {how}, from {counted} balls.", class_="soft"),
        class_="doubt",
    )  # fmt: skip


__all__ = ["before_html", "trial_page", "turn_html", "verdict_html", "word_html"]
