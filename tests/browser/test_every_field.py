"""Every field and every button of every page: bad input has its words beside the field and stays there, nothing is sent twice.

The forms are found on the pages themselves, so that none can be forgotten.
"""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

# What the server accepts is told and kept from the page, which would go on to another one.
HEAR = """() => {
  const real = window.fetch;
  globalThis.taken = [];
  window.fetch = async (url, how = {}) => {
    const answer = await real(url, how);
    if (!how.method || how.method === "GET" || String(url).includes("/known")) return answer;
    if (!answer.ok) return answer;
    taken.push(`${how.method} ${url} ${how.body.slice(0, 200)}`);
    return new Response(JSON.stringify({ error: { message: "Taken." } }), { status: 422 });
  };
}"""
BAD_FIELDS = """async () => {
  document.querySelectorAll(".desk details").forEach((d) => (d.open = true));
  const wrong = [];
  const tried = [];
  const type = (field, value) => { field.value = value; field.dispatchEvent(new Event("input", { bubbles: true })); };
  const quiet = async (form) => { for (let i = 0; i < 600 && form.dataset.busy; i++) await new Promise((go) => setTimeout(go, 20)); };
  const reveal = (form, field) => {
    for (let part = field.closest("[data-when]"); part; part = part.parentElement.closest("[data-when]"))
      for (const rule of part.dataset.when.split(" ")) {
        const [name, values] = rule.split("=");
        if (!values.split("|").includes(form.elements[name].value)) type(form.elements[name], values.split("|")[0]);
      }
  };
  // Whatever else the form needs, so that only this field is wrong.
  const fill = (form, field) => {
    for (const each of form.elements) {
      if (each === field || each.disabled) continue;
      if (each.nodeName === "SELECT" && !each.value && each.options.length > 1) type(each, each.options[1].value);
      else if (["value", "low", "high"].includes(each.name) && !each.value) type(each, "3");
      else if (each.type === "radio" && ![...form.elements].some((e) => e.name === each.name && !e.disabled && e.checked)) each.checked = true;
    }
  };
  for (const form of document.querySelectorAll(".desk form[data-send]"))
    for (const field of [...form.elements].filter((e) => e.nodeName === "TEXTAREA" || ["text", "date"].includes(e.type))) {
      reveal(form, field);
      fill(form, field);
      const before = field.value;
      field.removeAttribute("maxlength");
      const bad = field.type === "date" ? "0001-01-01" : field.inputMode === "decimal" ? "many" : "x".repeat(5000);
      type(field, bad);
      taken.length = 0;
      form.requestSubmit();
      await quiet(form);
      const what = `${form.dataset.send} ${field.name}`;
      tried.push(field.name);
      const said = [...form.querySelectorAll(`[data-fault="${CSS.escape(field.name)}"]`)].filter((p) => p.textContent.trim().length > 10 && p.getClientRects().length);
      if (taken.length) wrong.push(`taken: ${what}`);
      else if (!said.length) wrong.push(`nothing beside it: ${what}: ${[...form.querySelectorAll("[data-fault]")].map((p) => p.textContent).join(" ").trim()}`);
      else if (field.getAttribute("aria-invalid") !== "true") wrong.push(`not marked: ${what}`);
      if (field.value !== bad) wrong.push(`lost: ${what}`);
      type(field, before);
    }
  sessionStorage.clear();
  return [tried, wrong];
}"""
TWICE = """async () => {
  document.querySelectorAll(".desk details").forEach((d) => (d.open = true));
  const wrong = [];
  let sent = [];
  window.fetch = async (url) => {
    sent.push(url);
    await new Promise((go) => setTimeout(go, 60));
    return new Response(JSON.stringify({ error: { message: "Not now." } }), { status: 422 });
  };
  const pause = () => new Promise((go) => setTimeout(go, 100));
  const all = [...document.querySelectorAll(".desk form[data-send], .desk button[data-send]")];
  for (const each of all) {
    sent = [];
    if (each.nodeName === "FORM") { each.requestSubmit(); each.requestSubmit(); }
    else { each.click(); each.click(); if (each.dataset.sure) each.click(); }
    await pause();
    if (sent.length !== 1) wrong.push(`${sent.length} times: ${each.dataset.send} ${each.textContent.trim().slice(0, 30)}`);
  }
  sessionStorage.clear();
  return [all.length, wrong];
}"""


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1180, "height": 820})
    yield context.new_page()
    context.close()


@pytest.fixture(scope="module")
def more(server: Any, ids: Any, page: Page) -> dict[str, str]:
    """Pages in a state that the others have not: a plan to be changed, a trial that waits for the golfer's word."""

    def post(path: str, **body: object) -> Any:
        answer = page.request.post(f"{server.address}/api/v1{path}", data=body)
        assert answer.ok, answer.text()
        return answer.json()

    golfer = post("/golfers", name="Otto", handedness="right")["id"]
    lesson = post(f"/golfers/{golfer}/lessons")["id"]
    post(f"/lessons/{lesson}/readings", measure="wrist.flexion_deg", at="top", value="9", device="new", device_name="Otto’s meter", rises_when="cups")  # fmt: skip
    trial = post(f"/lessons/{lesson}/trials", way_a="grip", way_b="flexed_early", balls_a_block=1)["id"]
    for _ in range(4):
        post(f"/trials/{trial}/balls", start="right", bend="right")
    post(f"/lessons/{lesson}/plan", way="grip")
    return {
        "trial that waits for a word": f"/lessons/{lesson}/trial",
        "lesson with a plan": f"/lessons/{lesson}/close",
        "progress with a plan": f"/golfers/{golfer}/progress",
        "settings with a device": "/settings",
    }


MORE = ("trial that waits for a word", "lesson with a plan", "progress with a plan", "settings with a device")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    from ferrule.web import shell

    if "where" in metafunc.fixturenames:
        plain = [name for name in shell.PAGES if name != "/settings"]
        metafunc.parametrize("where", [*sorted(plain), "interview of a child", *MORE])


def test_bad_input_and_double_taps(
    where: str, address_of: Callable[[str], str], more: dict[str, str], server: Any, page: Page
) -> None:
    page.goto(server.address + (more[where] if where in more else address_of(where)))
    page.wait_for_selector(".desk[data-ready]")
    page.evaluate(HEAR)
    tried, wrong = page.evaluate(BAD_FIELDS)
    assert wrong == [], "\n".join(w[:230] for w in wrong)
    many, twice = page.evaluate(TWICE)
    assert twice == []
    if where in FORMS:
        assert set(tried) >= FORMS[where]
    assert many > 0 or "form" not in where


FORMS = {
    "/golfers/{golfer_id}/screen": {"name", "pain", "goal", "next_event_on", "balls_a_week", "chest_turn_range_deg"},
    "/lessons/{lesson_id}": {"name", "value", "device_name", "shows_at_neutral", "feel", "place", "text"},
    "/recordings/{recording_id}/layout": {"name", "rate_hz"},
    "/drills": {"title", "set_up", "sets", "low"},
    "interview of a child": {"carer_name"},
    "trial that waits for a word": {"golfers_word"},
    "lesson with a plan": {"thought", "each_side", "test"},
    "progress with a plan": {"confidence", "hurts", "words", "thought", "aim", "elsewhere"},
    "settings with a device": {"tolerance_deg", "watched_folder", "coach_name", "shows_at_neutral"},
}
"""Some fields that must have been found, so that an empty page is no success."""
