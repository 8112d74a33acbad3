"""The key by which the same request counts once, however often it arrives."""

from typing import Annotated

from fastapi import Header

RequestKey = Annotated[
    str | None,
    Header(
        alias="idempotency-key",
        max_length=80,
        description="Made once by whoever sends; the same key again changes nothing and gives the same answer.",
    ),
]
