"""Body against ball: the likeliest reason when they disagree."""

from dataclasses import replace

import pytest

from ferrule.coaching.change import Amount, Question, Verdict, VerdictKind
from ferrule.coaching.right_cause import right_cause

WRIST = Question("lead wrist at the top", "since_address", "7-iron", "up")
BALL = Question("start line", "ball", "7-iron", "down")


def says(kind: VerdictKind, question: Question = WRIST, worth: float = 0.5) -> Verdict:
    return Verdict(kind, (), question, 2, 2, Amount(1.0, -1.0, 3.0, 0.8, worth))


@pytest.mark.parametrize(
    ("body", "ball", "answer", "back"),
    [
        ("real_and_lasts", "real_and_lasts", "both", False),
        ("real_and_lasts", "as_before", "body_only", True),
        ("as_before", "real_and_lasts", "ball_only", True),
        ("practice_only", "as_before", "neither", False),
        ("as_before", "other_way", "neither", True),
        ("not_yet", "real_and_lasts", "unknown", False),
        ("real_so_far", "not_yet", "unknown", False),
    ],
)
def test_answers(body: VerdictKind, ball: VerdictKind, answer: str, back: bool) -> None:
    found = right_cause(says(body), says(ball, BALL))
    assert (found.answer, found.back_to_case) == (answer, back)
    assert "lead wrist at the top" in found.sentence


def test_reasons_by_what_was_seen() -> None:
    body, ball = says("real_and_lasts"), says("as_before", BALL)
    assert right_cause(body, ball).why == "other_cause"
    assert right_cause(body, ball, grip_changed=True).why == "matched_by_grip"
    assert right_cause(body, ball, strike_off_centre=True).why == "path_or_strike"
    assert right_cause(says("as_before"), says("real_so_far", BALL)).why == "compensation"


def test_a_ball_that_surely_did_not_move_enough_stood() -> None:
    """An undecided verdict whose interval lies below what is worth having counts as not changed."""
    ball = says("not_yet", BALL, worth=0.05)
    assert right_cause(says("real_and_lasts"), ball).answer == "body_only"
    assert right_cause(says("real_and_lasts"), replace(ball, change=None)).answer == "unknown"
