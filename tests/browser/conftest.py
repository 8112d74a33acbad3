"""A real workbench in its own process and a real Chromium in front of it, with every outside name blocked."""

import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import timedelta
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Playwright,
    Request,
    expect,
    sync_playwright,
)

from ferrule.app import cold_tests, golfers, jobs, lessons, plans, recordings, swings
from ferrule.app.finding import now
from ferrule.app.swings import NewReading
from ferrule.app.workspace import Workspace
from ferrule.files.native import write_recording_csv
from ferrule.simulator.lesson import simulate_lesson
from ferrule.simulator.plans import SwingPlan
from ferrule.web import pages, shell

assert pages  # importing the package declares every page

PATIENCE_S: Final = 30.0
"""So long a test waits for what must come: a busy machine is slow, which is no fault. What must be fast says so itself."""
expect.set_options(timeout=PATIENCE_S * 1000)
SIZES = {"1180x820": (1180, 820), "390x844": (390, 844)}
FLAGS = [
    "--no-sandbox", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
]  # fmt: skip
SERVE = """
import os, sys, threading, time
from pathlib import Path
from ferrule.web.server import serve

def end_with(tests: int) -> None:  # however they end
    while os.getppid() == tests:
        time.sleep(1)
    os._exit(1)

threading.Thread(target=end_with, args=(os.getppid(),), daemon=True).start()
serve(Path(sys.argv[1]), int(sys.argv[2]), False, with_demo=len(sys.argv) > 3)
"""


def free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port: int = taken.getsockname()[1]
        return port


class Server:
    """A workbench process that can be killed and started again on the same folder and port."""

    def __init__(self, folder: Path, demo: bool = False) -> None:
        self.folder, self.port = folder, free_port()
        self.more = ["demo"] if demo else []
        self.process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        self.process = subprocess.Popen([sys.executable, "-c", SERVE, str(self.folder), str(self.port), *self.more])
        latest = time.monotonic() + 4 * PATIENCE_S
        while time.monotonic() < latest:
            try:
                urllib.request.urlopen(f"{self.address}/healthz").read()
            except OSError:
                time.sleep(0.1)
            else:
                return
        raise RuntimeError("the workbench did not start")

    def kill(self) -> None:
        """As power loss would."""
        assert self.process is not None
        self.process.kill()
        self.process.wait()

    def stop(self) -> None:
        if self.process is not None and self.process.poll() is None:
            self.process.terminate()
            self.process.wait(20)


@dataclass
class Ids:
    """What the seeded folder holds."""

    golfer: int
    lesson: int
    swing: int
    left_hander: int
    child: int
    child_lesson: int
    recorded: list[int] = field(default_factory=list)
    strange: int = 0
    paths: dict[str, str] = field(default_factory=dict)


def seed(folder: Path) -> Ids:
    with Workspace(folder) as ws:
        ines = golfers.add_golfer(ws, name="Ines Halvorsen", handedness="right", big_miss="right", pain=[])
        lesson = lessons.start_lesson(ws, ines.id, surface="mat", at_hand=["eye", "ball", "video"])
        golfers.put_club(ws, ines.id, "driver")
        for i in range(8):
            off = (i % 4 - 1.5) * 0.8
            swing = swings.add_swing(
                ws, lesson.id, club="7-iron", start="push", bend="right", strike="centre",
                readings=[
                    NewReading("wrist.shaft_level_down.flexion_deg", -14 + off), NewReading("wrist.impact.flexion_deg", -4 + off),
                    NewReading("wrist.top.flexion_deg", -17 + off), NewReading("ball.start_deg", 3 + off), NewReading("ball.curve_deg", 3.4 + off),
                    NewReading("delivery.face_deg", 4 + off), NewReading("leading_edge_tilt_shaft_level_deg", 14 + off),
                ],
            )  # fmt: skip
        swings.add_swing(ws, lesson.id, start="straight", bend="straight", feel="bow early")
        left = golfers.add_golfer(ws, name="Tomás", handedness="left", big_miss="right", pain=["lead wrist"])
        for start in ("right", "right", "straight", "right", "right"):
            lesson_left = locals().get("lesson_left") or lessons.start_lesson(ws, left.id)
            swings.add_swing(ws, lesson_left.id, start=start, bend="right")
        child = golfers.add_golfer(ws, name="Mia", handedness="right", age_group="junior")
        child_lesson = lessons.start_lesson(ws, child.id)
        golfers.add_golfer(ws, name="Jo <b>Bold</b> & Sons", handedness="right")
        learner = seed_learner(ws)
    ids = Ids(ines.id, lesson.id, swing.id, left.id, child.id, child_lesson.id)
    ids.paths = {
        "golfers": "/",
        "case": f"/golfers/{ids.golfer}",
        "case of a left-hander": f"/golfers/{ids.left_hander}",
        "case with nothing yet": f"/golfers/{ids.child}",
        "interview": f"/golfers/{ids.golfer}/screen",
        "interview of a child": f"/golfers/{ids.child}/screen",
        "lesson": f"/lessons/{ids.lesson}",
        "lesson of a child": f"/lessons/{ids.child_lesson}",
        "swing": f"/swings/{ids.swing}",
        "settings": "/settings",
        "progress": f"/golfers/{learner}/progress",
        "progress without a plan": f"/golfers/{ids.left_hander}/progress",
    }
    return ids


