"""Throw bytes at every reader until one lets out anything but our own errors.

    python scripts/fuzz.py [--runs 1000000] [--reader NAME] [--keep FOLDER]

Coverage-guided by atheris (a development dependency; wheels for Linux alone, so elsewhere this says so and ends: there the
hypothesis tests of the readers are what runs). Each reader is fuzzed in a process of its own, seeded with good input and
with a fixed seed. An input that crashes or hangs a reader (10 s) is kept and named; the exit code is then 1.
The inputs are shared out by `SHARE`: cheap text readers get most of them. A sound C3D file is read in a process of its own,
an XDF file is written to disk first: they get fewer.
"""

import argparse
import io
import json
import struct
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

import numpy as np

Read = Callable[[bytes], object]

SHARE: Final[Mapping[str, int]] = {
    "recording": 11, "recording_parquet": 1, "table": 4, "mapping": 14, "case": 15, "launch": 12, "delivery": 10,
    "ball_data": 9, "ball_mapping": 5, "ball_guess": 2, "c3d": 1, "marker_mapping": 3, "angles": 3, "angle_mapping": 4,
    "xdf": 2, "xdf_mapping": 4,
}  # fmt: skip
"""Hundredths of all inputs."""
TIMEOUT_S: Final = 10


def readers() -> dict[str, tuple[Read, list[bytes]]]:
    """Every reader with good input to start from."""
    from ferrule.files.angle_traces import read_angle_mapping, read_angle_trace
    from ferrule.files.balldata import read_ball_data
    from ferrule.files.ballguess import guess_ball_mapping
    from ferrule.files.ballmapping import read_ball_mapping
    from ferrule.files.casefile import read_case
    from ferrule.files.delivery import read_delivery
    from ferrule.files.guessing import guess_table
    from ferrule.files.launch import read_launch
    from ferrule.files.layouts import layout_of
    from ferrule.files.mapping import read_mapping
    from ferrule.files.markermapping import read_marker_mapping
    from ferrule.files.native import KNOWN, REQUIRED
    from ferrule.files.recording import read_recording
    from ferrule.files.xdf import read_xdf_mapping

    units = {"start_deg": "deg", "curve_deg": "deg", "carry_m": "yd", "side_m": "m"}
    named = {key: {"from": key, "unit": unit} for key, unit in units.items()}
    balls = read_ball_mapping({"columns": named | {"shape": {"from": "shape"}}, "signs": "world"})
    angles: dict[str, Any] = {"columns": {"time_s": "t", "flexion": "f", "forearm_roll": "r"}, "confirm": True}
    columns = {name: {"from": name} for name in REQUIRED}
    return {
        "recording": (read_recording, [_table(KNOWN, 60), _table(REQUIRED, 60, ";"), b"time_s\n1\n"]),
        "table": (
            lambda b: guess_table(layout_of(b, "table")),
            [
                _table(KNOWN, 60),
                b"made by\n\nTime (s);Wrist flexion;Roll\n" + b"".join(b"%d,2;1,5;%d\n" % (k, k) for k in range(40)),
            ],
        ),
        "recording_parquet": (lambda b: read_recording(b"PAR1" + b), [_parquet(REQUIRED)[4:]]),
        "mapping": (read_mapping, [_json({"schema": 1, "rate_hz": 500, "delimiter": ";", "columns": columns})]),
        "case": (read_case, [_json(_CASE)]),
        "launch": (
            read_launch,
            [
                _json(
                    {
                        "ball_speed_mps": 60,
                        "launch_deg": 12,
                        "azimuth_deg": 1,
                        "spin_rpm": 3000,
                        "axis_tilt_deg": 4,
                        "air": {"altitude_m": 200, "wind_mps": [1, 0, 2]},
                        "coefficients": "naruo2004",
                    }
                )
            ],
        ),
        "delivery": (
            read_delivery,
            [
                _json(
                    {
                        "face_deg": 2,
                        "path_deg": {"value": 0, "sd": 1},
                        "attack_deg": 0,
                        "delivered_loft_deg": 15,
                        "club_speed_mps": 50,
                        "club": {"head_mass_kg": 0.2},
                        "impact": {"model": "rolling"},
                    }
                )
            ],
        ),
        "ball_data": (
            lambda b: read_ball_data(b, balls),
            [b"start_deg,curve_deg,carry_m,side_m,shape\n2,3,150 yd,12 R,fade\n-1,2.5,140,4 L,draw\n"],
        ),
        "ball_mapping": (read_ball_mapping, [_json({"columns": {"carry_m": {"from": "Carry", "unit": "yd"}}})]),
        "ball_guess": (guess_ball_mapping, [b"Start (deg);Side [m];Carry yd;Shape\n2,5;4 L;150;draw\n"]),
        "c3d": (_c3d, [_c3d_file(float_points=True), _c3d_file(float_points=False)]),
        "marker_mapping": (
            read_marker_mapping,
            [_json({"axes": {"up": "z", "target": "x"}, "forearm": {"proximal": ["A", 2]}, "neutral_s": [1, 2]})],
        ),
        "angles": (
            lambda b: read_angle_trace(b, angles),
            ["\n".join(["t,f,r", *(f"{k / 100},{k % 30},{-k}" for k in range(40))]).encode()],
        ),
        "angle_mapping": (read_angle_mapping, [_json({"schema": 1, "kind": "angles", "rate_hz": 100, **angles})]),
        "xdf": (_xdf, [_xdf_file()]),
        "xdf_mapping": (
            read_xdf_mapping,
            [_json({"columns": {n: {"stream": "S", "channel": 1, "unit": "g"} for n in REQUIRED[1:4]}})],
        ),
    }


