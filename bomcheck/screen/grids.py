"""A table as it lies in its file: headings, and under each what stands there; CSV, workbook or Parquet."""

import csv
import io
import math
from collections.abc import Sequence
from dataclasses import field
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, cast

import numpy as np

from bomcheck.engine.many.lanes import Array
from bomcheck.io.cells import Cell, shortest
from bomcheck.io.disk import read_ordinary
from bomcheck.io.read.value import LOST_DIGITS
from bomcheck.model.errors import Fault, Place, WorkbookError
from bomcheck.model.records import dataclass
from bomcheck.notation.text import short


def fault(
    kind: str, file: str, where: str, typed: str, wrong: str, instead: str, key: str = "", stops: bool = True
) -> Fault:
    """One trouble. where: "row 7, column Ear spacing"."""
    return Fault(kind, Place(file, cell=where), short(typed), wrong, instead, key, stops)


def refuse(kind: str, file: str, wrong: str, instead: str, where: str = "", typed: str = "") -> WorkbookError:
    """A table that cannot be used at all."""
    return WorkbookError(fault(kind, file, where, typed, wrong, instead))


Entry = str | float | Cell
"""A text, "" for a blank; a figure of a workbook or of Parquet; a date, an error, a truth value, a formula without result."""
Entries = list[Entry] | Array
"""Entries one below another; an array holds numbers in internal units, NaN for blanks."""


def as_cell(entry: Entry) -> Cell | None:
    """The entry as a workbook's cell, None for a blank."""
    if isinstance(entry, Cell):
        return entry
    if isinstance(entry, float):
        return None if math.isnan(entry) else Cell("", 0, 0, "number", entry, shortest(entry))
    text = entry.strip()
    return Cell("", 0, 0, "text", text, text) if text else None


def seen(entry: Entry) -> str:
    """The entry as a person reads it."""
    if isinstance(entry, str):
        return entry.strip()
    cell = as_cell(entry)
    return "" if cell is None else cell.text.strip()


def listed(column: Entries) -> list[Entry]:
    """A column entry by entry, figures to the 15 digits that a person sees."""
    if isinstance(column, np.ndarray):
        return [float(shortest(figure)) for figure in column.tolist()]
    return column


def holds_something(column: Entries) -> bool:
    """Whether any entry is filled in."""
    if isinstance(column, np.ndarray):
        return not bool(np.isnan(column).all())
    return any(entry != "" for entry in column)


def types_of(column: Entries) -> set[Any]:
    """The types of a list's entries; empty for an array."""
    return set() if isinstance(column, np.ndarray) else set(map(type, column))


MOST_COLUMNS = 2000
"""No table of corners or kits has as many fields."""
MOST_ENTRIES = 40_000_000
"""Rows times columns of a table that are held at a time."""
PARQUET = (".parquet", ".pq")
BOOKS = (".xlsx", ".xlsm")
TEXTS = (".csv", ".txt", ".tsv")
WAYS = "Save the table as a workbook (.xlsx), as CSV in UTF-8, or as Parquet"
BEGIN = "Begin with `bomcheck new --corners` or `--kits`"


@dataclass
class Grid:
    """headings: texts of the first row. columns: under each, a list of entries, or an array of numbers in internal units.
    rows: number of the row that each entry stands in, as the file counts. typed: whether the figures are in internal units,
    as in Parquet."""

    file: str
    headings: list[str]
    columns: list[Entries]
    rows: list[int] = field(default_factory=list)
    typed: bool = False


def require_columns(file: str, count: int, rows: int) -> None:
    """Raises for more columns than there are fields, and for more than can be held."""
    if count > MOST_COLUMNS:
        wrong = f"{count:,} columns are more than the {MOST_COLUMNS:,} that are read"
        raise refuse("too large", file, wrong, "Keep the columns that are fields; `bomcheck fields` lists them")
    if count * rows > MOST_ENTRIES:
        wrong = f"{rows:,} rows of {count:,} columns are more than can be held"
        raise refuse("too large", file, wrong, "Divide the table, or keep the columns that are fields")


def too_long(file: str, headings: int, row: int) -> Exception:
    """What to raise for a row that goes on where no heading stands."""
    wrong = f"this row has more cells than the {headings} headings"
    instead = "Quote texts that hold the dividing sign, or give the column a heading"
    return refuse("heading missing", file, wrong, instead, f"row {row}")


def heading_texts(entries: Sequence[Entry]) -> list[str]:
    """The first row as texts."""
    return [seen(entry) for entry in entries]


QUOTE = '"'
LONGEST_CELL = 131_072  # characters, the csv module's own limit unless another library has changed it


def from_text(path: Path) -> Grid:
    """The table in a CSV file. Raises WorkbookError."""
    text = _decoded(path, read_ordinary(path, LARGEST_TABLE, "a table"))
    dividing = _dividing_sign(text)
    _require_narrow(path.name, text, dividing)
    lines = _plain_lines(text, dividing) or _quoted_lines(path.name, text, dividing)
    return _grid(path.name, lines)


LARGEST_TABLE, MOST_SIGNS_IN_ROW = 1_000_000_000, 200_000
"""Of a table as text: bytes, and dividing signs in one row, of which real tables have some hundreds."""


