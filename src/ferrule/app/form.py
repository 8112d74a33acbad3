"""What was typed into a form, checked. All faults are gathered, each under the name of its field, and raised together."""

from collections.abc import Collection, Iterable
from datetime import date
from math import isfinite
from typing import Final

from ferrule.coaching.case import quantity_of
from ferrule.coaching.quantities import GRIP_TURN, QUANTITIES
from ferrule.errors import InputError, Issue, fault

LONGEST_NAME: Final = 120
LONGEST_TEXT: Final = 4000


class Form:
    """Gathers faults while the fields are taken one by one; `done()` raises them."""

    def __init__(self) -> None:
        self.faults: list[Issue] = []

    def done(self) -> None:
        """Raise InputError with every fault found, or do nothing."""
        if self.faults:
            raise InputError(self.faults)

    def fail(self, code: str, where: str, expected: str, got: str, cause: str = "", do: str = "") -> None:
        """Note one fault."""
        self.faults.append(fault(code, where, expected=expected, got=got, cause=cause, do=do))

    def name(self, where: str, value: str, what: str) -> str:
        """A name that must be there: spaces tidied, at most 120 characters, no line breaks."""
        text = " ".join(value.split())
        if not text:
            self.fail("missing", where, what, "nothing", do="Type it in")
        elif len(text) > LONGEST_NAME:
            self.fail("too_long", where, f"at most {LONGEST_NAME} characters", f"{len(text)}", do="Shorten it")
        elif not text.isprintable():
            self.fail("not_text", where, what, "characters that cannot be shown", "pasted from another program")
        return text

    def text(self, where: str, value: str | None) -> str:
        """Free text, may be empty."""
        text = (value or "").strip()
        if len(text) > LONGEST_TEXT:
            self.fail("too_long", where, f"at most {LONGEST_TEXT} characters", f"{len(text)}", do="Shorten it")
        return text

    def number(self, where: str, value: float | None, low: float, high: float, what: str = "a number") -> float | None:
        """A number within limits, or None."""
        if value is None:
            return None
        number = float(value)
        if not isfinite(number) or not low <= number <= high:
            self.fail("out_of_range", where, f"{what} between {low:g} and {high:g}", f"{number:g}", do="Check it")
            return None
        return number

    def choice(self, where: str, value: str | None, allowed: Collection[str]) -> str | None:
        """One of these words, or None."""
        if value is None or value in allowed:
            return value
        self.fail("choice", where, f"one of {', '.join(allowed)}", repr(value))
        return None

    def needed(self, where: str, value: str | None, allowed: Collection[str]) -> str:
        """One of these words, and it must be there."""
        if not value:
            self.fail("missing", where, f"one of {', '.join(allowed)}", "nothing", do="Choose one")
            return ""
        return self.choice(where, value, allowed) or ""

    def day(self, where: str, value: date | None, earliest: date, latest: date) -> date | None:
        """A calendar day within limits, or None."""
        if value is None or earliest <= value <= latest:
            return value
        self.fail(
            "out_of_range", where, f"a day from {earliest} to {latest}", f"{value}", "a mistyped year", "Check it"
        )
        return None

    def places(self, where: str, values: Iterable[str]) -> list[str]:
        """A list of short words, tidied, each once."""
        tidy = (" ".join(v.split()) for v in values)
        return list(dict.fromkeys(self.name(where, v, "a place in words") for v in tidy if v))

    def reading(self, key: str, value: float, sd: float | None) -> None:
        """A number under a glossary key, in its unit and sign: known, finite and possible."""
        if key not in QUANTITIES and key != GRIP_TURN.key:
            self.fail("unknown_key", key, "a quantity of the glossary", repr(key), do="Choose one of the list")
            return
        quantity = quantity_of(key)
        if not isfinite(value) or not quantity.low <= value <= quantity.high:
            anatomy = quantity.usual_low is not None
            self.fail(
                "beyond_anatomy" if anatomy else "out_of_range",
                key,
                f"a number between {quantity.low:g} and {quantity.high:g} ({quantity.words})",
                f"{value:g}",
                "the sign or the zero of the device" if anatomy else "a slip while typing",
                "Check it",
            )
        if sd is not None and not (isfinite(sd) and 0 <= sd <= 180):
            self.fail(
                "out_of_range", key, "a doubt between 0 and 180", f"{sd:g}", do="Leave it empty for the usual one"
            )
