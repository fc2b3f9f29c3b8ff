"""The answers on their way out: as text piece by piece, or all of them at once into a workbook or a Parquet table."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np

from bomcheck.screen.asked import Asked
from bomcheck.screen.block import Block
from bomcheck.screen.faults import refuse
from bomcheck.screen.lanes import Array
from bomcheck.screen.out_file import beside
from bomcheck.screen.rank import Added, Line, lines
from bomcheck.screen.tasks import Answer
from bomcheck.screen.world import World
from bomcheck.screen.writing import MOST_ROWS, csv_head, write_workbook

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
    from bomcheck.screen.grid_parquet import parquet_library

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
