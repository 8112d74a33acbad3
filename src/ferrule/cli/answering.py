"""One way to answer for every command: a table for people, JSON for programs, one message and a code for bad input."""

import json as json_format
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

import typer

from ferrule.errors import FerruleError, InputError, MissingExtraError, NotFoundError, StoreError

Answer = dict[str, Any]

# Error families to exit codes.
_CODES: Final[tuple[tuple[type[FerruleError], int], ...]] = (
    (InputError, 2),
    (StoreError, 3),
    (NotFoundError, 4),
    (MissingExtraError, 5),
)


def answering(as_json: bool, work: Callable[[], Answer], table: Callable[[Answer], str]) -> None:
    """Do the work and print its answer; end with the code of its family when it raises one of our errors."""
    try:
        answer = work()
    except FerruleError as error:
        if as_json:
            typer.echo(json_format.dumps({"error": error.to_json()}, ensure_ascii=False))
        typer.echo(str(error), err=True)
        raise typer.Exit(code_of(error)) from None
    if as_json:
        typer.echo(json_format.dumps(answer, ensure_ascii=False, allow_nan=False))
    else:
        typer.echo(table(answer))


def code_of(error: FerruleError) -> int:
    """Exit code of an error's family."""
    return next((code for family, code in _CODES if isinstance(error, family)), 1)


def text_of(path: Path, what: str, largest: int = 10_000_000) -> bytes:
    """Bytes of a small input file, or of stdin for "-". Raises InputError when it cannot be read or is too large."""
    if str(path) == "-":
        return sys.stdin.buffer.read(largest + 1)
    _must_be_a_file(path, what)
    if path.stat().st_size > largest:
        raise InputError.of(
            "too_large",
            str(path),
            expected=f"{what} of at most {largest // 1_000_000} MB",
            got=f"{path.stat().st_size / 1e6:.0f} MB",
            cause="another file was given",
        )
    return path.read_bytes()


def _must_be_a_file(path: Path, what: str) -> None:
    if path.is_dir():
        raise InputError.of("not_a_file", str(path), expected=what, got="a folder")
    if not path.is_file():
        raise InputError.of(
            "no_such_file", str(path), expected=what, got="no file of that name", do="Check the name and the folder"
        )


def number_list(answer: Mapping[str, Any]) -> str:
    """Numbers with their keys, one a line, then what there is to say about them."""
    lines = [f"{key:<22} {shown(value)}" for key, value in answer.items() if key not in ("schema", "issues")]
    return "\n".join(lines + remarks(answer))


def remarks(answer: Mapping[str, Any]) -> list[str]:
    """Issues as lines."""
    return [f"{i['severity']}: {i['message']}" for i in answer.get("issues", [])]


def shown(value: Any) -> str:
    """A number with three decimals, a pair as a range, anything else as it is."""
    if isinstance(value, float):
        return f"{value:.3f}"
    if isinstance(value, list | tuple):
        return " to ".join(shown(v) for v in value)
    return str(value)
