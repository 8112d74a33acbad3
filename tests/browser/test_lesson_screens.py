"""The screens of a lesson one by one: touches counted, two devices, left-handed, without a sensor, bad input, three sizes."""

import importlib.util
import re
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

pytestmark = pytest.mark.browser
Open = Callable[..., Page]
LOOKS = importlib.util.spec_from_file_location("page_looks", Path(__file__).with_name("test_pages.py"))
SIZES = {"1180x820": (1180, 820), "390x844": (390, 844), "1440x900": (1440, 900)}
STEPS = ("hello", "cold-test", "rule-out", "case", "ways", "trial", "practice", "close")
REFUSED = ("422", "404")


@pytest.fixture
def opened(browser: Browser, server: Any, watching: Any) -> Iterator[Callable[..., Page]]:
    """Opens a page at any size; nothing may have gone wrong on it."""
    contexts = []

    def at(path: str, size: str = "390x844", allowed: tuple[str, ...] = ()) -> Page:
        width, height = SIZES[size]
        context = browser.new_context(viewport={"width": width, "height": height}, has_touch=width < 1400)
        context.set_default_timeout(30_000)
        contexts.append(context)
        page = context.new_page()
        watching(page, server.address, allowed)
        go(page, server.address + path)
        return page

    yield at
    for context in contexts:
        context.close()


def go(page: Page, address: str) -> None:
    page.goto(address)
    page.wait_for_selector(".desk[data-ready]")


def new_lesson(page: Page, server: Any, name: str, hand: str = "right") -> str:
    """A golfer and a lesson; gives the address of the lesson."""
    go(page, f"{server.address}/")
    page.get_by_label("First name").fill(name)
    page.get_by_role("button", name=f"Plays {hand}-handed").click()
    page.wait_for_url(re.compile(r"/golfers/\d+$"))
    page.get_by_role("button", name="Start the lesson").click()
    page.wait_for_url(re.compile(r"/lessons/\d+/hello$"))
    page.wait_for_selector(".desk[data-ready]")
    return page.url.removesuffix("/hello")


def onward(page: Page, slug: str) -> None:
    page.locator(f"[data-onward={slug}]").click()
    page.wait_for_selector(f".desk[data-ready] main[data-step={slug}]")


def ball(page: Page, said: str, turn: Locator, then: str) -> None:
    page.wait_for_timeout(150)  # no finger is back sooner: the pad takes it for one that bounces
    page.get_by_role("button", name=said, exact=True).click()
    expect(turn).to_have_text(then)


def test_every_screen_fits_reads_and_can_be_tapped(opened: Any, ids: Any) -> None:
    """On a laptop, one after the other by their links; at the other sizes test_pages looks at every page."""
    size = "1440x900"
    assert LOOKS is not None and LOOKS.loader is not None
    looks = importlib.util.module_from_spec(LOOKS)
    LOOKS.loader.exec_module(looks)
    page = opened(f"/lessons/{ids.lesson}/hello", size)
    for step in STEPS:
        page.locator(f".lesson-line a[href$='/{step}']").click()
        page.wait_for_selector(f".desk[data-ready] main[data-step={step}]")
        for check in ("CUT_OFF", "SMALL_TARGETS", "SMALL_TYPE", "WORDS_OUTSIDE", "CROSSED", "NAMELESS", "TWICE"):
            assert page.evaluate(getattr(looks, check)) == [], f"{step}, {check}"
        assert page.evaluate("document.documentElement.scrollWidth") <= SIZES[size][0]
        assert page.locator(".step .do:visible").count() <= 1, f"{step}: more than one filled button"
        assert page.locator(".lesson-line [aria-current=step]").count() == 1
        assert page.locator("#main").inner_text().strip()


def test_a_ball_is_a_tap_its_strike_another_and_a_golfer_two(opened: Any, server: Any, ids: Any) -> None:
    page = opened("/", "1180x820")
    lesson = new_lesson(page, server, "Bo")
    onward(page, "cold-test")
    page.get_by_role("button", name="Start the cold test").click()
    turn = page.locator(".turn")
    expect(turn).to_have_text("Ball 1 of 10")
    ball(page, "starts left, bends right", turn, "Ball 2 of 10")  # one tap, two at most are allowed
    page.get_by_role("button", name="Toe", exact=True).click()  # the second, three at most are allowed
    expect(page.locator(".strikes [aria-pressed=true]")).to_have_text("Toe")
    assert not re.search("pull|push|fade|draw|slice|hook", page.locator("#cold-test").inner_text())
    page.get_by_role("button", name=re.compile("^Undo: strike")).click()
    page.get_by_role("button", name=re.compile("^Undo: cold ball")).click()
    expect(turn).to_have_text("Ball 1 of 10")
    page.get_by_role("button", name="Redo").click()
    expect(turn).to_have_text("Ball 2 of 10")

    # Another golfer in two taps, met where they were left; and back.
    there = new_lesson(page, server, "Cy")
    go(page, f"{there}/rule-out")
    page.locator(".golfer").click()
    page.locator("#switch").get_by_role("link", name=re.compile("^Bo")).click()
    page.wait_for_url(f"{lesson}/cold-test")
    expect(page.locator(".turn")).to_have_text("Ball 2 of 10")
    page.locator(".golfer").click()
    page.locator("#switch").get_by_role("link", name=re.compile("^Cy")).click()
    page.wait_for_url(f"{there}/rule-out")
    # One who is not on the mat yet: the second tap starts the lesson.
    page.locator(".golfer").click()
    page.locator("#switch button.a").first.click()
    page.wait_for_url(re.compile(r"/lessons/\d+/hello$"))


