"""The columns of the Parts list, described once: for the sheet, what the shop types there, the order files and the JSON report."""

from bomcheck.model.records import dataclass, replace

NUMBER, WHOLE, TEXT, DATE = "number", "integer", "string", "date"  # types of Table Schema


@dataclass(frozen=True, slots=True)
class PartColumn:
    """One column.

    name: in code; of a typed one also in `Job.own`. heading, width [characters], kind, typed, printed: on the sheet, as in
    `bomcheck.io.sheets.columns.Column`; heading "" where it is not on the sheet. judged: of a typed column what a figure
    in it is, "" where every text is right. place, file: its name and its place in order files, 0 where it is not there.
    title, type, says: there. json: its name in the JSON report's parts, "" where it is not there.
    """

    name: str
    heading: str = ""
    width: float = 0.0
    kind: str = "text"
    typed: bool = False
    judged: str = ""
    printed: bool = True
    order: str = ""
    file: int = 0
    title: str = ""
    type: str = TEXT
    says: str = ""
    json: str = ""


def _sheet(name: str, heading: str, width: float, kind: str = "text", json: str = "") -> PartColumn:
    return PartColumn(name, heading, width, kind, json=json)


def _both(
    name: str, heading: str, width: float, kind: str, order: str, file: int, title: str, type_: str, says: str,
    json: str = "",
) -> PartColumn:  # fmt: skip
    """On the sheet and in order files."""
    return PartColumn(
        name, heading, width, kind, order=order, file=file, title=title, type=type_, says=says, json=json or name
    )


def _typed(
    name: str, heading: str, width: float, kind: str = "text", judged: str = "", printed: bool = True
) -> PartColumn:
    return PartColumn(name, heading, width, kind, typed=True, judged=judged, printed=printed, json="own")


def _file(name: str, file: int, title: str, says: str, type_: str = TEXT, json: str = "") -> PartColumn:
    """In order files only."""
    return PartColumn(name, order=name, file=file, title=title, type=type_, says=says, json=json)


PART_COLUMNS = (
    _both("description", "Part", 36, "text", "description", 9, "Description", TEXT, "The part in words"),
    _sheet("status", "Status", 14, json="status"),
    _both("to_order", "To order", 9, "figure", "quantity_needed", 12, "Quantity needed", NUMBER,
          "What is short, in the unit"),
    _both("side", "Side", 6, "text", "side", 5, "Side", TEXT, "left, right or either"),
    _sheet("needed", "Needed", 8, "figure", "needed"),
    _sheet("in_kit", "In kit", 7, "figure", "in_kit"),
    _sheet("on_car", "On car", 7, "figure", "on_car"),
    _sheet("on_shelf", "On shelf", 8, "figure", "on_shelf"),
    _typed("on_hand", "On hand, yours", 9, "figure", "how many you have"),
    _both("pack_size", "Pack of", 8, "figure", "pack_size", 13, "Pack size", NUMBER, "Units in one pack"),
    _both("packs", "Packs", 6, "figure", "packs", 14, "Packs", WHOLE, "Packs to order, rounded up once for the car"),
    _sheet("list_price", "Price of a pack", 9, "figure", "list_price"),
    _typed("own_price", "Price, yours", 9, "figure", "the price"),
    _typed("own_price_per", "Your price is per", 12),
    _both("line_total", "Total", 10, "figure", "line_total", 18, "Line total", NUMBER, "Packs times the price of a pack"),
    _both("part_number", "Part number", 15, "text", "part_number", 7, "Part number", TEXT,
          "The supplier's number, always text"),
    _both("supplier", "Supplier", 12, "text", "supplier", 8, "Supplier", TEXT, "Who it is bought from"),
    _both("lead_days", "Lead time, days", 9, "figure", "lead_days", 20, "Lead days", NUMBER,
          "Days from order to arrival"),
    _sheet("note", "Remarks", 40, "small", "note"),
    _typed("own_supplier", "Supplier, yours", 13, printed=False),
    _typed("received", "Received", 10, "figure", "how many came", printed=False),
    PartColumn("own_note", "Note, yours", 20, typed=True, printed=False, order="note", file=24, title="Note",
               says="Note of the shop", json="own"),
    PartColumn("used_at", "Where and why, and how the number comes about", 70, "small", printed=False, order="used_at", file=22,
               title="Used at", says="Where in the assembly it is used", json="used_at"),
    PartColumn("key", "Line", 3, "key", printed=False, order="line_key", file=1, title="Line",
               says="Name of the line, the same on every run; by it a line of an axle is known again", json="key"),
    _file("job_number", 2, "Job number", "The shop's own number of the job"),
    _file("vehicle_label", 3, "Vehicle", "What the shop calls the car"),
    _file("axle", 4, "Axle", "front or rear, and the side where only one is ordered for"),
    _file("role", 6, "Role", "What the part is", json="role"),
    _file("spec", 10, "What it must be", "Thread, length, ends, sizes, strength", json="spec"),
    _file("unit", 11, "Unit", "Unit of the quantities", json="unit"),
    _file("quantity_ordered", 15, "Quantity ordered", "Packs times pack size, in the unit", NUMBER),
    _file("price_each", 16, "Price of one", "Price of one unit: the price of a pack divided by its size", NUMBER),
    _file("price_per_pack", 17, "Price per pack", "Price of one pack, without tax", NUMBER, "unit_price"),
    _file("currency", 19, "Currency", "Currency of the prices"),
    _file("needed_by", 21, "Needed by", "Day by which it is needed", DATE),
    _file("reason", 23, "Reason", "Why it is needed", json="reason"),
)  # fmt: skip
ON_PAPER = {
    "description": 25.2, "status": 17, "to_order": 8, "side": 6, "needed": 8.7, "in_kit": 8.1, "pack_size": 7.2, "packs": 7.1,
    "list_price": 9, "line_total": 9.5, "part_number": 13.2, "supplier": 11.2, "lead_days": 7.6,
}  # fmt: skip
"""Widths of what is printed, in the order of the sheet: letters of 8 pt and more across A4 and letter paper."""
BESIDE = {"note": 80, "used_at": 150}
_NAMED = {column.name: column for column in PART_COLUMNS if column.heading}
_REST = sorted((one for one in _NAMED.values() if one.name not in ON_PAPER), key=lambda one: not one.typed)
SHEET = (
    *(replace(_NAMED[name], width=width) for name, width in ON_PAPER.items()),
    *(replace(one, width=BESIDE.get(one.name, one.width), printed=False) for one in _REST),
)
TYPED = {column.name: column.heading for column in SHEET if column.typed}
IN_FILE = tuple(sorted((column for column in PART_COLUMNS if column.file), key=lambda column: column.file))
