"""From nothing to the first answer, counted in taps; files of any kind dropped in; the calibration's word on each step."""

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Locator, Page, expect

from ferrule.files.native import columns_of, sensor_columns, write_recording_csv
from ferrule.simulator import CalibrationPlan, Faults, SwingPlan, simulate_lesson
from ferrule.units import DEG

sys.path.append(str(Path(__file__).parents[1] / "files"))
import marker_lab as lab  # type: ignore[import-not-found]

pytestmark = pytest.mark.browser


@pytest.fixture
def first(open_page: Callable[..., Page], server: Any, tmp_path: Path) -> Iterator[Page]:
    """The first page of a folder in which nothing has happened yet."""
    empty = type(server)(tmp_path / "nothing yet")
    empty.start()
    yield open_page("/", address=empty.address)
    empty.stop()


class Fingers:
    """Counts every tap on a page."""

    def __init__(self) -> None:
        self.taps = 0

    def tap(self, what: Locator) -> None:
        expect(what).to_be_visible()
        box = what.bounding_box()
        assert box is not None
        assert box["height"] >= 48
        self.taps += 1
        what.click()


def ready(page: Page, address: str) -> None:
    page.wait_for_url(address)
    page.wait_for_selector(".desk[data-ready]")


@pytest.mark.parametrize("size", ["390x844"], indirect=True)
def test_three_taps_to_a_first_cause_with_nothing_but_eyes(first: Page) -> None:
    fingers = Fingers()
    expect(first.locator("h1")).to_have_text("Who is on the mat?")
    first.keyboard.type("Ines")  # the field has the cursor already
    fingers.tap(first.get_by_role("button", name="Plays right-handed"))
    ready(first, "**/golfers/1/first")
    fingers.tap(first.get_by_role("button", name="My eyes and the ball"))
    ready(first, "**/lessons/1/first?with=eyes")
    fingers.tap(first.get_by_role("button", name="starts right, bends right"))
    expect(first.locator("h1[data-says]")).to_contain_text("perhaps")
    assert fingers.taps == 3
    fingers.tap(first.get_by_role("link", name="What to look at next"))
    ready(first, "**/lessons/1/case")


@pytest.mark.parametrize("size", ["390x844"], indirect=True)
def test_with_a_device_that_shows_numbers(first: Page) -> None:
    first.keyboard.type("Ines")
    first.get_by_role("button", name="Plays left-handed").click()
    ready(first, "**/golfers/1/first")
    first.get_by_role("button", name="A device that shows numbers").click()
    ready(first, "**/lessons/1/first?with=device")
    form = first.locator("form[data-send$='/readings']")
    form.locator("[name=measure]").select_option("wrist.flexion_deg")
    form.get_by_label("How much").fill("14")
    form.locator(".choose:visible").get_by_label("cupped", exact=True).check()
    form.get_by_role("button", name="Enter it").click()
    expect(first.locator("h1[data-says]")).to_contain_text("nobody has seen yet where the face points")
    first.get_by_role("button", name="starts left, bends left").click()
    expect(first.locator("h1[data-says]")).to_contain_text("cupped")


@pytest.mark.parametrize("size", ["1180x820"], indirect=True)
def test_with_sensors_calibration_and_swing_in_one_file(first: Page, tmp_path: Path) -> None:
    file = tmp_path / "morning.csv"
    write_recording_csv(simulate_lesson(seed=5, swings=[SwingPlan()], rate_hz=200.0).recording, file)
    first.keyboard.type("Ines")
    first.get_by_role("button", name="Plays right-handed").click()
    ready(first, "**/golfers/1/first")
    first.get_by_role("button", name="Sensors that record").click()
    ready(first, "**/lessons/1/first?with=sensors")
    first.locator("input[type=file]").set_input_files(file)
    expect(first.locator("h1[data-says]")).to_be_visible(timeout=60_000)
    first.get_by_role("link", name="How to calibrate").click()
    ready(first, "**/lessons/1/calibration")
    expect(first.locator(".outcome h2")).to_have_text("The sensors are calibrated")
    expect(first.locator("[data-state=found]")).to_have_count(6)


