"""The window to aim for with a way, and how far this golfer has to overdo it: worked out from the case, set with one tap."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Final

from ferrule.analysis.case_windows import windows_of_case
from ferrule.app import cases, lessons
from ferrule.app.settings import settings
from ferrule.app.workspace import Workspace
from ferrule.coaching.case import Case
from ferrule.coaching.feel_gap import Cue, FeelGap, feel_gaps, tries_of
from ferrule.coaching.windows import Window
from ferrule.units import DEG

KEY_OF_WAY: Final = {
    "flexed_early": "wrist.top.flexion_deg",
    "flexed_in_transition": "wrist.shaft_level_down.flexion_deg",
    "posture": "handle_raise_deg",
    "shaft_lean": "shaft_lean_impact_deg",
}
"""The angle a way is about, where a window of it can be told; the others aim at the start of the ball."""
START: Final = "ball.start_deg"
WIDEST_DEG: Final = 10.0
"""A window that is open on one side is made this wide (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """A window to set, degrees in the sign of its key. now: what the angle is; None where the ball stands for it.

    exaggerate_to: what to aim for so that it comes, from this golfer's own tries; gap: what those tries showed.
    """

    key: str
    low: float
    high: float
    now: float | None
    exaggerate_to: float | None
    gap: FeelGap | None


def proposed_window(ws: Workspace, case: Case, way: str, golfer_id: int, feels: Sequence[str] = ()) -> Proposal:
    """The window of a way for this golfer and club; feels: what the way was called when it was tried."""
    tolerance = settings(ws).tolerance_deg
    key = KEY_OF_WAY.get(way)
    window = None
    if key is not None and case.swings:
        found = windows_of_case(case, cases.explanation_of(ws, case), tolerance=tolerance * DEG)
        window = next((w for w in found if w.key == key), None)
    ends = None if window is None else _ends(window)
    if key is None or window is None or ends is None:
        return Proposal(START, -tolerance, tolerance, None, None, None)
    low, high = ends
    now = window.now / DEG
    gap = _gap(ws, golfer_id, case.club.name, key, 0.5 * (low + high) - now, feels)
    asked = None if gap is None or gap.ask_for is None else round(now + gap.ask_for / DEG)
    return Proposal(key, low, high, now, asked, gap)


def _ends(window: Window) -> tuple[float, float] | None:
    """Whole degrees, both ends closed; None where no window can be told."""
    if not window.reachable or (window.low is None and window.high is None):
        return None
    low = None if window.low is None else window.low / DEG
    high = None if window.high is None else window.high / DEG
    low = (high or 0.0) - WIDEST_DEG if low is None else low
    high = low + WIDEST_DEG if high is None else high
    if window.key in ("shaft_lean_impact_deg", "handle_raise_deg"):
        low = max(low, 0.0)  # told as a size: hands ahead, handle raised
    low, high = float(ceil(low - 1e-9)), float(floor(high + 1e-9))
    return (low, high) if low < high else None


def _gap(ws: Workspace, golfer_id: int, club: str, key: str, wanted: float, feels: Sequence[str]) -> FeelGap | None:
    """What came of the way when it was tried, over all lessons; None before any try was measured."""
    if abs(wanted) < 1.0 or not feels:
        return None
    cues = {feel: Cue(key, wanted) for feel in feels}
    tries = []
    for held in lessons.lessons(ws, golfer_id):
        if club in held.clubs:
            tries += tries_of(cases.case_of(ws, golfer_id, club, held.id), cues, str(held.id))
    found = feel_gaps(tries)
    return max(found.values(), key=lambda g: g.tries) if found else None


__all__ = ["KEY_OF_WAY", "START", "Proposal", "proposed_window"]