def _require_narrow(file: str, text: str, dividing: str) -> None:
    """A row of millions of empty cells would fill the memory."""
    if text.count(dividing) < MOST_SIGNS_IN_ROW:
        return
    if any(line.count(dividing) >= MOST_SIGNS_IN_ROW for line in text.split("\n")):
        wrong = f"one row has more than {MOST_SIGNS_IN_ROW:,} columns; that is the most that are read"
        raise refuse("too large", file, wrong, "Check that it is the right file")


def _decoded(path: Path, data: bytes) -> str:
    if data[:4] in (b"PK\x03\x04", b"PAR1"):
        wrong, instead = (
            "this is no text table, whatever its name says",
            "Give it the ending that it has: .xlsx or .parquet",
        )
        raise refuse("file", path.name, wrong, instead)
    if not data.strip():
        raise refuse("nothing filled in", path.name, "the file is empty", BEGIN)
    wide = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    try:
        text = data.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        wrong = "the text is not in UTF-8"
        raise refuse("file", path.name, wrong, "Save it again as CSV UTF-8", f"row {line}") from None
    if "\0" in text:
        raise refuse("file", path.name, "this is no text table", WAYS)
    return text


def _dividing_sign(text: str) -> str:
    head = text[: text.find("\n") + 1] or text
    return max(",;\t", key=head.count)


def _plain_lines(text: str, dividing: str) -> list[list[str]]:
    """The lines of a text without a quote, which needs no CSV reader; empty where that would not do."""
    if QUOTE in text:
        return []
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if not lines[-1]:
        lines.pop()
    if max(map(len, lines), default=0) > LONGEST_CELL:
        return []
    return [line.split(dividing) if line else [] for line in lines]


def _quoted_lines(file: str, text: str, dividing: str) -> list[list[str]]:
    before = csv.field_size_limit(LONGEST_CELL)
    try:
        return list(csv.reader(io.StringIO(text, newline=""), delimiter=dividing, strict=True))
    except csv.Error as error:
        raise refuse("damaged", file, f"this is no sound CSV table: {error}", WAYS) from None
    finally:
        csv.field_size_limit(before)


def _grid(file: str, lines: list[list[str]]) -> Grid:
    if not lines:
        raise refuse("nothing filled in", file, "the file is empty", BEGIN)
    width = len(lines[0])
    numbers = [number for number, line in enumerate(lines, 1) if number > 1 and _filled(line)]
    require_columns(file, width, len(numbers))
    full = []
    for number in numbers:
        line = lines[number - 1]
        if len(line) > width and _filled(line[width:]):
            raise too_long(file, width, number)
        full.append(line if len(line) == width else [*line, *[""] * (width - len(line))][:width])
    columns: list[Entries] = [list(column) for column in zip(*full, strict=True)] or [[] for _ in range(width)]
    return Grid(file, heading_texts(lines[0]), columns, numbers)


def _filled(line: list[str]) -> bool:
    return any(map(str.strip, line))


EXACT_SIZE = 8  # bytes of a figure that holds the 15 digits a person may type


def from_parquet(path: Path) -> Grid:
    """The table. Raises WorkbookError."""
    pandas = parquet_library(path.name)
    try:
        frame = pandas.read_parquet(path)
    except (OSError, ValueError) as error:
        wrong = str(error).splitlines()[0][:120]
        raise refuse("damaged", path.name, f"this Parquet table cannot be read ({wrong})", WAYS) from None
    require_columns(path.name, len(frame.columns), len(frame))
    columns = [_column(frame[name]) for name in frame.columns]
    return Grid(path.name, [str(name) for name in frame.columns], columns, list(range(1, len(frame) + 1)), typed=True)


def _column(series: Any) -> Entries:
    kind, size = series.dtype.kind, getattr(series.dtype, "itemsize", EXACT_SIZE)
    if kind in "iu" and not series.isna().all() and max(float(series.max()), -float(series.min())) >= LOST_DIGITS:
        return _entries(series)
    if kind not in "fiu":
        return _entries(series)
    figures = series.to_numpy(dtype=float, na_value=np.nan)
    if kind == "f" and size < EXACT_SIZE:  # 66.6 in four bytes is still 66.6 to a person
        figures = figures.astype(series.dtype.type).astype(str).astype(float)
    return cast(Array, figures)


def _entries(series: Any) -> list[Entry]:
    blank = series.isna().tolist()
    return ["" if gone else _entry(value) for gone, value in zip(blank, series.tolist(), strict=True)]


def _entry(value: Any) -> Entry:
    """A text, a figure, a truth value or a date, as a workbook would hold it."""
    if isinstance(value, bool):
        return Cell("", 0, 0, "bool", value, "TRUE" if value else "FALSE")
    if isinstance(value, float | Decimal) or (isinstance(value, int) and abs(value) < LOST_DIGITS):
        return float(value)
    if isinstance(value, date):
        iso = value.isoformat().removesuffix("T00:00:00")
        return Cell("", 0, 0, "date", iso, iso)
    return value.decode("utf-8", "replace") if isinstance(value, bytes) else str(value)


def parquet_library(file: str) -> Any:
    """pandas with a library for Parquet; raises WorkbookError where there is none."""
    try:
        import pandas
        import pyarrow  # noqa: F401
    except ImportError:
        instead = "Install it: pip install corner-bomcheck[cluster]; or use CSV"
        raise refuse("file", file, "Parquet needs the library pyarrow, which is not installed", instead) from None
    return pandas
