"""What was written down on Measure next: read as if it had been typed in the field's own cell."""

from dataclasses import replace

from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import Package
from bomcheck.io.read.field_cells import Line, read_line
from bomcheck.io.read.found import Context, Found
from bomcheck.io.read.kits import owner_of
from bomcheck.io.read.own import MEASURE_PREFIX, input_cells
from bomcheck.model.job import Value
from bomcheck.tables.fields import fields
from bomcheck.tables.sources import MEASURED

KIND = "measure"


def read_measured(package: Package, context: Context, place: str, kit: tuple[str, str]) -> Found | None:
    """The fields found on Measure next, None where the workbook has no such sheet yet. place: of an axle or a corner that is
    judged for itself; where both corners were one before, what was found then holds for each. kit: the
    letters of the kit that is judged, and of the one for which the sheet was written."""
    sheets, whole = marked_sheets(package), place.rpartition(" ")[0] if place.endswith(("left", "right")) else place
    sheet = sheets.get(f"{KIND} {place}".strip()) or sheets.get(f"{KIND} {whole}".strip())
    if sheet is None:
        return None
    found, known = Found(package.file, sheet), fields()
    for name, cells in input_cells(package.cells(sheet)).items():
        own, owner = owner_of(name, kit[1])
        field = known.get(own.split()[-1]) if own.startswith(MEASURE_PREFIX) else None
        if field is not None and (field.section != "kit" or owner == kit[0]):
            first, size, half = next(iter(cells.values())), cells.get("found"), cells.get("found_plus_minus")
            origin = replace(first, kind="text", value=MEASURED, text=MEASURED)
            read_line(found, context, Line(field, first, size, None, half, origin, True))
    return found


def take_measured(whole: Found, measured: Found) -> None:
    """Measured sizes fill blanks, and take the place of a size that is known less well and agrees with them."""
    whole.faults.extend(measured.faults)
    for key, rejected in measured.rejected.items():
        if key not in whole.values:
            whole.rejected.setdefault(key, rejected)
    for key, value in measured.values.items():
        typed = whole.values.get(key)
        if typed is None:
            whole.rejected.pop(key, None)
            whole.values[key] = value
        elif agree(typed, value):
            whole.values[key] = typed if typed.plus_minus < value.plus_minus else value
        else:
            _disagree(whole, key, typed, value)


def agree(one: Value, other: Value) -> bool:
    """Whether two statements of one size can both be true: their intervals meet, or they are the same word."""
    if isinstance(one.value, int | float) and isinstance(other.value, int | float):
        return bool(abs(one.value - other.value) <= one.plus_minus + other.plus_minus + 1e-9)
    return bool(one.value == other.value)


def _disagree(whole: Found, key: str, typed: Value, value: Value) -> None:
    wrong = f'{typed.place} says "{typed.typed}"; both cannot be true, so neither is used'
    place = value.place
    fault = Found(place.file, place.sheet).fault(
        "entries disagree", place.cell, value.typed, wrong, "Measure again, and clear or correct the wrong one", key
    )
    whole.faults.append(fault)
    whole.hold([key], fault)
