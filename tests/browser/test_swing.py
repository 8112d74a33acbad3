"""The swing that moves with the finger: no word with the server, keyboard, touch, two swings laid over, the golfer's view."""

import base64
import re
import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, WebSocket

pytestmark = pytest.mark.browser
Contexts = dict[tuple[int, int], BrowserContext]
WIDE, PHONE = (1180, 820), (390, 844)
FAULT_WORDS = re.compile(
    r"\b(open|closed|cupped|bowed|fault|wrong|slice|hook|heel|toe|thin|fat|error|lost|early|late)\b"
)


@dataclass
class Ground:
    """Swings of the folder: first and second of one mounting, one of another day, one of a left-hander."""

    server: Any
    first: int
    second: int
    another_day: int
    left: int


@pytest.fixture
def ground(server: Any, ids: Any) -> Ground:
    return Ground(server, *ids.recorded)


@pytest.fixture
def opened(contexts: Contexts, ground: Ground) -> Iterator[Callable[..., Page]]:
    pages: list[Page] = []
    wrong: list[str] = []

    def open_(path: str, size: tuple[int, int] = WIDE, hear: Callable[[Page], None] | None = None) -> Page:
        page = contexts[size].new_page()
        pages.append(page)
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
        if hear:
            hear(page)
        page.goto(ground.server.address + path)
        page.wait_for_selector(".desk[data-ready]")
        page.wait_for_selector(".scrub[data-frame]")
        return page

    yield open_
    for page in pages:
        page.close()
    assert wrong == []


class Ears:
    """Counts every message between page and server, save what the socket says by the clock: its heartbeat, and every few
    seconds the number of the last message.
    """

    def __init__(self) -> None:
        self.heard: list[str] = []

    def listen(self, page: Page) -> None:
        page.on("request", lambda request: self.heard.append(request.url))
        page.on("websocket", self._socket)

    def _socket(self, socket: WebSocket) -> None:
        socket.on("framesent", lambda data: self._frame("sent", data))
        socket.on("framereceived", lambda data: self._frame("got", data))

    def _frame(self, way: str, data: Any) -> None:
        if data not in ("2", "3") and not str(data).startswith('42["ack"'):
            self.heard.append(f"{way} {data!r}")


def spots(page: Page, name: str = "frames") -> list[tuple[float, list[float]]]:
    """The frames that came with the page: time in ms and fifteen places in m."""
    data = base64.b64decode(page.locator(".scrub").get_attribute(f"data-{name}") or "")
    return [(row[0] / 10, [v / 1000 for v in row[1:]]) for row in struct.iter_unpack("<16h", data)]


def drawn(page: Page, part: str, view: str = "behind", swing: str = "own") -> tuple[float, float, float, float]:
    line = page.locator(f"svg[data-view={view}] [data-swing={swing}] [data-part={part}]")
    x1, y1, x2, y2 = (float(line.get_attribute(a) or "nan") for a in ("x1", "y1", "x2", "y2"))
    return x1, y1, x2, y2


def slider(page: Page) -> Locator:
    return page.get_by_role("slider", name="Where in the swing")


def settle(page: Page) -> None:
    page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")


def test_scrubbing_asks_nothing_of_the_server(ground: Ground, opened: Callable[..., Page]) -> None:
    ears = Ears()
    page = opened(f"/swings/{ground.first}", hear=ears.listen)
    page.wait_for_timeout(400)
    assert any(word.startswith(("sent", "got")) for word in ears.heard)  # the ears do hear the socket
    ears.heard.clear()
    frames = int(page.locator(".scrub").get_attribute("data-frame") or 0)
    before = drawn(page, "shaft")
    box = slider(page).bounding_box()
    assert box is not None
    y = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + 30, y)
    page.mouse.down()
    for i in range(60):
        page.mouse.move(box["x"] + 30 + i * (box["width"] - 60) / 59, y)
    page.mouse.up()
    slider(page).focus()
    for _ in range(20):
        page.keyboard.press("ArrowLeft")
    for name in ("Top", "Shaft level", "Impact"):
        page.get_by_role("button", name=name, exact=True).click()
    page.get_by_role("button", name="Play slowly").click()
    page.wait_for_timeout(300)
    page.get_by_role("button", name="Stop").click()
    settle(page)
    assert ears.heard == []
    assert (
        int(page.locator(".scrub").get_attribute("data-frame") or 0) > frames + 8
    )  # one at most for each picture of the screen
    assert drawn(page, "shaft") != before


