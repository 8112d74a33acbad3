"""One table from the family of an error to a status, one JSON body for all, so that a page can put words beside fields."""

from typing import Any, Final

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse

from ferrule.errors import FerruleError, InputError, MissingExtraError, NotFoundError, StoreError

STATUS: Final[dict[type[FerruleError], int]] = {
    InputError: 422,
    NotFoundError: 404,
    MissingExtraError: 501,
    StoreError: 503,
}


def status_of(error: FerruleError) -> int:
    """The HTTP status of an error family; 400 for one that is not in the table."""
    return next((status for family, status in STATUS.items() if isinstance(error, family)), 400)


def body_of(error: FerruleError) -> dict[str, Any]:
    """`{"error": {"code", "message", "faults": [...]}}`."""
    return {"error": error.to_json()}


def use_our_answers(api: FastAPI) -> None:
    """Answer every error of ours, and every body that cannot be read, in the one form."""

    @api.exception_handler(FerruleError)
    async def _ours(_request: Request, error: FerruleError) -> JSONResponse:
        return JSONResponse(body_of(error), status_of(error))

    @api.exception_handler(Exception)
    async def _broken(_request: Request, _error: Exception) -> JSONResponse:
        words = "Something broke in Ferrule. Nothing you entered before is lost; reload the page and try again."
        return JSONResponse({"error": {"code": "broken", "message": words, "faults": []}}, 500)

    @api.exception_handler(RequestValidationError)
    async def _unreadable(_request: Request, error: RequestValidationError) -> JSONResponse:
        faults = [
            {
                "code": "bad_value",
                "severity": "fault",
                "where": ".".join(str(part) for part in each["loc"][1:] if isinstance(part, str)),
                "message": _plain(each),
            }
            for each in error.errors()
        ]
        words = " ".join(f["message"] for f in faults)
        return JSONResponse({"error": {"code": "bad_input", "message": words, "faults": faults}}, 422)


def _plain(each: dict[str, Any]) -> str:
    name = str(each["loc"][-1]).replace("_", " ")
    if each["type"] == "missing":
        return f"Please fill in: {name}."
    if each["type"] == "extra_forbidden":
        return f"{name}: this is not known here. Check its spelling."
    return f"{name}: {each['msg'].removeprefix('Value error, ')}."
