"""`ferrule sheet` as a user runs it."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from ferrule.app import golfers, lessons, plans, swings
from ferrule.app.workspace import Workspace
from ferrule.cli import app

runner = CliRunner()


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    path = tmp_path_factory.mktemp("sheet") / "data"
    with Workspace(path) as ws:
        ines = golfers.add_golfer(ws, name="Ines Halvorsen", handedness="right")
        lesson = lessons.start_lesson(ws, ines.id)
        for _ in range(5):
            swings.add_swing(ws, lesson.id, start="right", bend="right")
        plans.choose_way(ws, lesson.id, "grip", thought="Two knuckles.")
        golfers.add_golfer(ws, name="Otto", handedness="left")
        golfers.add_golfer(ws, name="Otto", handedness="right")
        golfers.add_golfer(ws, name="Nobody Yet", handedness="right")
    return path


def run(folder: Path, golfer: str, out: Path, *more: str):
    return runner.invoke(app, ["sheet", "--folder", str(folder), "--golfer", golfer, "--out", str(out), *more])


@pytest.mark.parametrize(
    ("name", "starts"), [("a.pdf", b"%PDF-"), ("A.HTML", b"<!doctype html>"), ("a.txt", b"For Ines")]
)
def test_the_sheet_is_written_as_its_ending_says(folder, tmp_path, name, starts):
    result = run(folder, "ines halvorsen", tmp_path / name, "--large-print", "--paper", "letter")
    assert result.exit_code == 0, result.output
    assert result.stdout == f"The sheet of Ines Halvorsen is in {tmp_path / name}.\n"
    assert (tmp_path / name).read_bytes().startswith(starts)


def test_paper_and_print_change_the_file(folder, tmp_path):
    sizes = []
    for i, more in enumerate(([], ["--paper", "letter"], ["--large-print"])):
        result = run(folder, "Ines", tmp_path / f"{i}.pdf", *more, "--json")
        assert result.exit_code == 0, result.output
        assert json.loads(result.stdout)["bytes"] == (tmp_path / f"{i}.pdf").stat().st_size
        sizes.append((tmp_path / f"{i}.pdf").read_bytes())
    assert len(set(sizes)) == 3


@pytest.mark.parametrize(
    ("golfer", "name", "more", "code", "said"),
    [
        ("Nils", "a.pdf", [], 4, "There is no golfer by the name of 'Nils'"),
        ("Otto", "a.pdf", [], 2, "expected one golfer, got 2 that fit 'Otto'"),
        ("Nobody Yet", "a.pdf", [], 2, "no plan yet"),
        ("Ines", "a.doc", [], 2, "expected a file that ends in .pdf, .html, .txt"),
        ("Ines", "a.pdf", ["--paper", "a3"], 2, "one of a4, letter"),
        ("Ines", "a.pdf", ["--club", "driver"], 2, "a club that something was settled with"),
        ("Ines", "none/a.pdf", [], 3, "could not be written"),
    ],
)
def test_what_cannot_be_done_is_said(folder, tmp_path, golfer, name, more, code, said):
    result = run(folder, golfer, tmp_path / name, *more)
    assert result.exit_code == code
    assert said in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_two_of_one_name_are_told_apart_by_their_number(folder, tmp_path):
    said = run(folder, "Otto", tmp_path / "a.pdf").stderr
    number = said[said.index("--golfer '") :].split("'")[1]
    assert "no plan yet" in run(folder, number, tmp_path / "a.pdf").stderr


def test_no_folder_is_said_and_none_is_made(tmp_path):
    result = run(tmp_path / "nowhere", "Ines", tmp_path / "a.pdf")
    assert result.exit_code == 3
    assert "no Ferrule data" in result.stderr
    assert not (tmp_path / "nowhere").exists()
