"""Sentences about a change: the verdict, what was left aside and why, what would settle it. Same rules as `wording`.

`verdict_sentence` and `verdict_note` speak to the coach, `verdict_for_golfer` to the golfer. A number is said only where
it means something.
"""

from datetime import date
from typing import Final

from ferrule.coaching.change import LARGE_ENOUGH, SURE, TEST_SWINGS, Amount, CarryOver, Question, Reason, Verdict
from ferrule.coaching.change_periods import Periods
from ferrule.coaching.wording import degrees

MONTHS: Final = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_COUNTS: Final = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_TENS: Final = {10: "ten", 20: "twenty", 30: "thirty", 40: "forty"}

_WHY: Final[dict[Reason, str]] = {
    "no_baseline": "there is no baseline from before the change",
    "one_baseline": "one baseline day does not show how much one day differs from the next",
    "no_test": "there has been no cold test on another day yet",
    "device": "the measuring device changed and no day has both",
    "grip": "the grip changed, which moves the zero at address",
    "mounting": "the sensors were off and on again, which moves the zero of an absolute angle",
    "small_blocks": "blocks of fewer than five swings were left aside",
    "other_clubs": "swings with other clubs were left aside",
    "dates": "blocks whose dates do not fit their kind were left aside",
    "doubt": "what was seen is no larger than one day differs from the next",
}
_DO: Final[dict[Reason, str]] = {
    "no_baseline": "Take ten cold balls on two days before changing anything more.",
    "one_baseline": "Next time, take a second baseline before the change; from here, ten cold balls a lesson still show"
    " whether it moves on.",
    "no_test": "Open the next lesson with ten cold balls.",
    "device": "Record ten balls with both devices on one day.",
    "grip": "Compare the ball instead: start line and curve do not mind the grip.",
    "mounting": "Compare the change since address, or the ball: both survive a new mounting.",
}
EVIDENCE_WORDS: Final = {
    "ball": "mount-free: read from the ball",
    "since_address": "mount-free: change from address",
    "absolute": "within one mounting: absolute angle",
}


def verdict_sentence(verdict: Verdict) -> str:
    """The verdict in one sentence (with the clubs it does worse with, if any)."""
    q, change = verdict.question, verdict.change
    match verdict.kind:
        case "real_and_lasts":
            text = f"Real, and it lasts: the {q.quantity} is {_amount(change, q)}, in {_tests(verdict.tests)}"
        case "real_so_far":
            text = (
                f"Real so far: the {q.quantity} is {_amount(change, q)} in one cold test;"
                " ten cold balls on another day show whether it lasts"
            )
        case "practice_only":
            text = (
                f"Better in practice only: {_amount(verdict.practice, q)} with help,"
                f" not there in {_tests(verdict.tests)}"
            )
        case "fading":
            text = f"It was there and is going again: the last cold tests no longer show the {q.quantity} {q.better}"
        case "other_way":
            text = f"The other way: the {q.quantity} is {_amount(change, q)}"
        case "as_before":
            text = f"As before: the {q.quantity} has moved by less than {_size(q.worthwhile, q)} either way"
        case "not_comparable":
            text = f"Not comparable: {_WHY[verdict.reasons[0]]}"
        case _:
            text = _not_yet(verdict)
    worse = [c.what for c in verdict.carry_over if c.kind == "worse"]
    return f"{text}{f'; worse with the {_listed(worse)}' if worse else ''}."


def verdict_note(verdict: Verdict) -> str:
    """What stands behind the sentence: the evidence by name, the smallest real change, overlap, drift, what to do."""
    q = verdict.question
    parts = [f"Evidence: {EVIDENCE_WORDS[q.evidence]}."]
    parts += [_DO[r] for r in verdict.reasons if r in _DO]
    if verdict.smallest_real is not None and verdict.typical_error is not None:
        parts.append(
            f"One cold test of ten balls is good to about {_size(verdict.typical_error, q)}; the smallest real change it can"
            f" show is {_size(verdict.smallest_real, q)}."
        )
    if verdict.overlap is not None:
        parts.append(
            f"In {round(verdict.overlap.nap * 100)} of 100 pairs the test swing is {q.better} than the baseline swing."
        )
        if verdict.overlap.trend.p < 0.1 and verdict.overlap.trend.tau > 0:
            parts.append("The baseline was already moving that way.")
    if verdict.drift is not None:
        way = q.better if verdict.drift.value * q.sign > 0 else q.worse
        parts.append(
            f"Before the change it was already drifting, {_size(verdict.drift.value, q)} {way} a lesson; that is taken off."
        )
    parts += [f"Left aside: {_WHY[r]}." for r in verdict.reasons if r in ("small_blocks", "other_clubs", "dates")]
    return " ".join(parts)


