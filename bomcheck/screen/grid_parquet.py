"""A table in a Parquet file, or in a folder of them; figures are in internal units."""

from pathlib import Path
from typing import Any

from bomcheck.screen.entries import Entries
from bomcheck.screen.faults import refuse
from bomcheck.screen.grids import WAYS, Grid, require_columns


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
    if series.dtype.kind in "fiu":
        figures: Entries = series.to_numpy(dtype=float)
        return figures
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
