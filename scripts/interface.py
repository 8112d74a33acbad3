"""Write the list of HTTP routes in docs/interface.md anew from the routes themselves."""

import sys
import tempfile
from pathlib import Path

from ferrule.app.workspace import Workspace
from ferrule.web.interface import described, routes_of, table

DOCS = Path(__file__).parents[1] / "docs" / "interface.md"
BEGIN, END = "<!-- routes: python scripts/interface.py -->", "<!-- end of routes -->"


def with_routes(text: str) -> str:
    """The page with the present routes between its marks."""
    with tempfile.TemporaryDirectory() as folder, Workspace(Path(folder) / "data") as ws:
        made = table(routes_of(described(ws)))
    before, _, rest = text.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n{made}\n{END}{after}"


if __name__ == "__main__":
    new = with_routes(DOCS.read_text(encoding="utf-8"))
    if "--check" in sys.argv:
        sys.exit(
            0
            if new == DOCS.read_text(encoding="utf-8")
            else "docs/interface.md is not up to date: run python scripts/interface.py"
        )
    DOCS.write_text(new, encoding="utf-8")
