"""The verdict on a change: one kind, its reasons, and the numbers that mean something."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from ferrule.coaching.change import (
    BASELINE_DAYS,
    LARGE_ENOUGH,
    SURE,
    TESTS_TO_LAST,
    Amount,
    Block,
    CarryOver,
    Overlap,
    Question,
    Reason,
    Verdict,
    VerdictKind,
    days_of,
)
from ferrule.coaching.change_evidence import Sorted, sort_blocks
from ferrule.coaching.change_model import (
    ProofFit,
    amount_of,
    baseline_drift,
    fit_practice,
    fit_proof,
    points_of,
)
from ferrule.statistics.hierarchy import Mixture
from ferrule.statistics.nonoverlap import Trend, baseline_trend, pairs

MOST_TESTS_AHEAD: Final = 4
HOLDS: Final = 0.7
"""The latest tests alone must still be better with this probability (common practice, no source)."""
AS_BEFORE: Final = 0.9
TESTS_TO_FADE: Final = 3


def verdict_on(blocks: Sequence[Block], question: Question) -> Verdict:
    """What can be said of one quantity with one club. blocks: all of the golfer's, in any order."""
    parts = sort_blocks(blocks, question)
    bare = _bare(parts, question)
    if bare is not None:
        return bare
    drift = baseline_drift(parts, question)
    proof = fit_proof(parts, question, drift_seen=drift is not None)
    practice, against = fit_practice(parts, question) if parts.practice else (None, None)
    tests = len(days_of(parts.tests))
    change = proof.change() if tests else None
    overlap = _overlap(parts, question) if tests else None
    kind, reasons = _kind(parts, question, proof, practice, against, overlap, drift is not None)
    return Verdict(
        kind,
        reasons,
        question,
        len(days_of(parts.baseline)),
        tests,
        None if change is None else amount_of(change, question),
        None if practice is None else amount_of(practice, question),
        _smallest_real(parts, question, proof, drift is not None),
        float(np.sqrt(proof.fit.weights @ proof.fit.day_sds**2 + proof.fit.swing_variance / 10.0)),
        proof.fit.swing_sd,
        proof.fit.day_sd,
        float(proof.fit.weights @ proof.fit.coefficient[:, 0]),
        _settles_in(proof, change, question) if kind in ("not_yet", "real_so_far") else None,
        drift,
        overlap,
        _carry_over(blocks, parts, question),
        points_of(parts, question),
        parts.aside,
    )


def _bare(parts: Sorted, question: Question) -> Verdict | None:
    """The verdict when no number would mean anything, or None."""
    days, tests = len(days_of(parts.baseline)), len(days_of(parts.tests))
    set_aside = {reason for _, reason in parts.aside}
    reasons: list[Reason] = []
    kind: VerdictKind = "not_yet"
    if parts.refused is not None:
        kind, reasons = "not_comparable", [parts.refused]
    elif days == 0:
        reasons = ["no_baseline"]
    elif days < BASELINE_DAYS:
        reasons = ["one_baseline"]
    elif "device" in set_aside and not tests:
        reasons = ["device"]
    if not reasons:
        return None
    seen: tuple[Reason, ...] = ("small_blocks", "dates", "other_clubs", "device")
    reasons += [r for r in seen if r in set_aside and r not in reasons]
    points = points_of(parts, question) if days else ()
    return Verdict(kind, tuple(reasons), question, days, tests, points=points, left_aside=parts.aside)


