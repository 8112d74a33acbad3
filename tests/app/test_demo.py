"""The practice ground: laid out once, goes on where it was broken off, looks like weeks of lessons."""

import shutil
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import func, select

from ferrule.app import jobs
from ferrule.app.analysis import work_out_recording
from ferrule.app.cases import case_of, explanation
from ferrule.app.cold_tests import cold_tests, reports
from ferrule.app.demo import DemoGround
from ferrule.app.demo import ground as ground_module
from ferrule.app.demo.files import Simulation, seen_flight, simulated_file
from ferrule.app.demo.ground import is_demo
from ferrule.app.demo.people import PEOPLE
from ferrule.app.demo.script import File, RecordedBall
from ferrule.app.devices import devices
from ferrule.app.golfers import golfer as read_golfer
from ferrule.app.golfers import golfers
from ferrule.app.jobs import JobRunner
from ferrule.app.lessons import lesson as read_lesson
from ferrule.app.lessons import lessons
from ferrule.app.overview import coach_overview
from ferrule.app.plans import chosen_ways, windows
from ferrule.app.progress import progress
from ferrule.app.sheets import content_of
from ferrule.app.trials import trials
from ferrule.app.workspace import Workspace, now
from ferrule.coaching.case import CaseSwing
from ferrule.errors import NotFoundError, StoreError
from ferrule.sheet.plain import plain_text
from ferrule.store.backup import check
from ferrule.store.tables import Entry, Golfer, Lesson, Swing

FILES = [lesson.file for person in PEOPLE for lesson in person.lessons if lesson.file is not None]


@pytest.fixture(scope="module")
def recorded() -> bytes:
    """One short recording that stands in for all of them."""
    return simulated_file(Simulation(File("x.csv", 4, "neutral", (RecordedBall(2.0, 0.0),)), "right", "7-iron"))


