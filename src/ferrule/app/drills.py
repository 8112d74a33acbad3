"""The drills: those that come with the product, and those that the coach wrote down; and reps made of recorded swings."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final, cast, get_args

from sqlalchemy import func, select

from ferrule.app.finding import found, now
from ferrule.app.form import Form
from ferrule.app.plans import WAYS
from ferrule.app.workspace import Workspace
from ferrule.coaching.delivery_state import CAUSES
from ferrule.coaching.drills import STEPS, Dose, Drill, Load, Measure, Picture, Step, load_of
from ferrule.coaching.drills_library import DRILLS
from ferrule.coaching.quantities import GRIP_TURN, QUANTITIES
from ferrule.coaching.ways import WayName
from ferrule.errors import InputError
from ferrule.store.tables import ColdBall, Lesson, OwnDrill, Recording, Swing, TrialBall

MOST_REPS: Final = 20
MOST_WRIST_REPS: Final = 10
"""Reps a set, in general and where the wrist is loaded (common practice, no source)."""
PICTURES: Final[tuple[Picture, ...]] = get_args(Picture)


@dataclass(frozen=True, slots=True)
class DrillWords:
    """What a coach writes down. set_up, how, stop, cautions: one sentence each; reps: a set, by step; loads_the_wrist: the
    answer that must be given; at_least, at_most: of measure_key, less gain_from, as for a right-handed golfer.
    """

    title: str
    ways: Sequence[str]
    causes: Sequence[str]
    closes: bool | None
    set_up: Sequence[str]
    how: Sequence[str]
    loads_the_wrist: bool | None
    reps: dict[str, float | None]
    sets: float | None = 2
    rest_s: float | None = 30
    days_a_week: float | None = 4
    stop: Sequence[str] = ()
    cautions: Sequence[str] = ()
    thought: str = ""
    next_step: str = ""
    picture: str | None = None
    measure_key: str | None = None
    gain_from: str | None = None
    at_least: float | None = None
    at_most: float | None = None
    measure_words: str = ""


@dataclass(frozen=True, slots=True)
class OwnDrillView:
    """A drill of the coach's own. put_away: no longer offered; plans that name it keep it."""

    id: int
    drill: Drill
    put_away: bool


def library(ws: Workspace) -> tuple[Drill, ...]:
    """The drills to choose from: the coach's own first, then ours."""
    return (*(o.drill for o in own_drills(ws) if not o.put_away), *DRILLS)


def every_drill(ws: Workspace) -> tuple[Drill, ...]:
    """Those that were put away as well: a plan may still name one."""
    return (*(o.drill for o in own_drills(ws)), *DRILLS)


def own_drills(ws: Workspace) -> list[OwnDrillView]:
    """The coach's own drills, by title."""
    with ws.reading() as session:
        rows = session.scalars(select(OwnDrill))
        return sorted((_view(row) for row in rows), key=lambda o: o.drill.title.casefold())


def drill_named(drills: Sequence[Drill], words: str) -> Drill | None:
    """The drill that goes by this name or title, or None."""
    said = words.strip().rstrip(".").casefold()
    return next((d for d in drills if said in (d.name, d.title.rstrip(".").casefold())), None) if said else None


def write_drill(
    ws: Workspace, words: DrillWords, *, drill_id: int | None = None, key: str | None = None
) -> OwnDrillView:
    """Write down a drill, or change one of one's own. Raises InputError with the faults by field."""
    with ws.change("write_drill", key=key, can_undo=False) as change:
        session = change.session
        if not change.repeated:
            # Checked inside: a request that comes twice must not find its own drill in the way.
            values = _checked(ws, words, drill_id)
            if drill_id is None:
                row = OwnDrill(**values, written_at=now())
                session.add(row)
            else:
                row = found(session, OwnDrill, drill_id)
                for name, value in values.items():
                    setattr(row, name, value)
            session.flush()
            change.made_id = row.id
        return _view(found(session, OwnDrill, change.made_id or 0))


