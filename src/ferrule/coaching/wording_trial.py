"""Sentences about counted balls: which way of a trial flew better and how sure that is; what a cold test showed."""

from typing import Final

from ferrule.coaching.wording_change import count_words

LIKELY: Final = 0.8
CLEAR: Final = 0.95
"""From here on a difference is called likely, and almost certain (common practice, no source)."""


def trial_sentence(a: tuple[str, int, int], b: tuple[str, int, int], a_better: float) -> str:
    """The verdict with its doubt. a, b: name, balls on line, balls seen; a_better: probability that way A is the better."""
    counted = f"{a[0]}: {a[1]} of {a[2]} on line. {b[0]}: {b[1]} of {b[2]}."
    first, sure = (a[0], a_better) if a_better >= 0.5 else (b[0], 1.0 - a_better)
    if sure >= CLEAR:
        words = f"{first} is better here, almost certainly."
    elif sure >= LIKELY:
        words = f"{first} is likely better, about {round(10 * sure)} in 10: enough to go on with, not yet proof."
    else:
        words = "Too close to tell from so few balls: let the golfer's word decide, or hit six more."
    return f"{counted} {words}"


def chance_for(name: str, probability: float) -> str:
    """How sure one is of the better way, for the line under the balls: "about 7 in 10 for way A"."""
    if probability >= CLEAR:
        return f"{name}, almost certainly"
    return f"about {round(10 * probability)} in 10 for {name}"


_STARTED: Final = {"left": "started left", "right": "started right", "straight": "started straight"}
_BENT: Final = {"left": "bent left", "right": "bent right", "straight": "did not bend"}


def cold_sentence(balls: int, start: tuple[str, int], bend: tuple[str, int]) -> str:
    """What most of the seen balls did: "Seven of ten started right, six bent right." Words of the world."""
    of = count_words(balls)
    return (
        f"{count_words(start[1]).capitalize()} of {of} {_STARTED[start[0]]}, {count_words(bend[1])} {_BENT[bend[0]]}."
    )


__all__ = ["CLEAR", "LIKELY", "chance_for", "cold_sentence", "trial_sentence"]
