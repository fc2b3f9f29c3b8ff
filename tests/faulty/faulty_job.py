"""What a faulty workbook is, and short ways to spoil one cell of the good job."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from bomcheck.model.limits import house_limits
from bomcheck.tables.fields import fields
from tests.faulty.making import (
    Put,
    address,
    column,
    job_bytes,
    with_cells,
)


@dataclass(frozen=True)
class Made:
    """A faulty workbook. data: None where no file is to be written. sheet, cell: where the fault is to be named."""

    data: bytes | None
    sheet: str = ""
    cell: str = ""
    ending: str = ".xlsx"


@dataclass(frozen=True)
class Faulty:
    """name: of the file. kind, key: of the fault. stops: False for a remark. refused: nothing of it can be read."""

    name: str
    build: Callable[[], Made]
    kind: str
    key: str = ""
    stops: bool = True
    refused: bool = False

    def write(self, folder: Path, made: Made) -> Path:
        """Writes the workbook into a folder and returns its path."""
        path = folder / f"{self.name}{made.ending}"
        if made.data is not None:
            path.write_bytes(made.data)
        elif self.name == "a_folder":
            path.mkdir(exist_ok=True)
        return path

    def cells(self, made: Made) -> "Cells":
        """What the braces in this workbook's line stand for."""
        return Cells(cell=made.cell)


class Cells(dict[str, str]):
    """ "cell" is the spoilt cell; any other key is a field, and stands for the field's cell in the good job."""

    def __missing__(self, key: str) -> str:
        return cell_of(key)


FAULTY: dict[str, Faulty] = {}
Builder = Callable[[], Made]


def faulty(kind: str, key: str = "", stops: bool = True, refused: bool = False) -> Callable[[Builder], Builder]:
    """Lists a builder under its own name."""

    def listed(build: Builder) -> Builder:
        FAULTY[build.__name__] = Faulty(build.__name__, cache(build), kind, key, stops, refused)
        return build

    return listed


def put(sheet: str, cell: str, content: Put, named: str = "") -> Made:
    """The good job with one cell replaced; the fault is to name that cell, or the cell `named`."""
    return Made(with_cells({f"{sheet}!{cell}": content}), sheet, named or cell)


def cell_of(key: str, heading: str = "Value") -> str:
    """Address of a field's cell under a heading."""
    return address(sheet_of(key), fields()[key].label, heading)


def sheet_of(key: str) -> str:
    return fields()[key].section.capitalize()


def typed(key: str, content: Put, heading: str = "Value") -> Made:
    """The good job with something typed in a field's row."""
    return put(sheet_of(key), cell_of(key, heading), content)


def own_limit(name: str, content: Put, heading: str) -> Made:
    """The good job with a figure typed in a limit's row."""
    return put("Limits", address("Limits", house_limits()[name].title, heading), content)


def in_table(sheet: str, key: str, heading: str, **changes: Any) -> Made:
    """A table of one line with a change; the fault is to name the cell under that heading."""
    line = {"role": "bracket screw", "part_number": "S-1", **changes}
    if sheet == "Price list":
        line = {"supplier": "A", "unit_price": 2.5, **line}
    return Made(job_bytes(**{key: [line]}), sheet, f"{column(sheet, heading)}3")
