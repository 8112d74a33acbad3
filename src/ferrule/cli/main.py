"""The `ferrule` command."""

import typer

app = typer.Typer(no_args_is_help=True, add_completion=False, help="Why the clubface arrives open or closed.")