def _c3d(content: bytes) -> object:
    """All of the C3D reader, up to positions by role."""
    from ferrule.files.c3d import read_c3d
    from ferrule.files.markermapping import mapped_markers, read_marker_mapping

    mapping = read_marker_mapping(
        {"axes": {"up": "z", "target": "x"}, "hand": {"radial": 1, "ulnar": 2, "proximal": 3}}
    )
    return mapped_markers(read_c3d(content)[0], mapping)


def _xdf(content: bytes) -> object:
    """An XDF file the two ways it is read: what it holds, and with the mapping that this proposes."""
    from ferrule.files.guessing_streams import guess_streams, streams_of
    from ferrule.files.xdf import read_xdf

    return read_xdf(content, guess_streams(streams_of(content, "streams")).mapping)


def _xdf_file() -> bytes:
    """Two streams of sensors and one of marks, by the open specification: chunks of length, tag and content."""

    def chunk(tag: int, content: bytes) -> bytes:
        return b"\x04" + struct.pack("<IH", len(content) + 2, tag) + content

    out = [b"XDF:", chunk(1, b'<?xml version="1.0"?><info><version>1.0</version></info>')]
    rng = np.random.default_rng(0)
    labels = "".join(f"<channel><label>{kind} {axis}</label></channel>" for kind in ("acc", "gyr") for axis in "xyz")
    for stream, name in enumerate(("Forearm", "Hand"), 1):
        head = struct.pack("<I", stream)
        about = (
            f'<?xml version="1.0"?><info><name>{name}</name><type>imu</type><channel_count>6</channel_count>'
            "<nominal_srate>100</nominal_srate><channel_format>float32</channel_format>"
            f"<desc><channels>{labels}</channels></desc></info>"
        )
        rows = rng.normal((0.0, 9.81, 0.0, 0.0, 0.0, 0.0), 0.2, (60, 6))
        body = b"".join(b"\x08" + struct.pack("<d6f", k / 100, *row) for k, row in enumerate(rows.tolist()))
        out += [chunk(2, head + about.encode()), chunk(3, head + bytes([1, 60]) + body)]
    about = (
        '<?xml version="1.0"?><info><name>Labels</name><type>marks</type><channel_count>1</channel_count>'
        "<nominal_srate>0</nominal_srate><channel_format>string</channel_format></info>"
    )
    head = struct.pack("<I", 3)
    mark = bytes([1, 1, 8]) + struct.pack("<d", 0.2) + bytes([1, 5]) + b"swing"
    return b"".join([*out, chunk(2, head + about.encode()), chunk(3, head + mark)])


def _json(value: object) -> bytes:
    return json.dumps(value).encode()


def _rows(names: tuple[str, ...], rows: int) -> dict[str, Any]:
    rng = np.random.default_rng(0)
    out: dict[str, Any] = {n: np.round(rng.normal(0.0, 2.0, rows) + 9.81 * ("acc_y" in n), 3) for n in names}
    out["time_s"] = np.round(np.arange(rows) * 0.02, 4)
    if "phase" in out:
        out["phase"] = np.array(["swing"] * rows)
    return out


def _table(names: tuple[str, ...], rows: int, delimiter: str = ",") -> bytes:
    columns = _rows(names, rows)
    lines = [delimiter.join(names)] + [delimiter.join(str(columns[n][i]) for n in names) for i in range(rows)]
    return "\n".join(lines).encode()


def _parquet(names: tuple[str, ...]) -> bytes:
    import pyarrow
    from pyarrow import parquet

    out = io.BytesIO()
    parquet.write_table(pyarrow.table(_rows(names, 60)), out, compression="none")
    return out.getvalue()


