"""The same actions from a shell."""

from ferrule.cli.main import app
from ferrule.one_thread import keep_to_one_thread

# Commands import numpy when they run.
keep_to_one_thread()

__all__ = ["app"]
