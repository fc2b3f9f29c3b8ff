"""The filled rows of a sheet of fields: which field each belongs to. Rows that are no field's are named in a fault."""

import re
from collections.abc import Iterator
from typing import Any

from bomcheck import notation
from bomcheck.io import layout
from bomcheck.io.cells import Cell
from bomcheck.io.read import value as reading
from bomcheck.io.read.found import Context, Found, Grid, Headings, between, read_grid
from bomcheck.io.read.plausible import refuse_implausible
from bomcheck.model.errors import Unreadable
from bomcheck.model.job import Value
from bomcheck.model.records import dataclass, replace
from bomcheck.model.types import Thread
from bomcheck.notation import units
from bomcheck.notation.text import read_choice
from bomcheck.notation.tolerance import Toleranced, read_toleranced
from bomcheck.tables.fields import Field, find_label, nearest_label, section_fields
from bomcheck.tables.sources import SOURCES, default_source, usual_interval

WHAT, VALUE, UNIT, PLUS_MINUS, FROM, USUAL, HELP = layout.FIELD_HEADINGS
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
    origin: Cell | None
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
    if cell is None or (field and cell.text in (field.metric_unit, field.inch_unit)) or reading.says_nothing(cell):
        return
    if field and reading.unit_beside(field.unit, cell.text):
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
        explained = any(grid.cell(row, name) for name in (UNIT, USUAL, HELP))
        if field is not None and explained and (value is None or reading.says_nothing(value)):
            found.blank.setdefault(field.key, found.place(grid.address(row, VALUE)))
        if value is None and plus_minus is None:
            unit_alone(found, field, grid.cell(row, UNIT))
            continue
        if field is None or label is None:
            others.append((row, label))
            continue
        lines.append(Line(field, label, value, grid.cell(row, UNIT), plus_minus, grid.cell(row, FROM), explained))
    used = {line.field.key for line in lines if line.value is not None}
    for row, label in others:
        _no_field(found, grid, row, label, section, used)
    return lines


def _no_field(found: Found, grid: Grid, row: int, label: Cell | None, section: str, used: set[str]) -> None:
    """Names a filled row whose label is no field's."""
    cells = [cell for cell in (grid.cell(row, VALUE), grid.cell(row, PLUS_MINUS)) if cell is not None]
    if all(reading.says_nothing(cell) for cell in cells):
        return
    where = cells[0].address if len(cells) == 1 else f"{cells[0].address}:{cells[-1].address}"
    if label is None or not label.text.strip():
        gone = _gone(grid, row, section)
        if gone is None or gone.key in used:
            found.remark(
                "unknown label", where, cells[0].text, "there is no label beside this; it is not used", _OWN_NOTE
            )
            return
        wrong = f'the label "{gone.label}" is missing beside this, so it was not read'
        found.hold([gone.key], found.fault("unknown label", where, cells[0].text, wrong, "Type it again", gone.key))
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


def _gone(grid: Grid, row: int, section: str) -> Field | None:
    """The field whose label stood there, by the labels above and below."""
    fields = {field.key: field for members in layout.groups(section).values() for field in members}
    labels = (grid.cell(at, WHAT) if at in grid.rows else None for at in (row - 1, row + 1))
    around = [find_label(label.text, section) if label else None for label in labels]
    return fields.get(between(list(fields), *([one.key] if one else [] for one in around)))


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
        filled = [line for line in several if not reading.says_nothing(line.value)] or several[:1]
        if len(filled) > 1:
            _twice(found, key, filled)
            continue
        yield from (line for line in several if line in filled or not reading.says_nothing(line.plus_minus))


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


TAKES = ("number", "pairs")
"""Notations of which every field may carry a typed ±; a bolt circle only where it has a usual one."""
SAME = 5e-4  # mm: as closely as a ± is ever written
TYPE = "Type a number, 0 for exact, or leave the cell blank for the usual ±"
_SIGN = re.compile(r"^(?:±|\+\s*/?\s*-)\s*")


def takes_plus_minus(field: Field) -> bool:
    """Whether a ± typed beside this field has a meaning."""
    return field.notation in TAKES or field.takes_plus_minus


