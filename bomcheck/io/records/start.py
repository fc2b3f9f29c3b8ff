"""A new job out of the records: kit, car and wheel chosen by their names, so that nothing is typed twice."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bomcheck.io.records import tables
from bomcheck.io.records.tables import Record, Records
from bomcheck.io.refusal import refuse
from bomcheck.tables.fields import Field

NAMED = {tables.KITS: "kit", tables.CORNERS: "car", tables.WHEELS: "wheel"}
NAMES = {
    tables.KITS: ("kit_number", "kit_revision"), tables.CORNERS: ("vehicle_label", "axle"), tables.WHEELS: (tables.WHEEL_NAME,),
}  # fmt: skip


def filled_from(path: Path, kit: str = "", car: str = "", axle: str = "", wheel: str = "") -> dict[str, Any]:
    """What to fill into a blank metric job, as `bomcheck.io.blank.template.build_job_workbook` takes it.

    kit: number, or number and revision; car: its label; axle: "front" or "rear"; wheel: as the sheet Wheels names it.
    "" for what is not asked. Raises WorkbookError, naming what the records hold where a name is not among them.
    """
    records = tables.open_records(path, must_exist=True)
    filled: dict[str, Any] = {key: {} for key in ("job", "corner", "kit", "system", "plus_minus")}
    filled["box"] = []
    for row in _of_shop(records):
        _take(filled, row, tables.sheet_fields(tables.SHOP))
    if car:
        _take(filled, _one(records, tables.CORNERS, car, axle), tables.sheet_fields(tables.CORNERS))
    if wheel:
        _take(filled, _one(records, tables.WHEELS, wheel), tables.sheet_fields(tables.WHEELS))
    if kit:
        row = _one(records, tables.KITS, kit)
        _take(filled, row, tables.sheet_fields(tables.KITS))
        named = {key: row.text(tables.heading_of(key)) for key in NAMES[tables.KITS]}
        filled["box"] = [_line(tables.BOXES, one) for one in records.find(tables.BOXES, **named)]
    lists = {
        key: [_line(sheet, one) for one in records.rows[sheet]]
        for key, sheet in (("prices", tables.PRICES), ("terms", tables.TERMS))
    }
    return {**filled, **lists}


def _of_shop(records: Records) -> list[Record]:
    """The rows of the sheet Shop. Raises WorkbookError where two of them differ in one thing."""
    for heading in (one.label for one in tables.sheet_fields(tables.SHOP)):
        typed = [row.cells[heading] for row in records.rows[tables.SHOP] if row.text(heading)]
        said = list(dict.fromkeys(f"{one:g}" if isinstance(one, float) else one.strip() for one in typed))
        if len(said) > 1:
            wrong = f"{heading} stands there {len(said)} times: {', '.join(said)}"
            raise refuse("entries disagree", records.path.name, wrong, "Keep one row there", sheet=tables.SHOP)
    return records.rows[tables.SHOP]


def _one(records: Records, sheet: str, name: str, axle: str = "") -> Record:
    """The one row of that name. Raises WorkbookError."""
    rows = [row for row in records.rows[sheet] if _is_named(sheet, row, name)]
    if axle:
        rows = [row for row in rows if row.text(tables.heading_of("axle")) == axle]
    if len(rows) == 1:
        return rows[0]
    names = sorted({_name(sheet, row) for row in (rows or records.rows[sheet])})
    what = NAMED[sheet]
    if rows:
        wrong = f'"{name}" is there {len(rows)} times: {", ".join(names)}'
        instead = f"Give the {what} with its revision or axle" if len(names) == len(rows) else "Make one row of the two"
        raise refuse("entries disagree", records.path.name, wrong, instead)
    wrong = f'the records hold no {what} called "{name}"'
    raise refuse("unknown label", records.path.name, wrong, f"There are: {', '.join(names) or 'none yet'}")


def _name(sheet: str, row: Record) -> str:
    return " ".join(filter(None, (row.text(tables.heading_of(key)) for key in NAMES[sheet])))


def _is_named(sheet: str, row: Record, name: str) -> bool:
    plain, first = " ".join(name.casefold().split()), row.text(tables.heading_of(NAMES[sheet][0]))
    return plain in (" ".join(text.casefold().split()) for text in (_name(sheet, row), first))


def _take(filled: dict[str, Any], row: Record, known: list[Field]) -> None:
    for one in known:
        value = row.cells.get(one.label)
        if value is None or value == "":
            continue
        filled[one.section][one.key] = int(value) if one.notation == "count" and isinstance(value, float) else value
        half = row.cells.get(f"{one.label} ±")
        if half is not None and half != "" and one.takes_plus_minus:
            filled["plus_minus"][one.key] = half


def _line(sheet: str, row: Record) -> Mapping[str, Any]:
    known = [
        (heading, one)
        for heading, _, one, _ in tables.columns(sheet)
        if one is not None and one.section in ("part", "supplier")
    ]
    return {one.key: row.cells[heading] for heading, one in known if row.cells.get(heading) not in (None, "")}
