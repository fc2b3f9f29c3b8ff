"""What was found on Measure next goes into the blank cell that it belongs to; a cell that holds anything stays as it is."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import field

from bomcheck.io import layout
from bomcheck.io.cells import Cell
from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import Package
from bomcheck.io.parts import read_tree
from bomcheck.io.read.field_cells import FROM, HEADINGS, PLUS_MINUS, UNIT, VALUE, WHAT, takes_plus_minus
from bomcheck.io.read.found import Found, Grid, read_grid
from bomcheck.io.read.kits import own_of_kit, written_for
from bomcheck.io.read.own import input_cells
from bomcheck.io.read.tabs import find_sheets
from bomcheck.io.read.value import WITH_UNIT, says_nothing
from bomcheck.io.xml import Edit, apply, cell_with, cells_of, column_number, filled_row, rows_of
from bomcheck.model.job import Job
from bomcheck.model.records import dataclass
from bomcheck.tables.fields import Field, fields, find_label
from bomcheck.tables.sources import MEASURED

Entry = tuple[str, dict[str, Cell]]
"""The name of a line of Measure next, and what stands under Found and beside it."""


@dataclass(frozen=True, slots=True)
class Filled:
    """parts: new contents of the user's sheets that change. lines: where each line's answer went, by its own name in the
    job's entries; it stands on Measure next no more. what: of each, in words for the job's history."""

    parts: dict[str, bytes] = field(default_factory=dict)
    lines: dict[str, str] = field(default_factory=dict)
    what: dict[str, tuple[str, str]] = field(default_factory=dict)

    @property
    def said(self) -> str:
        """One line for the terminal, "" where nothing was filled in."""
        cells = ", ".join(self.lines.values())
        return f"Found on Measure next and now in its own cell: {cells}." if cells else ""


def fill_in(package: Package, job: Job, measured: Package) -> Filled:
    """package: where the blank cells are. job: as it was read. measured: the workbook with Measure next."""
    tabs, entries, filled = find_sheets(package)[0], _entries(measured), Filled()
    wanted: dict[str, dict[str, Entry]] = {}
    for one in (each for kit in (job, *job.kits) for each in (kit.axles or (kit,))):
        for key, value in one.values.items():
            entry = entries.get(value.place.sheet, {}).get(value.place.cell)
            tab = tabs.get(_own_sheet(one, fields()[key].section, tabs)) if entry else None
            if entry and tab:
                wanted.setdefault(tab, {})[key] = entry
    for tab, found in wanted.items():
        sheet = _Sheet(package, tab, fields()[next(iter(found))].section, str(job.get("units") or ""))
        cells = sheet.filled({key: typed for key, (_, typed) in found.items()})
        for key, (address, _) in cells.items():
            own = own_of_kit({found[key][0]: {}}, job.kit or layout.KITS[0], written_for(measured))
            filled.lines[next(iter(own))] = f"{tab} {address}"
            told = [one.text for name, one in found[key][1].items() if name != "found_plus_minus"]
            half = found[key][1].get("found_plus_minus")
            told[0] += f" ±{half.text}" if half else ""
            filled.what[found[key][0]] = (f"Found: {fields()[key].label}, now in {tab} {address}", ", ".join(told))
        if cells:
            contents = [one for _, row in cells.values() for one in row]
            filled.parts[package.sheet(tab).part] = _edited(package, tab, contents)
    return filled


def _entries(package: Package) -> dict[str, dict[str, Entry]]:
    """What stands under Found, by tab and cell."""
    tabs = [tab for kind, tab in marked_sheets(package).items() if kind.split()[0] == "measure"]
    typed = {tab: input_cells(package.cells(tab)) for tab in tabs}
    return {
        tab: {row["found"].address: (name, row) for name, row in rows.items() if "found" in row}
        for tab, rows in typed.items()
    }


def _own_sheet(job: Job, section: str, tabs: Mapping[str, str]) -> str:
    """Our name of the sheet on which the fields of a section stand for this axle, corner and kit."""
    axle = str(job.get("axle") or "") if layout.KIT not in tabs else ""
    if section == "kit":
        return layout.kit_sheet(layout.axle_sheet(layout.KIT, axle), job.kit)
    if section != "corner":
        return next(name for name, one in layout.FIELD_SHEETS.items() if one == section)
    own = layout.axle_sheet(layout.SIDE_SHEETS[job.side], axle) if job.side else ""
    return own if own in tabs else layout.axle_sheet(layout.CORNER, axle)


_FORMULA = re.compile(rb"""<(?:\w+:)?c\b[^>]*?\sr=["']([A-Z]+\d+)["'][^>]*>\s*<(?:\w+:)?f\b""")


class _Sheet:
    """A sheet of fields with cells that are still blank. system: "metric", "inch" or ""."""

    def __init__(self, package: Package, tab: str, section: str, system: str) -> None:
        self.section, self.system = section, system
        grid = read_grid(Found(package.file, tab), package.cells(tab), HEADINGS)
        self.grid: Grid = grid or Grid({}, {}, {})
        self.formulas = set(_FORMULA.findall(package.archive.read(package.sheet(tab).part)))

    def filled(self, found: Mapping[str, Mapping[str, Cell]]) -> dict[str, tuple[str, list[tuple[str, float | str]]]]:
        """By field: the address of its cell, and each cell that gets something with what it gets."""
        rows: dict[str, list[int]] = {}
        for row in self.grid.rows if {WHAT, VALUE} <= self.grid.columns.keys() else ():
            label = self.grid.cell(row, WHAT)
            field = find_label(label.text, self.section) if label else None
            if field is not None and label is not None and label.text.strip() not in layout.groups(self.section):
                rows.setdefault(field.key, []).append(row)
        blank = {key: row[0] for key, row in rows.items() if len(row) == 1 and self._is_blank(row[0], VALUE)}
        return {
            key: (self.grid.address(blank[key], VALUE), list(self._row(fields()[key], blank[key], typed)))
            for key, typed in found.items()
            if key in blank and self._is_blank(blank[key], PLUS_MINUS)
            if PLUS_MINUS in self.grid.columns or "found_plus_minus" not in typed
        }

    def _is_blank(self, row: int, column: str) -> bool:
        """Empty, or with a mark that says nothing, as "?"; a formula of the user's own is neither, whatever it gives."""
        at = self.grid.address(row, column) if column in self.grid.columns else ""
        return at.encode() not in self.formulas and says_nothing(self.grid.cell(row, column))

    def _row(self, field: Field, row: int, typed: Mapping[str, Cell]) -> Iterator[tuple[str, float | str]]:
        unit = self.grid.cell(row, UNIT)
        yield self.grid.address(row, VALUE), self._content(field, typed["found"], unit)
        if "found_plus_minus" in typed:
            yield self.grid.address(row, PLUS_MINUS), self._content(field, typed["found_plus_minus"], unit)
        if FROM in self.grid.columns and self._is_blank(row, FROM) and takes_plus_minus(field):
            yield self.grid.address(row, FROM), MEASURED

    def _content(self, field: Field, cell: Cell, beside: Cell | None) -> float | str:
        """As it was typed; a bare figure with its unit where the row has another one."""
        usual = field.shown_unit(self.system) if self.system else ""
        value = cell.value if cell.kind == "number" and isinstance(cell.value, int | float) else cell.text
        if field.notation not in WITH_UNIT or beside is None or beside.text == usual or not usual:
            return value
        return value if any(sign.isalpha() or sign in "\"'%" for sign in cell.text) else f"{cell.text} {usual}"


def _edited(package: Package, tab: str, contents: list[tuple[str, float | str]]) -> bytes:
    """The sheet's part with these cells filled in; each keeps its look."""
    content, root = read_tree(package.archive, package.sheet(tab).part, 4)
    data = root.child("sheetData")
    rows, edits = rows_of(data) if data is not None else {}, list[Edit]()
    made: dict[int, dict[int, bytes]] = {}
    for address, value in contents:
        letters = address.rstrip("0123456789")
        number, column = int(address.removeprefix(letters)), column_number(letters)
        there = cells_of(rows[number]).get(column)
        style = there.attributes.get("s", "") if there is not None else ""
        made.setdefault(number, {})[column] = cell_with(root.prefix, address, style, value)
    for number, cells in made.items():
        edits += filled_row(content, rows[number], cells)
    return apply(content, edits)