def verdict_for_golfer(verdict: Verdict) -> str:
    """The same for the golfer's sheet: no statistics, nothing that hurts."""
    q, change = verdict.question, verdict.change
    match verdict.kind:
        case "real_and_lasts":
            text = f"It is yours: {_plain(change, q)} than when we began, and it holds on other days without help."
        case "real_so_far":
            text = f"It is there: {_plain(change, q)} than when we began. The next cold balls show whether it stays."
        case "practice_only":
            text = "It is there when we practise and not yet by itself. That is the usual next step: practise with less help."
        case "fading":
            text = "You had it, and lately it comes less by itself. A few slow reps before each bucket bring it back."
        case "other_way":
            text = "The numbers have moved the other way. We look again before you practise more of it."
        case "as_before":
            text = "It is where it was. We try another road to the same place."
        case "not_comparable":
            text = "The way we measured has changed, so old and new numbers do not stand beside each other. We start fresh."
        case _:
            text = "Too early to tell. The next cold balls will."
    carried = [c for c in verdict.carry_over if c.kind in ("carries_over", "worse")]
    for c in carried:
        text += (
            f" It works with the {c.what} too."
            if c.kind == "carries_over"
            else f" With the {c.what} it still needs its own work."
        )
    return text


def carry_over_sentence(carry: CarryOver, question: Question) -> str:
    """How the change does elsewhere."""
    match carry.kind:
        case "carries_over":
            return f"It carries over: {carry.what}, {_amount(carry.change, question)}."
        case "worse":
            return f"Worse with the {carry.what}: {_amount(carry.change, question)}."
        case "no_baseline":
            return f"{_capital(carry.what)}: no two baseline days to compare with."
        case _:
            return f"{_capital(carry.what)}: not yet distinguishable."


_THIN: Final[dict[Reason, str]] = {
    "no_baseline": "the first period has no cold balls",
    "one_baseline": "the first period has cold balls on one day only, and two are needed",
    "no_test": "the second period has cold balls on fewer than two days",
}


def periods_sentence(periods: Periods, question: Question) -> str:
    """Two periods beside each other, in one sentence. A comparison; what proves a change is the verdict."""
    name = _capital(question.quantity)
    if periods.change is None:
        why = periods.reason or "doubt"
        return f"{name}: nothing to compare, because {_THIN.get(why, _WHY[why])}."
    change = periods.change
    sure = max(change.probability, 1.0 - change.probability) >= SURE
    away = change.worthwhile >= LARGE_ENOUGH or change.probability < 0.5
    said = "more than days differ anyway" if sure and away else "no more than days may differ anyway"
    return f"{name}: {_amount(change, question)} in the second period, {said}."


def amount_words(amount: Amount, question: Question) -> str:
    """7° more bowed, likely between 4° and 9°."""
    return _amount(amount, question)


def day_words(on: date) -> str:
    """12 March 2026."""
    return f"{on.day} {MONTHS[on.month - 1]} {on.year}"


def count_words(number: int) -> str:
    """One, two ... ten; 11."""
    return _COUNTS[number] if 0 <= number < len(_COUNTS) else str(number)


def _not_yet(verdict: Verdict) -> str:
    first = verdict.reasons[0] if verdict.reasons else "doubt"
    if first != "doubt":
        text = f"Not yet distinguishable: {_WHY[first]}"
        if first == "no_test" and verdict.practice is not None and verdict.practice.probability >= SURE:
            text += f" (in practice {_amount(verdict.practice, verdict.question)}, which proves nothing yet)"
        return text
    if verdict.settles_in is None:
        size = "" if verdict.smallest_real is None else f" (about {_size(verdict.smallest_real, verdict.question)})"
        return f"Not yet distinguishable: what has moved, if anything, is smaller than a cold test can show{size}"
    balls = verdict.settles_in * TEST_SWINGS
    days = "" if verdict.settles_in == 1 else f" on {count_words(verdict.settles_in)} days"
    return f"Not yet distinguishable, {_TENS.get(balls, str(balls))} more cold balls{days} would settle it"


def _amount(amount: Amount | None, q: Question) -> str:
    if amount is None:
        return "changed"
    better = amount.value * q.sign > 0
    low, high = sorted((abs(amount.low), abs(amount.high)))
    words = f"{_size(amount.value, q)} {q.better if better else q.worse}"
    if amount.low * amount.high <= 0.0:
        return f"{words} (give or take {_size((amount.high - amount.low) / 2.0, q)})"
    return f"{words} (between {_size(low, q)} and {_size(high, q)})"


def _plain(amount: Amount | None, q: Question) -> str:
    return q.better if amount is None else f"{_size(amount.value, q)} {q.better}"


def _size(value: float, q: Question) -> str:
    return degrees(value) if q.unit == "°" else f"{abs(value):.1f} {q.unit}"


def _tests(count: int) -> str:
    return (
        f"{count_words(count)} cold test{'' if count == 1 else 's'} on {'another day' if count == 1 else 'other days'}"
    )


def _listed(items: list[str]) -> str:
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} and {items[-1]}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
