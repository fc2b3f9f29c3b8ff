"""A table as it lies in its file: headings, and under each what stands there; CSV, workbook or Parquet."""

import csv
import io
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bomcheck.errors import WorkbookError
from bomcheck.screen.faults import refuse
from bomcheck.workbook.cells import Cell

MOST_COLUMNS = 2000
"""No table of corners or kits has as many fields."""

PARQUET = (".parquet", ".pq")
BOOKS = (".xlsx", ".xlsm")
TEXTS = (".csv", ".txt", ".tsv")
WAYS = "Save the table as a workbook (.xlsx), as CSV in UTF-8, or as Parquet"


@dataclass
class Grid:
    """headings: texts of the first row. columns: under each, a list of texts and cells, "" for a blank; or an array of
    numbers in internal units. first: number of the row that the first entry stands in, as the file counts. typed: whether the
    figures are in internal units, as in Parquet."""

    file: str
    headings: list[str]
    columns: list[Any]
    rows: list[int] = field(default_factory=list)
    typed: bool = False


def read_grid(path: Path) -> Grid:
    """The table in a file, or in a folder of Parquet files. Raises WorkbookError."""
    kind = path.suffix.lower()
    if path.is_dir() or kind in PARQUET:
        return _from_parquet(path)
    if kind in TEXTS:
        return _from_text(path)
    if kind in BOOKS:
        return _from_workbook(path)
    raise refuse("file", path.name, "this kind of file is not read", WAYS)


def _from_text(path: Path) -> Grid:
    data = path.read_bytes()
    text = _decoded(path, data)
    try:
        lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True))
    except csv.Error as error:
        raise refuse("damaged", path.name, f"this is no sound CSV table: {error}", WAYS) from None
    return _of_lines(path.name, lines)


def _decoded(path: Path, data: bytes) -> str:
    if data[:4] in (b"PK\x03\x04", b"PAR1"):
        raise refuse(
            "file",
            path.name,
            "this is no text table, whatever its name says",
            "Give it the ending that it has: .xlsx or .parquet",
        )
    if not data.strip():
        raise refuse(
            "nothing filled in", path.name, "the file is empty", "Begin with `bomcheck new --corners` or `--kits`"
        )
    wide = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    try:
        text = data.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise refuse(
            "file", path.name, "the text is not in UTF-8", "Save it again as CSV UTF-8", f"row {line}"
        ) from None
    if "\0" in text:
        raise refuse("file", path.name, "this is no text table", WAYS)
    return text


def _delimiter(text: str) -> str:
    head = text[: text.find("\n") + 1] or text
    return max(",;\t", key=head.count)


def _of_lines(file: str, lines: list[list[Any]]) -> Grid:
    if len(lines[0]) > MOST_COLUMNS:
        wrong = f"{len(lines[0]):,} columns are more than the {MOST_COLUMNS:,} that are read"
        raise refuse("too large", file, wrong, "Keep the columns that are fields; `bomcheck fields` lists them")
    numbers = [number for number, line in enumerate(lines, 1) if number > 1 and any(_filled(cell) for cell in line)]
    width = len(lines[0])
    long = next((n for n in numbers if any(_filled(cell) for cell in lines[n - 1][width:])), None)
    if long is not None:
        wrong = f"this row has more cells than the {width} headings"
        raise refuse(
            "heading missing",
            file,
            wrong,
            "Quote texts that hold the dividing sign, or give the column a heading",
            f"row {long}",
        )
    full = [
        line if len(line) >= width else [*line, *[""] * (width - len(line))] for line in (lines[n - 1] for n in numbers)
    ]
    columns = [list(column) for column in zip(*(line[:width] for line in full), strict=True)] or [[] for _ in lines[0]]
    return Grid(file, [_text(cell).strip() for cell in lines[0]], columns, numbers)


def _filled(cell: Any) -> bool:
    return isinstance(cell, Cell) or bool(cell.strip())


def _text(cell: Any) -> str:
    return cell.text if isinstance(cell, Cell) else str(cell)


def _from_workbook(path: Path) -> Grid:
    """The first sheet that holds something."""
    from bomcheck.workbook.package import open_package

    package = open_package(path)
    for sheet in package.sheets:
        cells = package.cells(sheet.name) if sheet.kind == "worksheet" else {}
        if cells:
            return _of_lines(path.name, _lines(cells))
    raise refuse(
        "nothing filled in", path.name, "no sheet holds anything", "Begin with `bomcheck new --corners` or `--kits`"
    )


def _lines(cells: dict[str, Cell]) -> list[list[Any]]:
    height = max(cell.row for cell in cells.values())
    width = max((cell.column for cell in cells.values() if cell.row == 1), default=0)
    across = max(cell.column for cell in cells.values())
    lines: list[list[Any]] = [[""] * across for _ in range(height)]
    for cell in cells.values():
        lines[cell.row - 1][cell.column - 1] = cell
    lines[0] = lines[0][: max(width, 1)]
    return lines


def _from_parquet(path: Path) -> Grid:
    pandas = parquet_library(path.name)
    try:
        frame = pandas.read_parquet(path)
    except (OSError, ValueError) as error:
        wrong = str(error).splitlines()[0][:120]
        raise refuse("damaged", path.name, f"this Parquet table cannot be read ({wrong})", WAYS) from None
    if len(frame.columns) > MOST_COLUMNS:
        raise refuse(
            "too large",
            path.name,
            f"{len(frame.columns):,} columns are more than {MOST_COLUMNS:,}",
            "Keep the columns that are fields",
        )
    columns = [_parquet_column(frame[name]) for name in frame.columns]
    return Grid(path.name, [str(name) for name in frame.columns], columns, list(range(1, len(frame) + 1)), typed=True)


def _parquet_column(series: Any) -> Any:
    if series.dtype.kind in "fiu":
        return series.to_numpy(dtype=float)
    return ["" if value is None or value != value else str(value) for value in series.tolist()]


def parquet_library(file: str) -> Any:
    """pandas with a library for Parquet; raises WorkbookError where there is none."""
    try:
        import pandas
        import pyarrow  # noqa: F401
    except ImportError:
        instead = "Install it: pip install corner-bomcheck[cluster]; or use CSV"
        raise refuse("file", file, "Parquet needs the library pyarrow, which is not installed", instead) from None
    return pandas


def is_job_workbook(path: Path) -> bool:
    """Whether a file is a job workbook, with a sheet of fields in it."""
    if path.suffix.lower() not in BOOKS or not path.is_file():
        return False
    from bomcheck.workbook import layout
    from bomcheck.workbook.package import open_package

    names = open_package(path).sheet_names
    return layout.CORNER in names or layout.KIT in names


__all__ = ["Grid", "WorkbookError", "is_job_workbook", "parquet_library", "read_grid"]
