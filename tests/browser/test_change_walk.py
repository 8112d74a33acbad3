"""From way to plan, drill reps, cold test, verdict and sheet, as a coach taps it; then pain, which pauses wrist work."""

import urllib.request
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from ferrule.app import golfers, lessons, swings
from ferrule.app.finding import now
from ferrule.app.workspace import Workspace

pytestmark = pytest.mark.browser
Open = Callable[..., Page]


@pytest.mark.parametrize("size", ["390x844"], indirect=True)
def test_from_way_to_sheet(server: Any, tmp_path: Path, open_page: Open) -> None:
    alone = type(server)(tmp_path / "folder")
    with Workspace(alone.folder) as ws:
        vera = golfers.add_golfer(ws, name="Vera", handedness="right", pain=[])
        for days_ago in (20, 13):
            held = lessons.start_lesson(ws, vera.id, started_at=now() - timedelta(days=days_ago))
            for _ in range(8):
                swings.add_swing(ws, held.id, club="7-iron", start="right", bend="right")
    alone.start()
    try:
        page = open_page(f"/golfers/{vera.id}/progress", alone.address, allowed=("ERR_CONNECTION", "WebSocket"))
        walk(page, alone.address, vera.id)
    finally:
        alone.stop()


def walk(page: Page, address: str, golfer_id: int) -> None:
    title = page.locator("h1")
    expect(title).to_contain_text("Nothing is settled yet with Vera")

    # A way, one thought, one drill.
    page.get_by_label("The way").select_option("flexed_early")
    page.get_by_label("One thought").fill("Face at the sky by the top.")
    page.get_by_label("One drill").fill("Face set by the top")
    page.get_by_role("button", name="Settle on it").click()
    expect(title).to_contain_text("Not yet distinguishable: there has been no cold test")
    settled = page.locator("#plan dl").first
    expect(settled).to_contain_text("Face at the sky by the top.")
    expect(settled).to_contain_text("Face set by the top")

    # The window, in words.
    page.locator("#set-window summary").click()
    page.get_by_label("Which number").select_option("top")
    window = page.locator('#set-window [data-when="quantity=top"]')
    window.get_by_label("From").fill("6")
    window.get_by_role("group", name="cupped or bowed").nth(0).get_by_role("radio", name="cupped").check()
    window.get_by_label("To", exact=True).fill("4")
    window.get_by_role("group", name="cupped or bowed").nth(1).get_by_role("radio", name="bowed").check()
    page.get_by_role("button", name="Set the window").click()
    expect(settled).to_contain_text("the lead wrist between 6° cupped and 4° bowed")

    # A new lesson, reps of the drill: counted apart by the coach's word.
    page.get_by_role("button", name="Start a lesson with it").click()
    page.get_by_role("link", name="Practise the drill").click()
    page.wait_for_selector(".desk[data-ready]")
    for said, words in (("Did it", "1 did it, 0"), ("Did it", "2 did it, 0"), ("Missed its purpose", "2 did it, 1")):
        page.get_by_role("button", name=said).click()
        expect(page.locator("#tally")).to_contain_text(words)
    page.goto(f"{address}/golfers/{golfer_id}/progress")
    page.wait_for_selector(".desk[data-ready]")
    expect(settled).to_contain_text("by your word: 2 did it and 1 missed it")

    # Ten cold balls: nobody says anything, no picture, no verdict, no number beside the pad.
    page.get_by_role("button", name="Start the cold test").click()
    for ball in range(1, 11):
        expect(title).to_have_text(f"Vera’s cold test: ball {ball} of 10")
        assert page.locator("#picture, #plan, #evidence-kinds").count() == 0
        page.wait_for_timeout(150)  # no finger is back sooner: the pad takes it for one that bounces
        page.get_by_role("button", name="starts straight, flies on straight").click()
    expect(title).to_contain_text("Real so far: the start line is 4° further left")
    expect(page.locator("#picture svg:visible")).to_contain_text("real from here on")
    expect(page.locator("#cold .list")).to_contain_text("today: ten balls")
    expect(page.locator("#evidence-kinds")).to_contain_text("mount-free: read from the ball")

    # The sheet, in three forms.
    for link, holds in (
        ("PDF, A4", b"%PDF-"),
        ("Page for the phone", b"Face at the sky by the top."),
        ("Plain text", b"It is there: 4\xc2\xb0 further left"),
    ):
        file = page.get_by_role("link", name=link).get_attribute("href")
        with urllib.request.urlopen(f"{address}{file}") as answer:
            body = b" ".join(answer.read().split())
        assert holds in body

    # Numbness: wrist work pauses, here and in the overview.
    page.get_by_label("Trust in the change").fill("8")
    page.get_by_label("What hurts or is numb").fill("numb left hand")
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("#says .list")).to_contain_text("trust 8 of 10; hurts: numb left hand.")
    expect(page.locator("main .caution").first).to_contain_text("Wrist work pauses")
    expect(settled).to_contain_text("none for now")
    page.goto(address)
    page.wait_for_selector(".desk[data-ready]")
    expect(page.locator('#overview [data-need="pause"]').filter(has_text="Vera")).to_be_visible()
    expect(page.locator("#today")).to_contain_text("Vera")
