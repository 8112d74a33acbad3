"""The HTTP interface described from the routes themselves: for the page that shows it, and for docs/interface.md."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from fastapi.openapi.utils import get_openapi

from ferrule import __version__
from ferrule.app.workspace import Workspace
from ferrule.web import rest

METHODS: Final = ("get", "post", "put", "patch", "delete")


@dataclass(frozen=True, slots=True)
class Argument:
    """What a route takes. where: path, query, header or body; kind: in words; needed: cannot be left out."""

    name: str
    where: str
    kind: str
    needed: bool
    said: str = ""


@dataclass(frozen=True, slots=True)
class Route:
    """One route. answer: what comes back, in words."""

    method: str
    path: str
    subject: str
    summary: str
    arguments: tuple[Argument, ...]
    answer: str


_KNOWN: dict[str, dict[str, Any]] = {}


def described(workspace: Workspace) -> dict[str, Any]:
    """The OpenAPI description of every REST route; made once, it is the same for every folder."""
    if __version__ not in _KNOWN:
        routes = rest.routes(workspace).routes
        _KNOWN[__version__] = get_openapi(title="Ferrule", version=__version__, routes=routes)
    return _KNOWN[__version__]


def routes_of(description: Mapping[str, Any]) -> list[Route]:
    """Every route of an OpenAPI description, by subject and path."""
    out = []
    for path, methods in description["paths"].items():
        for method, given in methods.items():
            if method not in METHODS:
                continue
            subject = (given.get("tags") or ["other"])[0]
            arguments = (*_parameters(given), *_body(given, description))
            out.append(
                Route(method.upper(), path, subject, given.get("summary", ""), arguments, _answer(given, description))
            )
    return sorted(out, key=lambda r: (r.subject, r.path, r.method))


def table(routes: list[Route]) -> str:
    """The routes as a Markdown table, for docs/interface.md."""
    lines = ["| route | what it does |", "| --- | --- |"]
    lines += [f"| `{r.method} {r.path}` | {r.summary} |" for r in routes]
    return "\n".join(lines)


def _parameters(given: Mapping[str, Any]) -> list[Argument]:
    return [
        Argument(p["name"], p["in"], _kind(p.get("schema", {})), bool(p.get("required")), p.get("description", ""))
        for p in given.get("parameters", ())
        if p["name"] != "idempotency-key"
    ]


def _body(given: Mapping[str, Any], description: Mapping[str, Any]) -> list[Argument]:
    content = given.get("requestBody", {}).get("content", {})
    if "application/octet-stream" in content:
        return [Argument("the file's bytes", "body", "file", True)]
    schema = _resolved(content.get("application/json", {}).get("schema", {}), description)
    needed = schema.get("required", ())
    fields = schema.get("properties", {})
    return [Argument(name, "body", _kind(f), name in needed, f.get("description", "")) for name, f in fields.items()]


def _resolved(schema: Mapping[str, Any], description: Mapping[str, Any]) -> Mapping[str, Any]:
    name = str(schema.get("$ref", "")).rsplit("/", 1)[-1]
    found: Mapping[str, Any] = description.get("components", {}).get("schemas", {}).get(name, schema)
    return found


def _kind(schema: Mapping[str, Any]) -> str:
    if "$ref" in schema:
        return str(schema["$ref"]).rsplit("/", 1)[-1]
    if "enum" in schema:
        return " or ".join(str(v) for v in schema["enum"])
    several = [_kind(s) for s in schema.get("anyOf", ()) if s.get("type") != "null"]
    if several:
        return " or ".join(dict.fromkeys(several))
    if schema.get("type") == "array":
        return f"list of {_kind(schema.get('items', {}))}"
    words = {
        "string": "text",
        "integer": "whole number",
        "number": "number",
        "boolean": "yes or no",
        "object": "object",
    }
    return words.get(str(schema.get("type")), "anything")


def _answer(given: Mapping[str, Any], description: Mapping[str, Any]) -> str:
    good: Mapping[str, Any] = next(
        (given["responses"][code] for code in ("200", "201") if code in given.get("responses", {})), {}
    )
    content = good.get("content", {})
    if "application/json" not in content:
        return "a file"
    schema = content["application/json"].get("schema", {})
    fields = _resolved(schema, description).get("properties")
    said = _kind(schema)
    return f"{said}: {', '.join(fields)}" if fields and "$ref" in schema else said


__all__ = ["Argument", "Route", "described", "routes_of", "table"]
