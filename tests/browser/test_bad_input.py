"""Bad input on every form and upload: words beside the field, nothing lost, nothing twice."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

pytestmark = [pytest.mark.browser, pytest.mark.parametrize("size", ["390x844"], indirect=True)]
Open = Callable[..., Page]
REFUSED = ("422", "404", "413")


def fault(scope: Page | Locator, name: str) -> Locator:
    return scope.locator(f"[data-fault='{name}']:visible").first


def test_adding_a_golfer(open_page: Open) -> None:
    page = open_page("/", allowed=REFUSED)
    golfers = page.locator("a.item").count()
    page.get_by_role("button", name="Plays left-handed").click()
    expect(fault(page, "name")).to_contain_text("name")
    expect(page.get_by_label("First name")).to_be_focused()
    page.get_by_label("First name").fill("x" * 150)
    page.get_by_role("button", name="Plays left-handed").click()
    expect(fault(page, "name")).to_contain_text("at most 120 characters")
    assert page.get_by_label("First name").input_value() == "x" * 150
    assert page.locator("a.item").count() == golfers


def test_the_interview_keeps_what_was_typed_over_a_fault_and_a_reload(open_page: Open, ids: Any) -> None:
    page = open_page(f"/golfers/{ids.golfer}/screen", allowed=REFUSED)
    page.get_by_label("Goal").fill("A goal <i>not yet kept</i>")
    page.get_by_label("Balls a week").fill("many")
    page.get_by_label("Lead wrist sets").fill("400")
    page.get_by_role("button", name="Keep and go on").click()
    expect(fault(page, "balls_a_week")).to_contain_text("expected a number such as 14", ignore_case=True)
    assert page.get_by_label("Goal").input_value() == "A goal <i>not yet kept</i>"
    page.get_by_label("Balls a week").fill("50")
    page.get_by_role("button", name="Keep and go on").click()
    expect(fault(page, "wrist_radial_range_deg")).to_contain_text("between 0 and 60")
    page.reload()
    page.wait_for_selector(".desk[data-ready]")
    assert page.get_by_label("Goal").input_value() == "A goal <i>not yet kept</i>"
    assert page.get_by_label("Lead wrist sets").input_value() == "400"
    page.get_by_label("Lead wrist sets").fill("22,5")
    page.get_by_role("button", name="Keep and go on").click()
    page.wait_for_url(f"**/golfers/{ids.golfer}")
    page.goto(f"{page.url}/screen")
    page.wait_for_selector(".desk[data-ready]")
    assert page.get_by_label("Lead wrist sets").input_value() == "22.5"
    assert page.get_by_label("Goal").input_value() == "A goal <i>not yet kept</i>"


def test_consent_needs_a_name(open_page: Open, ids: Any) -> None:
    page = open_page(f"/golfers/{ids.child}/screen", allowed=REFUSED)
    page.get_by_role("button", name="Note the consent").click()
    expect(fault(page, "carer_name")).to_be_visible()
    page.goto(f"{page.url.split('/golfers')[0]}/lessons/{ids.child_lesson}")
    page.wait_for_selector(".desk[data-ready]")
    assert page.locator("input[type=file]").count() == 0
    expect(page.locator("#consent")).to_contain_text("nothing is recorded")


def test_the_forms_of_a_lesson(open_page: Open, ids: Any) -> None:
    page = open_page(f"/lessons/{ids.lesson}", allowed=REFUSED)
    before = page.locator("#swings").inner_text()

    page.get_by_text("Another club", exact=True).click()
    page.get_by_label("Club", exact=True).fill("putter of doom")
    page.get_by_role("button", name="Take it").click()
    expect(page.locator("#another-club .fault:visible")).to_contain_text("7-iron")

    form = page.locator("form[data-send$='/readings']")
    form.get_by_role("button", name="Enter it").click()
    expect(fault(form, "measure")).to_be_visible()
    expect(fault(form, "value")).to_be_visible()
    form.locator("[name=measure]").select_option("wrist.flexion_deg")
    form.get_by_label("How much").fill("140")
    form.get_by_role("button", name="Enter it").click()
    expect(fault(form, "way")).to_contain_text("bowed or cupped", ignore_case=True)
    form.locator(".choose:visible").get_by_label("cupped", exact=True).check()
    form.get_by_role("button", name="Enter it").click()
    expect(fault(form, "value")).to_contain_text("between")
    assert form.get_by_label("How much").input_value() == "140"

    page.locator("summary", has_text="Notes").click()
    page.get_by_role("button", name="Write it down").click()
    expect(fault(page.locator("#notes"), "text")).to_be_visible()

    page.locator("summary", has_text="Where and with what").click()
    page.get_by_label("How far the flight can be seen").fill("a long way")
    page.locator("#setting").get_by_role("button", name="Keep").click()
    expect(page.locator("#setting .fault:visible")).to_contain_text("number such as 14")
    assert page.locator("#swings").inner_text() == before


def test_settings(open_page: Open) -> None:
    page = open_page("/settings", allowed=REFUSED)
    page.get_by_label("A face within this is square enough").fill("99")
    page.get_by_role("button", name="Keep").click()
    expect(fault(page, "tolerance_deg")).to_contain_text("between 0.5 and 10")
    page.get_by_label("A face within this is square enough").fill("2.5")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#word-line")).to_contain_text("Kept")


def test_wrong_empty_and_duplicate_files(open_page: Open, ids: Any, tmp_path: Path, recording: Path) -> None:
    page = open_page(f"/lessons/{ids.lesson}", allowed=REFUSED)
    before = page.locator("#recordings .list li").count()
    files = {
        "empty.csv": b"",
        "holiday.csv": b"\x89PNG\r\n\x1a\n" + b"\0" * 400,
        "shopping.csv": b"item,price\nmilk,2\nbread,3\n",
    }
    for name, content in files.items():
        (tmp_path / name).write_bytes(content)
    page.locator("input[type=file]").set_input_files([tmp_path / name for name in files])
    for name in files:
        row = page.locator("#sending .sending", has_text=name)
        expect(row).to_contain_text("not taken")
        assert len(row.locator(".fault").inner_text()) > 20
    assert page.locator("#recordings .list li").count() == before
    page.locator("input[type=file]").set_input_files(recording)
    expect(page.locator("#recordings .list li", has_text=recording.name)).to_contain_text("one swing", timeout=60_000)
    swings = page.locator("#swings li").count()
    page.locator("input[type=file]").set_input_files(recording)
    expect(page.locator("#sending .sending", has_text=recording.name).first).to_contain_text("already here")
    page.wait_for_timeout(500)
    assert page.locator("#recordings .list li", has_text=recording.name).count() == 1
    assert page.locator("#swings li").count() == swings


def test_a_huge_file_is_refused_before_it_is_sent(open_page: Open, ids: Any, tmp_path: Path) -> None:
    page = open_page(f"/lessons/{ids.lesson}")
    before = page.locator("#recordings .list li").count()
    with (tmp_path / "whole morning.csv").open("wb") as film:
        film.truncate(260_000_000)
    sent: list[str] = []
    page.on("request", lambda request: sent.append(request.url) if request.method == "POST" else None)
    page.locator("input[type=file]").first.set_input_files(tmp_path / "whole morning.csv")
    row = page.locator("#sending .sending", has_text="whole morning.csv")
    expect(row).to_contain_text("not taken")
    expect(row.locator(".fault")).to_contain_text("at most 200 MB, got 260 MB")
    assert [url for url in sent if "recordings" in url] == []
    assert page.locator("#recordings .list li").count() == before


def test_the_page_of_a_layout_keeps_what_was_typed_and_takes_it_once(
    open_page: Open, ids: Any, tmp_path: Path, size: tuple[int, int]
) -> None:
    file = tmp_path / f"meter {size[0]}.csv"
    rows = [f"t;FE {size[0]} x;RUD", *(f"{i * 0.01:.2f};{10 + 5 * (i % 3)};{i % 25}" for i in range(300))]
    file.write_text("\n".join(rows))
    page = open_page(f"/lessons/{ids.lesson}", allowed=REFUSED)
    page.locator("input[type=file]").first.set_input_files(file)
    line = page.locator("#recordings .list li", has_text=file.name)
    line.get_by_role("link", name="What is in it?").click()
    page.wait_for_url("**/layout")
    page.wait_for_selector(".desk[data-ready]")
    name, zero = page.get_by_label("A name to know this layout by"), page.locator("[name='columns.flexion.zero_deg']")
    send = page.get_by_role("button", name="That is right: read it")
    name.fill("  ")
    zero.fill("straight")
    send.click()
    expect(fault(page, "columns.flexion.zero_deg")).to_contain_text("expected a number such as 14", ignore_case=True)
    zero.fill("")
    send.click()
    expect(fault(page, "columns.flexion.zero_deg")).to_contain_text("straight wrist")
    page.locator("[name='columns.flexion.from']").select_option("")
    send.click()
    expect(fault(page, "columns.flexion.from")).to_contain_text("bowed or cupped")
    page.reload()
    page.wait_for_selector(".desk[data-ready]")
    page.locator("[name='columns.flexion.from']").select_option(index=2)
    zero.fill("2")
    name.fill(f"Meter {size[0]}")
    send.dblclick()
    page.wait_for_url(f"**/lessons/{ids.lesson}")
    page.wait_for_selector(".desk[data-ready]")
    expect(page.locator("#recordings .list li", has_text=file.name)).to_have_count(1)


def test_settings_of_a_watched_folder_and_clubs(open_page: Open, ids: Any, tmp_path: Path) -> None:
    page = open_page("/settings", allowed=REFUSED)
    page.get_by_label("Folder, written in full").fill(str(tmp_path / "not there"))
    page.get_by_role("button", name="Keep").click()
    expect(fault(page, "watched_folder")).to_contain_text("a folder on this machine")
    page.get_by_label("Folder, written in full").fill("")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#word-line")).to_contain_text("Kept")
    page.goto(f"{page.url.split('/settings')[0]}/golfers/{ids.golfer}/clubs")
    page.wait_for_selector(".desk[data-ready]")
    club = page.locator("[data-club='driver']")
    club.get_by_label("Loft").fill("ninety")
    club.get_by_role("button", name="Keep").click()
    expect(fault(club, "loft_deg")).to_contain_text("number such as 14")
    club.get_by_label("Loft").fill("90")
    club.get_by_role("button", name="Keep").click()
    expect(fault(club, "loft_deg")).to_contain_text("between 0 and 75")
    assert club.get_by_label("Loft").input_value() == "90"
    club.get_by_label("Loft").fill("10,5")
    club.get_by_role("button", name="Keep").dblclick()
    expect(club.get_by_role("heading")).to_contain_text("as measured")
    page.locator("form", has_text="Put it into the bag").get_by_label("Club").fill("spoon of doom")
    page.get_by_role("button", name="Put it into the bag").click()
    expect(page.locator("form", has_text="Put it into the bag").locator(".fault:visible")).to_contain_text("7-iron")


def test_a_double_tap_on_a_form_counts_once(open_page: Open, ids: Any, size: tuple[int, int]) -> None:
    page = open_page(f"/lessons/{ids.lesson}")
    page.locator("summary", has_text="Notes").click()
    note = f"said once at {size[0]}"
    page.get_by_label("A note for next time").fill(note)
    page.get_by_role("button", name="Write it down").dblclick()
    expect(page.locator(".noted", has_text=note)).to_have_count(1)
    page.wait_for_timeout(400)
    assert page.locator(".noted", has_text=note).count() == 1
    assert page.get_by_label("A note for next time").input_value() == ""