def read_plus_minus(
    field: Field, value: Any, value_cell: Cell, cell: Cell | None, beside: str | None
) -> tuple[float, str]:
    """(±, where it is from: "typed", "usual" or ""). Raises Unreadable.

    beside: the unit that bare figures of the row take.
    """
    usual = (field.plus_minus, "usual" if field.plus_minus else "")
    if cell is None or reading.says_nothing(cell) or not takes_plus_minus(field):
        return usual
    reading.refuse_no_value(cell, field.unit)
    half = _half(field, value, value_cell, cell, beside)
    if half is None:
        return usual
    if half < 0:
        raise Unreadable("out of range", cell.text, "a ± is never below 0", TYPE)
    _refuse_too_wide(field, half, cell)
    return half, "typed"


def _half(field: Field, value: Any, value_cell: Cell, cell: Cell, beside: str | None) -> float | None:
    if cell.kind == "bool":
        raise Unreadable("unreadable text", cell.text, "this is no ±", TYPE)
    text = _SIGN.sub("", notation.plain(cell.text))
    if text.endswith("%"):
        return _share(field, value, text, cell)
    _refuse_mixed(field, value_cell, cell, text, beside)
    unit = field.unit or "mm"
    try:
        return notation.read_quantity(text, unit, beside, difference=True)
    except Unreadable as bad:
        instead = bad.instead if bad.kind in ("unknown unit", "unit missing") else TYPE
        raise Unreadable(bad.kind, cell.text, bad.wrong, instead) from None


def _share(field: Field, value: Any, text: str, cell: Cell) -> float:
    """A ± typed in percent of the value."""
    inside = units.named(field.unit)
    if not isinstance(value, int | float) or (inside and inside.quantity in ("ratio", "temperature")):
        raise Unreadable("unreadable text", cell.text, "percent of what is not clear for this field", TYPE)
    return abs(value) * float(notation.read_quantity(text, "-") or 0.0)


def _refuse_mixed(field: Field, value_cell: Cell, cell: Cell, text: str, beside: str | None) -> None:
    """A bare ± beside a size that names another unit than the row's could mean either."""
    own = reading.own_unit(value_cell, field.unit)
    if own is None or beside is None or own == beside or any(sign.isalpha() or sign in "\"'" for sign in text):
        return
    if notation.read_quantity(text, "-") == 0:
        return
    wrong = f"the size beside it has the unit {own} and its row {beside}, so the unit of this ± is not clear"
    raise Unreadable("unit missing", cell.text, wrong, f"Type {cell.text} {own} or {cell.text} {beside}")


def _refuse_too_wide(field: Field, half: float, cell: Cell) -> None:
    """A ± wider than all that is plausible says nothing about the size."""
    low, high = field.pair_ranges[1] if field.pair_ranges else (field.low, field.high)
    if low is not None and high is not None and half > (high - low) / 2:
        wrong = "this ± is wider than everything that is plausible for the size"
        raise Unreadable("out of range", cell.text, wrong, TYPE)


FIRST, LAST = "currency", "wheel_offset"
"""Read before and after all others: prices name a currency; a backspace needs the rim's width."""


def read_fields(found: Found, context: Context, section: str, cells: dict[str, Cell]) -> None:
    """Reads a whole sheet into `found`. section: "job", "corner", "kit" or "system"."""
    grid = read_grid(found, cells, HEADINGS)
    if grid is None:
        found.hold((one.key for one in section_fields(section) if found.faults), *found.faults[-1:])
        return
    for line in sorted(
        field_lines(found, grid, section), key=lambda one: (one.field.key == LAST, one.field.key != FIRST)
    ):
        read_line(found, context, line)


def read_line(found: Found, context: Context, line: Line) -> None:
    """Reads one field into `found`."""
    field, cell, asked = line.field, line.value, line.unit
    if cell is None or reading.says_nothing(cell):
        _plus_minus_alone(found, line)
        unit_alone(found, field, line.unit)
        return
    try:
        beside = reading.beside_or_usual(field, line.unit, context.system)
        asked = cell
        cell = _roughly(line, cell)
        reading.refuse_bare(field, cell, beside)
        inside = _toleranced(field, cell, beside)
        value = inside.middle if inside else _read(found, context, field, cell, beside)
        refuse_implausible(field, value, cell.text, reading.own_unit(cell, field.unit) or beside, context.system)
        asked = line.plus_minus
        half, origin = read_plus_minus(field, value, cell, line.plus_minus, beside)
        if inside:
            half, origin = _one_of_two(inside, half, origin, line), "typed"
        asked = line.origin
        source = _source(line)
    except Unreadable as bad:
        at = asked or cell
        found.refuse(at.address, at.text, bad, field.key)
        return
    if origin == "usual" and field.notation == "number":
        moved, half = usual_interval(field, source, value)
        value += moved
    found.values[field.key] = Value(field.key, value, half, cell.text, found.place(cell.address), origin, source)
    _remarks(found, line, value)


