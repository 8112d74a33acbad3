"""What becomes of a tap: each ball counts, a bounce does not, and what was refused after all is said."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser
Open = Callable[..., Page]
phone = pytest.mark.parametrize("size", ["390x844"], indirect=True)

# The answer of the server is slow, but the page is told of the ball at once; then the same key is tapped again.
SLOW = """async (name) => {
  const real = window.fetch;
  window.fetch = async (...asked) => { const answer = await real(...asked); await new Promise((go) => setTimeout(go, 1500)); return answer; };
  const desk = document.querySelector(".desk");
  const key = document.querySelector(`button[aria-label="${name}"]`);
  const drawn = desk.dataset.drawn;
  const began = performance.now();
  key.click();
  key.click(); // a finger that bounces
  while (desk.dataset.drawn === drawn || performance.now() - began < 125) await new Promise((go) => setTimeout(go, 5));
  key.click();
}"""


@phone
def test_the_next_ball_counts_as_soon_as_the_page_shows_the_one_before(open_page: Open, ids: Any) -> None:
    page = open_page(f"/lessons/{ids.child_lesson}")
    before = page.locator("#swings li").count()
    page.evaluate(SLOW, "starts left, bends left")
    expect(page.locator("#swings li")).to_have_count(before + 2)
    page.wait_for_timeout(300)
    assert page.locator("#swings li").count() == before + 2


@phone
def test_what_was_refused_after_a_reload_is_said(open_page: Open, ids: Any, server: Any) -> None:
    path = f"/lessons/{ids.lesson}"
    page = open_page(path, allowed=("ERR_FAILED", "422"))
    api = f"{server.address}/api/v1"
    trial = page.request.post(f"{api}{path}/trials", data={"way_a": "grip", "way_b": "flexed_early"}).json()["id"]
    page.goto(f"{server.address}{path}/trial")
    page.wait_for_selector(".desk[data-ready] .turn")
    page.route("**/api/v1/trials/*/balls", lambda route: route.abort())
    page.get_by_role("button", name="starts left, bends left").click()
    expect(page.locator("#word-line")).to_contain_text("Not kept yet")
    assert page.request.post(f"{api}/trials/{trial}/end", data={}).ok  # on another device
    page.goto(f"{server.address}{path}/hello")
    expect(page.locator("#word-line")).to_contain_text("Not kept yet")
    page.unroute("**/api/v1/trials/*/balls")
    said = page.locator("#word-line.on")
    expect(said).to_contain_text("“starts left, bends left” was not kept.")
    expect(said).to_contain_text("trial")
    page.reload()
    page.wait_for_selector(".desk[data-ready]")
    page.wait_for_timeout(300)
    expect(page.locator("#word-line.on")).to_have_count(0)


@phone
def test_a_form_that_was_refused_after_a_reload_has_its_words_beside_the_field(open_page: Open, ids: Any) -> None:
    page = open_page(f"/golfers/{ids.golfer}/clubs", allowed=("ERR_FAILED", "422"))
    club = page.locator("[data-club=driver]")
    page.route("**/api/v1/**/clubs", lambda route: route.abort())
    club.get_by_label("Loft").fill("90")
    club.get_by_role("button", name="Keep").click()
    expect(page.locator("#word-line")).to_contain_text("Not kept yet")
    page.reload()
    page.wait_for_selector(".desk[data-ready]")
    expect(page.locator("#word-line")).to_contain_text("Not kept yet")
    page.unroute("**/api/v1/**/clubs")
    expect(club.locator("[data-fault=loft_deg]")).to_contain_text("between 0 and 75")
    expect(club.get_by_label("Loft")).to_have_value("90")
    expect(page.locator("[data-fault=loft_deg]:not(:empty)")).to_have_count(1)
    expect(page.locator("#word-line")).to_contain_text("“Keep” was not kept.")


@phone
def test_the_ball_button_of_a_phone_is_docked_and_hides_no_answer(open_page: Open, ids: Any) -> None:
    page = open_page(ids.paths["case"])
    dock = page.locator(".float").bounding_box()
    assert dock is not None
    assert (dock["x"], dock["width"], round(dock["y"] + dock["height"])) == (0, 390, 844)
    answers = page.locator("[data-look] button:visible, [data-look] input:visible, [data-look] summary:visible")
    for answer in answers.all():
        answer.focus()
        page.wait_for_timeout(50)
        box = answer.bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= dock["y"] + 1


@phone
def test_here_today_leads_to_the_first_screen_of_the_lesson(open_page: Open) -> None:
    page = open_page("/")
    page.locator("#today .seat").first.click()
    page.wait_for_url("**/lessons/*/hello")
    page.wait_for_selector("main[data-step=hello]")


@phone
def test_a_club_is_taken_in_hand_put_away_and_named_again(open_page: Open, ids: Any) -> None:
    page = open_page(f"/golfers/{ids.golfer}/clubs")
    driver = page.locator("[data-club=driver]")
    driver.get_by_role("button", name="Take it in hand").click()
    expect(driver.get_by_role("heading")).to_contain_text("in hand")
    driver.get_by_role("button", name="Put the driver away").click()
    expect(driver.get_by_role("button", name="Put the driver away")).to_have_text(
        "Tap again: out of the bag, its balls stay"
    )
    driver.get_by_role("button", name="Put the driver away").click()
    expect(driver).to_have_count(0)
    page.get_by_label("Club", exact=True).fill("driver")
    page.get_by_role("button", name="Put it into the bag").click()
    expect(driver).to_be_visible()
    expect(page.locator("[data-club='7-iron']").get_by_role("heading")).to_contain_text("in hand")
