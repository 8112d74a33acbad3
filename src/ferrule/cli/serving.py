"""`demo` and `open`: the workbench, served on this machine."""

from pathlib import Path

import typer

from ferrule.cli.answering import code_of
from ferrule.errors import FerruleError


def serving(folder: Path, port: int, browser: bool, *, with_demo: bool) -> None:
    """Serve a folder until interrupted; with the invented practice ground when it is empty and `with_demo`."""
    from ferrule.web.server import serve

    try:
        serve(folder, port, browser, with_demo=with_demo)
    except FerruleError as error:
        typer.echo(str(error), err=True)
        raise typer.Exit(code_of(error)) from None
    except KeyboardInterrupt:
        typer.echo("Stopped.")