def test_what_is_drawn_is_what_came(ground: Ground, opened: Callable[..., Page]) -> None:
    """The script against the plain interpolation of the table, at every place and in both views."""
    page = opened(f"/swings/{ground.first}")
    rows = spots(page)
    scale = float(page.locator(".scrub").get_attribute("data-scale") or 0)
    for button in page.locator("button[data-at]").all():
        button.click()
        settle(page)
        at = float(button.get_attribute("data-at") or "nan")
        k = max(1, min(len(rows) - 1, next((i for i, (t, _) in enumerate(rows) if t > at), len(rows) - 1)))
        share = max(0.0, min(1.0, (at - rows[k - 1][0]) / (rows[k][0] - rows[k - 1][0])))
        now_at = [a + share * (b - a) for a, b in zip(rows[k - 1][1], rows[k][1], strict=True)]
        for view, axis in (("behind", 2), ("face-on", 0)):
            svg = page.locator(f"svg[data-view={view}]")
            x0, y0 = (float(svg.get_attribute(f"data-{n}") or "nan") for n in ("x", "y"))
            for part, start, end in (("arm", 0, 1), ("hand", 1, 2), ("shaft", 2, 3), ("edge", 3, 4)):
                wanted = [
                    v for i in (start, end) for v in (x0 + scale * now_at[3 * i + axis], y0 - scale * now_at[3 * i + 1])
                ]
                assert drawn(page, part, view) == pytest.approx(wanted, abs=0.11), (view, part, at)
    assert page.locator(".scrub .place").inner_text() == "At impact."


def test_by_keyboard_alone(ground: Ground, opened: Callable[..., Page]) -> None:
    page = opened(f"/swings/{ground.first}")
    slider(page).focus()
    page.keyboard.press("End")
    settle(page)
    assert slider(page).get_attribute("aria-valuetext") == "At impact."
    low = drawn(page, "shaft")
    page.keyboard.press("ArrowLeft")
    settle(page)
    assert drawn(page, "shaft") != low
    assert "s before impact" in (slider(page).get_attribute("aria-valuetext") or "")
    page.keyboard.press("Home")
    settle(page)
    assert slider(page).get_attribute("aria-valuetext") != "At impact."
    page.get_by_role("button", name="Top", exact=True).focus()
    page.keyboard.press("Enter")
    settle(page)
    assert "At the top" in page.locator(".scrub .place").inner_text()
    assert page.get_by_role("button", name="Top", exact=True).get_attribute("aria-pressed") == "true"


def test_by_touch(ground: Ground, opened: Callable[..., Page]) -> None:
    page = opened(f"/swings/{ground.first}", PHONE)
    stage = page.locator("[data-stage]")
    stage.scroll_into_view_if_needed()
    box = stage.bounding_box()
    assert box is not None
    touch = page.context.new_cdp_session(page)
    before = float(slider(page).input_value())
    y = box["y"] + box["height"] / 2
    touch.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": 60, "y": y}]})
    for x in range(60, 260, 20):
        touch.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x, "y": y}]})
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    settle(page)
    assert float(slider(page).input_value()) > before
    where = slider(page).bounding_box()
    assert where is not None
    page.touchscreen.tap(where["x"] + 40, where["y"] + where["height"] / 2)
    settle(page)
    assert float(slider(page).input_value()) < before
    thumb = page.evaluate("getComputedStyle(document.querySelector('.scrub input')).height")
    assert float(thumb.removesuffix("px")) >= 48


def test_two_swings_are_laid_over_each_other(ground: Ground, opened: Callable[..., Page]) -> None:
    page = opened(f"/swings/{ground.first}")
    assert page.locator("[data-swing=ghost]").count() == 0
    for other, said in ((ground.second, "sat the same for both"), (ground.another_day, "put on anew between the two")):
        page.get_by_label("Lay another swing over it").select_option(str(other))
        page.get_by_role("button", name="Lay it over").click()
        page.wait_for_url(f"**with={other}*")
        page.wait_for_selector(".scrub[data-frame]")
        assert said in page.locator("#moving").inner_text()
        page.get_by_role("button", name="Impact", exact=True).click()
        settle(page)
        for swing in ("own", "ghost"):
            x1, y1, x2, y2 = drawn(page, "edge", "behind", swing)
            ball = page.locator("svg[data-view=behind]")
            assert (x1 + x2) / 2 == pytest.approx(float(ball.get_attribute("data-x") or 0), abs=1.0)
            assert (y1 + y2) / 2 == pytest.approx(float(ball.get_attribute("data-y") or 0), abs=1.0)
        page.get_by_role("button", name="Top", exact=True).click()
        settle(page)
        assert drawn(page, "shaft", "behind", "own") != drawn(page, "shaft", "behind", "ghost")
    page.get_by_role("link", name="Take it off").click()
    page.wait_for_selector(".scrub[data-frame]")
    assert page.locator("[data-swing=ghost]").count() == 0
    # Another golfer's swing is nobody's to lay over.
    page = opened(f"/swings/{ground.first}?with={ground.left}")
    assert page.locator("[data-swing=ghost]").count() == 0


