"""`bomcheck screen` from files to file. Returns what is to be printed; prints nothing itself but progress."""

import json
import re
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

from bomcheck.engine.many.lanes import Array
from bomcheck.model.errors import BomcheckError
from bomcheck.screen.blocks import Block
from bomcheck.screen.grids import refuse
from bomcheck.screen.headings import Table
from bomcheck.screen.rank import HEADINGS, Added, Line, lines
from bomcheck.screen.tables import Asked, read_both
from bomcheck.screen.tasks import Answer, Wanted, cores, run
from bomcheck.screen.world import World
from bomcheck.screen.writing import MOST_ROWS, SHEETS, csv_head, write_workbook

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
    from bomcheck.screen.grids import parquet_library

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


FEW_PAIRS = 100_000  # up to which the parts of what fits are worked out without being asked for


FITS_STATUS, FAILS_STATUS, NOT_KNOWN_STATUS, UNREADABLE_STATUS = 0, 1, 3, 4


@dataclass
class Screened:
    """What came of it. status: exit status. remarks: a line each, for standard error. counts: pairs by severity."""

    status: int
    remarks: list[str] = field(default_factory=list)
    counts: list[int] = field(default_factory=lambda: [0] * 5)
    pairs: int = 0


def screen_command(asked: Asked, write: Callable[[str], object] = sys.stdout.write, progress: bool = False) -> Screened:
    """Screen two tables. write: where text goes when no file is named. Raises BomcheckError."""
    form, processes = asked.form, asked.processes or cores()
    require_out(asked)
    corners, kits = read_both(asked, processes)
    world = World(corners.rows, kits.rows, asked.today or date.today())
    pairs = len(corners.rows) * len(kits.rows)
    wanted = Wanted(asked.passers, form, pairs <= FEW_PAIRS if asked.parts is None else asked.parts)
    done = Screened(0, [str(fault) for table in (corners, kits) for fault in table.faults], pairs=pairs)
    if asked.parts is None and not wanted.parts:
        done.remarks.append(f"{pairs:,} pairs: the parts to add were left out; --parts adds them.")
    answers = run(world, wanted, processes, asked.scheduler, _bar() if progress else None)
    deliver(asked, world, _tallied(answers, done), write)
    done.status = _status(done, [corners, kits])
    return done


def _tallied(answers: Iterator[Answer], done: Screened) -> Iterator[Answer]:
    for answer in answers:
        done.counts = [one + more for one, more in zip(done.counts, answer.counts, strict=True)]
        yield answer


def _status(done: Screened, tables: list[Table]) -> int:
    if any(fault.stops for table in tables for fault in table.faults):
        return UNREADABLE_STATUS
    fits, unknown = sum(done.counts[:2]), done.counts[2]
    return FITS_STATUS if fits else NOT_KNOWN_STATUS if unknown else FAILS_STATUS


def _bar() -> Callable[[int, int], None]:
    """Progress on a terminal, one line that is written over."""

    def show(number: int, count: int) -> None:
        end = "\n" if number == count else ""
        sys.stderr.write(f"\r{number} of {count} blocks{end}")
        sys.stderr.flush()

    return show


PARQUET_COLUMNS = ("corner", "kit", "rank", "verdict", "decides", "margin", "unit", "measure", "parts", "price")


def deliver(asked: Asked, world: World, answers: Iterator[Answer], write: Callable[[str], object]) -> None:
    """Write the answers down. write: where text goes when no file is named. Raises WorkbookError."""
    form = asked.form
    if form == "block" and asked.out is not None:
        _collect(asked.out, world, answers)
        return
    head = csv_head() if form == "csv" else ""
    if asked.out is None:
        for text in (head, *(answer.text for answer in answers)):
            write(text)
        return
    with beside(asked.out) as part, part.open("w", encoding="utf-8", newline="") as file:
        file.write(head)
        file.writelines(answer.text for answer in answers)


def _collect(out: Path, world: World, answers: Iterator[Answer]) -> None:
    """A workbook or a Parquet table; both need all pairs at once."""
    blocks: list[Block] = []
    added: dict[Any, Added] = {}
    for answer in answers:
        assert answer.block is not None
        blocks.append(answer.block)
        added.update(answer.added)
    parquet = out.suffix.lower() == ".parquet"
    if not parquet and sum(map(len, blocks)) > MOST_ROWS:
        raise refuse("too large", out.name, "more pairs than a sheet has rows", "Use --passers, or --out results.csv")
    found = [line for block in blocks for line in lines(world, block, added)]
    with beside(out) as part:
        if parquet:
            _write_parquet(part, found)
        else:
            write_workbook(part, found, world.corners.names, world.kits.names)


def _write_parquet(out: Path, rows: list[Line]) -> None:
    from bomcheck.screen.grids import parquet_library

    pandas = parquet_library(out.name)
    table = {
        "corner": [line.corner for line in rows], "kit": [line.kit for line in rows],
        "rank": np.array([line.rank for line in rows], dtype=np.int32),
        "verdict": [line.verdict for line in rows], "decides": [line.decides for line in rows],
        "margin": _figures([line.margin for line in rows]),
        "unit": [line.unit for line in rows], "measure": [line.measure for line in rows],
        "parts": [line.added.parts if line.added else None for line in rows],
        "price": _figures([line.added.price if line.added else None for line in rows]),
    }  # fmt: skip
    pandas.DataFrame(table).to_parquet(out, index=False)


def _figures(values: list[float | None]) -> Array:
    return np.array([np.nan if value is None else value for value in values], dtype=float)
