"""The same actions from a shell."""

from ferrule.cli.main import app

__all__ = ["app"]
