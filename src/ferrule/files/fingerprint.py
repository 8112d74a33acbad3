"""A header's fingerprint: by it a file of a layout seen before finds its saved mapping."""

import hashlib
import unicodedata
from collections.abc import Mapping, Sequence
from typing import TypeVar

M = TypeVar("M")


def fingerprint(header: Sequence[str]) -> str:
    """32 hexadecimal digits of a header: column names, marker labels, or streams with their channels.

    Case, outer blanks and order do not count: columns are found by name. How often a name comes does count.
    """
    names = sorted(" ".join(unicodedata.normalize("NFKC", name).casefold().split()) for name in header)
    return hashlib.sha256("\x1f".join(names).encode("utf-8", "surrogatepass")).hexdigest()[:32]


def recognise(header: Sequence[str], saved: Mapping[str, M]) -> M | None:
    """The mapping saved under this header's fingerprint, or None. saved: mappings by fingerprint."""
    return saved.get(fingerprint(header))