def _kind(
    parts: Sorted,
    question: Question,
    proof: ProofFit,
    practice: Mixture | None,
    against: Mixture | None,
    overlap: Overlap | None,
    drift_seen: bool,
) -> tuple[VerdictKind, tuple[Reason, ...]]:
    tests = len(days_of(parts.tests))
    aside = tuple(r for r in ("device", "dates", "small_blocks") if r in {why for _, why in parts.aside})
    if tests == 0:
        return "not_yet", ("no_test", *aside)
    change = amount_of(proof.change(), question)
    real = _real(change) and overlap is not None and overlap.nap > 0.5
    if tests >= TESTS_TO_LAST:
        split = fit_proof(parts, question, split_late=True, drift_seen=drift_seen)
        early, late = amount_of(split.early_change(), question), amount_of(split.late_change(), question)
        less = amount_of(split.late_less_early(), question)
        if tests >= TESTS_TO_FADE and _real(early) and not _real(late) and less.probability <= 1.0 - SURE:
            return "fading", aside
        if real and late.probability >= HOLDS:
            return "real_and_lasts", aside
    elif real:
        return "real_so_far", aside
    if practice is not None and against is not None and _real(amount_of(practice, question)):
        apart = amount_of(against, question)
        if apart.probability >= SURE:
            return "practice_only", aside
    mirrored = amount_of(proof.change(), replace(question, wanted="down" if question.sign > 0 else "up"))
    if _real(mirrored):
        return "other_way", aside
    worth = question.worthwhile
    if proof.change().above(-worth) - proof.change().above(worth) >= AS_BEFORE:
        return "as_before", aside
    return "not_yet", ("doubt", *aside)


def _real(amount: Amount) -> bool:
    return amount.probability >= SURE and amount.worthwhile >= LARGE_ENOUGH


def _smallest_real(parts: Sorted, question: Question, proof: ProofFit, drift_seen: bool) -> float:
    """For one cold test of ten balls after the baseline there is, with the spreads as now believed."""
    alone = fit_proof(replace(parts, tests=(), practice=()), question, drift_seen=drift_seen)
    known = replace(alone, fit=replace(alone.fit, weights=proof.fit.weights, swing_variance=proof.fit.swing_variance))
    return known.smallest_real(1, SURE)


def _settles_in(proof: ProofFit, change: Mixture | None, question: Question) -> int | None:
    """Further cold tests after which a change of the size now seen would count as real."""
    seen = 0.0 if change is None else question.sign * change.value
    if change is None:
        return 1
    for more in range(1, MOST_TESTS_AHEAD + 1):
        if seen >= proof.smallest_real(more, SURE):
            return more
    return None


def _overlap(parts: Sorted, question: Question) -> Overlap:
    before = question.sign * np.concatenate([b.values for b in parts.baseline])
    after = question.sign * np.concatenate([b.values for b in parts.tests])
    counted = pairs(before, after)
    means = [
        float(np.mean(np.concatenate([b.values for b in parts.baseline if b.on == d]))) for d in days_of(parts.baseline)
    ]
    trend = baseline_trend(question.sign * np.array(means)) if len(means) >= 3 else Trend(0.0, 1.0)
    return Overlap(counted.nap, counted.tau, trend)


def _carry_over(blocks: Sequence[Block], parts: Sorted, question: Question) -> tuple[CarryOver, ...]:
    """Each other club or place against its own baseline; same rules of comparison as the main club."""
    out = []
    wanted = sorted({(b.club, b.where) for b in parts.transfer if b.kind == "transfer"}, key=str)
    for club, where in wanted:
        baseline = [b for b in blocks if b.kind == "baseline" and b.club == club]
        there = [
            replace(b, kind="retention") for b in blocks if b.kind == "transfer" and b.club == club and b.where == where
        ]
        inner = replace(question, club=club, began=parts.began)
        sub = sort_blocks([*baseline, *there], inner)
        what = where or club if club == question.club else club if where is None else f"{club}, {where}"
        if _bare(sub, inner) is not None or not sub.tests:
            out.append(CarryOver(what, "no_baseline", None))
            continue
        change = fit_proof(sub, inner).change()
        amount = amount_of(change, inner)
        back = amount_of(change, replace(inner, wanted="down" if inner.sign > 0 else "up"))
        out.append(CarryOver(what, "carries_over" if _real(amount) else "worse" if _real(back) else "not_yet", amount))
    return tuple(out)