def put_drill_away(ws: Workspace, drill_id: int, away: bool = True, *, key: str | None = None) -> OwnDrillView:
    """No longer offer a drill, or offer it again."""
    with ws.change("put_drill_away", key=key, can_undo=False) as change:
        row = found(change.session, OwnDrill, drill_id)
        if not change.repeated:
            row.put_away_at = now() if away else None
        return _view(row)


def mark_reps(ws: Workspace, lesson_id: int, drill: str, *, recording_id: int, key: str | None = None) -> int:
    """The swings of a recording were reps of this drill; gives how many. Balls of a cold test or a trial, and swings in
    which something else was tried, stay what they are. Raises InputError when none is left.
    """
    known = drill_named(every_drill(ws), drill)
    if known is None:
        raise InputError.of(
            "choice", "drill", expected="the title of a drill", got=repr(drill), do="Choose one of the list"
        )
    with ws.change("mark_reps", key=key, lesson_id=lesson_id) as change:
        session = change.session
        found(session, Lesson, lesson_id)
        taken = select(ColdBall.swing_id).union(select(TrialBall.swing_id))
        free = (
            Swing.lesson_id == lesson_id, Swing.recording_id == recording_id, Swing.set_aside_at.is_(None),
            Swing.id.not_in(taken),
        )  # fmt: skip
        if not change.repeated:
            rows = session.scalars(select(Swing).where(*free, Swing.tried_feel.is_(None))).all()
            if not rows:
                raise InputError.of(
                    "no_reps", "recording", expected="recorded swings that are nothing else yet", got="none",
                    do="Record the reps, or mark them one by one on their pages",
                )  # fmt: skip
            for row in rows:
                row.tried_feel, row.tried_amount = known.title, 1.0
            change.made_id = recording_id
        return len(session.scalars(select(Swing.id).where(*free, Swing.tried_feel == known.title)).all())


# -- what was typed ---------------------------------------------------------------------------------------------------


def _checked(ws: Workspace, words: DrillWords, drill_id: int | None) -> dict[str, object]:
    form = Form()
    title = form.name("title", words.title, "a title").rstrip(".")
    others = [*((o.id, o.drill.title) for o in own_drills(ws)), *((0, d.title) for d in DRILLS)]
    if any(t.rstrip(".").casefold() == title.casefold() and i != drill_id for i, t in others):
        form.fail("twice", "title", "a title of its own", repr(title), "another drill goes by it", "Change a word")
    ways = _some(form, "ways", words.ways, WAYS)
    if not words.ways:
        form.fail("missing", "ways", "what it is for", "nothing", do="Choose at least one way")
    causes = _some(form, "causes", words.causes, CAUSES)
    lines = {
        name: _lines(form, name, said)
        for name, said in (
            ("set_up", words.set_up),
            ("how", words.how),
            ("stop", words.stop),
            ("cautions", words.cautions),
        )
    }
    for name, what in (("how", "what to do"), ("stop", "when to stop")):
        if not lines[name]:
            form.fail("missing", name, what, "nothing", do="Write at least one line")
    if words.loads_the_wrist is None:
        form.fail("missing", "loads_the_wrist", "yes or no", "nothing", do="Choose one")
    load = load_of(bool(words.loads_the_wrist), causes)
    doses = _doses(form, words, load)
    measure = _measure(form, words)
    picture = form.choice("picture", words.picture or None, PICTURES)
    texts = {n: form.text(n, t) for n, t in (("thought", words.thought), ("next_step", words.next_step))}
    form.done()
    return {
        "title": title, "ways": ways, "causes": causes, "closes": words.closes, **lines, "picture": picture, **texts,
        **measure, "doses": doses, "load": load,
    }  # fmt: skip


def _some(form: Form, where: str, values: Sequence[str], allowed: Sequence[str]) -> list[str]:
    for value in values:
        form.choice(where, value, allowed)
    return [v for v in allowed if v in values]


def _lines(form: Form, where: str, values: Sequence[str]) -> list[str]:
    out = [form.text(where, " ".join(v.split())) for v in values]
    return [t for t in out if t]


