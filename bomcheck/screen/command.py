"""`bomcheck screen` from files to file. Returns what is to be printed; prints nothing itself but progress."""

import os
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import numpy as np

from bomcheck.errors import Fault, WorkbookError
from bomcheck.screen.blocks import Block
from bomcheck.screen.faults import refuse
from bomcheck.screen.rank import Added, Line, lines
from bomcheck.screen.tables import Table, read_rows
from bomcheck.screen.working import Answer, Wanted, cores, run
from bomcheck.screen.world import World
from bomcheck.screen.writing import csv_head, write_workbook

FEW_PAIRS = 100_000  # up to which the parts of what fits are worked out without being asked for
LARGE_FILE = 1_000_000  # bytes
FORMS = {".csv": "csv", ".jsonl": "json", ".xlsx": "block", ".parquet": "block"}
FITS_STATUS, FAILS_STATUS, NOT_KNOWN_STATUS, UNREADABLE_STATUS = 0, 1, 3, 4


@dataclass
class Asked:
    """What the command was told. out: a file, or None for standard output. parts: None: where the pairs are few."""

    corners: Path
    kits: Path
    out: Path | None = None
    as_json: bool = False
    passers: bool = False
    parts: bool | None = None
    prices: Path | None = None
    scheduler: str = ""
    processes: int | None = None
    today: date | None = None


@dataclass
class Screened:
    """What came of it. status: exit status. remarks: a line each, for standard error. counts: pairs by severity."""

    status: int
    remarks: list[str] = field(default_factory=list)
    counts: list[int] = field(default_factory=lambda: [0] * 5)
    pairs: int = 0


def screen_command(asked: Asked, write: Callable[[str], object] = sys.stdout.write, progress: bool = False) -> Screened:
    """Screen two tables. write: where text goes when no file is named. Raises BomcheckError."""
    form = _form(asked)
    corners, kits = _read_both(asked)
    if asked.prices is not None:
        corners.rows.prices = (*corners.rows.prices, *_prices(asked.prices))
    world = World(corners.rows, kits.rows, asked.today or date.today())
    pairs = len(corners.rows) * len(kits.rows)
    wanted = Wanted(asked.passers, form, pairs <= FEW_PAIRS if asked.parts is None else asked.parts)
    done = Screened(0, [str(fault) for table in (corners, kits) for fault in table.faults], pairs=pairs)
    if asked.parts is None and not wanted.parts:
        done.remarks.append(f"{pairs:,} pairs: the parts to add were left out; --parts adds them.")
    answers = _tallied(run(world, wanted, asked.scheduler, asked.processes, _bar() if progress else None), done)
    _deliver(asked, world, answers, form, write)
    done.status = _status(done, [corners, kits])
    return done


def _read_both(asked: Asked) -> tuple[Table, Table]:
    """Both tables; large ones side by side."""
    wanted = [(asked.corners, "corners"), (asked.kits, "kits")]
    large = all(path.is_file() and path.stat().st_size > LARGE_FILE for path, _ in wanted)
    if large and hasattr(os, "fork") and (asked.processes or cores()) > 1:
        from multiprocessing import get_context

        with get_context("fork").Pool(2) as pool:
            corners, kits = pool.starmap(read_or_refuse, wanted)
    else:
        corners, kits = (read_or_refuse(*one) for one in wanted)
    for table in (corners, kits):
        if isinstance(table, Fault):
            raise WorkbookError(table)
    return corners, kits


def read_or_refuse(path: Path, kind: str) -> Table | Fault:
    """A table, or what is wrong with it; an exception with parts does not pass from one process to another."""
    try:
        return read_rows(path, kind)
    except WorkbookError as error:
        return error.fault


def _form(asked: Asked) -> str:
    if asked.out is None:
        return "json" if asked.as_json else "csv"
    form = FORMS.get(asked.out.suffix.lower())
    if form is None:
        raise refuse(
            "file",
            asked.out.name,
            "the result cannot be written in this form",
            "Name it .xlsx, .csv, .jsonl or .parquet",
        )
    return form


def _prices(path: Path) -> tuple[object, ...]:
    from bomcheck.workbook.read import read_job

    job, _ = read_job(path)
    return job.prices


def _tallied(answers: Iterator[Answer], done: Screened) -> Iterator[Answer]:
    for answer in answers:
        done.counts = [one + more for one, more in zip(done.counts, answer.counts, strict=True)]
        yield answer


def _status(done: Screened, tables: list[Table]) -> int:
    if any(fault.stops for table in tables for fault in table.faults):
        return UNREADABLE_STATUS
    fits, unknown = sum(done.counts[:2]), done.counts[2]
    return FITS_STATUS if fits else NOT_KNOWN_STATUS if unknown else FAILS_STATUS


def _deliver(asked: Asked, world: World, answers: Iterator[Answer], form: str, write: Callable[[str], object]) -> None:
    if form == "block":
        _collect(asked.out, world, answers)
        return
    head = csv_head() if form == "csv" else ""
    if asked.out is None:
        for text in (head, *(answer.text for answer in answers)):
            write(text)
        return
    beside = asked.out.with_name(f".{asked.out.name}.part")
    try:
        with beside.open("w", encoding="utf-8", newline="") as file:
            file.write(head)
            file.writelines(answer.text for answer in answers)
        beside.replace(asked.out)
    finally:
        beside.unlink(missing_ok=True)


def _collect(out: Path | None, world: World, answers: Iterator[Answer]) -> None:
    """A workbook or a Parquet table; both need all pairs at once."""
    assert out is not None
    found: list[Line] = []
    blocks: list[Block] = []
    added: dict[tuple[int, int], Added] = {}
    for answer in answers:
        assert answer.block is not None
        blocks.append(answer.block)
        added.update(answer.added)
    if out.suffix.lower() == ".parquet":
        _write_parquet(out, world, blocks, added)
        return
    if sum(map(len, blocks)) > 1_048_575:
        raise refuse("too large", out.name, "more pairs than a sheet has rows", "Use --passers, or --out results.csv")
    for block in blocks:
        found.extend(lines(world, block, added))
    write_workbook(out, found, world.corners.names, world.kits.names)


def _write_parquet(out: Path, world: World, blocks: list[Block], added: dict[tuple[int, int], Added]) -> None:
    from bomcheck.screen.grids import parquet_library

    pandas = parquet_library(out.name)
    rows = [line for block in blocks for line in lines(world, block, added)]
    table = {
        "corner": [line.corner for line in rows], "kit": [line.kit for line in rows], "rank": np.array([line.rank for line in rows], dtype=np.int32),
        "verdict": [line.verdict for line in rows], "decides": [line.decides for line in rows],
        "margin": np.array([np.nan if line.margin is None else line.margin for line in rows], dtype=float),
        "unit": [line.unit for line in rows], "measure": [line.measure for line in rows],
        "parts": [line.added.parts if line.added else None for line in rows],
        "price": np.array([np.nan if line.added is None or line.added.price is None else line.added.price for line in rows], dtype=float),
    }  # fmt: skip
    pandas.DataFrame(table).to_parquet(out, index=False)


def _bar() -> Callable[[int, int], None]:
    """Progress on a terminal, one line that is written over."""

    def show(number: int, count: int) -> None:
        end = "\n" if number == count else ""
        sys.stderr.write(f"\r{number} of {count} blocks{end}")
        sys.stderr.flush()

    return show