def _c3d_file(*, float_points: bool) -> bytes:
    """Four markers over 20 frames: as ezc3d writes them, or as whole numbers without a parameter section."""
    points = np.random.default_rng(0).normal(0.0, 300.0, (20, 4, 4))
    points[:, :, 3] = 0.0
    if float_points:
        import ezc3d

        file = ezc3d.c3d()
        file["parameters"]["POINT"]["RATE"]["value"] = [200.0]
        file["parameters"]["POINT"]["LABELS"]["value"] = ("A", "B", "C", "D")
        file["parameters"]["POINT"]["UNITS"]["value"] = ["mm"]
        file["data"]["points"] = np.moveaxis(points, 0, 2).transpose(1, 0, 2)
        with tempfile.TemporaryDirectory() as folder:
            place = Path(folder) / "seed.c3d"
            file.write(str(place))
            return place.read_bytes()
    words = np.zeros(256, dtype="<u2")
    words[[0, 1, 3, 4, 8]] = [0x5002, 4, 1, 20, 3]
    head = bytearray(words.tobytes())
    head[12:16], head[20:24] = np.float32(0.1).tobytes(), np.float32(200.0).tobytes()
    return bytes(head) + bytes(512) + points.astype("<i2").tobytes()


_CASE: Final = {
    "schema": 1,
    "golfer": {"handedness": "right", "misses": {"big": "right"}, "wrist_range_deg": {"flexion": 70}},
    "setting": {"surface": "mat", "at_hand": ["eye", "ball"]},
    "club": {"name": "7-iron", "loft_deg": 34, "lie_deg": 62.5},
    "grip_turn_deg": {"value": -4, "sd": 7, "how": "by_eye"},
    "swings": [
        {
            "mount": "a",
            "wrist": {"address": {"flexion_deg": -15}, "impact": {"flexion_deg": -4, "forearm_roll_deg": 3}},
            "delivery": {"face_deg": 4, "path_deg": -1},
            "ball": {"start_deg": 3, "curve_deg": 3.4, "shape": "push-fade"},
            "strike": "centre",
            "tried": {"feel": "bow early", "amount": 2},
        }
    ],
}


def fuzz_one(name: str, runs: int, corpus: Path, keep: Path) -> None:
    """Fuzz one reader in this process; atheris ends it."""
    import atheris

    # what the readers stand on is imported before, so that only the readers themselves guide the fuzzing
    import ferrule.analysis.markers
    import ferrule.ball.observed
    import ferrule.coaching.case  # noqa: F401

    with atheris.instrument_imports(include=["ferrule.files", "ferrule.errors"]):
        read, seeds = readers()[name]
    from ferrule.errors import InputError, MissingExtraError

    for i, seed in enumerate(seeds):
        (corpus / f"seed{i}").write_bytes(seed)
        read_or_refuse = (
            read(seed)
            if name in {"case", "launch", "delivery", "c3d", "xdf", "table", "angle_mapping", "ball_guess"}
            else None
        )
        del read_or_refuse  # good input must be read, else the fuzzing starts nowhere

    def attempt(data: bytes) -> None:
        try:
            read(bytes(data))
        except (InputError, MissingExtraError):
            return

    words = [
        sys.argv[0], f"-runs={runs}", "-seed=1", f"-timeout={TIMEOUT_S}", "-rss_limit_mb=3000", "-max_len=16384",
        "-print_final_stats=0", "-verbosity=0", "-len_control=20", f"-artifact_prefix={keep}/{name}-", str(corpus),
    ]  # fmt: skip
    atheris.Setup(words, attempt)
    atheris.Fuzz()


def main() -> int:
    """Fuzz all readers one after another; 1 when one failed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--runs", type=int, default=1_000_000, help="inputs in total")
    parser.add_argument("--reader", choices=sorted(SHARE), help="only this one, with all inputs")
    parser.add_argument(
        "--keep", type=Path, default=Path("build/fuzz"), help="where inputs that break a reader are kept"
    )
    parser.add_argument("--child", action="store_true", help=argparse.SUPPRESS)
    given = parser.parse_args()
    if sys.platform != "linux":
        print("Fuzzing needs Linux: atheris has no wheels elsewhere. The short hypothesis tests run everywhere.")
        return 0
    given.keep.mkdir(parents=True, exist_ok=True)
    if given.child:
        with tempfile.TemporaryDirectory() as corpus:
            fuzz_one(given.reader, given.runs, Path(corpus), given.keep)
        return 0
    names = [given.reader] if given.reader else list(SHARE)
    failed = []
    for name in names:
        runs = given.runs if given.reader else max(given.runs * SHARE[name] // 100, 1)
        start = time.perf_counter()
        words = [sys.executable, __file__, "--child", "--reader", name, "--runs", str(runs), "--keep", str(given.keep)]
        done = subprocess.run(words, capture_output=True, text=True, check=False)
        took = time.perf_counter() - start
        print(
            f"{name:<18} {runs:>8} inputs in {took:6.0f} s  {'sound' if done.returncode == 0 else 'BROKEN'}", flush=True
        )
        if done.returncode != 0:
            failed.append(name)
            print((done.stdout + done.stderr)[-3000:])
    print("All readers are sound." if not failed else f"Broken: {', '.join(failed)}; the inputs are in {given.keep}.")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
