"""How a table of an unknown layout is built: where its numbers begin, what parts its cells, how its columns are called.

Nothing is decided here about what a column means; see `files.guessing`.
"""

import re
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from ferrule.errors import InputError
from ferrule.files.mapping import Column, ColumnMapping
from ferrule.files.tables import look, numbers_from, read_table

Floats = NDArray[np.float64]

SNIFFED_CHARACTERS: Final = 60_000
FEWEST_ROWS: Final = 20
MOST_COLUMNS: Final = 400
_NUMBER: Final = re.compile(r"\s*[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?\s*")
_DELIMITERS: Final = (";", "\t", "|", ",")
"""The comma last: it may be the decimal sign."""


@dataclass(frozen=True, eq=False, slots=True)
class Layout:
    """One table. content: its bytes from the header on; header: as our reader names the columns; numbers: by column,
    shape (n,), NaN where a cell is no number, of the columns that hold mostly numbers; words: of the other columns.
    """

    content: bytes
    header: tuple[str, ...]
    numbers: dict[str, Floats]
    words: dict[str, tuple[str, ...]]
    delimiter: str | None
    decimal: str
    header_lines: int | None

    @property
    def how(self) -> dict[str, Any]:
        """The keys of a mapping that say how the file is read."""
        out: dict[str, Any] = {}
        if self.delimiter is not None:
            out["delimiter"] = self.delimiter
        if self.decimal != ".":
            out["decimal"] = self.decimal
        if self.header_lines is not None:
            out["header_lines"] = self.header_lines
        return out


def from_header(content: bytes) -> bytes:
    """The bytes of a text table from its header on: lines about the export before it, which differ from file to file,
    are left out. Parquet, and what is no table, stays as it is.
    """
    found = _shape(content)
    return content if found is None or found.dropped == 0 else _without_lines(content, found.dropped)


def layout_of(content: bytes, name: str) -> Layout:
    """The layout of a table with all its columns. Raises InputError when it is no table of numbers."""
    if look(content[:SNIFFED_CHARACTERS], len(content), name) == "parquet":
        whole = read_table(content, ColumnMapping({}), name)
        return _checked(content, whole.header, whole.cells, None, ".", None, name)
    found = _shape(content)
    if found is None:
        raise _no_numbers(name)
    body = from_header(content)
    lines = None if found.header_lines == 1 else found.header_lines
    decimal = found.decimal
    # Our reader needs one column to know the table by; its answer names all of them.
    first = read_table(
        body, ColumnMapping({"x": Column(found.first_column)}, "", found.delimiter, decimal, lines), name
    )
    header = first.header[:MOST_COLUMNS]
    wanted = {str(i): Column(column) for i, column in enumerate(header)}
    whole = read_table(body, ColumnMapping(wanted, "", found.delimiter, decimal, lines), name)
    texts = _text_columns(body, header, whole.cells, found.delimiter, decimal, lines, name)
    return _checked(body, header, {**whole.cells, **texts}, found.delimiter, decimal, lines, name)


@dataclass(frozen=True, slots=True)
class _Shape:
    dropped: int
    header_lines: int
    delimiter: str
    decimal: str
    first_column: str


def _shape(content: bytes) -> _Shape | None:
    """Where header and numbers stand in a text table; None when no rows of numbers under a header are found."""
    if content.startswith(b"PAR1"):
        return None
    lines = _text(content[: 2 * SNIFFED_CHARACTERS]).splitlines()[:2000]
    for delimiter in _DELIMITERS:
        rows = [line.split(delimiter) for line in lines]
        start = next((i for i in range(len(rows) - 3) if all(_numeric(r) for r in rows[i : i + 3])), None)
        if start is None:
            continue
        width = len(rows[start])
        head = start
        while head > 0 and len(rows[head - 1]) == width and not lines[head - 1].startswith("#"):
            head -= 1
        if head == start:
            return None
        cells = [r[0].strip().strip('"') for r in rows[head:start]]
        decimal = "," if delimiter != "," and any("," in cell for cell in rows[start]) else "."
        return _Shape(head, start - head, delimiter, decimal, ".".join(c for c in cells if c))
    return None


def _numeric(cells: list[str]) -> bool:
    return len(cells) >= 2 and sum(bool(_NUMBER.fullmatch(c.strip().strip('"'))) for c in cells) >= 0.6 * len(cells)


def _text(content: bytes) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("latin-1")


def _without_lines(content: bytes, count: int) -> bytes:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "\n".join(_text(content).splitlines()[count:]).encode()
    at = 0
    for _ in range(count):
        at = content.find(b"\n", at) + 1
    return content[at:]


def _text_columns(
    body: bytes,
    header: tuple[str, ...],
    cells: dict[str, Any],
    delimiter: str,
    decimal: str,
    lines: int | None,
    name: str,
) -> dict[str, Any]:
    """Columns without any number, read as words (at most two: phases and events)."""
    empty = [h for h in header if h.strip() and not np.isfinite(numbers_from(cells[h])).any()][:2]
    out: dict[str, Any] = {}
    for column in empty:
        mapping = ColumnMapping({"phase": Column(column)}, "", delimiter, decimal, lines)
        out[column] = read_table(body, mapping, name).cells[column]
    return out


def _checked(
    body: bytes, header: tuple[str, ...], cells: dict[str, Any], delimiter: str | None, decimal: str,
    lines: int | None, name: str,
) -> Layout:  # fmt: skip
    numbers: dict[str, Floats] = {}
    words: dict[str, tuple[str, ...]] = {}
    for column in header:
        if column not in cells:
            continue
        values = numbers_from(cells[column])
        if values.size and np.isfinite(values).mean() >= 0.5:
            numbers[column] = values
        else:
            seen = dict.fromkeys(str(v).strip() for v in list(cells[column])[:200_000])
            words[column] = tuple(w for w in seen if w and w.lower() not in ("nan", "none"))[:40]
    rows = max((v.size for v in numbers.values()), default=0)
    if rows < FEWEST_ROWS or len(numbers) < 2:
        raise _no_numbers(name)
    return Layout(body, header, numbers, words, delimiter, decimal, lines)


def _no_numbers(name: str) -> InputError:
    return InputError.of(
        "unknown_layout", name, expected=f"a header line and at least {FEWEST_ROWS} rows of numbers",
        got="text without them", cause="another kind of file", do="Choose the file that the sensors' app exported",
    )  # fmt: skip
