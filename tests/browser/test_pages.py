"""One test for each page at both sizes: drawn, not blank, nothing cut off, no small type, nothing small to tap."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

pytestmark = pytest.mark.browser
Open = Callable[..., Page]
at_one_size = pytest.mark.parametrize("size", ["390x844"], indirect=True)
"""For what no size can change."""

SMALL_TYPE = """() => [...document.querySelectorAll('.desk *, .desk svg text')].filter((e) => {
  const says = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
  if (!says || !e.getClientRects().length || e.closest('title,.hide,.keepsakes svg')) return false; // what is to be taken along is shown small
  const svg = e.closest('svg');
  const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
  return parseFloat(getComputedStyle(e).fontSize) * scale < 15.9;
}).map((e) => `${e.nodeName} ${e.textContent.trim().slice(0, 40)}`)"""
SMALL_TARGETS = """() => [...document.querySelectorAll('.desk a, .desk button, .desk summary, .desk label.tick, .choose label, .field input:not([type=checkbox],[type=radio]), .field select')].filter((e) => {
  const box = e.getBoundingClientRect();
  if (!box.width || e.closest('[hidden],.hide') || getComputedStyle(e).visibility === 'hidden') return false;
  return box.height < 47.5;
}).map((e) => `${e.nodeName} ${e.textContent.trim().slice(0, 30)} ${e.getBoundingClientRect().height}`)"""
CUT_OFF = """() => [...document.querySelectorAll('.desk *')].filter((e) => {
  const box = e.getBoundingClientRect();
  if (!box.width || e.closest('.scroll,.seg,.traces,dialog:not([open]),svg,.hide')) return false;
  return box.right > innerWidth + 1 || box.left < -1;
}).map((e) => `${e.nodeName}.${e.className} ${e.textContent.trim().slice(0, 40)}`)"""
WORDS_OUTSIDE = """() => [...document.querySelectorAll('svg.pic text')].filter((t) => {
  const svg = t.closest('svg').getBoundingClientRect();
  const box = t.getBoundingClientRect();
  return box.width && (box.left < svg.left - 2 || box.right > svg.right + 2 || box.top < svg.top - 2 || box.bottom > svg.bottom + 4);
}).map((t) => t.textContent)"""
CROSSED = """() => {
  const found = [];
  for (const svg of document.querySelectorAll('svg.pic')) {
    const boxes = [...svg.querySelectorAll('text')].map((t) => [t.textContent, t.getBoundingClientRect()]).filter(([, b]) => b.width);
    boxes.forEach(([a, p], i) => boxes.slice(i + 1).forEach(([b, q]) => {
      const over = Math.min(p.right, q.right) - Math.max(p.left, q.left);
      const under = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
      if (over > 2 && under > 5) found.push(`${a} / ${b}`);
    }));
  }
  return found;
}"""

NAMELESS = """() => [...document.querySelectorAll('.desk a, .desk button, .desk input:not([type=hidden]), .desk select, .desk textarea')]
      .filter((e) => !(e.getAttribute('aria-label') || e.textContent.trim() || (e.labels && e.labels.length)))
      .map((e) => e.outerHTML.slice(0, 120))"""
TWICE = "() => [...document.querySelectorAll('[id]')].map((e) => e.id).filter((v, i, all) => all.indexOf(v) !== i)"


def test_page(page_name: str, address_of: Callable[[str], str], open_page: Open) -> None:
    page = open_page(address_of(page_name))
    page.evaluate("document.fonts.ready")
    assert page.title().endswith("Ferrule")
    assert len(page.inner_text("main")) > 60
    assert page.locator("h1").count() == 1
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.evaluate("document.querySelectorAll('.desk details').forEach((d) => (d.open = true))")
    assert page.evaluate(CUT_OFF) == []
    assert page.evaluate(SMALL_TYPE) == []
    assert page.evaluate(SMALL_TARGETS) == []
    assert page.evaluate(WORDS_OUTSIDE) == []
    assert page.evaluate(CROSSED) == []
    assert page.evaluate(NAMELESS) == []
    assert page.evaluate(TWICE) == []
    assert page.locator(".do:visible").count() <= 1
    # The stock look of the page framework must not show through.
    assert page.locator(".q-btn, .q-field, .q-card, .q-table, .q-uploader").count() == 0
    fonts = page.evaluate("[...document.fonts].filter((f) => f.status === 'loaded').map((f) => f.family)")
    assert {"Book", "Plain"} <= {f.strip('"') for f in fonts}


GROUND = "getComputedStyle(document.body).backgroundColor"
GROUNDS = {"Paper": "rgb(245, 241, 232)", "Sun": "rgb(255, 255, 255)", "Dark": "rgb(20, 25, 26)"}
FRAMES = """(() => { globalThis.seen = new Set(); const look = () => {
  if (document.documentElement) seen.add(getComputedStyle(document.documentElement).backgroundColor);
  requestAnimationFrame(look); }; requestAnimationFrame(look); })()"""


def test_each_look_is_one_tap_away_and_is_kept_without_a_flash(ids: Any, open_page: Open) -> None:
    page = open_page(ids.paths["case"])
    page.add_init_script(FRAMES)
    for name, ground in GROUNDS.items():
        page.get_by_role("group", name="How the pages look").get_by_role("button", name=name, exact=True).click()
        assert page.evaluate(GROUND) == ground
        page.reload()
        page.wait_for_selector(".desk[data-ready]")
        assert page.evaluate("[...seen]") == [ground]
        assert page.get_by_role("button", name=name, exact=True).get_attribute("aria-pressed") == "true"
        assert page.locator(".modes [aria-pressed=true]").count() == 1
    page.evaluate("localStorage.removeItem('ferrule-mode')")


@at_one_size
def test_the_system_is_heeded_until_something_is_chosen(ids: Any, open_page: Open) -> None:
    page = open_page("/settings")
    page.evaluate("localStorage.removeItem('ferrule-mode')")
    page.emulate_media(color_scheme="dark")
    page.wait_for_function(f"{GROUND} === '{GROUNDS['Dark']}'")
    page.reload()
    page.wait_for_selector(".desk[data-ready]")
    assert page.evaluate(GROUND) == GROUNDS["Dark"]
    assert page.evaluate("getComputedStyle(document.documentElement).colorScheme") == "dark"
    page.get_by_role("button", name="Paper", exact=True).click()
    page.emulate_media(color_scheme="light")
    page.emulate_media(color_scheme="dark")
    assert page.evaluate(GROUND) == GROUNDS["Paper"]
    page.evaluate("localStorage.removeItem('ferrule-mode')")


@at_one_size
def test_what_is_not_there_says_so(open_page: Open) -> None:
    page = open_page("/golfers/999999", allowed=("404",))
    assert "not there any more" in page.inner_text("main")
    assert page.get_by_role("button", name="Sun", exact=True).is_visible()
    page.get_by_role("link", name="Back to the golfers").click()
    page.wait_for_selector("a.item")


@at_one_size
def test_a_name_with_markup_in_it_is_only_a_name(open_page: Open) -> None:
    page = open_page("/")
    assert "Jo <b>Bold</b> & Sons" in page.inner_text("main")
    assert page.locator("main .name b").count() == 0