def _doses(form: Form, words: DrillWords, load: Load) -> list[dict[str, object]]:
    """Steps from gentle to full; the first one is a pose or slow."""
    most = MOST_WRIST_REPS if load == "wrist" else MOST_REPS
    sets = form.number("sets", words.sets if words.sets is not None else 2, 1, 5, "sets a day")
    rest = form.number("rest_s", words.rest_s if words.rest_s is not None else 30, 10, 300, "seconds of rest")
    days = form.number("days_a_week", words.days_a_week if words.days_a_week is not None else 4, 1, 7, "days a week")
    reps = {s: form.number(f"reps_{s}", words.reps.get(s), 1, most, "reps a set") for s in STEPS}
    steps = [s for s in STEPS if reps[s] is not None]
    if not steps:
        form.fail("missing", "reps_slow", "reps of at least one step", "nothing", do="Start with slow ones")
    elif steps[0] not in ("pose", "slow"):
        form.fail("order", f"reps_{steps[0]}", "a pose or slow reps first", steps[0], do="Begin slow and short")
    return [
        {"step": s, "reps": round(reps[s] or 1), "sets": round(sets or 1), "rest_s": round(rest or 10), "days_a_week": round(days or 1)}
        for s in steps
    ]  # fmt: skip


def _measure(form: Form, words: DrillWords) -> dict[str, object]:
    nothing: dict[str, object] = {
        "measure_key": None,
        "gain_from": None,
        "at_least": None,
        "at_most": None,
        "measure_words": "",
    }
    if not words.measure_key:
        return nothing
    for where, key in (("measure", words.measure_key), ("gain_from", words.gain_from)):
        if key is not None and key not in QUANTITIES and key != GRIP_TURN.key:
            form.fail("unknown_key", where, "a quantity of the glossary", repr(key), do="Choose one of the list")
            return nothing
    low = form.number("low", words.at_least, -180, 180, "a number")
    high = form.number("high", words.at_most, -180, 180, "a number")
    if low is None and high is None:
        form.fail("missing", "low", "where a good rep begins, or ends", "nothing", do="Type one of the two")
    elif low is not None and high is not None and not low < high:
        form.fail("order", "high", "two different ends in their order", "the ends swapped or alike", do="Swap them")
    return {
        "measure_key": words.measure_key, "gain_from": words.gain_from, "at_least": low, "at_most": high,
        "measure_words": form.text("measure_words", words.measure_words),
    }  # fmt: skip


def _view(row: OwnDrill) -> OwnDrillView:
    measure = None
    if row.measure_key is not None:
        measure = Measure(row.measure_key, row.gain_from, row.at_least, row.at_most, row.measure_words)
    drill = Drill(
        f"own-{row.id}",
        row.title,
        cast("tuple[WayName, ...]", tuple(row.ways)),
        tuple(row.causes),
        row.closes,
        tuple(row.set_up),
        tuple(row.how),
        cast("Picture | None", row.picture),
        row.thought or row.title,
        "",
        measure,
        tuple(Dose(cast("Step", d["step"]), d["reps"], d["sets"], d["rest_s"], d["days_a_week"]) for d in row.doses),
        tuple(row.stop),
        row.next_step,
        tuple(row.cautions),
        cast("Load", row.load),
        source="the coach",
        own=True,
    )
    return OwnDrillView(row.id, drill, row.put_away_at is not None)


@dataclass(frozen=True, slots=True)
class MaybeReps:
    """Swings of one recording that are nothing else yet, and may have been reps."""

    lesson_id: int
    recording_id: int
    file_name: str
    swings: int


def maybe_reps(ws: Workspace, lesson_id: int, since: datetime) -> list[MaybeReps]:
    """Recordings of a lesson with swings made since then that are no cold test, no trial and nothing that was tried."""
    taken = select(ColdBall.swing_id).union(select(TrialBall.swing_id))
    query = (
        select(Recording.id, Recording.file_name, func.count(Swing.id))
        .join(Swing, Swing.recording_id == Recording.id)
        .where(
            Recording.lesson_id == lesson_id,
            Swing.made_at > since,
            Swing.tried_feel.is_(None),
            Swing.set_aside_at.is_(None),
            Swing.id.not_in(taken),
        )
        .group_by(Recording.id)
        .order_by(Recording.id)
    )
    with ws.reading() as session:
        return [MaybeReps(lesson_id, i, name, count) for i, name, count in session.execute(query)]
