"""Measure, and write docs/validation.md: every figure there comes from this script.

    python scripts/validate.py [--data FOLDER] [--only PART ...]

Each part lives in scripts/validation/, with TITLE and report(data). Parts that want open recordings say so when they are
not there; nothing of the recordings enters the repository.
"""

import argparse
import importlib.util
import re
import sys
import time
from pathlib import Path
from types import ModuleType

HERE = Path(__file__).parent
PAGE = HERE.parent / "docs" / "validation.md"
ORDER = ("recording", "motion", "case", "ball", "store")
HEAD = """# Validation

Measured by `make validate` (scripts/validate.py); nothing on this page is written by hand. Where a part needs open
recordings that are not in the repository, it says whether they were there. Check values with an ID (A01, B70, C06, ...)
are asserted by that ID in the tests, with their published source beside them.
"""


def load(name: str) -> ModuleType:
    """The part's module, without making a package of the scripts."""
    spec = importlib.util.spec_from_file_location(f"validation_{name}", HERE / "validation" / f"{name}.py")
    if spec is None or spec.loader is None:
        raise SystemExit(f"There is no part {name!r}.")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def main() -> None:
    """Run the parts asked for, keep the others as they stand on the page."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--data", type=Path, help="folder of open recordings")
    parser.add_argument("--only", nargs="*", help="parts to measure anew")
    given = parser.parse_args()
    data = given.data if given.data is not None and given.data.is_dir() else None
    sys.path.insert(0, str(HERE / "validation"))
    parts = [p.stem for p in sorted((HERE / "validation").glob("*.py")) if not p.stem.startswith("_")]
    parts.sort(key=lambda n: (ORDER.index(n) if n in ORDER else len(ORDER), n))
    measured = {}
    for name in parts:
        if given.only and name not in given.only:
            continue
        began = time.monotonic()
        module = load(name)
        measured[name] = f"## {module.TITLE}\n\n{module.report(data).strip()}\n"
        print(f"{name}: {time.monotonic() - began:.0f} s")
    # Read only now: another run may have written its own parts while this one measured.
    before = (
        dict(re.findall(r"<!-- part (\w+) -->\n(.*?)<!-- end -->", PAGE.read_text(), re.S)) if PAGE.exists() else {}
    )
    text = HEAD
    for name in parts:
        body = measured.get(name) or before.get(name, "")
        if body:
            text += f"\n<!-- part {name} -->\n{body}<!-- end -->\n"
    PAGE.write_text(text)


if __name__ == "__main__":
    main()
