"""Every page of a busy coach's folder, in a real browser: 300 golfers, 20,000 swings, interactive within 1.5 s.

Run with `pytest bench/bench_pages.py -s`. Measured from the click to the page that takes input, the browser's cache warm,
the median of three; beside it the time the server takes to draw it.
"""

import shutil
import socket
import statistics
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Page, sync_playwright
from sqlalchemy import update

from ferrule.app import plans, swings
from ferrule.app.finding import now
from ferrule.app.workspace import Workspace
from ferrule.store.tables import Lesson
from ferrule.web import shell
from ferrule.web.shell import PAGES

sys.path.append(str(Path(__file__).parent))
from bench_store import GOLFERS, fill

TARGET_S = 1.5
SERVE = "import sys; from pathlib import Path; from ferrule.web.server import serve; serve(Path(sys.argv[1]), int(sys.argv[2]), False)"  # fmt: skip
FLAGS = ["--no-sandbox", "--disable-background-networking", "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"]
IDS = {"golfer_id": "150", "lesson_id": str(2 * 150), "swing_id": str(34 * (2 * 150 - 1) + 20), "recording_id": "1"}
WITHOUT = ("/recordings/{recording_id}/layout",)
"""Pages about one file: the number of golfers does not matter to them."""


def paths() -> list[str]:
    from ferrule.web import pages  # noqa: F401

    return sorted(p for p in PAGES if p not in WITHOUT)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("busy") / "data"
    with Workspace(folder) as ws:
        fill(ws)
        with ws.change("fill", in_book=False) as change:
            today = now() - timedelta(hours=1)
            change.session.execute(update(Lesson).where(Lesson.id == int(IDS["lesson_id"])).values(started_at=today))
        plans.choose_way(ws, int(IDS["lesson_id"]), "flexed_early", club="7-iron")
        swings.add_swing(ws, int(IDS["lesson_id"]), start="push", bend="right")
    return folder


@pytest.fixture(scope="module")
def address(folder: Path) -> Iterator[str]:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port = taken.getsockname()[1]
    process = subprocess.Popen([sys.executable, "-c", SERVE, str(folder), str(port)])
    for _ in range(600):
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/healthz").read()
            break
        except OSError:
            time.sleep(0.1)
    yield f"http://127.0.0.1:{port}"
    process.terminate()
    process.wait(20)


@pytest.fixture(scope="module")
def tablet(address: str) -> Iterator[Page]:
    with sync_playwright() as started:
        browser = started.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        page = browser.new_context(viewport={"width": 1180, "height": 820}).new_page()
        page.goto(address)  # fills the cache
        page.wait_for_selector(".desk[data-ready]")
        yield page
        browser.close()


@pytest.mark.parametrize("path", paths())
def test_interactive(path: str, address: str, tablet: Page) -> None:
    took = []
    for _ in range(3):
        begun = time.perf_counter()
        tablet.goto(address + path.format(**IDS), wait_until="commit")
        tablet.wait_for_selector(".desk[data-ready]")
        took.append(time.perf_counter() - begun)
    assert tablet.locator("h1").first.inner_text() not in (
        "Not here",
        "This page cannot be shown",
        "Something broke here",
    )
    middle = statistics.median(took)
    sys.stdout.write(f"\n{path}: {middle:.2f} s in the browser\n")
    assert middle < TARGET_S


@pytest.mark.parametrize("path", paths())
def test_drawn_on_the_server(path: str, folder: Path) -> None:
    with Workspace(folder, read_only=True) as ws:
        took = []
        for _ in range(3):
            begun = time.perf_counter()
            drawn = shell.drawn(ws, PAGES[path], IDS)
            took.append(time.perf_counter() - begun)
    assert drawn.status == 200
    sys.stdout.write(f"\n{path}: {statistics.median(took):.3f} s on the server, {len(drawn.html) / 1000:.0f} kB\n")
    assert GOLFERS == 300
    assert statistics.median(took) < TARGET_S
