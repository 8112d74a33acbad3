"""Uploads of every wrong kind: words that say what was expected, nothing kept; the same file twice is there once."""

import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from ferrule.app import golfers, lessons
from ferrule.app.recordings import LARGEST_BYTES
from ferrule.files.native import columns_of, sensor_columns
from ferrule.simulator import CalibrationPlan, SwingPlan, simulate_lesson
from ferrule.web import shell

WRONG = {
    "nothing": ("x.csv", b""),
    "blanks": ("x.csv", b"  \n \n"),
    "a photo": ("x.csv", b"\x89PNG\r\n\x1a\n" + b"\0" * 900),
    "a photo that calls itself markers": ("x.c3d", b"\x89PNG\r\n\x1a\n" + b"\0" * 900),
    "a photo that calls itself streams": ("x.xdf", b"\x89PNG\r\n\x1a\n" + b"\0" * 900),
    "half a marker file": ("x.c3d", b"\x02\x50" + b"\0" * 700),
    "half a stream": ("x.xdf", b"XDF:\x01\x04\x02"),
    "a broken Parquet": ("x.parquet", b"PAR1" + b"\0" * 300),
    "a shopping list": ("x.csv", b"item,price\nmilk,2\nbread,3\n"),
    "JSON": ("x.json", b'{"a": [1, 2, 3]}'),
    "a page": ("x.html", b"<html><body>" + b"<p>1, 2, 3</p>\n" * 60),
    "numbers without names": ("x.csv", b"1,2,3\n" * 100),
}


@pytest.fixture(scope="module")
def lesson(workspace: Any) -> int:
    golfer = golfers.add_golfer(workspace, name="Ida", handedness="right")
    return lessons.start_lesson(workspace, golfer.id).id


@pytest.mark.parametrize("what", WRONG)
def test_a_wrong_file_is_refused_in_words(ask: Any, workspace: Any, lesson: int, what: str) -> None:
    name, content = WRONG[what]
    answer = ask("POST", f"/api/v1/lessons/{lesson}/recordings?name={name}", content=content)
    assert answer.status_code == 422
    message = answer.json()["error"]["message"]
    assert "expected" in message.lower()
    assert "Traceback" not in message
    assert lessons.lesson(workspace, lesson).recordings == ()


def test_too_large_is_told_from_its_announcement(ask: Any, lesson: int) -> None:
    headers = {"content-length": str(LARGEST_BYTES + 1)}
    answer = ask("POST", f"/api/v1/lessons/{lesson}/recordings?name=x.csv", content=b"x", headers=headers)
    assert (answer.status_code, answer.json()["error"]["faults"][0]["code"]) == (422, "too_large")
    script = (Path(shell.__file__).parent / "paper.js").read_text(encoding="utf-8")
    said = re.search(r"MOST_BYTES = ([0-9_]+)", script)
    assert said
    assert int(said[1].replace("_", "")) == LARGEST_BYTES


def test_the_same_file_twice_is_there_once(ask: Any, workspace: Any, lesson: int) -> None:
    rows = ["t,FE,RUD", *(f"{i * 0.01:.2f},{i % 9},{i % 25}" for i in range(200))]
    send = f"/api/v1/lessons/{lesson}/recordings?name=twice.csv"
    answers = [ask("POST", send, content="\n".join(rows).encode()) for _ in range(2)]
    assert [a.status_code for a in answers] == [201, 200]
    assert answers[0].json()["id"] == answers[1].json()["id"]
    assert len(lessons.lesson(workspace, lesson).recordings) == 1


def halves(place: str, header: str, seed: int = 43) -> bytes:
    made = simulate_lesson(seed=seed, rate_hz=100.0, swings=[SwingPlan()], calibration=CalibrationPlan.none()).recording
    columns = columns_of(made)[0]
    rows = np.column_stack([columns[n] for n in ("time_s", *sensor_columns(place))]).tolist()
    return "\n".join([header, *(",".join(f"{v:.10g}" for v in row) for row in rows)]).encode()


def test_forearm_and_hand_in_two_files_are_one_recording(ask: Any, workspace: Any, lesson: int) -> None:
    pair = f"/api/v1/lessons/{lesson}/recordings/pair"

    def drop(one: str, other: str, parts: tuple[bytes, bytes], hand: str = "") -> Any:
        which = f"&hand={hand}" if hand else ""
        return ask(
            "POST", f"{pair}?one={one}&other={other}&first_bytes={len(parts[0])}{which}", content=parts[0] + parts[1]
        )

    ours = [halves(p, ",".join(("time_s", *sensor_columns(p)))) for p in ("hand", "forearm")]
    kept = drop("b.csv", "a.csv", (ours[0], ours[1])).json()
    assert (kept["state"], kept["recording"]["file_name"], kept["recording"]["asks"]) == ("kept", "a and b.csv", None)
    again = drop("b.csv", "a.csv", (ours[0], ours[1])).json()
    assert again["recording"]["id"] == kept["recording"]["id"]
    before = len(lessons.lesson(workspace, lesson).recordings)

    bare = "t,ax,ay,az,gx,gy,gz"
    nameless = halves("hand", bare, 44), halves("forearm", bare, 44)
    assert drop("1.csv", "2.csv", nameless).json() == {"state": "which", "recording": None}
    assert drop("1.csv", "2.csv", (ours[0], b"item,price\nmilk,2\n")).json()["state"] == "no_pair"
    assert drop("1.csv", "2.csv", (ours[0], ours[0])).json()["state"] == "no_pair"
    assert drop("1.csv", "2.csv", (b"", b"")).json()["state"] == "no_pair"
    late = b"\n".join([ours[1].splitlines()[0], *(b"9" + line for line in ours[1].splitlines()[1:])])
    refused = drop("1.csv", "2.csv", (ours[0], late))
    assert refused.status_code == 422
    assert "two files of" in refused.json()["error"]["message"]
    assert len(lessons.lesson(workspace, lesson).recordings) == before
    told = drop("1.csv", "2.csv", nameless, "one").json()
    assert (told["state"], told["recording"]["asks"]) == ("kept", "sensors")
    asked = ask("GET", f"/api/v1/recordings/{told['recording']['id']}/layout").json()
    assert asked["mapping"]["columns"]["hand_gyr_x_radps"]["from"] == "hand gx"
    assert asked["mapping"]["columns"]["forearm_acc_z_mps2"]["from"] == "forearm az"
