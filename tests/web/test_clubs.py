"""The bag: numbers typed in inches or centimetres, faults beside the field that was typed into."""

from typing import Any

from ferrule.app import golfers
from ferrule.web.pages.clubs import clubs_html


def test_a_club_is_measured_and_set_back(ask: Any, workspace: Any) -> None:
    golfer = golfers.add_golfer(workspace, name="Ida", handedness="right")
    send = f"/api/v1/golfers/{golfer.id}/clubs"
    usual = ask("PUT", send, json={"name": "7 iron"}).json()
    assert (usual["name"], usual["typed_in"]) == ("7-iron", False)
    own = ask(
        "PUT", send, json={"name": "7-iron", "loft_deg": "31,5", "length_in": "37.25", "head_mass_g": "272"}
    ).json()
    assert (own["loft_deg"], own["typed_in"]) == (31.5, True)
    assert abs(own["length_m"] - 0.94615) < 1e-6
    assert own["head_mass_kg"] == 0.272
    html = str(clubs_html(golfer, golfers.clubs(workspace, golfer.id), inches=True))
    assert 'value="37.25"' in html
    assert "as measured" in html
    assert ask("PUT", send, json={"name": "7-iron"}).json()["typed_in"] is False


def test_faults_stand_beside_the_field_that_was_typed_into(ask: Any, workspace: Any) -> None:
    golfer = golfers.add_golfer(workspace, name="Tom", handedness="left")
    send = f"/api/v1/golfers/{golfer.id}/clubs"
    wrong = ask("PUT", send, json={"name": "7-iron", "length_cm": "940", "head_mass_g": "27", "loft_deg": "many"})
    assert wrong.status_code == 422
    wrong = ask("PUT", send, json={"name": "7-iron", "length_cm": "940", "head_mass_g": "27", "loft_deg": "99"})
    assert {f["where"] for f in wrong.json()["error"]["faults"]} == {"length_cm", "head_mass_g", "loft_deg"}
    assert [c.typed_in for c in golfers.clubs(workspace, golfer.id)] == [False]
    assert ask("GET", f"/golfers/{golfer.id}/clubs").status_code == 200


def test_a_club_is_put_away_with_a_tap(ask: Any, workspace: Any) -> None:
    golfer = golfers.add_golfer(workspace, name="Ida", handedness="right")
    club = ask("PUT", f"/api/v1/golfers/{golfer.id}/clubs", json={"name": "driver"}).json()
    html = str(clubs_html(golfer, golfers.clubs(workspace, golfer.id), inches=True))
    away = f"/api/v1/golfers/{golfer.id}/clubs/{club['id']}"
    assert f'data-send="{away}"' in html
    assert [c["name"] for c in ask("DELETE", away).json()] == ["7-iron"]
    assert ask("DELETE", f"/api/v1/golfers/{golfer.id}/clubs/9999").status_code == 404
    assert ask("PUT", f"/api/v1/golfers/{golfer.id}/clubs", json={"name": "driver"}).json()["id"] == club["id"]
