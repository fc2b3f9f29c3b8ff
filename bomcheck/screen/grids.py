"""A table as it lies in its file: headings, and under each what stands there; CSV, workbook or Parquet."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from bomcheck.screen.entries import Entries, Entry, seen
from bomcheck.screen.faults import refuse

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


def read_grid(path: Path) -> Grid:
    """The table in a file, or in a folder of Parquet files. Raises WorkbookError."""
    if not path.exists():
        raise refuse("file", path.name, "there is no such file", "Check the name and the folder")
    return _reader(path)(path)


def _reader(path: Path) -> Callable[[Path], Grid]:
    kind = path.suffix.lower()
    if path.is_dir() or kind in PARQUET:
        from bomcheck.screen.grid_parquet import from_parquet

        return from_parquet
    if kind in TEXTS:
        from bomcheck.screen.grid_text import from_text

        return from_text
    if kind in BOOKS:
        from bomcheck.screen.grid_book import from_book

        return from_book
    raise refuse("file", path.name, "this kind of file is not read", WAYS)


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
