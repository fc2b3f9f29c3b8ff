"""One demo job: what a person typed into a job workbook, and the verdict that is expected of it.

The cells are kept as short texts, a line for each cell or each part, so that a scenario can be read like a filled-in
form. Numbers become number cells, everything else is written as it stands.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bomcheck.model.verdict import Verdict
from bomcheck.tables.fields import Field, fields, part_fields, supplier_fields

NUMBERS = ("number", "count")
FIRST_COLUMNS = {
    "box": ("role", "part_number", "description", "quantity"),
    "shelf": ("role", "part_number", "description", "on_hand"),
    "prices": ("role", "part_number", "description", "supplier", "unit_price"),
    "terms": ("supplier", "freight", "minimum_order"),
}


@dataclass(frozen=True)
class Demo:
    """One scenario.

    name: of the workbook, without its ending. system: "metric" or "inch", the units of bare numbers. verdict: expected.
    shows: what can be learned from it, whole sentences. job, corner, kit, system_cells: lines "key  value", or
    "key  value  ± figure". box, shelf, prices, terms: lines "role | part number | ...", as `part_rows` reads.
    """

    name: str
    system: str
    verdict: Verdict
    shows: str
    job: str
    corner: str
    kit: str
    system_cells: str = ""
    box: str = ""
    shelf: str = ""
    prices: str = ""
    terms: str = ""

    @property
    def start_note(self) -> str:
        """What the first sheet says of the demo."""
        return f"Demo, an invented car and kit. {self.shows} Expected verdict: {self.verdict}."

    @property
    def filled(self) -> dict[str, Any]:
        """All cells, as `bomcheck.io.blank.template.build_job_workbook` takes them."""
        forms = {"job": self.job, "corner": self.corner, "kit": self.kit, "system": self.system_cells}
        read = {section: form_cells(text, self.system) for section, text in forms.items()}
        tables = {name: part_rows(name, getattr(self, name), self.system) for name in FIRST_COLUMNS}
        cells = {section: values for section, (values, _) in read.items()}
        plus_minus = {key: half for _, halves in read.values() for key, half in halves.items()}
        return {"start_note": self.start_note, "plus_minus": plus_minus, **cells, **tables}

    def write(self, into: Path) -> Path:
        """Writes the workbook into a folder, the same bytes each time."""
        from bomcheck.io.blank.template import build_job_workbook

        path = into / f"{self.name}.xlsx"
        build_job_workbook(self.system, self.filled, path)
        return path


def form_cells(text: str, system: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """({key: value}, {key: ±}) of the lines of a form.

    >>> form_cells("hub_pilot_diameter  54.06  ± 0.01", "metric")
    ({'hub_pilot_diameter': 54.06}, {'hub_pilot_diameter': 0.01})
    """
    values: dict[str, Any] = {}
    halves: dict[str, Any] = {}
    for line in _lines(text):
        key, rest = line.split(maxsplit=1)
        typed, _, half = rest.partition("±")
        values[key] = as_typed(typed.strip(), fields()[key], system)
        if half:
            halves[key] = as_typed(half.strip(), fields()[key], system)
    return values, halves


def part_rows(table: str, text: str, system: str) -> list[dict[str, Any]]:
    """The lines of a table of parts: the first columns by their order, the others as "key value".

    >>> part_rows("box", "shim | 08 | shim 0.8 | 8 | thickness 0.8", "metric")
    [{'role': 'shim', 'part_number': '08', 'description': 'shim 0.8', 'quantity': 8.0, 'thickness': 0.8}]
    """
    return [dict(_part_cells(table, line, system)) for line in _lines(text)]


def _part_cells(table: str, line: str, system: str) -> Iterator[tuple[str, Any]]:
    cells = [cell.strip() for cell in line.split("|")]
    first = FIRST_COLUMNS[table]
    pairs = [*zip(first, cells, strict=False), *(cell.split(maxsplit=1) for cell in cells[len(first) :])]
    known: Mapping[str, Field] = supplier_fields() if table == "terms" else part_fields()
    return ((key, as_typed(text, known[key], system)) for key, text in pairs if text)


def as_typed(text: str, field: Field, system: str) -> float | str:
    """A number for a number cell, else the text; inch sheets keep their sizes as text, as 3/4 must not become a day."""
    keeps_text = field.notation not in NUMBERS or field.shown_unit(system) in ("in", "")
    return text if keeps_text or not re.fullmatch(r"-?\d*\.?\d+", text) else float(text)


def _lines(text: str) -> Iterator[str]:
    return (line.strip() for line in text.splitlines() if line.strip())