def seed_learner(ws: Workspace) -> int:
    """A golfer with two baseline days, a plan, practice and two cold tests."""
    nora = golfers.add_golfer(ws, name="Nora", handedness="right", big_miss="right", pain=[])
    for days_ago, start, bow in ((40, 6.0, -2.0), (33, 6.5, -2.5), (26, -0.5, 9.0), (19, 0.5, 8.5)):
        lesson = lessons.start_lesson(ws, nora.id, started_at=now() - timedelta(days=days_ago))
        for i in range(20 if days_ago == 33 else 10):
            if i == 10:
                plans.choose_way(ws, lesson.id, "flexed_early", club="7-iron")
            off, gain = (i % 5 - 2) * 0.9, 12.0 if i >= 10 else 0.0
            readings = [
                NewReading("ball.start_deg", start + off - 0.5 * gain, how="ball"),
                NewReading("wrist.address.flexion_deg", -15.0, how="video"),
                NewReading("wrist.top.flexion_deg", -15.0 + bow + gain + off, how="video"),
            ]
            swings.add_swing(ws, lesson.id, club="7-iron", readings=readings)
        if days_ago < 33:
            cold_tests.mark_first_balls(ws, lesson.id, club="7-iron")
    return nora.id


def seed_recorded(folder: Path, ids: Ids, files: Path) -> None:
    """Two days of recorded swings of a golfer, one of a left-hander, and a file of a layout never seen."""
    with Workspace(folder) as ws:
        kaja = golfers.add_golfer(ws, name="Kaja", handedness="right", pain=[])
        lex = golfers.add_golfer(ws, name="Lex", handedness="left", pain=[])
        for golfer, number, days_ago, many in ((kaja, 5, 9, 2), (kaja, 6, 0, 1), (lex, 7, 0, 1)):
            lesson = lessons.start_lesson(ws, golfer.id, started_at=now() - timedelta(days=days_ago))
            made = simulate_lesson(
                seed=number, swings=[SwingPlan()] * many, rate_hz=200, handedness="left" if golfer is lex else "right"
            )
            path = files / f"day {number}.csv"
            write_recording_csv(made.recording, path)
            recordings.import_recording(ws, lesson.id, path.read_bytes(), path.name)
            plans.choose_way(ws, lesson.id, "flexed_early", club="7-iron", thought="Knuckles to the sky")
        jobs.run_all(ws)
        held = [line.id for golfer in (kaja, lex) for line in lessons.lessons(ws, golfer.id)]
        ids.recorded = sorted(s.id for lesson_id in held for s in lessons.lesson(ws, lesson_id).swings)
        strange = b"t ms;a;b;c;d;e;f\n" + b"".join(b"%d;1;2;3;4;5;6\n" % (5 * i) for i in range(400))
        ids.strange = recordings.import_recording(ws, held[0], strange, "strange.csv").id
    first, second, another_day, left = ids.recorded
    ids.paths |= {
        "swing with sensors": f"/swings/{first}",
        "swing laid over another": f"/swings/{first}?with={second}",
        "swing laid over another day's": f"/swings/{second}?with={another_day}",
        "swing as the golfer sees it": f"/swings/{left}?show=golfer",
        "typed swing as the golfer sees it": f"/swings/{ids.swing}?show=golfer",
        "lesson with recordings": f"/lessons/{held[0]}",
        "not there": "/golfers/999999",
    }


EXTRA: Final = (
    "case of a left-hander", "case with nothing yet", "interview of a child", "lesson of a child",
    "progress without a plan", "swing with sensors", "swing laid over another", "swing laid over another day's",
    "swing as the golfer sees it", "typed swing as the golfer sees it", "lesson with recordings",
)  # fmt: skip
"""Pages worth a test of their own beside the plain one of each address."""


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """A test that asks for `page_name` runs for every address the application has, so that no page can be forgotten."""
    if "page_name" in metafunc.fixturenames:
        metafunc.parametrize("page_name", [*sorted(shell.PAGES), *EXTRA])


LONGEST_FIRST: Final = (
    "test_lesson",
    "test_access",
    "test_pages",
    "test_lesson_screens",
    "test_every_field",
    "test_way_in",
)
"""Files that take long go first, so that two processes come to their ends together; the others follow by name."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The order of the files; within a file the order stays."""
    places = {name: i for i, name in enumerate(LONGEST_FIRST)}
    items.sort(key=lambda item: places.get(item.path.stem, len(places)))