def _read(found: Found, context: Context, field: Field, cell: Cell, beside: str | None) -> Any:
    if field.key not in reading.PRICES:
        return reading.read_value(field, cell, beside, _rim_width(found))
    stated = found.values.get("currency")
    return reading.read_money(cell, context.currency or str(stated.value if stated else ""))


def _roughly(line: Line, cell: Cell) -> Cell:
    """ "about 66.5" is a size where its own ± stands beside it."""
    has_own = line.plus_minus is not None and not reading.says_nothing(line.plus_minus) and takes_plus_minus(line.field)
    if cell.kind != "text" or not has_own:
        return cell
    text = notation.without_about(notation.plain(cell.text))
    return replace(cell, value=text, text=text)


def _source(line: Line) -> str:
    """Where the size comes from: as typed, else as is usual for the field; "" where the field takes no ±."""
    if not takes_plus_minus(line.field):
        return ""
    typed = read_choice(line.origin.value, SOURCES) if line.origin is not None else None
    return typed or default_source(line.field)


def _toleranced(field: Field, cell: Cell, beside: str | None) -> Toleranced | None:
    """The interval that the cell itself states: a class, two deviations, a ±, a range."""
    if field.notation != "number" or not takes_plus_minus(field) or cell.kind != "text":
        return None
    return read_toleranced(cell.value, field.unit, beside)


def _one_of_two(inside: Toleranced, half: float, origin: str, line: Line) -> float:
    """The ± inside the cell; raises Unreadable where the one beside it says otherwise."""
    if origin == "typed" and abs(half - inside.half) > SAME and line.plus_minus is not None:
        wrong = (
            f"the size beside it has its own tolerance, {line.value.text if line.value else ''}, and it is another one"
        )
        raise Unreadable("entries disagree", line.plus_minus.text, wrong, "Clear this ±, or type the size without one")
    _refuse_too_wide(line.field, inside.half, line.first)
    return inside.half


def _rim_width(found: Found) -> float | None:
    width = found.values.get("wheel_rim_width")
    return None if width is None else float(width.value)


def _plus_minus_alone(found: Found, line: Line) -> None:
    cell = line.plus_minus
    if cell is not None and not reading.says_nothing(cell):
        wrong = f"this ± stands beside no value of {line.field.label}; it is not used"
        found.remark("part of it missing", cell.address, cell.text, wrong, "Type the value beside it", line.field.key)


def _remarks(found: Found, line: Line, value: object) -> None:
    """Names what stands beside a value and has no meaning there, and threads that no standard has."""
    field = line.field
    if line.unit is not None and field.notation not in reading.WITH_UNIT and not reading.says_nothing(line.unit):
        wrong = f"{field.label} takes no unit from this cell; it is not used"
        found.remark(
            "not allowed here", line.unit.address, line.unit.text, wrong, "Type the unit with the value", field.key
        )
    beside = line.plus_minus
    if beside is not None and not takes_plus_minus(field) and not reading.says_nothing(beside):
        wrong = f"{field.label} takes no ±; it is not used"
        found.remark("not allowed here", beside.address, beside.text, wrong, "Leave this cell blank", field.key)
    odd = notation.remark(value) if isinstance(value, Thread) else None
    if odd and line.value is not None:
        found.remark("out of range", line.value.address, line.value.text, *split_remark(odd), field.key)


def split_remark(text: str) -> tuple[str, str]:
    """A remark on a thread as (what is odd, what to do)."""
    odd, _, do = text.partition("; ")
    return odd, (do[:1].upper() + do[1:]) or "Check it with a pitch gauge"
