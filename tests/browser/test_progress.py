"""From way to plan, drill reps, cold test, verdict and sheet, as a coach taps it."""

import urllib.request
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from ferrule.app import golfers, lessons, swings
from ferrule.app.finding import now
from ferrule.app.workspace import Workspace

pytestmark = pytest.mark.browser
Open = Callable[..., Page]


@pytest.mark.parametrize("size", ["390x844"], indirect=True)
def test_from_way_to_sheet(own: Any, open_page: Open) -> None:
    alone, _ = own
    alone.stop()
    with Workspace(alone.folder) as ws:
        vera = golfers.add_golfer(ws, name="Vera", handedness="right", pain=[])
        for days_ago in (20, 13):
            held = lessons.start_lesson(ws, vera.id, started_at=now() - timedelta(days=days_ago))
            for _ in range(8):
                swings.add_swing(ws, held.id, club="7-iron", start="right", bend="right")
    alone.start()
    page = open_page(f"/golfers/{vera.id}/progress", alone.address, allowed=("ERR_CONNECTION", "WebSocket"))
    expect(page.locator("h1")).to_contain_text("Nothing is settled yet with Vera")
    page.get_by_label("The way").select_option("grip")
    page.get_by_label("One thought").fill("Two knuckles.")
    page.get_by_role("button", name="Settle on it").click()
    expect(page.locator("h1")).to_contain_text("Not yet distinguishable: there has been no cold test")
    expect(page.locator("#plan dl")).to_contain_text("Two knuckles.")
    page.get_by_role("button", name="Start a lesson with it").click()
    rep = page.get_by_role("button", name="A rep of the drill")
    rep.click()
    expect(page.locator("#plan dl")).to_contain_text("1 not measured")
    page.get_by_role("button", name="Start the cold test").click()
    for ball in range(1, 11):
        expect(page.locator("h1")).to_have_text(f"Vera’s cold test: ball {ball} of 10")
        # Nobody says anything: no picture, no verdict, no number beside the pad.
        assert page.locator("#picture, #plan, #evidence-kinds").count() == 0
        page.get_by_role("button", name="starts straight, flies on straight").click()
    expect(page.locator("#picture svg:visible")).to_be_visible()
    expect(page.locator("h1")).not_to_contain_text("cold test: ball")
    expect(page.locator("#cold .list")).to_contain_text("today: ten balls")
    expect(page.locator("#evidence-kinds")).to_contain_text("mount-free: read from the ball")
    for link, starts in (
        ("PDF, A4", b"%PDF-"),
        ("Page for the phone", b"<!doctype html>"),
        ("Plain text", b"For Vera"),
    ):
        address = page.get_by_role("link", name=link).get_attribute("href")
        with urllib.request.urlopen(alone.address + str(address)) as answer:
            assert answer.read().startswith(starts)
    page.get_by_label("Trust in the change").fill("8")
    page.get_by_label("What hurts or is numb").fill("left wrist")
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("#says .list")).to_contain_text("trust 8 of 10; hurts: left wrist.")
    expect(page.locator("main .caution").first).to_contain_text("Pain today: left wrist")
