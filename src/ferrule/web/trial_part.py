"""The trial on the lesson page: whose turn it is in large letters, the pad, and the golfer's word at the end."""

from ferrule.app.views import LessonView, TrialView
from ferrule.coaching.wording_ways import TITLES
from ferrule.web.markup import Child, Markup, tag
from ferrule.web.pad import after_ball, pad
from ferrule.web.parts import REST, choose, fault_place, field, form, submit


def trial_section(trial: TrialView, lesson: LessonView) -> Markup:
    """The trial that is under way."""
    titles = {
        "a": trial.feel_a or TITLES.get(trial.way_a, trial.way_a),
        "b": trial.feel_b or TITLES.get(trial.way_b, trial.way_b),
    }
    done = len(trial.balls)
    if trial.next_way is None:
        inside: list[Child] = [
            tag("p", "All balls are hit. Hear the golfer before you say anything.", class_="lead"),
            form(
                f"{REST}/trials/{trial.id}/end",
                choose(
                    "golfer_prefers",
                    "Which one would the golfer keep?",
                    (("a", f"A: {titles['a']}"), ("b", f"B: {titles['b']}")),
                ),
                field("golfers_word", "In the golfer’s words", id_="trial", maxlength=2000),
                tag("div", submit("End the trial", class_="a"), class_="tools"),
                fault_place(""),
            ),
        ]
    else:
        inside = [
            tag("p", f"Way {trial.next_way.upper()}: {titles[trial.next_way]}", class_="turn"),
            tag("p", f"Ball {trial.next_ball_in_block} of {trial.balls_a_block}. {done} of {4 * trial.balls_a_block} are hit.", class_="lead"),
            pad(f"{REST}/trials/{trial.id}/balls"),
            after_ball(lesson),
            tag("p", tag("button", "Stop the trial here", type="button", class_="bare", data_send=f"{REST}/trials/{trial.id}/end", data_sure="Tap again to stop the trial")),
            fault_place(""),
        ]  # fmt: skip
    return tag("section", tag("h2", "The trial"), *inside, id="trial", class_="trial", data_faults=True)
