"""The `ferrule` command: the same actions from a shell.

Commands import what they need when they run, so that `--help` answers at once. Input that cannot be used ends with exit
code 2 and one clear message on stderr (with `--json` also `{"error": ...}` on stdout).
"""

from pathlib import Path
from typing import Annotated

import typer

from ferrule.cli.answering import answering, number_list
from ferrule.cli.serving import serving

app = typer.Typer(
    name="ferrule",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="Why a golfer's clubface arrives open or closed, what to change, and whether the change lasts.",
)

JsonFlag = Annotated[bool, typer.Option("--json", help="Answer as JSON (schema 1) on stdout.")]
FolderOption = Annotated[Path, typer.Option("--folder", help="Data folder.")]
PortOption = Annotated[
    int, typer.Option("--port", help="Port on this machine; 0 takes any free one.", min=0, max=65535)
]
BrowserFlag = Annotated[bool, typer.Option("--browser/--no-browser", help="Open the page where there is a desktop.")]


def _version(value: bool) -> None:
    if value:
        from ferrule import __version__

        typer.echo(f"ferrule {__version__}")
        raise typer.Exit


@app.callback()
def root(
    version: Annotated[bool, typer.Option("--version", help="Version.", callback=_version, is_eager=True)] = False,
) -> None:
    """Why a golfer's clubface arrives open or closed, what to change, and whether the change lasts."""
    del version


@app.command()
def analyse(
    recording: Annotated[
        Path,
        typer.Argument(
            help="Recording of forearm and hand sensors (CSV, Parquet, XDF), markers (C3D), or wrist angles."
        ),
    ],
    calibration: Annotated[
        Path | None, typer.Option("--calibration", help="Recording of the calibration movements, same mounting.")
    ] = None,
    handedness: Annotated[str, typer.Option("--handedness", help="right or left.")] = "right",
    club: Annotated[str, typer.Option("--club", help="Club that was swung.")] = "7-iron",
    profile: Annotated[str | None, typer.Option("--profile", help="Kind of device, for its ranges.")] = None,
    mapping: Annotated[
        Path | None, typer.Option("--mapping", help="Saved mapping of columns, markers or streams (JSON).")
    ] = None,
    hand: Annotated[Path | None, typer.Option("--hand", help="The hand's file, where the sensors come in two.")] = None,
    quick: Annotated[bool, typer.Option("--quick", help="Leave the doubts out.")] = False,
    folder: Annotated[
        Path | None, typer.Option("--folder", help="Data folder whose saved mappings are recognised.")
    ] = None,
    json: JsonFlag = False,
) -> None:
    """Swings of a recording: events, wrist, face, and how the face closed."""
    from ferrule.cli import recordings

    answering(
        json,
        lambda: recordings.analysed(recording, calibration, handedness, club, profile, mapping, hand, quick, folder),
        recordings.table,
    )


@app.command()
def guess(
    recording: Annotated[Path, typer.Argument(help="Recording of a layout not seen before.")],
    handedness: Annotated[str, typer.Option("--handedness", help="right or left.")] = "right",
    json: JsonFlag = False,
) -> None:
    """What is what in a recording of another layout: a mapping to look over; with --json the reasons beside it."""
    from ferrule.cli import recordings

    answering(json, lambda: recordings.guessed(recording, handedness), recordings.guess_table)


@app.command()
def explain(case: Annotated[Path, typer.Argument(help="CASE.json, or - for stdin.")], json: JsonFlag = False) -> None:
    """Why the face arrives as it does, how sure that is, and what to look at next."""
    from ferrule.cli import cases

    answering(json, lambda: cases.explained(case), cases.explanation_table)


@app.command()
def options(
    case: Annotated[Path, typer.Argument(help="CASE.json, or - for stdin.")],
    prefer: Annotated[
        str, typer.Option("--prefer", help="balanced, smallest_change, straightest_ball or easiest_to_keep.")
    ] = "balanced",
    recording: Annotated[
        Path | None,
        typer.Option("--recording", help="Recording of swings: what each way would have done in one of them."),
    ] = None,
    calibration: Annotated[
        Path | None, typer.Option("--calibration", help="Recording of the calibration movements, same mounting.")
    ] = None,
    swing: Annotated[int, typer.Option("--swing", help="Which swing of the recording.", min=1)] = 1,
    json: JsonFlag = False,
) -> None:
    """The ways for this golfer, worked out and ranked."""
    from ferrule.cli import cases

    answering(json, lambda: cases.optioned(case, prefer, recording, calibration, swing), cases.options_table)


@app.command()
def strike(
    delivery: Annotated[Path, typer.Argument(help="DELIVERY.json, or - for stdin.")], json: JsonFlag = False
) -> None:
    """Launch of the ball from a delivery."""
    from ferrule.cli import balls

    answering(json, lambda: balls.struck(delivery), number_list)


@app.command()
def fly(launch: Annotated[Path, typer.Argument(help="LAUNCH.json, or - for stdin.")], json: JsonFlag = False) -> None:
    """Flight of the ball from a launch."""
    from ferrule.cli import balls

    answering(json, lambda: balls.flown(launch), number_list)


