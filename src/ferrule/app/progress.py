"""How a golfer gets on: the plan in force, the questions that it asks, and a verdict on each from what is kept.

Everything is worked out anew from lessons, swings, cold tests and the chosen way; nothing of it is stored.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final, Literal, cast

from sqlalchemy import select

from ferrule.app import cases, golfers, lessons, plans
from ferrule.app.blocks import (
    Beginning,
    PlacedSwing,
    angle_reader,
    ball_reader,
    blocks_of,
    day_of,
    mean_of,
    placed_swings,
    surest,
)
from ferrule.app.cold_tests import ColdTestView, cold_tests
from ferrule.app.drills import drill_named, every_drill, library
from ferrule.app.finding import now
from ferrule.app.quantity_names import SIDES, name_of
from ferrule.app.settings import settings
from ferrule.app.views import ChosenWayView, GolferView, WindowView
from ferrule.app.workspace import Workspace
from ferrule.coaching.case import Case, Golfer, quantity_of
from ferrule.coaching.change import Block, Evidence, Question, Verdict, spread_of
from ferrule.coaching.change_verdict import verdict_on
from ferrule.coaching.drills import Reps, count_reps
from ferrule.coaching.plan import RETEST_DAYS, Plan, Target, make_plan
from ferrule.coaching.right_cause import RightCause, right_cause
from ferrule.coaching.ways import WayName
from ferrule.coaching.wording_ways import FEELS
from ferrule.frames.handedness import world_sign
from ferrule.store.tables import Lesson, Swing
from ferrule.units import DEG

GRIP_WAYS: Final = ("grip", "trail_hand_grip")
OPEN_ENDED: Final = ("keep_shape", "leave_as_is")
"""Ways that aim at no number."""
BALL_KEYS: Final = (("ball.start_deg", "start line"), ("ball.curve_deg", "curve"))
_OF_WAY: Final = {
    "flexed_early": "wrist.top.flexion_deg",
    "flexed_in_transition": "wrist.shaft_level_down.flexion_deg",
    "posture": "handle_raise_deg",
}
_UP: Final[dict[str, Literal["up", "down"]]] = {"flexed_early": "up", "flexed_in_transition": "up", "posture": "down"}


@dataclass(frozen=True, eq=False, slots=True)
class Settled:
    """The plan in force with one club. own_drill: the coach's drill in words, where it is none of the library.

    has_window: the target is a window that was set, not the usual one on the start of the ball.
    """

    chosen: ChosenWayView
    plan: Plan
    own_drill: str
    began: date
    has_window: bool = False


@dataclass(frozen=True, eq=False, slots=True)
class Progress:
    """Everything the progress page shows of one golfer and club. verdicts: the one that counts most first.

    person: the golfer as the case has it; reps: of the drill, since the way began; missed_by_word: reps that the coach said
    missed the drill's purpose; plan_key: the quantity that the way is about.
    """

    golfer: GolferView
    club: str
    settled: Settled | None
    verdicts: tuple[Verdict, ...]
    cause: RightCause | None
    tests: tuple[ColdTestView, ...]
    person: Golfer
    reps: Reps
    missed_by_word: int = 0
    plan_key: str | None = None

    @property
    def main(self) -> Verdict | None:
        """The verdict that counts most, or None."""
        return self.verdicts[0] if self.verdicts else None


@dataclass(frozen=True, eq=False, slots=True)
class _Asked:
    """What the verdicts of one golfer and club come from."""

    began: Beginning | None
    chosen: ChosenWayView | None
    window: WindowView | None
    placed: list[PlacedSwing]
    answers: tuple[tuple[Verdict, list[Block]], ...]

    @property
    def verdicts(self) -> tuple[Verdict, ...]:
        """The verdicts alone."""
        return tuple(verdict for verdict, _ in self.answers)


def _asked(ws: Workspace, golfer_id: int, handedness: str, club: str) -> _Asked:
    began = _beginning(ws, golfer_id, club)
    chosen = next(iter(plans.chosen_ways(ws, golfer_id, club)), None)
    window = _window(plans.windows(ws, golfer_id, club), chosen)
    placed = placed_swings(ws, golfer_id, club, "left" if handedness == "left" else "right", began)
    return _Asked(began, chosen, window, placed, _verdicts(placed, club, chosen, window, began))


def planned_club(ws: Workspace, golfer_id: int) -> str | None:
    """The club of the newest plan; None when nothing was settled."""
    found = plans.chosen_ways(ws, golfer_id)
    return found[0].club if found else None


def verdicts(ws: Workspace, golfer_id: int, club: str | None = None) -> tuple[Verdict, ...]:
    """What can be said of each quantity the plan is about, the one that counts most first; empty before any ball."""
    with_club = club or planned_club(ws, golfer_id) or cases.case_of(ws, golfer_id).club.name
    return _asked(ws, golfer_id, golfers.golfer(ws, golfer_id).handedness, with_club).verdicts


def questions(ws: Workspace, golfer_id: int, club: str | None = None) -> tuple[tuple[Question, list[Block]], ...]:
    """What is asked of each quantity the plan is about, and the blocks that can answer it."""
    with_club = club or planned_club(ws, golfer_id) or cases.case_of(ws, golfer_id).club.name
    asked = _asked(ws, golfer_id, golfers.golfer(ws, golfer_id).handedness, with_club)
    return tuple((verdict.question, found) for verdict, found in asked.answers)


def blocks(ws: Workspace, golfer_id: int, club: str, key: str, evidence: Evidence) -> list[Block]:
    """Blocks of one quantity from what is kept."""
    return _read(_asked(ws, golfer_id, golfers.golfer(ws, golfer_id).handedness, club).placed, key, evidence)


def progress(ws: Workspace, golfer_id: int, club: str | None = None, today: date | None = None) -> Progress:
    """The plan, the verdicts, whether it was the right cause, the cold tests. club None: that of the newest plan."""
    golfer = golfers.golfer(ws, golfer_id)
    with_club = club or planned_club(ws, golfer_id) or cases.case_of(ws, golfer_id).club.name
    asked = _asked(ws, golfer_id, golfer.handedness, with_club)
    found = asked.verdicts
    tests = tuple(t for t in cold_tests(ws, golfer_id) if t.club == with_club)
    settled = None
    case = cases.case_of(ws, golfer_id, with_club)
    if asked.chosen is not None and asked.began is not None:
        settled = _settled(
            ws, golfer, case, asked.chosen, asked.window, asked.began, found[0] if found else None, today
        )
    body = next((v for v in found if v.question.evidence == "since_address"), None)
    ball = next((v for v in found if v.question.evidence == "ball"), None)
    cause = (
        right_cause(body, ball, grip_changed=_grip_changed(asked.placed))
        if body is not None and ball is not None
        else None
    )
    return Progress(golfer, with_club, settled, found, cause, tests, case.golfer, _reps(ws, asked.placed, settled),
        _missed_by_word(ws, golfer_id, settled), _OF_WAY.get(asked.chosen.way) if asked.chosen is not None else None,
    )  # fmt: skip


# -- the plan ---------------------------------------------------------------------------------------------------------


def _beginning(ws: Workspace, golfer_id: int, club: str) -> Beginning | None:
    """When the way that holds now was first chosen with this club, without another way in between."""
    found = plans.chosen_ways(ws, golfer_id, club)
    if not found:
        return None
    first = found[0]
    for row in found[1:]:
        if row.way != first.way:
            break
        first = row
    held = lessons.lesson(ws, first.lesson_id)
    return Beginning(held.id, day_of(held.started_at), first.chosen_at, first.way in GRIP_WAYS)


def _window(found: Sequence[WindowView], chosen: ChosenWayView | None) -> WindowView | None:
    """The window that belongs to the plan: the newest one set since the way was chosen, or in the same lesson."""
    if chosen is None:
        return None
    fitting = [w for w in found if w.lesson_id == chosen.lesson_id or w.set_at >= chosen.chosen_at]
    return max(fitting, key=lambda w: w.set_at) if fitting else None


def _settled(
    ws: Workspace,
    golfer: GolferView,
    case: Case,
    chosen: ChosenWayView,
    window: WindowView | None,
    began: Beginning,
    verdict: Verdict | None,
    today: date | None,
) -> Settled:
    way = cast("WayName", chosen.way)
    cause, closes = None, True
    then = cases.case_of(
        ws, golfer.id, chosen.club, chosen.lesson_id
    )  # the drill is for what was there when it was chosen
    if then.swings:
        known = cases.explanation_of(ws, then)
        largest = max(known.causes, key=lambda c: c.probability_largest)
        cause, closes = largest.cause, world_sign(case.golfer.handedness) * known.face.value >= 0.0
    drill = drill_named(every_drill(ws), chosen.drill)
    held = lessons.lessons(ws, golfer.id)
    last = max([began.on, *(day_of(t.started_at) for t in cold_tests(ws, golfer.id) if t.club == chosen.club)])
    plan = make_plan(
        case.golfer, way, _target(ws, chosen, window), library(ws), today or day_of(now()), cause=cause, closes=closes,
        thought=chosen.thought or None, drill=drill, event=golfer.next_event_on, lesson_number=len(held),
        verdict=verdict, next_lesson=last + timedelta(days=RETEST_DAYS),
    )  # fmt: skip
    if chosen.test:
        plan = replace(plan, test=chosen.test if chosen.test.endswith((".", "?", "!")) else f"{chosen.test}.")
    own = chosen.drill if drill is None and plan.mode == "build" else ""
    if own:
        plan = replace(plan, drill=None, dose=None, reasons=())
    return Settled(chosen, plan, own, began.on, window is not None)


def case_when_settled(ws: Workspace, golfer_id: int, chosen: ChosenWayView) -> Case:
    """The case that the way was chosen on: that lesson's balls before the choice; the newest case where there were none."""
    then = cases.case_of(ws, golfer_id, chosen.club, chosen.lesson_id, made_by=chosen.chosen_at)
    return then if then.untouched else cases.case_of(ws, golfer_id, chosen.club)


