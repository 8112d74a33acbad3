"""Every page for everybody: axe finds nothing in any look, and the keyboard alone reaches everything and never sticks."""

from collections.abc import Callable
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

REDUCED = "matchMedia('(prefers-reduced-motion: reduce)').matches"
MODES = ("paper", "sun", "dark")
ALIKE = ("/interface", "/drills")
OPEN_FIRST = """(n) => [...document.querySelectorAll('.desk details')].forEach((d, i) => {
  if (i < n || d.id) d.open = true;
  else d.remove();
})"""
# What can be used, each group of radio buttons once, as the keyboard sees it; then who got the focus and whether it showed.
WALK = """() => {
  document.querySelectorAll('.desk details').forEach((d) => (d.open = true));
  const seen = new Set();
  globalThis.usable = [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex="0"]')].filter((e) => {
    if (e.disabled || e.closest('[hidden]') || e.closest('dialog:not([open])') || !e.getClientRects().length) return false;
    if (getComputedStyle(e).visibility === 'hidden') return false;
    if (e.type === 'radio') {
      const group = `${e.form?.dataset.send} ${e.form ? [...document.forms].indexOf(e.form) : ''} ${e.name}`;
      if (seen.has(group)) return false;
      seen.add(group);
    }
    return true;
  });
  globalThis.reached = new Set();
  globalThis.unseen = [];
  const name = (e) => `${e.nodeName} ${(e.getAttribute('aria-label') || e.textContent || e.name || '').trim().slice(0, 40)}`;
  document.addEventListener('focusin', (event) => {
    const e = event.target;
    reached.add(e.type === 'radio' ? usable.find((u) => u.type === 'radio' && u.name === e.name && u.form === e.form) ?? e : e);
    const shown = [e, e.nextElementSibling, e.parentElement, e.closest('.choose label')?.querySelector('span'), e.closest('label')].filter(Boolean);
    const lit = shown.some((s) => { const c = getComputedStyle(s); return c.outlineStyle !== 'none' && parseFloat(c.outlineWidth) >= 2; });
    if (!lit) unseen.push(`no ring: ${name(e)}`);
    requestAnimationFrame(() => {
      if (document.activeElement !== e) return;
      const box = (e.type === 'radio' || e.type === 'checkbox' ? e.closest('label') ?? e : e).getBoundingClientRect();
      if (box.bottom < 1 || box.top > innerHeight - 1 || box.right < 1 || box.left > innerWidth - 1) unseen.push(`off the screen: ${name(e)}`);
    });
  });
  globalThis.left = () => usable.filter((e) => e.isConnected && !reached.has(e)).map(name);
  return usable.length;
}"""


@pytest.fixture(scope="module")
def page(browser: Browser) -> Any:
    context = browser.new_context(viewport={"width": 1180, "height": 820}, reduced_motion="reduce")
    context.set_default_timeout(30_000)
    opened = context.new_page()
    yield opened
    context.close()


def test_every_page_is_for_everybody(page_name: str, address_of: Callable[[str], str], server: Any, page: Page) -> None:
    page.goto(server.address + address_of(page_name))
    page.wait_for_selector(".desk[data-ready]")
    page.evaluate("document.fonts.ready")
    assert page.evaluate(REDUCED)
    axe = Axe()
    # Where many entries are built alike the first ones are judged, all of them opened.
    page.evaluate(OPEN_FIRST, 8 if page_name in ALIKE else 24)
    for mode in MODES:
        page.evaluate(f"document.documentElement.dataset.mode = '{mode}'")
        # Everything once; what depends on the look, in each look.
        only: dict[str, Any] = {} if mode == "paper" else {"runOnly": ["color-contrast", "link-in-text-block"]}
        found = axe.run(page, options={"resultTypes": ["violations"], **only}).response["violations"]
        told = [f"{v['id']}: {n['html'][:120]}" for v in found for n in v["nodes"][:4]]
        assert told == [], mode
    assert page.evaluate("document.getAnimations().filter((a) => a.playState === 'running').length") == 0
    _by_keyboard(page)


def _by_keyboard(page: Page) -> None:
    many = page.evaluate(WALK)
    page.evaluate("document.activeElement?.blur(); scrollTo(0, 0)")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.classList.contains('skip')")
    for _ in range((many + 12) // 12 + 1):
        for _ in range(12):
            page.keyboard.press("Tab")
        if page.evaluate("left().length === 0"):
            break
    assert page.evaluate("left()") == []
    assert page.evaluate("unseen") == []


def test_the_way_past_the_top_line(ids: Any, server: Any, page: Page) -> None:
    page.goto(server.address + ids.paths["case"])
    page.wait_for_selector(".desk[data-ready]")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('main') !== null")


def test_what_is_wrong_would_be_noticed(server: Any, page: Page) -> None:
    """The watch itself: a picture without words, focus that does not show, and a button the keyboard cannot reach."""
    page.goto(server.address + "/settings")
    page.wait_for_selector(".desk[data-ready]")
    page.evaluate("""() => {
      document.querySelector('main').insertAdjacentHTML('afterbegin', '<img src="/static/ferrule.svg"><p style="color:#bbb">Pale</p><button id="odd" tabindex="-1">Odd</button>');
      document.head.insertAdjacentHTML('beforeend', '<style>.desk *{outline:none!important}</style>');
    }""")
    found = {v["id"] for v in Axe().run(page).response["violations"]}
    assert {"image-alt", "color-contrast"} <= found
    many = page.evaluate(WALK)
    for _ in range(many + 12):
        page.keyboard.press("Tab")
    assert page.evaluate("left()") == ["BUTTON Odd"]
    assert len(page.evaluate("unseen")) > 5