@app.command()
def balls(
    table: Annotated[Path, typer.Argument(help="Table of ball flights (CSV), or - for stdin.")],
    mapping: Annotated[
        Path | None,
        typer.Option("--mapping", help="Which column is what (JSON); without it the columns are guessed and shown."),
    ] = None,
    club: Annotated[str, typer.Option("--club", help="Club, where the table does not say.")] = "7-iron",
    handedness: Annotated[
        str | None, typer.Option("--handedness", help="right or left, where the table does not say.")
    ] = None,
    wind: Annotated[
        str | None, typer.Option("--wind", help='Wind to take out, m/s: "towards the target,up,to the right".')
    ] = None,
    ball: Annotated[str, typer.Option("--ball", help="own or range.")] = "own",
    json: JsonFlag = False,
) -> None:
    """Face and path behind each ball of a table, and what the balls say together."""
    from ferrule.cli import ball_data

    answering(json, lambda: ball_data.balls_read(table, club, handedness, mapping, wind, ball), ball_data.table)


@app.command()
def simulate(
    out: Annotated[Path, typer.Argument(help="Where to write the recording (.csv or .parquet).")],
    pattern: Annotated[str, typer.Option("--pattern", help="Pattern of the lead wrist.")] = "cupped_and_flipped",
    swings: Annotated[int, typer.Option("--swings", help="How many.", min=1, max=60)] = 3,
    rate: Annotated[float, typer.Option("--rate", help="Samples a second.", min=50, max=4000)] = 500.0,
    handedness: Annotated[str, typer.Option("--handedness", help="right or left.")] = "right",
    seed: Annotated[int, typer.Option("--seed", help="The same seed gives the same bytes.", min=0)] = 1,
    perfect: Annotated[bool, typer.Option("--perfect", help="Sensors without any fault.")] = False,
    truth: Annotated[Path | None, typer.Option("--truth", help="Also write the exact truth (JSON).")] = None,
    json: JsonFlag = False,
) -> None:
    """A simulated lesson with two sensors, calibration movements first."""
    from ferrule.cli import recordings

    answering(
        json,
        lambda: recordings.simulated(out, pattern, swings, rate, handedness, seed, perfect, truth),
        recordings.simulated_table,
    )


@app.command()
def demo(
    folder: FolderOption = Path("ferrule-demo"),
    port: PortOption = 8765,
    browser: BrowserFlag = True,
    text: Annotated[
        bool, typer.Option("--text", help="No workbench: one simulated lesson, and why the face is open.")
    ] = False,
) -> None:
    """The workbench on an invented practice ground."""
    if text:
        from ferrule.cli import text_demo

        answering(False, text_demo.lesson, text_demo.story)
        return
    serving(folder, port, browser, with_demo=True)


@app.command(name="open")
def open_folder(
    folder: FolderOption = Path("ferrule-data"), port: PortOption = 8765, browser: BrowserFlag = True
) -> None:
    """The workbench on your own data folder (made when it is not there)."""
    serving(folder, port, browser, with_demo=False)


@app.command()
def sheet(
    golfer: Annotated[str, typer.Option("--golfer", help="Name, or #number where two have the same.")],
    out: Annotated[Path, typer.Option("--out", help="File to write: .pdf, .html (for a phone) or .txt.")],
    folder: FolderOption = Path("ferrule-data"),
    paper: Annotated[str, typer.Option("--paper", help="a4 or letter.")] = "a4",
    large_print: Annotated[bool, typer.Option("--large-print", help="Larger letters.")] = False,
    club: Annotated[
        str | None, typer.Option("--club", help="Club of the plan; the newest plan's unless named.")
    ] = None,
    json: JsonFlag = False,
) -> None:
    """The golfer's sheet: why, what to change, the drill, progress and the next test."""
    from ferrule.cli import sheets

    answering(json, lambda: sheets.written(folder, golfer, out, paper, large_print, club), sheets.told)


@app.command()
def export(
    golfer: Annotated[str, typer.Option("--golfer", help="Name, or #number where two have the same.")],
    out: Annotated[Path, typer.Option("--out", help="Folder to write into; made when it is not there.")],
    folder: FolderOption = Path("ferrule-data"),
    form: Annotated[str, typer.Option("--form", help="csv, parquet or both.")] = "csv",
    lesson: Annotated[int | None, typer.Option("--lesson", help="Only this lesson, by its number.")] = None,
    pictures: Annotated[
        bool, typer.Option("--pictures/--no-pictures", help="Pictures of the case, SVG and PNG.")
    ] = True,
    json: JsonFlag = False,
) -> None:
    """A golfer's readings (CSV, Parquet) and pictures (SVG, PNG) as files."""
    from ferrule.cli import exports

    answering(json, lambda: exports.written(folder, golfer, out, form, lesson, pictures), exports.told)


@app.command()
def backup(
    folder: FolderOption = Path("ferrule-data"),
    to: Annotated[Path | None, typer.Option("--to", help="New or empty folder for the backup.")] = None,
    json: JsonFlag = False,
) -> None:
    """A consistent copy of a data folder, also while the workbench runs."""
    from ferrule.cli import keeping

    answering(json, lambda: keeping.backed_up(folder, to), keeping.told)


@app.command()
def restore(
    source: Annotated[Path, typer.Argument(help="Folder of a backup.")],
    folder: FolderOption = Path("ferrule-data"),
    json: JsonFlag = False,
) -> None:
    """Put a backup into a new or empty folder, and check it."""
    from ferrule.cli import keeping

    answering(json, lambda: keeping.restored(source, folder), keeping.told)


@app.command()
def check(folder: FolderOption = Path("ferrule-data"), json: JsonFlag = False) -> None:
    """Look through a data folder: integrity, links and hashes."""
    from ferrule.cli import keeping

    answering(json, lambda: keeping.checked(folder), keeping.told)
