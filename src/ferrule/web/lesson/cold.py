"""Cold test: ten balls before anything is said. A pad, the strike, a count; what it showed comes after the last ball."""

from collections import Counter

from ferrule.app.cold_tests import ColdTestView
from ferrule.app.flights import start_in_world
from ferrule.app.progress import Progress, progress
from ferrule.app.views import SwingView
from ferrule.app.workspace import Workspace
from ferrule.coaching.change import FEWEST_SWINGS, TEST_SWINGS
from ferrule.coaching.wording_change import verdict_sentence
from ferrule.coaching.wording_trial import cold_sentence
from ferrule.frames.handedness import Handedness
from ferrule.web.lesson.frame import lesson_sheet, undo_line
from ferrule.web.lesson.held import Held, held_lesson
from ferrule.web.markup import Markup, tag
from ferrule.web.pad import after_ball, pad
from ferrule.web.parts import REST, button, fault_place
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.words import counted


@page("/lessons/{lesson_id}/cold-test")
def cold_page(ws: Workspace, parts: Parts) -> Drawn:
    """The second screen of a lesson."""
    held = held_lesson(ws, int(parts["lesson_id"]))
    running = held.cold_test
    if running is not None:
        html = running_html(held, running)
    else:
        html = resting_html(held, progress(ws, held.golfer.id, held.club) if held.tests else None)
    return Drawn(f"{held.name}, cold test", html, held.golfer.id)


def running_html(held: Held, test: ColdTestView) -> Markup:
    """The pad and the count, and not a word about where the balls go."""
    done = len(test.balls)
    in_it = [s for s in held.lesson.swings if s.id in test.balls]
    return lesson_sheet(
        held,
        "cold-test",
        tag(
            "section",
            tag("h1", f"Ball {done + 1} of {TEST_SWINGS}", class_="turn"),
            dots(done, TEST_SWINGS, f"{done} of {TEST_SWINGS} balls are in"),
            tag("p", f"With the {test.club}{f', {test.elsewhere}' if test.elsewhere else ''}. Nobody says anything.", class_="soft"),
            tag("div", pad(f"{REST}/cold-tests/{test.id}/balls"), after_ball(held.lesson, quiet=True) if in_it else undo_line(held), class_="ball-turn"),
            tag("p", button("End it here", f"{REST}/cold-tests/{test.id}/end", class_="bare", sure="Tap again: end with fewer than ten"), class_="soft"),
            fault_place(""),
            id="cold-test", data_faults=True, class_="first",
        ),
        onward=False, undo=False,
    )  # fmt: skip


def resting_html(held: Held, found: Progress | None) -> Markup:
    """Before the test, or after it."""
    send = f"{REST}/lessons/{held.lesson.id}/cold-tests"
    done = next((t for t in held.tests if not t.is_running), None)
    if done is None:
        enough = sum(s.number is not None and s.club == held.club and not s.set_aside for s in held.lesson.swings)
        return lesson_sheet(
            held,
            "cold-test",
            tag(
                "section",
                tag("h1", f"Ten balls with the {held.club}, cold.", class_="calm"),
                tag("p", "Before anything is said. Tap where each one goes; nobody comments, nobody helps. Under four minutes.", class_="lead"),
                _clubs(held),
                tag("div", button("Start the cold test", send, {"club": held.club}, class_="do"), class_="tools"),
                tag("p", button("The balls so far were cold", f"{send}/first", {"club": held.club}, class_="bare")) if enough >= FEWEST_SWINGS else None,
                fault_place(""), fault_place("club"),
                id="cold-start", data_faults=True, class_="first",
            ),
            onward=False,
        )  # fmt: skip
    balls = [s for s in held.lesson.swings if s.id in done.balls]
    verdict = found.main if found is not None and found.settled is not None else None
    return lesson_sheet(
        held,
        "cold-test",
        tag(
            "section",
            tag("h1", test_sentence(balls, held.hand), class_="calm"),
            tag("p", verdict_sentence(verdict), class_="lead") if verdict is not None else None,
            tag("p", f"{counted(len(balls), 'ball').capitalize()} with the {done.club}, cold.", class_="soft"),
            tag("p", button("Another cold test", send, {"club": held.club}, class_="bare")),
            fault_place(""),
            id="cold-done", data_faults=True, class_="first",
        ),
    )  # fmt: skip


def test_sentence(balls: list[SwingView], hand: Handedness) -> str:
    """What the balls did, counted: "Seven of ten started right, six bent right."."""
    seen = [s for s in balls if s.shape and s.start and s.bend]
    if not seen:
        return "The cold test is kept."
    starts = Counter(start_in_world(s.start or "", hand) for s in seen)
    bends = Counter(s.bend or "" for s in seen)
    return cold_sentence(len(seen), starts.most_common(1)[0], bends.most_common(1)[0])


def dots(done: int, of: int, label: str) -> Markup:
    """Balls as a row of rounds: those that are in are filled, the next one is ringed."""
    marks = [tag("i", class_="in" if i < done else "next" if i == done else "") for i in range(of)]
    return tag("p", *marks, class_="dots", role="img", aria_label=label)


def _clubs(held: Held) -> Markup | None:
    """The club in hand, one tap to change."""
    if len(held.bag) < 2:
        return None
    taps = [
        button(
            c.name[:1].upper() + c.name[1:], f"{REST}/golfers/{held.golfer.id}/clubs/current", {"name": c.name},
            class_="", aria_pressed=str(c.name == held.club).lower(),
        )
        for c in held.bag
    ]  # fmt: skip
    return tag("div", *taps, class_="seg", role="group", aria_label="Club in hand")


__all__ = ["cold_page", "dots", "resting_html", "running_html", "test_sentence"]