@pytest.fixture
def address_of(ids: Ids) -> Callable[[str], str]:
    """The address of a page by its name: one of Ids.paths, or an address of the application with its blanks filled."""
    blanks = {
        "golfer_id": ids.golfer, "lesson_id": ids.lesson, "swing_id": ids.swing, "recording_id": ids.strange
    }  # fmt: skip

    def address(name: str) -> str:
        return ids.paths[name] if name in ids.paths else name.format(**blanks)

    return address


@pytest.fixture(scope="session")
def typed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Ids]:
    """A folder without recordings, to be copied."""
    folder = tmp_path_factory.mktemp("typed") / "workbench"
    return folder, seed(folder)


@pytest.fixture(scope="session")
def seeded(typed: tuple[Path, Ids], tmp_path_factory: pytest.TempPathFactory) -> tuple[Server, Ids]:
    folder = tmp_path_factory.mktemp("seeded") / "workbench"
    shutil.copytree(typed[0], folder)
    made = replace(typed[1], paths=dict(typed[1].paths))
    seed_recorded(folder, made, tmp_path_factory.mktemp("recorded"))
    return Server(folder), made


@pytest.fixture(scope="session")
def server(seeded: tuple[Server, Ids]) -> Iterator[Server]:
    seeded[0].start()
    yield seeded[0]
    seeded[0].stop()


@pytest.fixture(scope="session")
def ids(seeded: tuple[Server, Ids]) -> Ids:
    return seeded[1]


@pytest.fixture(scope="session")
def playwright_() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser(playwright_: Playwright) -> Iterator[Browser]:
    opened = playwright_.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
    yield opened
    opened.close()


@dataclass
class Watch:
    """What a page did that it should not: console errors, faults, requests to another machine."""

    address: str
    wrong: list[str] = field(default_factory=list)
    allowed: tuple[str, ...] = ()

    def look_at(self, page: Page) -> None:
        page.on("console", self._console)
        page.on("pageerror", lambda error: self.wrong.append(f"page error: {error}"))
        page.on("request", self._request)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type == "error" and not any(a in message.text for a in self.allowed):
            self.wrong.append(f"console: {message.text}")

    def _request(self, request: Request) -> None:
        parts = urlsplit(request.url)
        if parts.scheme in ("http", "https", "ws", "wss") and f"http://{parts.netloc}" != self.address:
            self.wrong.append(f"request to {request.url}")


@pytest.fixture
def watching() -> Iterator[Callable[[Page, str, tuple[str, ...]], None]]:
    """Watches a page of one's own; afterwards nothing may have gone wrong on it."""
    watches: list[Watch] = []

    def watch(page: Page, address: str, allowed: tuple[str, ...] = ()) -> None:
        watches.append(Watch(address, allowed=allowed))
        watches[-1].look_at(page)

    yield watch
    assert [w for each in watches for w in each.wrong] == []


@pytest.fixture(params=list(SIZES))
def size(request: pytest.FixtureRequest) -> tuple[int, int]:
    return SIZES[request.param]


@pytest.fixture(scope="session")
def contexts(browser: Browser) -> Iterator[dict[tuple[int, int], BrowserContext]]:
    """One context for each size, so that scripts and fonts are fetched once, as on a coach's tablet."""
    made = {}
    for width, height in SIZES.values():
        made[width, height] = browser.new_context(viewport={"width": width, "height": height}, has_touch=width < 800)
        made[width, height].set_default_timeout(PATIENCE_S * 1000)
    yield made
    for context in made.values():
        context.close()


@pytest.fixture
def open_page(
    contexts: dict[tuple[int, int], BrowserContext], size: tuple[int, int], server: Server
) -> Iterator[Callable[..., Page]]:
    """Opens a page at the size of this test; afterwards nothing may have gone wrong on it."""
    pages: list[Page] = []
    watches: list[Watch] = []

    def opened(path: str, address: str = server.address, allowed: tuple[str, ...] = ()) -> Page:
        page = contexts[size].new_page()
        pages.append(page)
        watch = Watch(address, allowed=allowed)
        watches.append(watch)
        watch.look_at(page)
        page.goto(address + path)
        page.wait_for_selector(".desk[data-ready]")
        return page

    yield opened
    for page in pages:
        page.close()
    assert [w for watch in watches for w in watch.wrong] == []


@pytest.fixture
def own(typed: tuple[Path, Ids], tmp_path: Path) -> Iterator[Server]:
    """A workbench of one's own, that may be killed."""
    alone = Server(shutil.copytree(typed[0], tmp_path / "folder"))
    alone.start()
    yield alone
    alone.stop()


@pytest.fixture(scope="session")
def recording(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A recording of one swing, from the simulator."""
    path = tmp_path_factory.mktemp("recordings") / "bay 3.csv"
    write_recording_csv(simulate_lesson(seed=5, swings=[SwingPlan()], rate_hz=200).recording, path)
    return path
