"""The golfer's sheet is made within a second, the first time too (fonts and template read)."""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "tests" / "sheet"))

from sheets import adult

from ferrule.sheet.printed import make_sheet

LIMIT_S = 1.0


def test_sheet_within_a_second() -> None:
    content = adult()
    start = time.perf_counter()
    make_sheet(content)
    assert time.perf_counter() - start < LIMIT_S
