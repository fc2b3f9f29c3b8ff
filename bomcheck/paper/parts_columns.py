"""The columns of the Parts list, described once: for the sheet, what the shop types there, the order files and the JSON report."""

from bomcheck.model.records import dataclass, replace
from bomcheck.tables import rows

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


PART_COLUMNS = tuple(
    PartColumn(
        row["name"], row["heading"], float(row["width"] or 0), row["kind"] or "text", row["typed"] == "yes", row["judged"],
        row["printed"] != "no", row["order"], int(row["file"] or 0), row["title"], row["type"] or TEXT, row["says"], row["json"],
    )
    for row in rows("parts_columns")
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
