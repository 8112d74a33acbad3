"""Random cases and the case of the interface are shared with the tests of other rooms."""

import sys
from pathlib import Path

TESTS = Path(__file__).parents[1]
sys.path[:0] = [str(TESTS / "analysis"), str(TESTS / "coaching"), str(TESTS / "files")]