def _reps(ws: Workspace, placed: Sequence[PlacedSwing], settled: Settled | None) -> Reps:
    """Swings in which the drill was the thing tried, held to its own measure."""
    drill = settled.plan.drill if settled is not None else None
    if drill is None:
        return Reps(0, 0, 0)
    drills = every_drill(ws)
    named = {p.swing.tried_feel: drill_named(drills, p.swing.tried_feel or "") for p in placed}
    own = [p for p in placed if p.kind == "practice" and named[p.swing.tried_feel] == drill]
    return count_reps(drill, [_as_right_handed(p) for p in own])


def _missed_by_word(ws: Workspace, golfer_id: int, settled: Settled | None) -> int:
    """Reps of the drill that missed its purpose by the coach's word, since the way was chosen."""
    drill = settled.plan.drill if settled is not None else None
    if settled is None or drill is None:
        return 0
    query = (
        select(Swing.tried_feel)
        .join(Lesson, Lesson.id == Swing.lesson_id)
        .where(Lesson.golfer_id == golfer_id, Swing.rep_did.is_(False), Swing.made_at >= settled.chosen.chosen_at)
    )
    drills = every_drill(ws)
    with ws.reading() as session:
        return sum(drill_named(drills, feel or "") == drill for feel in session.scalars(query))


