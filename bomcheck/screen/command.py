"""`bomcheck screen` from files to file. Returns what is to be printed; prints nothing itself but progress."""

import json
import os
import re
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import field
from datetime import date
from io import BytesIO
from itertools import chain
from pathlib import Path
from typing import Any

import numpy as np

from bomcheck.engine.many.lanes import Array
from bomcheck.io.disk import only_writer, real_path
from bomcheck.io.replace_file import Draft, Pieces, write_files
from bomcheck.model.errors import BomcheckError
from bomcheck.model.records import dataclass
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
        if given.is_dir() and real_path(out).is_relative_to(real_path(given)):
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


def _put(out: Path, pieces: Pieces, there: os.stat_result | None) -> None:
    """The result, whole or not at all. there: what stood at its place when the screening began."""
    write_files(Draft(out, pieces, None if there is None else b"", stamp=there, large=True))


def _standing(out: Path | None) -> os.stat_result | None:
    """Status of what stands where the result goes."""
    try:
        return None if out is None else out.stat()
    except OSError:
        return None


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
    if asked.out is None:
        return _screened(asked, write, progress)
    with only_writer(asked.out):
        return _screened(asked, write, progress)


def _screened(asked: Asked, write: Callable[[str], object], progress: bool) -> Screened:
    form, processes = asked.form, asked.processes or cores()
    require_out(asked)
    there = _standing(asked.out)
    corners, kits = read_both(asked, processes)
    world = World(corners.rows, kits.rows, asked.today or date.today())
    pairs = len(corners.rows) * len(kits.rows)
    wanted = Wanted(asked.passers, form, pairs <= FEW_PAIRS if asked.parts is None else asked.parts)
    done = Screened(0, [str(fault) for table in (corners, kits) for fault in table.faults], pairs=pairs)
    if asked.parts is None and not wanted.parts:
        done.remarks.append(f"{pairs:,} pairs: the parts to add were left out; --parts adds them.")
    if wanted.parts and len(kits.rows.boxes) < len(kits.rows):
        of = f"{len(kits.rows) - len(kits.rows.boxes)} of {len(kits.rows)} kits have no contents of the box"
        done.remarks.append(
            f"{of}: what such a kit takes on any car (hose, shoes, fluid, screws) is taken to be in it and is in no price."
        )
    answers = run(world, wanted, processes, asked.scheduler, _bar() if progress else None)
    deliver(asked, world, _tallied(answers, done), write, there)
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
    """Progress on a terminal, one line that is written over: pairs that are done, and the time left at the pace so far."""
    began = time.monotonic()

    def show(done: int, pairs: int) -> None:
        left = (time.monotonic() - began) * (pairs - done) / max(done, 1)
        words = f"about {left / 60:.0f} min left" if left >= 120 else f"about {left:.0f} s left"
        with suppress(OSError):
            sys.stderr.write(f"\r{done:,} of {pairs:,} pairs, {words}   " if done < pairs else f"\r{'':60}\r")
            sys.stderr.flush()

    return show


PARQUET_COLUMNS = ("corner", "kit", "rank", "verdict", "decides", "margin", "unit", "measure", "parts", "price")


def deliver(
    asked: Asked,
    world: World,
    answers: Iterator[Answer],
    write: Callable[[str], object],
    there: os.stat_result | None = None,
) -> None:
    """Write the answers down. write: where text goes when no file is named. there: of `_put`. Raises WorkbookError."""
    form = asked.form
    if form == "block" and asked.out is not None:
        _collect(asked.out, world, answers, there)
        return
    head = csv_head() if form == "csv" else ""
    if asked.out is None:
        for text in (head, *(answer.text for answer in answers)):
            write(text)
        return
    texts = chain([head], (answer.text for answer in answers))
    _put(asked.out, (text.encode("utf-8", "replace") for text in texts), there)


def _collect(out: Path, world: World, answers: Iterator[Answer], there: os.stat_result | None) -> None:
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
    made = BytesIO()
    if parquet:
        _write_parquet(out.name, made, found)
    else:
        write_workbook(out.name, made, found, world.corners.names, world.kits.names)
    _put(out, [made.getbuffer()], there)


def _write_parquet(name: str, out: BytesIO, rows: list[Line]) -> None:
    from bomcheck.screen.grids import parquet_library

    pandas = parquet_library(name)
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
