"""`strike` and `fly`."""

from pathlib import Path
from typing import Any

from ferrule.cli.answering import text_of
from ferrule.files.delivery import strike_answer
from ferrule.files.launch import launch_answer

Answer = dict[str, Any]


def struck(path: Path) -> Answer:
    """Launch from DELIVERY.json."""
    return dict(strike_answer(text_of(path, "a delivery (DELIVERY.json)")))


def flown(path: Path) -> Answer:
    """Flight from LAUNCH.json."""
    return dict(launch_answer(text_of(path, "a launch (LAUNCH.json)")))
