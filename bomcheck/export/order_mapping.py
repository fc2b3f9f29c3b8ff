"""Which column of the shop's ordering spreadsheet takes which figure: proposed once, kept in a small file beside it."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bomcheck.export.order_rows import COLUMNS
from bomcheck.fields import plain
from bomcheck.workbook.cells import Cell
from bomcheck.workbook.refusal import refuse
from bomcheck.workbook.replace_file import write_whole

HEADINGS_WITHIN = 25  # rows from the top
LEAST_HEADINGS = 3
OTHER_NAMES: dict[str, tuple[str, ...]] = {
    "part_number": (
        "part no",
        "part nr",
        "part",
        "item no",
        "item number",
        "article",
        "article number",
        "number",
        "p/n",
    ),
    "description": ("text", "item", "name", "what"),
    "quantity_ordered": ("qty", "quantity", "pieces", "amount", "order quantity", "quantity to order", "how many"),
    "packs": ("packs to order",),
    "price_per_pack": ("price", "unit price", "price each"),
    "line_total": ("total", "sum", "line price"),
    "supplier": ("vendor", "from", "bought from"),
    "job_number": ("job", "order for", "reference", "job no"),
    "vehicle_label": ("car", "vehicle"),
    "needed_by": ("due", "date needed", "by when", "needed"),
    "lead_days": ("lead time", "delivery days"),
    "unit": ("unit of measure", "uom"),
    "note": ("remark", "remarks", "notes", "comment"),
    "spec": ("size", "specification"),
    "side": ("left or right",),
}


@dataclass
class ColumnMap:
    """sheet: name of the sheet. columns: heading as it stands there -> name of the order column. appended: what was added
    on earlier runs, by job number and line."""

    sheet: str
    columns: dict[str, str]
    appended: list[list[str]] = field(default_factory=list)


def mapping_file(book: Path) -> Path:
    """`orders.xlsx` -> `orders.xlsx.columns.json`."""
    return book.with_name(f"{book.name}.columns.json")


def propose(headings: Mapping[str, str]) -> dict[str, str]:
    """Heading -> order column for the headings that are understood; each column at most once. headings: plain -> as typed."""
    names = {plain(one): c.name for c in COLUMNS for one in (c.name, c.title, *OTHER_NAMES.get(c.name, ()))}
    found: dict[str, str] = {}
    for words, typed in headings.items():
        column = names.get(words)
        if column is not None and column not in found.values():
            found[typed] = column
    return found


def heading_row(cells: Mapping[str, Cell], columns: Sequence[str] = ()) -> int | None:
    """The row that holds the headings: the one with most that are understood, or all of `columns` where they are given."""
    best: tuple[int, int] | None = None
    for row in range(1, HEADINGS_WITHIN + 1):
        texts = {plain(cell.text): cell.text for cell in cells.values() if cell.row == row and cell.kind == "text"}
        count = sum(plain(one) in texts for one in columns) if columns else len(propose(texts))
        if count >= (1 if columns else LEAST_HEADINGS) and (best is None or count > best[0]):
            best = (count, row)
    return None if best is None else best[1]


def kept_mapping(book: Path) -> ColumnMap | None:
    """The mapping of an earlier run; None if there is none. Raises WorkbookError for one that cannot be read."""
    path = mapping_file(book)
    if not path.exists():
        return None
    try:
        read: dict[str, Any] = json.loads(path.read_text("utf-8"))
        columns = {str(key): str(value) for key, value in read["columns"].items()}
        appended = [[str(one) for one in pair] for pair in read.get("appended", [])]
        mapping = ColumnMap(str(read["sheet"]), columns, appended)
    except (ValueError, KeyError, TypeError, AttributeError):
        raise refuse(
            "damaged", path.name, "this list of columns cannot be read", "Delete it; the next run proposes a new one"
        ) from None
    known = {column.name for column in COLUMNS}
    for heading, name in mapping.columns.items():
        if name not in known:
            instead = f"Choose one of: {', '.join(sorted(known))}"
            raise refuse(
                "not one of the choices",
                path.name,
                f'"{heading}" is to take "{name}", which is no order column',
                instead,
            )
    return mapping


def keep_mapping(book: Path, mapping: ColumnMap) -> None:
    """Write it beside the workbook; the columns may be edited there."""
    said = "Heading of your sheet: what goes there. Edit the right side; delete this file to have it proposed anew."
    content = {"": said, "sheet": mapping.sheet, "columns": mapping.columns, "appended": mapping.appended}
    write_whole(mapping_file(book), (json.dumps(content, ensure_ascii=False, indent=1) + "\n").encode("utf-8"))
