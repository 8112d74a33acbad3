"""Was it the right cause: what the body did against what the ball did, and the likeliest reason when they disagree."""

from dataclasses import dataclass
from typing import Literal

from ferrule.coaching.change import Verdict, VerdictKind

Answer = Literal["both", "body_only", "ball_only", "neither", "unknown"]
Why = Literal["other_cause", "matched_by_grip", "path_or_strike", "not_yet_in_the_swing", "compensation", "measuring"]

_MOVED: frozenset[VerdictKind] = frozenset({"real_and_lasts", "real_so_far"})
_STOOD: frozenset[VerdictKind] = frozenset({"as_before", "practice_only", "other_way", "fading"})


@dataclass(frozen=True, slots=True)
class RightCause:
    """answer: what moved; why: the likeliest reason where body and ball disagree; sentence: for the coach; back_to_case:
    whether the case should be opened again.
    """

    answer: Answer
    why: Why | None
    sentence: str
    back_to_case: bool


def right_cause(
    body: Verdict, ball: Verdict, *, grip_changed: bool = False, strike_off_centre: bool = False
) -> RightCause:
    """Compare the verdict on the body's quantity (wrist, forearm, posture) with that on the ball's.

    grip_changed, strike_off_centre: seen since the baseline; they name the reason when only one of the two moved.
    """
    moved, flew = body.kind in _MOVED, ball.kind in _MOVED
    stood, flew_not = _stood(body), _stood(ball)
    what = body.question.quantity
    if moved and flew:
        return RightCause("both", None, f"The {what} changed and so did the ball: the cause was the right one.", False)
    if moved and flew_not:
        why: Why = "matched_by_grip" if grip_changed else "path_or_strike" if strike_off_centre else "other_cause"
        return RightCause("body_only", why, f"The {what} changed but not the ball: {_BODY_ONLY[why]}", True)
    if stood and flew:
        why = "compensation" if not grip_changed else "matched_by_grip"
        return RightCause("ball_only", why, f"The ball changed but not the {what}: {_BALL_ONLY[why]}", True)
    if stood and flew_not:
        if body.kind == "practice_only":
            return RightCause(
                "neither", "not_yet_in_the_swing",
                f"Neither has changed by itself yet: the {what} is there in practice, so the cause is not yet tested."
                " Less feedback, more cold balls.", False,
            )  # fmt: skip
        return RightCause(
            "neither", None, f"Neither the {what} nor the ball has changed: another drill or another way.", True
        )
    return RightCause("unknown", None, f"Too early to say whether the {what} was the right cause.", False)


def _stood(verdict: Verdict) -> bool:
    """Known not to have changed enough: said so, or the whole interval lies below what is worth having."""
    if verdict.kind in _STOOD:
        return True
    return verdict.change is not None and verdict.tests >= 2 and verdict.change.worthwhile < 0.2


_BODY_ONLY: dict[Why, str] = {
    "matched_by_grip": "the grip changed with it and gave it back. Look at the grip again.",
    "path_or_strike": "the strike is off centre, and that bends the ball by itself. Look at the strike first.",
    "other_cause": "most likely something else opens or closes the face by as much. Back to the case.",
}
_BALL_ONLY: dict[Why, str] = {
    "compensation": "something else has squared the face, and may not hold. Find out what before building on it.",
    "matched_by_grip": "most likely the new grip did it. Give the grip the credit and test it.",
}
