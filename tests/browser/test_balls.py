"""A table of ball flights in the browser: opened, looked over, its units said, each row a ball; faults beside the field."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = [pytest.mark.browser, pytest.mark.parametrize("size", ["390x844"], indirect=True)]
Open = Callable[..., Page]


def test_a_file_is_opened_looked_over_and_taken_in_once(open_page: Open, ids: Any) -> None:
    page = open_page(f"/lessons/{ids.child_lesson}", allowed=("422",))
    width = (page.viewport_size or {"width": 0})["width"]
    table = f"Start (deg),Carry,Side,Apex {width}\n2,130,12,20\n-1,128,-8,21\n0.5,131,3,19\n"
    before = page.locator("#swings a[href^='/swings/']").count()
    page.get_by_role("link", name="A table of ball flights").click()
    page.wait_for_url("**/balls")
    page.wait_for_selector(".desk[data-ready]")
    take = page.get_by_role("button", name="Take the balls in")
    take.click()
    expect(page.locator("[data-fault='table']").first).to_contain_text("line of headers")
    page.locator("input[type=file]").set_input_files(
        {"name": "b.csv", "mimeType": "text/csv", "buffer": table.encode()}
    )
    expect(page.get_by_label("The table, with its line of headers")).to_have_value(table)
    take.click()
    expect(page.locator("[data-fault='plus']").first).to_be_visible()
    page.get_by_label("right of the target").check()
    take.click()
    page.wait_for_url(f"**/lessons/{ids.child_lesson}")
    expect(page.locator("#swings a[href^='/swings/']")).to_have_count(before + 3)
    # A table like it is recognised and read as it was; the very same one adds nothing.
    page.goto(f"{page.url}/balls")
    page.wait_for_selector(".desk[data-ready]")
    field, known = page.get_by_label("The table, with its line of headers"), page.locator("[data-known]")
    field.fill("Start (deg),Carry\n")
    expect(page.get_by_label("right of the target")).not_to_be_checked()
    field.fill(table)
    expect(known).to_contain_text("read as it was then")
    expect(page.get_by_label("right of the target")).to_be_checked()
    page.get_by_role("button", name="Take the balls in").click()
    expect(page.locator("[data-fault='table']").first).to_contain_text("same table again")
    field.fill(table.replace("\n2,130", "\n1,133"))
    page.get_by_role("button", name="Take the balls in").click()
    page.wait_for_url(f"**/lessons/{ids.child_lesson}")
    expect(page.locator("#swings a[href^='/swings/']")).to_have_count(before + 6)
