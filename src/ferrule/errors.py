"""What can go wrong, in words for a coach.

Faults in the coach's data are values (`Issue`), gathered and shown together. Only what cannot be worked with at all is
raised, as `InputError`: what was expected, what came, the likely cause and what to do. Errors know nothing of shells
or HTTP; the edges map the family to an exit code or a status.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Literal

Severity = Literal["note", "warning", "fault"]


@dataclass(frozen=True, slots=True)
class Issue:
    """One thing about the input or the result that a coach should know.

    code: stable snake_case name; severity: note, warning or fault; where: the key, column or swing it is about
    (empty when it is about the whole); message: one sentence or two, in words.
    """

    code: str
    severity: Severity
    where: str
    message: str

    def to_json(self) -> dict[str, str]:
        """The issue as section "issues" of the machine interface."""
        return asdict(self)

    def under(self, where: str) -> "Issue":
        """The same about another part: the field of a page that stands for the key it was found under."""
        own = f"{self.where}: "
        message = (
            f"{where}: {self.message[len(own) :]}" if self.where and self.message.startswith(own) else self.message
        )
        return Issue(self.code, self.severity, where, message)


class FerruleError(Exception):
    """Root of all errors that Ferrule raises on purpose."""

    code = "error"

    def to_json(self) -> dict[str, object]:
        """The body of `{"error": ...}`."""
        return {"code": self.code, "message": str(self)}


class InputError(FerruleError):
    """The input cannot be used. Carries every fault that was found, in the order in which they should be read."""

    code = "bad_input"

    def __init__(self, faults: Sequence[Issue]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(f.message for f in self.faults))

    @classmethod
    def of(cls, code: str, where: str, *, expected: str, got: str, cause: str = "", do: str = "") -> "InputError":
        """One fault, from its four parts: what was expected, what came, the likely cause, what to do."""
        return cls([fault(code, where, expected=expected, got=got, cause=cause, do=do)])

    def to_json(self) -> dict[str, object]:
        """The body of `{"error": ...}` with the single faults beside the message."""
        return {"code": self.code, "message": str(self), "faults": [f.to_json() for f in self.faults]}


class StoreError(FerruleError):
    """The data folder cannot be opened, is held by another process, or is damaged."""

    code = "store"


class NotFoundError(FerruleError):
    """What was asked for is not there (any more)."""

    code = "not_found"


class MissingExtraError(FerruleError):
    """A format or function needs an optional package that is not installed."""

    code = "missing_extra"


def fault(code: str, where: str, *, expected: str, got: str, cause: str = "", do: str = "") -> Issue:
    """A fault in the four parts that every message of ours has: expected, got, likely cause, what to do."""
    text = f"{where}: expected {expected}, got {got}." if where else f"Expected {expected}, got {got}."
    if cause:
        text += f" Likely cause: {cause}."
    if do:
        text += f" {do}" if do.endswith((".", "?")) else f" {do}."
    return Issue(code, "fault", where, text)