def _as_right_handed(placed: PlacedSwing) -> dict[str, float]:
    """Readings of a swing as a drill's measure has them: directions of the world mirrored for a left-handed golfer."""
    swing, world = placed.swing, world_sign(placed.hand)
    return {
        r.key: r.value * (world if quantity_of(r.key).frame == "world" else 1.0)
        for r in swing.readings
        if surest(swing, r.key) is r
    }


def _target(ws: Workspace, chosen: ChosenWayView, window: WindowView | None) -> Target:
    feel = FEELS.get(chosen.way, "")
    if window is not None:
        return Target(window.key, chosen.club, window.low, window.high, feel, window.exaggerate_to)
    close = settings(ws).tolerance_deg
    return Target("ball.start_deg", chosen.club, -close, close, feel)


# -- the questions ----------------------------------------------------------------------------------------------------


def _verdicts(
    placed: Sequence[PlacedSwing],
    club: str,
    chosen: ChosenWayView | None,
    window: WindowView | None,
    began: Beginning | None,
) -> tuple[tuple[Verdict, list[Block]], ...]:
    """The plan's own quantity first, then the ball: start line before curve; each with its blocks."""
    out: list[tuple[Verdict, list[Block]]] = []
    key = window.key if window is not None else _OF_WAY.get(chosen.way) if chosen is not None else None
    asked: list[tuple[str, str, Evidence]] = []
    if key is not None and not key.startswith("ball."):
        asked += [(key, name_of(key, e), e) for e in _evidence_of(key)]
    balls: list[tuple[str, str, Evidence]] = [(k, said, "ball") for k, said in BALL_KEYS]
    balls.sort(key=lambda a: a[0] != key)
    for each, said, evidence in [*asked, *balls]:
        found = _read(placed, each, evidence)
        if not any(b.club == club for b in found):
            continue
        question = _question(each, said, evidence, club, found, chosen, window, began)
        out.append((verdict_on(found, question), found))
    # A quantity of the body that is measured in a way nothing can be compared by must not stand in front of the ball.
    out.sort(key=lambda answer: answer[0].kind == "not_comparable")
    return tuple(out)


