"""Where a result may go: never over an input, and only over a file that is itself the result of a screening."""

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bomcheck.model.errors import BomcheckError
from bomcheck.screen.asked import Asked
from bomcheck.screen.faults import refuse
from bomcheck.screen.rank import HEADINGS
from bomcheck.screen.writing import SHEETS

ANOTHER = "Give another name after --out; nothing was written"
LONGEST_HEAD = 4000  # bytes at the beginning of a text that tell what it is


def require_out(asked: Asked) -> None:
    """Raises WorkbookError where the result would take the place of an input or of somebody else's file."""
    out = asked.out
    if out is None:
        return
    inputs = ((asked.corners, "the corners"), (asked.kits, "the kits"), (asked.prices, "the price list"))
    for path, what in inputs:
        if path is not None and _is_or_lies_in(out, path):
            wrong = f"{what} are read from here" if what.endswith("s") else f"{what} is read from here"
            raise refuse("file", out.name, f"{wrong}, so the result cannot be written to it", ANOTHER)
    from bomcheck.io.disk import require_free

    require_free(out)
    if out.exists() and out.stat().st_size and not _is_result(out):
        wrong = "there is another file of this name, which is not the result of a screening"
        raise refuse("file", out.name, wrong, ANOTHER)


def _is_or_lies_in(out: Path, given: Path) -> bool:
    """Whether both are one file, however they are spelled or linked, or `out` lies in the folder that was given."""
    try:
        if given.is_dir() and out.resolve().is_relative_to(given.resolve()):
            return True
        return out.samefile(given)
    except OSError:
        return False


def _is_result(path: Path) -> bool:
    """Whether a file looks like one that a screening wrote: its headings, or its sheets, and no others."""
    kind = path.suffix.lower()
    if kind == ".xlsx":
        return _has_our_sheets(path)
    if kind == ".parquet":
        return _has_our_columns(path)
    with path.open("rb") as file:
        first = file.read(LONGEST_HEAD).decode("utf-8-sig", "replace").partition("\n")[0].strip()
    return _is_record(first) if kind == ".jsonl" else tuple(re.split("[,;\t]", first.replace('"', ""))) == HEADINGS


def _has_our_sheets(path: Path) -> bool:
    from bomcheck.io.package import open_package

    try:
        names = set(open_package(path).sheet_names)
    except BomcheckError:
        return False
    return SHEETS[0] in names and names <= set(SHEETS)


def _has_our_columns(path: Path) -> bool:
    from bomcheck.screen.delivering import PARQUET_COLUMNS
    from bomcheck.screen.grid_parquet import parquet_library

    parquet_library(path.name)
    from pyarrow.parquet import read_schema

    try:
        return tuple(read_schema(path).names) == PARQUET_COLUMNS
    except (OSError, ValueError):
        return False


def _is_record(line: str) -> bool:
    try:
        record = json.loads(line)
    except ValueError:
        return False
    return isinstance(record, dict) and {"corner", "kit", "rank", "verdict", "decides"} <= record.keys()


@contextmanager
def beside(out: Path) -> Iterator[Path]:
    """A file beside the result, which takes its place when all is written; a failure leaves what was there."""
    target = out.resolve()
    part = target.with_name(f".{target.name}.part")
    try:
        yield part
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)