@pytest.fixture(scope="module")
def laid_out(new_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The ground without its recordings, made once and copied for each test."""
    folder = tmp_path_factory.mktemp("ground") / "data"
    shutil.copytree(new_folder, folder)
    with Workspace(folder) as ws:
        DemoGround(ws).lay_out()
    return folder


@pytest.fixture
def ground(laid_out: Path, tmp_path: Path) -> Iterator[Workspace]:
    shutil.copytree(laid_out, tmp_path / "ground")
    with Workspace(tmp_path / "ground") as ws:
        yield ws


@pytest.fixture
def any_file(recorded: bytes) -> Callable[[Simulation], bytes]:
    return lambda wanted: recorded + b"\n" * wanted.file.seed  # bytes of its own for each file


def counts(ws: Workspace) -> list[int]:
    with ws.reading() as session:
        return [session.scalar(select(func.count()).select_from(t)) or 0 for t in (Golfer, Lesson, Swing, Entry)]


def test_the_ground_holds_what_a_coach_would_meet(ground: Workspace) -> None:
    ws = ground
    assert is_demo(ws)
    lines = {line.name: line for line in golfers(ws)}
    assert len(lines) >= 6
    assert all(2 <= line.lessons <= 4 for line in lines.values())
    assert {line.handedness for line in lines.values()} == {"right", "left"}
    people = [read_golfer(ws, line.id) for line in lines.values()]
    assert any(p.pain for p in people)
    assert any(p.next_event_on and p.next_event_on > now().date() for p in people)
    (junior,) = [p for p in people if p.age_group == "junior"]
    assert not junior.may_be_recorded
    views = [read_lesson(ws, line.id) for line in lessons(ws)]
    assert all(v.notes and v.swings and v.recordings == () for v in views)
    assert any(s.set_aside for v in views for s in v.swings)
    assert any(trials(ws, v.id) for v in views)
    assert any(chosen_ways(ws, p.id) for p in people)
    assert any(windows(ws, p.id) for p in people)


def test_everything_lies_in_its_own_lesson_in_the_past(ground: Workspace) -> None:
    ws = ground
    for line in lessons(ws):
        view = read_lesson(ws, line.id)
        assert view.started_at < now() - timedelta(days=3)
        assert view.ended_at is not None
        moments = [n.written_at for n in view.notes] + [s.made_at for s in view.swings]
        moments += [r.read_at for s in view.swings for r in s.readings] + [r.read_at for _, r in view.grips]
        assert all(view.started_at < m < view.started_at + timedelta(minutes=47) for m in moments)
        balls = [s.made_at for s in view.swings if s.number]
        assert balls == sorted(balls)
        assert read_golfer(ws, view.golfer_id).added_at < view.started_at


def test_the_juniors_numbers_went_through_the_devices_sign(ground: Workspace) -> None:
    ws = ground
    (mia,) = golfers(ws, "Mia")
    case = case_of(ws, mia.id)
    assert all(isinstance(s, CaseSwing) for s in case.swings)
    tops = [s.get("wrist.top.flexion_deg") for s in case.swings]
    assert all(r is not None and r.value < 0 for r in tops)
    assert {d.name for d in devices(ws)} == {"wrist dial", "launch box"}


def test_one_golfers_change_is_proven_and_one_has_it_in_practice_only(ground: Workspace) -> None:
    ids = {line.name: line.id for line in golfers(ground)}
    nadia, piet = progress(ground, ids["Nadia"]), progress(ground, ids["Piet"])
    assert [v.kind for v in nadia.verdicts[:3]] == ["real_and_lasts"] * 3
    assert nadia.cause is not None
    assert nadia.cause.answer == "both"
    assert piet.main is not None
    assert piet.main.kind == "practice_only"
    assert (nadia.reps.good >= 10, piet.reps.good >= 10) == (True, True)
    # Balls before the choice are the baseline; what golfers said lies in their lessons.
    assert (nadia.main.baseline_days if nadia.main else 0) == 2
    for name in ("Nadia", "Piet"):
        said = reports(ground, ids[name])
        days = [line.started_at.date() for line in lessons(ground, ids[name])]
        assert len(said) == 3
        assert all(r.reported_at.date() in days for r in said)
        assert all(t.ended_at is not None and t.ended_at.date() in days for t in cold_tests(ground, ids[name]))
    needs = [(n.ident, n.need) for n in coach_overview(ground, moment_s=30.0).notices]
    assert (ids["Piet"], "not_lasting") in needs
    assert all(ident != ids["Nadia"] for ident, _ in needs)
    assert "It is yours" in plain_text(content_of(ground, ids["Nadia"]))


def test_twice_is_once_and_a_break_goes_on(ws: Workspace, monkeypatch: pytest.MonkeyPatch) -> None:
    made = 0

    def breaks(*args: object, **kwargs: object) -> object:
        nonlocal made
        made += 1
        if made == 9:
            raise StoreError("the power went")
        return add(*args, **kwargs)

    add = ground_module.swings.add_swing
    monkeypatch.setattr(ground_module.swings, "add_swing", breaks)
    with pytest.raises(StoreError):
        DemoGround(ws).lay_out()
    DemoGround(ws).lay_out()
    once = counts(ws)
    DemoGround(ws).lay_out()
    assert counts(ws) == once
    with ws.reading() as session:
        assert session.scalar(select(func.count()).select_from(Golfer)) == len(PEOPLE)


def test_recordings_come_through_the_same_door_and_a_break_goes_on(
    ground: Workspace, any_file: Callable[[Simulation], bytes]
) -> None:
    ws = ground
    asked: list[str] = []

    def breaks(wanted: Simulation) -> bytes:
        asked.append(wanted.file.name)
        if len(asked) == 3:
            raise NotFoundError("stopped")
        return any_file(wanted)

    first = DemoGround(ws, breaks)
    first.lay_out()
    first.start()
    assert not first.wait(60)
    first.stop()
    assert len(asked) == 3
    second = DemoGround(ws, any_file)
    runner = JobRunner(ws, jobs.work_out_recording)
    runner.start()
    second.start()
    assert second.wait(120)
    runner.stop()
    second.stop()
    assert second.progress.finished
    views = [read_lesson(ws, line.id) for line in lessons(ws)]
    recorded = [r for v in views for r in v.recordings]
    assert sorted(r.file_name for r in recorded) == sorted(f.name for f in FILES)
    assert {(r.state, r.swings) for r in recorded} == {("analysed", 1)}
    for view in views:
        for swing in view.swings:
            if swing.recording_id is not None:
                assert swing.shape is not None
                assert swing.strike is not None
                assert swing.made_at < now() - timedelta(days=3)
    assert check(ws.folder.path).clean
    for line in golfers(ws):
        assert explanation(ws, line.id).to_json()["headline"]
    third = DemoGround(ws, breaks)
    third.lay_out()
    third.start()
    assert third.wait(0)
    assert len(asked) == 3


def test_every_ball_flies_as_its_face_and_path_say() -> None:
    assert seen_flight(RecordedBall(0.0, 0.0), "7-iron") == "straight"
    assert seen_flight(RecordedBall(5.0, 0.0), "7-iron").startswith("push-")
    assert seen_flight(RecordedBall(-1.0, -7.0), "7-iron") in {"pull-fade", "pull-slice"}
    assert seen_flight(RecordedBall(-5.0, 1.5), "7-iron") in {"pull-draw", "pull-hook"}


def test_names_of_files_and_seeds_are_their_own() -> None:
    assert len({f.name for f in FILES}) == len({f.seed for f in FILES}) == len(FILES)


@pytest.mark.slow
def test_the_cases_tell_the_stories_they_are_there_for(ground: Workspace) -> None:
    """With the real recordings: who comes for what. Causes only; wording and numbers are tested where they are made."""
    runner = JobRunner(ground, work_out_recording)
    runner.start()
    built = DemoGround(ground, simulated_file)
    built.start()
    assert built.wait(300)
    built.stop()
    runner.stop()
    first = {line.name: lessons(ground, line.id)[-1].id for line in golfers(ground)}
    ids = {line.name: line.id for line in golfers(ground)}
    told = {name: explanation(ground, ids[name], lesson_id=first[name]).to_json() for name in ids}

    def likeliest(name: str) -> str:
        return max(told[name]["causes"], key=lambda c: c["probability_largest"])["cause"]  # type: ignore[attr-defined,index,no-any-return]

    def value(name: str, key: str) -> float:
        return float(told[name][key]["value"])  # type: ignore[index]

    assert likeliest("Tomas") == "lead_wrist_flexion"
    assert told["Tomas"]["shaft_level"]["open_to_address_spine_deg"]["value"] > 3  # type: ignore[index]
    assert abs(value("Tomas", "face_deg")) < 3
    assert likeliest("Ruth") == "posture"
    assert value("Ruth", "face_deg") > 2
    assert likeliest("Kofi") == "grip"
    assert value("Kofi", "face_deg") < -1.5
    assert value("Elena", "path_deg") < -4
    assert abs(value("Elena", "face_deg")) < abs(value("Elena", "path_deg"))
    assert likeliest("Jonas") == "grip"
    assert value("Jonas", "face_deg") > 2  # closed, for a left-hander, is right of the target
    assert likeliest("Mia") == "lead_wrist_flexion"