def test_two_devices_on_one_lesson_see_each_others_entries(opened: Any, server: Any) -> None:
    here = opened("/", "1180x820")
    lesson = new_lesson(here, server, "Dee")
    path = lesson.removeprefix(server.address)
    go(here, f"{lesson}/rule-out")
    there = opened(f"{path}/rule-out")
    strike = there.get_by_role("group", name="Strike")
    here.get_by_role("group", name="Strike").get_by_role("button", name="Heel").click()
    expect(strike.locator("[aria-pressed=true]")).to_have_text("Heel")
    go(there, f"{lesson}/hello")
    there.locator("summary", has_text="A note").click()
    there.get_by_label("A note for next time").fill("half a thou")
    there.get_by_role("button", name="Back", exact=True).click()
    go(here, f"{lesson}/hello")
    expect(here.get_by_role("button", name="Back", exact=True)).to_have_attribute("aria-pressed", "true")
    here.get_by_role("button", name="Nothing hurts").click()
    expect(there.get_by_role("button", name="Nothing hurts")).to_have_attribute("aria-pressed", "true")
    # What is half typed here outlives what happens there, and a reload.
    expect(there.get_by_label("A note for next time")).to_have_value("half a thou")
    there.reload()
    there.wait_for_selector(".desk[data-ready]")
    expect(there.get_by_label("A note for next time")).to_have_value("half a thou")


def test_a_left_hander_without_any_sensor_comes_to_a_decision(opened: Any, server: Any) -> None:
    """At phone size: cold balls, the simple things, one look, a trial that is too close, the golfer's word, a sheet."""
    page = opened("/")
    lesson = new_lesson(page, server, "Lou", "left")
    page.get_by_role("button", name="Nothing hurts").click()
    expect(page.locator(".lesson-line .done")).to_have_count(1)
    onward(page, "cold-test")
    page.get_by_role("button", name="Start the cold test").click()
    turn = page.locator(".turn")
    expect(turn).to_have_text("Ball 1 of 10")
    for i in range(2, 7):  # open for a left-hander: starts left of the target, bends left
        ball(page, "starts left, bends left", turn, f"Ball {i} of 10")
    page.get_by_role("button", name="End it here").click()
    page.get_by_role("button", name="Tap again").click()
    expect(page.locator("#cold-done h1")).to_have_text("Five of five started left, five bent left.")
    onward(page, "rule-out")
    page.get_by_role("button", name="All of it looks fine").click()
    expect(page.locator(".check.seen")).to_have_count(5)
    face = page.get_by_role("group", name="Face at address")
    face.get_by_role("button", name="Open", exact=True).click()
    expect(face.locator("[aria-pressed=true]")).to_have_text("Open")
    page.get_by_role("button", name=re.compile("^Undo: check")).click()
    expect(face.locator("[aria-pressed=true]")).to_have_text("Square")
    onward(page, "case")
    expect(page.locator("h1")).to_contain_text("The 7-iron starts left")
    expect(page.locator(".lead").first).to_contain_text("open")
    said = page.locator("#main").inner_text()
    assert "sensor" not in said
    look = page.locator("[data-look]").get_attribute("data-look") or ""
    page.locator("[data-look] > div > .in-a-word button").first.click()
    expect(page.locator(f'[data-look="{look}"]')).to_have_count(0)
    page.get_by_role("button", name=re.compile("^Undo: look")).click()
    expect(page.locator(f'[data-look="{look}"]')).to_have_count(1)
    onward(page, "ways")
    expect(page.locator(".way")).to_have_count(2)
    # Another way takes the second place with a tap.
    page.locator("summary", has_text="Other ways").click()
    other = page.locator("#other-ways .brief").first
    name = other.locator("h3").inner_text()
    other.get_by_role("link").nth(1).click()
    expect(page.locator(".way h2").nth(1)).to_have_text(name)
    page.get_by_role("button", name="Start the trial").click()
    page.wait_for_selector("main[data-step=trial] .turn")
    turn = page.locator(".turn")
    turns = [f"Way {letter}, ball {i} of 3" for letter in "ABBA" for i in (1, 2, 3)]
    for now, then in zip(turns, [*turns[1:], ""], strict=True):
        expect(turn).to_have_text(now)
        page.wait_for_timeout(150)  # no finger is back sooner: the pad takes it for one that bounces
        page.get_by_role("button", name="starts straight, flies on straight").click()
        expect(turn).to_have_text(then) if then else expect(page.locator("#trial h1")).to_contain_text("Hear Lou")
    page.get_by_role("group", name="Which one would Lou keep?").get_by_label(name).check()
    page.get_by_label("In Lou’s words").fill("It feels quiet.")
    page.reload()
    page.wait_for_selector(".desk[data-ready]")
    expect(page.get_by_label("In Lou’s words")).to_have_value("It feels quiet.")
    page.get_by_role("button", name="What do the balls say?").click()
    expect(page.locator("#trial h1")).to_contain_text("Too close to tell from so few balls")
    expect(page.locator("#trial")).to_contain_text("“It feels quiet.”")
    expect(page.locator(".step .do")).to_contain_text("Keep B")
    page.locator(".step .do").click()
    page.wait_for_selector("main[data-step=practice]")
    go(page, f"{lesson}/close")
    expect(page.locator("#home")).to_contain_text(name)
    sheet = page.get_by_role("link", name="Text to send").get_attribute("href")
    with urllib.request.urlopen(server.address + str(sheet)) as answer:
        assert answer.read().decode().startswith("For Lou")