def test_the_golfer_sees_no_fault_and_no_number(ground: Ground, opened: Callable[..., Page]) -> None:
    page = opened(f"/swings/{ground.first}")
    page.get_by_role("link", name="Show golfer").click()
    page.wait_for_selector("main.show .scrub[data-frame]")
    assert page.locator("h1").inner_text() == "Knuckles to the sky."
    for name in ("Top", "Impact"):
        page.get_by_role("button", name=name, exact=True).click()
        settle(page)
        said = page.locator("main").inner_text()
        assert not FAULT_WORDS.search(said.lower()), said
        assert not re.search(r"\d", said), said
    behind = page.locator("svg[data-view=behind]").bounding_box()
    assert behind is not None
    assert behind["height"] > 400
    page.get_by_role("link", name="Back to the coach’s page").click()
    page.wait_for_selector("#moving")


def test_a_left_hander_stands_left_handed(ground: Ground, opened: Callable[..., Page]) -> None:
    page = opened(f"/swings/{ground.left}?show=golfer")
    page.get_by_role("button", name="Takeaway", exact=True).click()
    settle(page)
    # Seen from behind he faces left, so the ball lies left of his hands; face-on the target is to the left.
    ball = float(page.locator("svg[data-view=behind]").get_attribute("data-x") or 0)
    assert drawn(page, "hand")[0] > ball + 20
    assert "target left" in page.locator("main").inner_text()
    page.get_by_role("button", name="Top", exact=True).click()
    settle(page)
    ball = float(page.locator("svg[data-view=face-on]").get_attribute("data-x") or 0)
    assert drawn(page, "hand", "face-on")[0] > ball + 20
    page = opened(f"/swings/{ground.first}?show=golfer")
    page.get_by_role("button", name="Takeaway", exact=True).click()
    settle(page)
    ball = float(page.locator("svg[data-view=behind]").get_attribute("data-x") or 0)
    assert drawn(page, "hand")[0] < ball - 20


def test_a_recorded_swing_leads_with_the_face_and_keeps_its_traces_behind_a_tap(
    ground: Ground, opened: Callable[..., Page]
) -> None:
    page = opened(f"/swings/{ground.first}", PHONE)
    assert page.locator("#face figure").count() == 3
    assert page.locator("#account svg:visible").count() > 0
    assert page.locator(".traces:visible").count() == 0
    page.get_by_text("Evidence: every number").click()
    page.locator(".traces svg").first.wait_for(state="visible")


@pytest.mark.parametrize("size", [WIDE, PHONE])
def test_what_each_way_would_have_done_to_this_swing(
    ground: Ground, opened: Callable[..., Page], size: tuple[int, int]
) -> None:
    for swing in (ground.first, ground.left):
        page = opened(f"/swings/{swing}", size)
        told = page.request.get(f"{ground.server.address}/api/v1/swings/{swing}/ways").json()["options"]
        part = page.locator("#with-a-change")
        assert part.get_by_role("heading", level=2).inner_text() == "This swing with a change"
        for option in told[:2]:
            assert part.get_by_text(option["sentence"], exact=True).first.is_visible()
        rest = part.get_by_text("With another change")
        assert rest.is_visible() == (len(told) > 2)
        if len(told) > 2:
            rest.click()
            assert part.locator(".brief").count() == len(told)
            assert part.locator(".brief").last.is_visible()
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]


def test_the_case_says_it_of_the_recorded_ball_in_the_middle(ground: Ground, opened: Callable[..., Page]) -> None:
    page = opened(f"/swings/{ground.another_day}")
    api = f"{ground.server.address}/api/v1"
    lesson = page.request.get(f"{api}/swings/{ground.another_day}").json()["lesson_id"]
    golfer = page.request.get(f"{api}/lessons/{lesson}").json()["golfer_id"]
    told = {
        o["option"]: o["sentence"]
        for o in page.request.get(f"{api}/swings/{ground.another_day}/ways").json()["options"]
    }
    page.goto(f"{ground.server.address}/golfers/{golfer}")
    page.wait_for_selector(".desk[data-ready] #ways")
    shown = page.locator("#ways .way")
    ways = [way.get_attribute("data-way") for way in shown.all()]
    assert any(way in told for way in ways)
    for way, card in zip(ways, shown.all(), strict=True):
        assert (card.get_by_text("On ball 1", exact=True).count() == 1) == (way in told)
        if way in told:
            assert card.get_by_text(told[way], exact=True).is_visible()
