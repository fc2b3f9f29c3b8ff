"""A table in a Parquet file, or in a folder of them; figures are in internal units unless a row of units stands first."""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, cast

import numpy as np

from bomcheck.io.cells import Cell
from bomcheck.io.read.value import LOST_DIGITS
from bomcheck.screen.entries import Entries, Entry
from bomcheck.screen.faults import refuse
from bomcheck.screen.grids import WAYS, Grid, require_columns
from bomcheck.screen.lanes import Array

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
