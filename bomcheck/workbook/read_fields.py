"""A sheet of fields: Job, Corner, Kit, System. Every filled cell becomes a value or is named in a fault."""

from bomcheck import notation
from bomcheck.errors import Unreadable
from bomcheck.job import Value
from bomcheck.notation.types import Thread
from bomcheck.workbook.cells import Cell
from bomcheck.workbook.field_lines import HEADINGS, Line, field_lines, unit_alone
from bomcheck.workbook.found import Context, Found
from bomcheck.workbook.grid import read_grid
from bomcheck.workbook.plausible import refuse_implausible
from bomcheck.workbook.read_plus_minus import read_plus_minus, takes_plus_minus
from bomcheck.workbook.read_value import (
    WITH_UNIT,
    beside_or_usual,
    own_unit,
    read_value,
    refuse_bare,
    says_nothing,
)

LAST = "wheel_offset"
"""Read after all others: a backspace needs the rim's width."""


def read_fields(found: Found, context: Context, section: str, cells: dict[str, Cell]) -> None:
    """Reads a whole sheet into `found`. section: "job", "corner", "kit" or "system"."""
    grid = read_grid(found, cells, HEADINGS)
    if grid is None:
        return
    for line in sorted(field_lines(found, grid, section), key=lambda one: one.field.key == LAST):
        read_line(found, context, line)


def read_line(found: Found, context: Context, line: Line) -> None:
    """Reads one field into `found`."""
    field, cell, asked = line.field, line.value, line.unit
    if cell is None or says_nothing(cell):
        _plus_minus_alone(found, line)
        unit_alone(found, field, line.unit)
        return
    try:
        beside = beside_or_usual(field, line.unit, context.system)
        asked = cell
        refuse_bare(field, cell, beside)
        value = read_value(field, cell, beside, _rim_width(found))
        refuse_implausible(field, value, cell.text, own_unit(cell, field.unit) or beside, context.system)
        asked = line.plus_minus
        half, origin = read_plus_minus(field, value, cell, line.plus_minus, beside)
    except Unreadable as bad:
        at = asked or cell
        found.refuse(at.address, at.text, bad, field.key)
        return
    found.values[field.key] = Value(field.key, value, half, cell.text, found.place(cell.address), origin)
    _remarks(found, line, value)


def _rim_width(found: Found) -> float | None:
    width = found.values.get("wheel_rim_width")
    return None if width is None else float(width.value)


def _plus_minus_alone(found: Found, line: Line) -> None:
    cell = line.plus_minus
    if cell is not None and not says_nothing(cell):
        wrong = f"this ± stands beside no value of {line.field.label}; it is not used"
        found.remark("part of it missing", cell.address, cell.text, wrong, "Type the value beside it", line.field.key)


def _remarks(found: Found, line: Line, value: object) -> None:
    """Names what stands beside a value and has no meaning there, and threads that no standard has."""
    field = line.field
    if line.unit is not None and field.notation not in WITH_UNIT and not says_nothing(line.unit):
        wrong = f"{field.label} takes no unit from this cell; it is not used"
        found.remark(
            "not allowed here", line.unit.address, line.unit.text, wrong, "Type the unit with the value", field.key
        )
    beside = line.plus_minus
    if beside is not None and not takes_plus_minus(field) and not says_nothing(beside):
        wrong = f"{field.label} takes no ±; it is not used"
        found.remark("not allowed here", beside.address, beside.text, wrong, "Leave this cell blank", field.key)
    odd = notation.remark(value) if isinstance(value, Thread) else None
    if odd and line.value is not None:
        found.remark("out of range", line.value.address, line.value.text, *split_remark(odd), field.key)


def split_remark(text: str) -> tuple[str, str]:
    """A remark on a thread as (what is odd, what to do)."""
    odd, _, do = text.partition("; ")
    return odd, (do[:1].upper() + do[1:]) or "Check it with a pitch gauge"
