"""Two periods beside each other, drills of one's own, and the list of golfers with who needs the coach."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from ferrule.app.finding import now

pytestmark = [pytest.mark.browser, pytest.mark.parametrize("size", ["390x844"], indirect=True)]
Open = Callable[..., Page]


def test_two_periods_of_a_golfer_who_learned(ids: Any, open_page: Open) -> None:
    page = open_page(ids.paths["progress"])
    page.locator("#two-periods summary").click()
    fields = page.locator("#two-periods input[type=date]")
    expect(fields).to_have_count(4)
    page.get_by_role("button", name="Compare").click()
    page.wait_for_selector(".desk[data-ready]")
    expect(page.locator("#two-periods .answer")).to_contain_text("more bowed")
    expect(page.locator("#two-periods .answer")).to_contain_text("more than days differ anyway")
    late = (now().date() - timedelta(days=30)).isoformat()
    page.locator("#two-periods input[type=date]").nth(1).fill(now().date().isoformat())
    page.locator("#two-periods input[type=date]").nth(2).fill(late)
    page.get_by_role("button", name="Compare").click()
    page.wait_for_selector(".desk[data-ready]")
    expect(page.locator("#two-periods .told")).to_contain_text("the two periods overlap")


def test_a_drill_of_ones_own_and_who_may_do_it(ids: Any, open_page: Open) -> None:
    page = open_page("/drills", allowed=("422",))
    page.locator("#write > summary").click()
    form = page.locator("#write")
    form.get_by_label("Title").fill("Broom by the fence")
    form.get_by_text("Bow early, release late").click()
    form.get_by_text("lead wrist, bowed or cupped").click()
    form.get_by_label("Steps").fill("Sweep along the fence.\nStop. Look.")
    form.get_by_role("button", name="Keep it").click()
    expect(form.locator('[data-fault="loads_the_wrist"]')).to_contain_text("yes or no")
    form.get_by_role("group", name="Does it load the wrist").get_by_role("radio", name="yes").check()
    form.get_by_role("button", name="Keep it").click()
    own = page.locator(".drill", has_text="Broom by the fence")
    expect(own).to_be_visible()
    page.goto(f"{page.url.split('/drills')[0]}/drills?golfer={ids.child}")
    page.wait_for_selector(".desk[data-ready]")
    held = page.locator("#held-back .drill", has_text="Broom by the fence")
    expect(held).to_contain_text("Still growing")
    own.get_by_role("button", name="Put away").click()
    own.get_by_role("button", name="Tap again").click()
    expect(page.locator("#held-back .drill", has_text="Broom by the fence")).to_have_count(0)


def test_who_needs_the_coach(ids: Any, open_page: Open) -> None:
    page = open_page("/")
    notice = page.locator("#overview .notice").filter(has_text="Nora")
    expect(notice).to_contain_text("cold test with the 7-iron due since")
    notice.click()
    page.wait_for_selector(".desk[data-ready]")
    expect(page.locator("h1")).to_contain_text("Real, and it lasts")
    page.go_back()
    page.wait_for_selector(".desk[data-ready]")
    today = page.locator("#today .seat").first
    expect(today).to_be_visible()
    box = today.bounding_box()
    assert box is not None
    assert box["height"] >= 64
    page.get_by_label("Find by name").fill("Nora")
    page.get_by_label("Find by name").press("Enter")
    page.wait_for_selector(".desk[data-ready]")
    expect(page.locator("a.item")).to_have_count(1)
    expect(page.locator("#overview")).to_have_count(0)
