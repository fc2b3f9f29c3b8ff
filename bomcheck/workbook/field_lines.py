"""The filled rows of a sheet of fields: which field each belongs to. Rows that are no field's are named in a fault."""

from collections.abc import Iterator
from dataclasses import dataclass

from bomcheck.fields import Field, find_label, nearest_label
from bomcheck.workbook import layout
from bomcheck.workbook.cells import Cell
from bomcheck.workbook.found import Found
from bomcheck.workbook.grid import Grid, Headings
from bomcheck.workbook.read_value import says_nothing, unit_beside

WHAT, VALUE, UNIT, PLUS_MINUS, USUAL, HELP = layout.FIELD_HEADINGS
_OTHER_NAMES = {"+/-": PLUS_MINUS, "+-": PLUS_MINUS, "plus minus": PLUS_MINUS, "tolerance": PLUS_MINUS}
_NAMES = {**{name.lower(): name for name in layout.FIELD_HEADINGS}, **_OTHER_NAMES}
HEADINGS = Headings(
    lambda text: _NAMES.get(" ".join(text.lower().split())),
    {name: name for name in layout.FIELD_HEADINGS},
    (WHAT, VALUE),
)
_OWN_NOTE = "Nothing to do if it is your own note"


@dataclass(frozen=True, slots=True)
class Line:
    """One row of a sheet of fields; cells that are empty are None."""

    field: Field
    label: Cell
    value: Cell | None
    unit: Cell | None
    plus_minus: Cell | None
    is_explained: bool

    @property
    def first(self) -> Cell:
        """The cell that shows where the line is."""
        return self.value or self.plus_minus or self.label


def field_lines(found: Found, grid: Grid, section: str) -> Iterator[Line]:
    """Each field's one line on the sheet; whatever else is filled in is written down in `found`."""
    yield from _single(found, _lines(found, grid, section), section)


def unit_alone(found: Found, field: Field | None, cell: Cell | None) -> None:
    """Names what stands in the unit's column beside no value and is no unit; a figure there is in the wrong column."""
    if cell is None or (field and cell.text in (field.metric_unit, field.inch_unit)) or says_nothing(cell):
        return
    if field and unit_beside(field.unit, cell.text):
        return
    is_figure = cell.kind != "text" or any(sign.isdigit() for sign in cell.text)
    wrong = "this stands in the column for the unit, beside no value; it is not used"
    key = field.key if field else ""
    instead = f'Type it under "{VALUE}"' if is_figure else "Clear the cell, or type the value beside it"
    found.fault("not allowed here", cell.address, cell.text, wrong, instead, key, stops=is_figure)


def _lines(found: Found, grid: Grid, section: str) -> list[Line]:
    """The rows on which something is filled in. Rows that are no field are named in a fault."""
    lines: list[Line] = []
    others: list[tuple[int, Cell | None]] = []
    for row in grid.rows:
        value, plus_minus = grid.cell(row, VALUE), grid.cell(row, PLUS_MINUS)
        label = grid.cell(row, WHAT)
        field = find_label(label.text, section) if label else None
        if value is None and plus_minus is None:
            unit_alone(found, field, grid.cell(row, UNIT))
            continue
        if field is None or label is None:
            others.append((row, label))
            continue
        explained = any(grid.cell(row, name) for name in (UNIT, USUAL, HELP))
        lines.append(Line(field, label, value, grid.cell(row, UNIT), plus_minus, explained))
    used = {line.field.key for line in lines if line.value is not None}
    for row, label in others:
        _no_field(found, grid, row, label, section, used)
    return lines


def _no_field(found: Found, grid: Grid, row: int, label: Cell | None, section: str, used: set[str]) -> None:
    """Names a filled row whose label is no field's."""
    cells = [cell for cell in (grid.cell(row, VALUE), grid.cell(row, PLUS_MINUS)) if cell is not None]
    if all(says_nothing(cell) for cell in cells):
        return
    where = cells[0].address if len(cells) == 1 else f"{cells[0].address}:{cells[-1].address}"
    if label is None:
        found.remark("unknown label", where, cells[0].text, "there is no label beside this; it is not used", _OWN_NOTE)
        return
    if label.text.strip() in layout.groups(section):
        _in_heading(found, where, cells[0].text, label.text)
        return
    near = nearest_label(label.text, section)
    if near is None or near.key in used:
        wrong = f"this label is no field of this sheet; {where} is not used"
        found.remark("unknown label", label.address, label.text, wrong, _OWN_NOTE)
    else:
        wrong = f"this label is no field of this sheet, so {where} was not read"
        instead = f'Did you mean "{near.label}"? Type it so'
        found.hold([near.key], found.fault("unknown label", label.address, label.text, wrong, instead, near.key))


def _in_heading(found: Found, where: str, typed: str, heading: str) -> None:
    wrong = f'this stands in the row of the heading "{heading.strip()}"; it was not read'
    found.fault("not allowed here", where, typed, wrong, "Move it to the row that it belongs to")


def _single(found: Found, lines: list[Line], section: str) -> Iterator[Line]:
    """Each field's one line. Where a label is there twice, both filled in, neither is used."""
    same: dict[str, list[Line]] = {}
    for line in lines:
        same.setdefault(line.field.key, []).append(line)
    for key, several in same.items():
        several = _without_headings(found, several, section)
        filled = [line for line in several if not says_nothing(line.value)] or several[:1]
        if len(filled) > 1:
            _twice(found, key, filled)
            continue
        yield from (line for line in several if line in filled or not says_nothing(line.plus_minus))


def _without_headings(found: Found, lines: list[Line], section: str) -> list[Line]:
    """A heading may be called like a field of its group; its row explains nothing."""
    label = lines[0].label.text.strip()
    if len(lines) < 2 or label not in layout.groups(section) or not any(line.is_explained for line in lines):
        return lines
    for line in lines:
        if not line.is_explained:
            _in_heading(found, line.first.address, line.first.text, label)
    return [line for line in lines if line.is_explained]


def _twice(found: Found, key: str, lines: list[Line]) -> None:
    first, second = lines[0], lines[1]
    wrong = f"this label is on the sheet twice and both are filled in, {first.first.address} and {second.first.address}; neither is used"
    fault = found.fault("label used twice", first.label.address, first.label.text, wrong, "Delete one of the two", key)
    found.hold([key], fault)
