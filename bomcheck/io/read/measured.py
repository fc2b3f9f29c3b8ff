"""What was written down on Measure next: read as if it had been typed in the field's own cell."""

from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import Package
from bomcheck.io.read.field_cells import Line, read_line
from bomcheck.io.read.found import Context, Found
from bomcheck.io.read.kits import owner_of
from bomcheck.io.read.own import MEASURE_PREFIX, input_cells
from bomcheck.model.job import Value
from bomcheck.model.records import replace
from bomcheck.model.sizes import Profile
from bomcheck.tables.fields import fields
from bomcheck.tables.sources import MEASURED

KIND = "measure"
NEAR = 1e-9


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
            whole.values[key] = typed if _says_more(typed, value) else value
        else:
            _disagree(whole, key, typed, value)


def agree(one: Value, other: Value) -> bool:
    """Whether two statements of one size can both be true: their intervals meet, their tables where both reach, and of a thread
    or a line's end all that both of them say."""
    if isinstance(one.value, int | float) and isinstance(other.value, int | float):
        return bool(abs(one.value - other.value) <= one.plus_minus + other.plus_minus + NEAR)
    if fields()[one.key].notation == "pairs":
        both = [Profile(value.value, value.plus_minus) for value in (one, other)]
        return all(
            abs(size - there) <= one.plus_minus + other.plus_minus + NEAR
            for table, second in (both, both[::-1]) for at, size in table.points if (there := second.at(at)) is not None
        )  # fmt: skip
    return _go_together(one.value, other.value)


def _go_together(one: object, other: object) -> bool:
    """Equal, or alike in all but what one of them does not state; the name follows from the rest."""
    if one is None or other is None or one == other:
        return True
    parts = getattr(type(one), "__slots__", ())
    return type(one) is type(other) and bool(parts) and all(
        _go_together(getattr(one, part), getattr(other, part)) for part in parts if part != "name"
    )  # fmt: skip


def _says_more(typed: Value, found: Value) -> bool:
    """Whether what was typed is closer than what was found: its ±, the reach of its table, or what it states."""
    if isinstance(typed.value, tuple) and fields()[typed.key].notation == "pairs":
        reach = [max(at for at, _ in value.value) - min(at for at, _ in value.value) for value in (typed, found)]
        return bool(reach[0] > reach[1])
    if typed.plus_minus != found.plus_minus:
        return typed.plus_minus < found.plus_minus
    return len(getattr(typed.value, "name", "")) > len(getattr(found.value, "name", ""))


def _disagree(whole: Found, key: str, typed: Value, value: Value) -> None:
    wrong = f'{typed.place} says "{typed.typed}"; both cannot be true, so neither is used'
    place = value.place
    fault = Found(place.file, place.sheet).fault(
        "entries disagree", place.cell, value.typed, wrong, "Measure again, and clear or correct the wrong one", key
    )
    whole.faults.append(fault)
    whole.hold([key], fault)
