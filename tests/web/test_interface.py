"""Every route is described: on a page of our own, in docs/interface.md, and for machines."""

from pathlib import Path
from typing import Any

from ferrule.web import gate
from ferrule.web.interface import described, routes_of, table
from ferrule.web.pages.interface import interface_html

DOCS = Path(__file__).parents[2] / "docs" / "interface.md"


def test_every_route_of_the_application_is_described(application: Any, workspace: Any) -> None:
    routes = routes_of(described(workspace))
    known = {(r.method, r.path) for r in routes}
    for door in gate.doors(application.routes):
        if door.path.startswith("/api/v1"):
            for method in set(door.methods) - {"HEAD", "OPTIONS"}:
                assert (method, door.path) in known
    assert len(known) > 60
    assert all(r.summary for r in routes)


def test_the_page_shows_each_with_what_it_takes(ask: Any, workspace: Any) -> None:
    routes = routes_of(described(workspace))
    html = str(interface_html(routes))
    for route in routes:
        assert f"{route.method} {route.path}" in html
        for argument in route.arguments:
            assert argument.kind
    assert "http" not in html
    answer = ask("GET", "/interface")
    assert answer.status_code == 200
    assert ask("GET", "/openapi.json").json()["paths"].keys() >= {r.path for r in routes}


def test_the_written_list_is_up_to_date(workspace: Any) -> None:
    assert table(routes_of(described(workspace))) in DOCS.read_text(encoding="utf-8"), "run python scripts/interface.py"