def test_pain_pauses_wrist_work_and_undo_takes_it_back(opened: Any, server: Any) -> None:
    page = opened("/", "1440x900")
    new_lesson(page, server, "Pia")
    page.get_by_role("button", name="Lead wrist", exact=True).click()
    expect(page.locator("#pain .caution")).to_contain_text("Pain today: lead wrist. No new bow")
    expect(page.locator(".who")).to_contain_text("pain: lead wrist")
    page.get_by_role("button", name=re.compile("^Undo: golfer")).click()
    expect(page.locator("#pain .caution")).to_have_count(0)


def test_bad_input_has_its_words_beside_the_field_and_nothing_counts_twice(opened: Any, server: Any, ids: Any) -> None:
    page = opened("/", "1180x820", REFUSED)
    lesson = new_lesson(page, server, "Bea")
    number = lesson.rsplit("/", 1)[-1]

    # A key pressed twice in a row by a shaking finger is one ball; the same request twice is one ball.
    onward(page, "cold-test")
    page.get_by_role("button", name="Start the cold test").dblclick()
    expect(page.locator(".turn")).to_have_text("Ball 1 of 10")
    page.get_by_role("button", name="starts right, bends right").dblclick()
    expect(page.locator(".turn")).to_have_text("Ball 2 of 10")
    page.wait_for_timeout(300)
    expect(page.locator(".turn")).to_have_text("Ball 2 of 10")

    def post(path: str, body: str, key: str = "") -> tuple[int, Any]:
        return tuple(page.evaluate(
            """async ([path, body, key]) => { const r = await fetch('/api/v1' + path, {method: 'POST', body,
               headers: {'content-type': 'application/json', ...(key ? {'idempotency-key': key} : {})}});
               return [r.status, await r.json()]; }""", [path, body, key]))  # fmt: skip

    for _ in range(2):
        status, said = post(f"/lessons/{number}/reps", '{"drill": "Towel", "did": false}', "once-only")
        assert (status, said["set_aside_why"]) == (201, "missed its purpose")
    assert (
        len(
            [
                s
                for s in page.evaluate(f"fetch('/api/v1/lessons/{number}').then((r) => r.json())")["swings"]
                if s["tried_feel"]
            ]
        )
        == 1
    )
    status, said = post(f"/lessons/{number}/rule-out", '{"answers": {"strike": "shank", "mood": "good"}}')
    assert status == 422 and {f["where"] for f in said["error"]["faults"]} == {"strike", "check"}
    assert post(f"/lessons/{number}/rule-out", '{"answers": {}}')[0] == 422
    assert post(f"/lessons/{number}/reps", '{"drill": " "}')[0] == 422

    # The window in words: what is wrong stands beside the field, what was typed stays.
    for _ in range(5):
        post(f"/lessons/{number}/balls", '{"start": "right", "bend": "right"}')
    post(f"/lessons/{number}/plan", '{"way": "grip"}')
    go(page, f"{lesson}/close")
    page.locator("summary", has_text="Another window").click()
    field, beside = page.get_by_label("To each side"), page.locator("#window [data-fault=each_side]")
    for typed, words in (
        ("", "a number"),
        ("wide", "expected a number such as 14"),
        ("-3", "more than nothing"),
        ("400", "between"),
    ):
        field.fill(typed)
        page.get_by_role("button", name="Set it", exact=True).click()
        place = beside if typed != "400" else page.locator("#window [data-fault=low], #window [data-fault=high]").first
        expect(place).to_contain_text(words, ignore_case=True)
        expect(field).to_have_value(typed)
    field.fill("3")
    page.get_by_role("button", name="Set it", exact=True).click()
    expect(page.locator("#window .lead")).to_contain_text("between 3° left and 3° right")


def test_a_screen_of_a_lesson_that_is_not_there_says_so(opened: Any, server: Any) -> None:
    page = opened("/lessons/99999/hello", "390x844", ("404",))
    expect(page.locator("h1")).to_have_text("Not here")
    for step in STEPS:
        answer = page.request.get(f"{server.address}/lessons/99999/{step}")
        assert answer.status == 404
        assert "Not here" in answer.text()
