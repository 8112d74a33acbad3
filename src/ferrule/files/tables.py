"""A table of columns from a CSV or Parquet file: looked at first, so that 200 MB of something else is never loaded."""

import csv
import io
import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, Final

import numpy as np
from numpy.typing import NDArray

from ferrule.errors import InputError
from ferrule.files.mapping import ColumnMapping
from ferrule.files.native import parquet_library

Floats = NDArray[np.float64]

LARGEST_BYTES: Final = 600_000_000
"""An hour of two sensors at 500 Hz is about 250 MB of CSV."""
SNIFFED_BYTES: Final = 65_536
_MAGIC: Final = (
    (b"PK\x03\x04", "a ZIP archive or an Excel workbook"),
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"\x1f\x8b", "a compressed file"),
    (b"\x89HDF", "an HDF5 file"),
    (b"MATLAB 5.0", "a MATLAB file"),
    (b"SQLite format 3", "a database"),
    (b"RIFF", "a sound or video"),
)


@dataclass(frozen=True, eq=False, slots=True)
class Table:
    """Columns by header name; only those that a mapping names hold cells."""

    header: tuple[str, ...]
    rows: int
    cells: dict[str, Any]

    def number(self, name: str) -> Floats:
        """A column as numbers, NaN where there is none."""
        return numbers_from(self.cells[name])

    def text(self, name: str) -> NDArray[np.str_]:
        """A column as text, stripped; empty where there is nothing."""
        values = self.cells[name]
        if isinstance(values, np.ndarray) and values.dtype.kind == "U":
            return np.char.strip(values)
        return np.array(["" if v is None or v != v else str(v).strip() for v in values], dtype=np.str_)  # noqa: PLR0124


def numbers_from(values: Any) -> Floats:
    """Numbers from cells of any kind; what is no number becomes NaN."""
    if isinstance(values, np.ndarray) and values.dtype.kind in "fiu":
        return values.astype(np.float64)
    try:
        return np.asarray(values).astype(np.float64)
    except (ValueError, TypeError, OverflowError):
        return np.array([_number(v) for v in values], dtype=np.float64)


def _number(value: object) -> float:
    try:
        return float(value)  # type: ignore[arg-type]
    except (ValueError, TypeError, OverflowError):
        return float("nan")


def read_table(source: str | Path | bytes, mapping: ColumnMapping, name: str) -> Table:
    """Read a table. Raises InputError when it is missing, empty, too large or no table at all."""
    if isinstance(source, bytes):
        size, head = len(source), source[:SNIFFED_BYTES]
    else:
        path = Path(source)
        try:
            size = path.stat().st_size
            with path.open("rb") as file:
                head = file.read(SNIFFED_BYTES)
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or str(error)
            raise InputError.of("unreadable", name, expected="a file that can be read", got=reason) from None
    kind = look(head, size, name)
    if kind == "parquet":
        return _parquet(source, name)
    encoding = _encoding(head)
    if isinstance(source, bytes):
        with io.TextIOWrapper(io.BytesIO(source), encoding=encoding, errors="replace", newline="") as text:
            return _csv(text, mapping, name)
    with Path(source).open(encoding=encoding, errors="replace", newline="") as text:
        return _csv(text, mapping, name)


def look(head: bytes, size: int, name: str) -> str:
    """The kind of a file from its first bytes: "parquet" or "csv". Raises InputError for anything else."""
    if not head.strip():
        raise InputError.of(
            "empty_file", name, expected="a recording", got="an empty file", cause="an export that failed",
            do="Export the recording again",
        )  # fmt: skip
    megabytes = f"{size / 1e6:.0f} MB of " if size > 1e6 else ""
    if head.startswith(b"PAR1"):
        kind = "parquet"
    else:
        kind = "csv"
        guess = next((words for magic, words in _MAGIC if head.startswith(magic)), None)
        if guess is None and head[4:8] == b"ftyp":
            guess = "a video"
        if guess is None and not head.startswith((b"\xff\xfe", b"\xfe\xff")) and b"\x00" in head:
            guess = "binary data"
        if guess is not None:
            raise InputError.of(
                "not_a_table", name, expected="a recording as CSV or Parquet", got=megabytes + guess,
                cause="another file was chosen", do="Choose the file that the sensors' app exported",
            )  # fmt: skip
        if size > SNIFFED_BYTES and b"\n" not in head and b"\r" not in head:
            raise InputError.of(
                "not_a_table", name, expected="a recording as CSV or Parquet", got=f"{megabytes}text without line ends",
                cause="another file was chosen", do="Choose the file that the sensors' app exported",
            )  # fmt: skip
    if size > LARGEST_BYTES:
        raise InputError.of(
            "too_large", name, expected=f"at most {LARGEST_BYTES / 1e6:.0f} MB", got=f"{size / 1e6:.0f} MB",
            cause="many lessons in one file", do="Export one lesson at a time",
        )  # fmt: skip
    return kind


def _parquet(source: str | Path | bytes, name: str) -> Table:
    pyarrow, parquet = parquet_library()
    try:
        table = parquet.read_table(io.BytesIO(source) if isinstance(source, bytes) else source)
        cells: dict[str, Any] = {}
        for column in table.column_names:
            values = table.column(column)
            try:
                cells[column] = values.to_numpy()
            except pyarrow.ArrowException:
                cells[column] = values.to_pylist()
    except (pyarrow.ArrowException, OSError, ValueError, NotImplementedError) as error:
        raise InputError.of(
            "broken_parquet", name, expected="a whole Parquet file", got=f"one that cannot be read ({error})"[:200],
            cause="a copy that broke off", do="Copy or export it again",
        ) from None  # fmt: skip
    return Table(tuple(cells), table.num_rows, cells)