def files(folder: Path, mark: int) -> tuple[Path, Path]:
    """Two files whose headers nobody has seen: `mark` is in them."""
    truth = simulate_lesson(
        seed=3, rate_hz=200.0, faults=Faults.none(), swings=[SwingPlan()], calibration=CalibrationPlan.none()
    ).truth
    wrist = truth.wrist
    data = np.column_stack(
        [truth.time_s, -wrist.flexion / DEG, -wrist.ulnar_deviation / DEG, -truth.forearm_roll / DEG]
    )
    angles = folder / "angles.csv"
    angles.write_text("\n".join([f"time;FE {mark};RUD;PS", *(";".join(f"{v:.4f}" for v in row) for row in data)]))
    markers = lab.write(
        folder / "cameras.c3d", lab.positions(lab.lesson(rate_hz=240.0).truth), 240.0, [*lab.LABELS[:-1], f"TOE{mark}"]
    )
    return angles, markers


@pytest.mark.parametrize("size", ["390x844"], indirect=True)
def test_files_of_layouts_not_seen_before(
    open_page: Callable[..., Page], ids: Any, tmp_path: Path, size: tuple[int, int]
) -> None:
    angles, markers = files(tmp_path, size[0])
    page = open_page(f"/lessons/{ids.lesson}", allowed=("422",))
    before = page.locator("#swings li").count()
    for file, name in ((angles, "Wrist meter"), (markers, "The lab")):
        page.locator("input[type=file]").first.set_input_files(file)
        row = page.locator("#recordings .list li", has_text=file.name).first
        expect(row).to_contain_text("Nothing is worked out from a guess")
        row.get_by_role("link", name="What is in it?").click()
        ready(page, "**/layout")
        assert page.locator("[data-why]").count() > 3
        page.get_by_role("button", name="That is right: read it").click()
        expect(page.locator("[data-fault=name]")).to_contain_text("name")
        page.get_by_label("A name to know this layout by").fill(f"{name} {size[0]}")
        page.get_by_role("button", name="That is right: read it").click()
        ready(page, f"**/lessons/{ids.lesson}")
        row = page.locator("#recordings .list li", has_text=file.name).first
        expect(row).to_contain_text("one swing", timeout=60_000)
    assert page.locator("#swings li").count() == before + 2


@pytest.mark.parametrize("size", ["390x844"], indirect=True)
def test_forearm_and_hand_in_two_files(open_page: Callable[..., Page], ids: Any, tmp_path: Path) -> None:
    made = simulate_lesson(seed=51, swings=[SwingPlan()], rate_hz=200.0).recording
    columns, _ = columns_of(made)
    for place in ("forearm", "hand"):
        names = ("time_s", *sensor_columns(place))
        for name, header in ((place, names), (f"{place[0]} 7", ("t", "ax", "ay", "az", "gx", "gy", "gz"))):
            rows = np.column_stack([columns[n] for n in names]).tolist()
            lines = [",".join(header), *(",".join(f"{v:.10g}" for v in row) for row in rows)]
            (tmp_path / f"{name}.csv").write_text("\n".join(lines))
    page = open_page(f"/lessons/{ids.lesson}")
    before = page.locator("#swings li").count()
    page.locator("input[type=file]").first.set_input_files([tmp_path / "hand.csv", tmp_path / "forearm.csv"])
    row = page.locator("#recordings .list li", has_text="forearm and hand.csv")
    expect(row).to_contain_text("one swing", timeout=60_000)
    expect(page.locator("#swings li")).to_have_count(before + 1)
    # Neither name nor columns say which is which: it is asked.
    page.locator("input[type=file]").first.set_input_files([tmp_path / "f 7.csv", tmp_path / "h 7.csv"])
    asked = page.locator("#sending .sending", has_text="f 7.csv and h 7.csv")
    expect(asked).to_contain_text("Which of the two sat on the hand?")
    asked.get_by_role("button", name="h 7.csv").click()
    row = page.locator("#recordings .list li", has_text="f 7 and h 7.csv")
    expect(row.get_by_role("link", name="What is in it?")).to_be_visible()
