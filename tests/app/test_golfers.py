"""Golfers and their bags: what is typed is kept, what cannot be is told by field."""

from datetime import date, timedelta

import pytest

from ferrule.app import golfers as g
from ferrule.app import undo
from ferrule.app.lessons import start_lesson
from ferrule.app.views import GolferView
from ferrule.app.workspace import Workspace, now
from ferrule.errors import InputError, NotFoundError


@pytest.mark.parametrize("name", ["Ångström Öst", "李小龍", "Zoë O'Neill-D'Arcy", "  Ben   de  Groot ", "🏌️ Kim", "Ṁ"])
def test_any_name_is_kept(ws: Workspace, name: str) -> None:
    made = g.add_golfer(ws, name=name, handedness="left")
    assert g.golfer(ws, made.id).name == " ".join(name.split())
    assert g.golfers(ws, name.strip()[:2])[0].id == made.id


@pytest.mark.parametrize(
    ("typed", "found"),
    [("ida", True), ("HOLM ida", True), ("angstrom", False), ("", True), ("holm x", False), ("íd", True)],
)
def test_search_forgives_case_accents_and_order(ws: Workspace, golfer: GolferView, typed: str, found: bool) -> None:
    assert [line.id for line in g.golfers(ws, typed)] == ([golfer.id] if found else [])


def test_all_faults_of_a_form_come_together_under_their_fields(ws: Workspace) -> None:
    with pytest.raises(InputError) as caught:
        g.add_golfer(
            ws,
            name="   ",
            handedness="",
            age_group="child",
            big_miss="up",
            balls_a_week=-3,
            next_event_on=date(1026, 5, 1),
            wrist_flexion_range_deg=float("nan"),
            goal="x" * 5000,
        )
    assert {f.where for f in caught.value.faults} == {
        "name", "handedness", "age_group", "big_miss", "balls_a_week", "next_event_on", "wrist_flexion_range_deg",
        "goal",
    }  # fmt: skip
    assert "name: expected a name, got nothing. Type it in." in str(caught.value)
    assert g.golfers(ws) == []


def test_only_the_given_fields_change(ws: Workspace, golfer: GolferView) -> None:
    day = now().date() + timedelta(days=9)
    g.update_golfer(ws, golfer.id, goal="fewer slices", next_event="club day", next_event_on=day, big_miss="right")
    changed = g.update_golfer(ws, golfer.id, big_miss=None, wrist_ulnar_range_deg=31)
    assert (changed.goal, changed.next_event_on, changed.big_miss) == ("fewer slices", day, None)
    assert changed.wrist_ulnar_range_deg == 31
    assert changed.name == golfer.name
    with pytest.raises(InputError, match="a field of a golfer"):
        g.update_golfer(ws, golfer.id, nickname="Idi")  # type: ignore[call-arg]


def test_pain_asked_and_none_differs_from_never_asked(ws: Workspace, golfer: GolferView) -> None:
    assert golfer.pain_asked_at is None
    none = g.update_golfer(ws, golfer.id, pain=[])
    assert (none.pain, none.pain_asked_at is not None) == ((), True)
    sore = g.update_golfer(ws, golfer.id, pain=["left  wrist", "", "left wrist", "low back"])
    assert sore.pain == ("left wrist", "low back")


def test_a_child_is_recorded_only_when_both_agreed(ws: Workspace) -> None:
    child = g.add_golfer(ws, name="Mia", handedness="right", age_group="junior")
    assert not child.may_be_recorded
    assert not g.record_consent(ws, child.id, carer_name="Jo", golfer_agreed=False).may_be_recorded
    assert g.record_consent(ws, child.id, carer_name="Jo", golfer_agreed=True).may_be_recorded
    assert not g.withdraw_consent(ws, child.id).may_be_recorded
    with pytest.raises(InputError, match="the parent or carer"):
        g.record_consent(ws, child.id, carer_name=" ", golfer_agreed=True)


def test_a_submit_sent_twice_adds_one_golfer(ws: Workspace) -> None:
    first = g.add_golfer(ws, key="page-1", name="Ida", handedness="right")
    again = g.add_golfer(ws, key="page-1", name="Ida", handedness="right")
    other = g.add_golfer(ws, key="page-2", name="Ida", handedness="right")
    assert first == again
    assert other.id != first.id
    assert len(g.golfers(ws)) == 2


def test_the_list_shows_the_latest_lesson_first(ws: Workspace, golfer: GolferView) -> None:
    ben = g.add_golfer(ws, name="Ben", handedness="left")
    anna = g.add_golfer(ws, name="Anna", handedness="right")
    start_lesson(ws, golfer.id, started_at=now() - timedelta(days=3))
    latest = start_lesson(ws, ben.id, started_at=now() - timedelta(days=1))
    lines = g.golfers(ws)
    assert [line.id for line in lines] == [ben.id, golfer.id, anna.id]
    assert (lines[0].last_lesson_id, lines[0].lessons, lines[2].last_lesson_at) == (latest.id, 1, None)
    assert {line.current_club for line in lines} == {"7-iron"}


def test_the_bag(ws: Workspace, golfer: GolferView) -> None:
    g.put_club(ws, golfer.id, "7i", loft_deg=29)
    g.take_club(ws, golfer.id, "Driver")
    bag = g.clubs(ws, golfer.id)
    assert [(c.name, c.is_current, c.typed_in) for c in bag] == [("driver", True, False), ("7-iron", False, True)]
    assert bag[1].loft_deg == 29
    with pytest.raises(InputError, match="give loft and length"):
        g.put_club(ws, golfer.id, "chipper")
    assert g.put_club(ws, golfer.id, "chipper", loft_deg=35, length_m=0.9).name == "chipper"
    with pytest.raises(InputError, match="loft_deg"):
        g.put_club(ws, golfer.id, "7i", loft_deg=340)
    assert len(g.clubs(ws, golfer.id)) == 3


def test_a_club_is_put_away_and_comes_back_when_it_is_named(ws: Workspace, golfer: GolferView) -> None:
    g.put_club(ws, golfer.id, "7-iron", loft_deg=29)
    g.take_club(ws, golfer.id, "driver")
    driver = g.clubs(ws, golfer.id)[0]
    left = g.put_away_club(ws, golfer.id, driver.id)
    assert [(c.name, c.is_current) for c in left] == [("7-iron", True)]
    undo.undo(ws, golfer_id=golfer.id)
    assert [(c.name, c.is_current) for c in g.clubs(ws, golfer.id)] == [("driver", True), ("7-iron", False)]
    seven = g.clubs(ws, golfer.id)[1]
    g.put_away_club(ws, golfer.id, seven.id)
    back = g.take_club(ws, golfer.id, "7-iron")
    assert (back.id, back.loft_deg, back.is_current) == (seven.id, 29, True)
    for club in g.clubs(ws, golfer.id):
        g.put_away_club(ws, golfer.id, club.id)
    assert g.clubs(ws, golfer.id) == []
    other = g.add_golfer(ws, name="Somebody else", handedness="right")
    with pytest.raises(NotFoundError):
        g.put_away_club(ws, other.id, seven.id)


def test_who_is_not_there_is_told(ws: Workspace) -> None:
    for action in (
        lambda: g.golfer(ws, 5),
        lambda: g.update_golfer(ws, 5, goal="x"),
        lambda: g.take_club(ws, 5, "driver"),
        lambda: start_lesson(ws, 5),
    ):
        with pytest.raises(NotFoundError, match="This golfer is not there any more"):
            action()