def _encoding(head: bytes) -> str:
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    try:
        head.decode("utf-8")
    except UnicodeDecodeError as error:
        if error.start < len(head) - 8:  # not merely cut within a character
            return "latin-1"
    return "utf-8-sig"


def _csv(text: IO[str], mapping: ColumnMapping, name: str) -> Table:
    start = text.read(SNIFFED_BYTES)
    text.seek(0)
    lines = start.splitlines()
    skipped, names = _header(lines, mapping, name)
    delimiter = mapping.delimiter or _delimiter(lines[names])
    header = _joined_header(lines, skipped, names, delimiter)
    # Refuse other text before reading all of it: at least one column that the mapping knows must be there.
    sources = {c.source for c in mapping.columns.values()}
    if not sources & set(header):
        shown = ", ".join(h[:30] for h in header[:5] if h) or "nothing"
        raise InputError.of(
            "unknown_layout", name, expected="a header line with column names, such as time_s, forearm_acc_x_mps2",
            got=f'"{shown}"', cause="another kind of text, or another device\'s layout",
            do="Choose the recording, or make a column mapping for this device",
        )  # fmt: skip
    for _ in range(names + 1):
        text.readline()
    labels = mapping.columns["phase"].source if "phase" in mapping.columns else None
    return _rows(text, header, delimiter, mapping.decimal, sources, labels)


def _header(lines: list[str], mapping: ColumnMapping, name: str) -> tuple[int, int]:
    """First and last line of the header, as indices."""
    if mapping.header_lines is not None:
        if len(lines) <= mapping.header_lines:
            raise InputError.of(
                "too_few_rows", name, expected=f"{mapping.header_lines} header lines and rows of numbers",
                got=f"{len(lines)} lines",
            )  # fmt: skip
        first = next((i for i in range(mapping.header_lines) if not lines[i].startswith("#")), mapping.header_lines - 1)
        return first, mapping.header_lines - 1
    for i, line in enumerate(lines):
        if line.strip() and not line.startswith("#"):
            return i, i
    raise InputError.of("empty_file", name, expected="a header line and rows of numbers", got="comments only")


def _delimiter(line: str) -> str:
    counts = {d: line.count(d) for d in (",", ";", "\t", "|")}
    best = max(counts, key=lambda d: counts[d])
    return best if counts[best] else ","


def _joined_header(lines: list[str], first: int, last: int, delimiter: str) -> tuple[str, ...]:
    """Header names; above each the nearest name to the left of the lines before, joined by a dot. Unique."""
    levels = [
        [c.strip().strip('"') for c in next(csv.reader([lines[i]], delimiter=delimiter), [])]
        for i in range(first, last + 1)
    ]
    width = max(len(level) for level in levels)
    names = [""] * width
    for level in levels:
        above = ""
        for k in range(width):
            cell = level[k] if k < len(level) else ""
            if level is levels[-1]:
                names[k] = ".".join(p for p in (names[k], cell) if p)
            else:
                above = cell or above
                names[k] = ".".join(p for p in (names[k], above) if p)
    seen: dict[str, int] = {}
    out = []
    for name in names:
        seen[name] = seen.get(name, 0) + 1
        out.append(name if seen[name] == 1 else f"{name}#{seen[name]}")
    return tuple(out)


def _rows(
    text: IO[str], header: tuple[str, ...], delimiter: str, decimal: str, sources: set[str], labels: str | None
) -> Table:
    """Rows of the wanted columns: quickly where every cell is a number, else cell by cell."""
    wanted = [k for k, h in enumerate(header) if h in sources]
    plain = [k for k in wanted if header[k] != labels]
    place = text.tell()
    if decimal == ".":
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # of an empty table: the caller says that in its own words
                block = np.loadtxt(text, delimiter=delimiter, usecols=plain, ndmin=2, comments=None)
                quick: dict[str, Any] = {header[k]: block[:, i] for i, k in enumerate(plain)}
                for k in set(wanted) - set(plain):
                    text.seek(place)
                    quick[header[k]] = np.loadtxt(
                        text, dtype="U32", delimiter=delimiter, usecols=k, ndmin=1, comments=None, quotechar='"'
                    )
            return Table(header, len(block), quick)
        except (ValueError, OverflowError):
            pass
        text.seek(place)
    columns: dict[int, list[str]] = {k: [] for k in wanted}
    reader = csv.reader(text, delimiter=delimiter)
    while True:
        try:
            row = next(reader, None)
        except csv.Error:
            continue
        if row is None:
            break
        if not any(cell.strip() for cell in row):
            continue
        for k, cells in columns.items():
            cells.append(row[k] if k < len(row) else "")
    out: dict[str, Any] = {}
    for k, cells in columns.items():
        if k in plain:
            fixed = [c.replace(",", ".") for c in cells] if decimal == "," else cells
            out[header[k]] = numbers_from(fixed)
        else:
            out[header[k]] = np.array([c.strip() for c in cells], dtype=np.str_)
    rows = len(next(iter(columns.values()), []))
    return Table(header, rows, out)
