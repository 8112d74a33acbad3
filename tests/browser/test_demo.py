"""The invented practice ground: six golfers, each with a case that can be read and changed by the next look."""

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser
Open = Callable[..., Page]


@pytest.mark.parametrize("size", ["1180x820"], indirect=True)
def test_the_demo_is_there_reads_and_changes(tmp_path: Path, server: Any, open_page: Open) -> None:
    demo = type(server)(tmp_path / "demo", demo=True)
    demo.start()
    try:
        page = open_page("/", demo.address, allowed=("ERR_CONNECTION", "ERR_EMPTY", "WebSocket", "ERR_SOCKET"))
        golfers = [a.get_attribute("href") for a in page.locator("a.item").all()]
        assert len(golfers) >= 6
        changed = 0
        for golfer in golfers:
            page.goto(f"{demo.address}{golfer}")
            page.wait_for_selector(".desk[data-ready]")
            expect(page.locator("h1")).to_contain_text("The ")
            expect(page.locator("#staircase svg:visible")).to_be_visible()
            look = page.locator("[data-look]")
            if changed == 0 and look.locator("> div > .in-a-word button").count():
                asked, steps = look.get_attribute("data-look") or "", page.locator("#staircase").inner_html()
                look.locator("> div > .in-a-word button").last.click()
                expect(page.locator(f'[data-look="{asked}"]')).to_have_count(0)
                assert page.locator("#staircase").inner_html() != steps
                changed += 1
        assert changed == 1
    finally:
        demo.stop()
    began = time.monotonic()
    demo.start()
    demo.stop()
    # Generous: machines that build this are slow; the acceptance check measures the five seconds by itself.
    assert time.monotonic() - began < 30