def _read(placed: Sequence[PlacedSwing], key: str, evidence: Evidence) -> list[Block]:
    return blocks_of(placed, ball_reader(key) if key.startswith("ball.") else angle_reader(key, evidence))


def _evidence_of(key: str) -> tuple[Evidence, ...]:
    """How a quantity may be compared: some are changes since address by what they are."""
    parts = key.split(".")
    if parts[0] in ("wrist", "trail_wrist"):
        if parts[-1] == "forearm_roll_deg":
            return ("since_address",)
        return ("absolute",) if parts[1] == "address" else ("since_address", "absolute")
    if key == "handle_raise_deg":
        return ("since_address",)
    return ("ball",) if parts[0] == "delivery" else ("absolute",)


def _question(
    key: str,
    said: str,
    evidence: Evidence,
    club: str,
    found: Sequence[Block],
    chosen: ChosenWayView | None,
    window: WindowView | None,
    began: Beginning | None,
) -> Question:
    name = key.rsplit(".", 1)[-1]
    default = (
        ("more bent over", "more upright") if name.startswith("forward_bend") else ("further right", "further left")
    )
    up, down = SIDES.get(name, default)
    wanted = _wanted(key, evidence, mean_of(found, club), chosen, window)
    better, worse = (up, down) if wanted == "up" else (down, up)
    return Question(
        said, evidence, club, wanted, better=better, worse=worse, spread=spread_of(key),
        began=None if began is None else began.on,
    )  # fmt: skip


def _wanted(
    key: str, evidence: Evidence, baseline: float | None, chosen: ChosenWayView | None, window: WindowView | None
) -> Literal["up", "down"]:
    """Which way the number should go: as the way has it, else from the baseline towards the window or the target."""
    way = None if chosen is None else chosen.way
    shifted = evidence == "since_address" and key != "handle_raise_deg" and not key.endswith("forearm_roll_deg")
    if way in _UP and (key == _OF_WAY.get(way) or key.endswith("flexion_deg")):
        return _UP[way]
    middle = 0.0 if window is None or window.key != key else 0.5 * (window.low + window.high)
    if shifted and window is not None and window.key == key and window.exaggerate_to is not None:
        return "up" if window.exaggerate_to > middle else "down"
    return "down" if baseline is not None and baseline > (0.0 if shifted else middle) else "up"


def _grip_changed(placed: Sequence[PlacedSwing]) -> bool:
    before = {p.grip for p in placed if p.kind == "baseline"}
    after = {p.grip for p in placed if p.kind == "retention"}
    return bool(before and after and not after <= before)


def face_open_deg(ws: Workspace, case: Case) -> float:
    """The face as it arrives, degrees, + open for this golfer's hand."""
    return world_sign(case.golfer.handedness) * cases.explanation_of(ws, case).face.value / DEG
