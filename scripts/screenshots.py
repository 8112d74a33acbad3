"""Every page of the workbench as pictures, for looking at: python scripts/screenshots.py [OUT] [--folder DIR].

Serves the folder (or asks a workbench that runs already; without either, builds the invented practice ground) and
photographs each page at tablet, phone and laptop size, on paper, in the sun and in the dark, at its whole length, in
real Chromium with every outside name blocked.
"""

import argparse
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from ferrule.app.demo import DemoGround
from ferrule.app.jobs import JobRunner
from ferrule.app.workspace import Workspace
from ferrule.web import look, pages, shell

assert pages  # importing the package declares every page
MODES = tuple(look.MODES)
SIZES = {"1180": (1180, 820), "390": (390, 844), "1440": (1440, 900)}
FLAGS = [
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
]
SERVE = "import sys; from pathlib import Path; from ferrule.web.server import serve; serve(Path(sys.argv[1]), int(sys.argv[2]), False)"


def main() -> None:
    """Take the pictures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path, nargs="?", default=Path("build/screenshots"))
    parser.add_argument("--folder", type=Path, help="data folder to serve")
    parser.add_argument("--address", help="a workbench that is running already")
    parser.add_argument("--mode", action="append", choices=MODES, help="default: all of them")
    parser.add_argument("--only", default="", help="pages whose name matches this expression")
    chosen = parser.parse_args()
    chosen.out.mkdir(parents=True, exist_ok=True)
    with served(chosen.folder, chosen.address) as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        found: dict[str, str] = {}
        for mode in chosen.mode or MODES:
            for name, (width, height) in SIZES.items():
                context = browser.new_context(viewport={"width": width, "height": height})
                context.add_init_script(f"localStorage.setItem('ferrule-mode', '{mode}')")
                page = context.new_page()
                found = found or addresses(page, address)
                for what, path in found.items():
                    if re.search(chosen.only, what):
                        shoot(page, address + path, chosen.out / f"{what}-{mode}-{name}.png")
                context.close()
        browser.close()


def addresses(page: Page, address: str) -> dict[str, str]:
    """Every page the application has, its blanks filled with what the folder holds, and some more worth a look."""
    opened(page, address + "/")
    golfers = [
        href
        for a in page.query_selector_all("a.item")
        if re.fullmatch(r"/golfers/\d+", href := a.get_attribute("href") or "")
    ]
    found = {"nobody": "/?search=zzz", "not-here": "/golfers/999999"}
    for golfer in golfers:
        opened(page, address + golfer)
        number = golfer.rsplit("/", 1)[-1]
        blanks = {"golfer_id": number}
        lesson = page.query_selector("nav a[href^='/lessons/']")
        if lesson is not None:
            blanks["lesson_id"] = str(lesson.get_attribute("href")).split("/")[2]
            opened(page, f"{address}/lessons/{blanks['lesson_id']}")
            swings = [str(a.get_attribute("href")) for a in page.query_selector_all("#swings a[href^='/swings/']")]
            if swings:
                blanks["swing_id"] = swings[0].split("/")[2]
                found[f"golfer-{number}-shown"] = f"{swings[0]}?show=golfer"
            if len(swings) > 1:
                found[f"golfer-{number}-laid-over"] = f"{swings[0]}?with={swings[1].split('/')[2]}"
        for path in shell.PAGES:
            if set(re.findall(r"{(\w+)}", path)) <= set(blanks):
                own = f"golfer-{number}-" if "{" in path else ""
                found[own + (_name(path) or "golfers")] = path.format(**blanks)
    missing = [p for p in shell.PAGES if not any(n.endswith(_name(p) or "golfers") for n in found)]
    if missing:
        print("Not photographed, because the folder holds nothing for them:", ", ".join(missing))
    return found


def _name(path: str) -> str:
    return re.sub(r"{\w+}/?", "", path).strip("/").replace("/", "-")


def opened(page: Page, address: str) -> None:
    """The page, drawn."""
    page.goto(address)
    page.wait_for_selector(".desk[data-ready]")


def shoot(page: Page, address: str, to: Path) -> None:
    """One picture of the whole page, and one more with everything that is a tap away."""
    opened(page, address)
    page.evaluate("document.fonts.ready")
    page.screenshot(path=to, full_page=True)
    if page.query_selector(".desk details"):
        page.evaluate("document.querySelectorAll('.desk details').forEach((d) => (d.open = true))")
        page.screenshot(path=to.with_stem(f"{to.stem}-open"), full_page=True)
    if page.query_selector("[data-dialog]"):
        page.click("[data-dialog]")
        page.screenshot(path=to.with_stem(f"{to.stem}-pad"))


@contextmanager
def practice_ground(folder: Path) -> Iterator[Path]:
    """A folder with the whole practice ground, recordings worked out; takes a minute or so."""
    with Workspace(folder) as workspace:
        ground, work = DemoGround(workspace), JobRunner(workspace)
        ground.lay_out()
        work.start()
        ground.start()
        if not ground.wait(600):
            sys.exit("The practice ground was not finished within ten minutes.")
        ground.stop()
        work.stop()
    yield folder


@contextmanager
def served(folder: Path | None, address: str | None) -> Iterator[str]:
    """The address of a workbench: the one that is given, or one started for the folder."""
    if address:
        yield re.sub(r"/$", "", address)
        return
    if folder is None:
        with tempfile.TemporaryDirectory() as made, practice_ground(Path(made)) as ground, served(ground, None) as here:
            yield here
        return
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    with subprocess.Popen([sys.executable, "-c", SERVE, str(folder), str(port)]) as process:
        here = f"http://127.0.0.1:{port}"
        try:
            for _ in range(200):
                try:
                    urllib.request.urlopen(f"{here}/healthz").read()
                    break
                except OSError:
                    time.sleep(0.1)
            yield here
        finally:
            process.terminate()


if __name__ == "__main__":
    main()
