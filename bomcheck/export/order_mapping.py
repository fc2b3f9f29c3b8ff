"""Which column of the shop's ordering spreadsheet takes which figure: proposed once, kept in a small file beside it."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bomcheck.export.order_columns import COLUMNS
from bomcheck.export.order_remembered import Remembered, as_written, read_remembered
from bomcheck.fields import plain
from bomcheck.workbook.refusal import refuse

TODAY = "today"
"""Beside the columns of an order, the day on which a line is added."""

KNOWN = (*(column.name for column in COLUMNS), TODAY)
COUNTS, NAMES = ("quantity_ordered", "packs", "quantity_needed"), ("part_number", "description")
"""Of each of these an ordering sheet must take one, or nobody could order from it."""

OTHER_NAMES: dict[str, tuple[str, ...]] = {
    "part_number": ("part no", "part nr", "part num", "part #", "parts number", "part id", "part code", "item no", "item nr",
                    "item number", "item #", "item code", "art", "art no", "art nr", "article", "article no", "article nr",
                    "article number", "article code", "order number", "order no", "order code", "number", "p/n", "pn", "sku",
                    "part", "catalogue no", "catalogue number", "catalog no", "catalog number", "cat no", "stock no",
                    "stock number", "stock code", "product no", "product number", "product code", "material number",
                    "supplier part no", "supplier part nr", "supplier part number", "supplier part", "supplier no",
                    "supplier number", "supplier code", "supplier sku", "supplier item no", "supplier article number",
                    "supplier's part no", "supplier's part number", "supplier's number", "vendor part no",
                    "vendor part number", "vendor part", "vendor sku", "vendor no", "mfr part no", "mfr part number",
                    "mfr part", "mfr no", "mfg part no", "mfg part number", "mpn", "manufacturer part no",
                    "manufacturer part number", "maker's number", "maker's part number"),
    "description": ("text", "item", "name", "what", "product", "designation", "part name", "part description"),
    "quantity_ordered": ("qty", "quantity", "pieces", "pcs", "amount", "order quantity", "order qty", "qty ordered",
                         "quantity to order", "qty to order", "to order", "how many"),
    "packs": ("packs to order", "number of packs"),
    "pack_size": ("pack of", "pack", "packing", "per pack"),
    "price_each": ("price", "unit price", "price each", "cost", "unit cost", "net price"),
    "price_per_pack": ("pack price", "price of a pack"),
    "line_total": ("total", "sum", "line price", "line sum", "total price", "extended price", "value"),
    "supplier": ("vendor", "from", "bought from", "source", "ordered from", "company", "supplier name", "vendor name", "name of supplier",
                 "name of the supplier", "seller", "bought at", "order from"),
    "job_number": ("job", "job no", "job nr", "order for", "for job", "reference", "ref", "work order", "our reference"),
    "vehicle_label": ("car", "for car"),
    "needed_by": ("need by", "due", "due date", "date needed", "by when", "required by", "wanted by"),
    "lead_days": ("lead time", "delivery days", "lead time days", "lead time, days"),
    "unit": ("unit of measure", "uom", "measure", "qty unit"),
    "currency": ("cur", "ccy", "curr", "currency code"),
    "axle": ("front/rear", "front or rear", "axle f/r"),
    "note": ("remark", "remarks", "notes", "comment", "comments"),
    "spec": ("size", "specification", "spec"),
    "side": ("left or right", "left/right", "l/r", "hand"),
    "role": ("kind", "category", "type"),
    "line_key": ("line key", "key"),
    TODAY: ("date", "order date", "date ordered", "ordered on", "entered on"),
}  # fmt: skip
SAID = (
    "On the left a heading of your sheet, on the right what goes into that column; it may be changed, taken out or added to. "
    f"On the right may stand: {', '.join(KNOWN)}. The lines under appended were put into the sheet; while they stand there they are never added twice. "
    "written names the columns that were filled on the last run."
)


@dataclass
class ColumnMap:
    """sheet: name of the sheet. columns: heading as it stands there -> name of the order column. appended: lines of
    earlier runs. written: order columns that the last run filled, None before the first."""

    sheet: str
    columns: dict[str, str]
    appended: list[Remembered] = field(default_factory=list)
    written: list[str] | None = None

    def has(self, names: Iterable[str]) -> bool:
        """Whether any of these order columns has a place in the sheet."""
        return any(name in self.columns.values() for name in names)


def mapping_file(book: Path) -> Path:
    """`orders.xlsx` -> `orders.xlsx.columns.json`."""
    return book.with_name(f"{book.name}.columns.json")


def propose(headings: Iterable[str]) -> dict[str, str]:
    """Heading -> order column for the headings that are understood; each column at most once, in the sheet's order.

    >>> propose(["Part no.", "Qty", "Signed", "Unit price"])
    {'Part no.': 'part_number', 'Qty': 'quantity_ordered', 'Unit price': 'price_each'}
    """
    own = {plain(one): c.name for c in COLUMNS for one in (c.name, c.title)}
    others = {plain(one): name for name, words in OTHER_NAMES.items() for one in words}
    typed = [words for words in headings if words.strip()]
    found = {words: own[plain(words)] for words in typed if plain(words) in own}
    for words in typed:
        name = others.get(plain(words))
        if name is not None and words not in found and name not in found.values():
            found[words] = name
    first = {name: words for words, name in reversed(found.items())}
    return {words: found[words] for words in typed if words in found and first[found[words]] == words}


def kept_mapping(book: Path) -> ColumnMap | None:
    """The mapping of an earlier run; None if there is none. Raises WorkbookError for one that cannot be read."""
    path = mapping_file(book)
    if not path.exists():
        return None
    try:
        read: dict[str, Any] = json.loads(path.read_text("utf-8"))
        columns = {str(key): str(value) for key, value in read["columns"].items()}
        mapping = ColumnMap(str(read["sheet"]), columns, read_remembered(read.get("appended", [])), _written(read))
    except (ValueError, KeyError, TypeError, AttributeError, IndexError):
        instead = "Delete it; the next run proposes a new one"
        raise refuse("damaged", path.name, "this list of columns cannot be read", instead) from None
    _require_known(path, columns)
    return mapping


def _written(read: Mapping[str, Any]) -> list[str] | None:
    names = read.get("written")
    return None if names is None else [str(name) for name in names]


def _require_known(path: Path, columns: Mapping[str, str]) -> None:
    for heading, name in columns.items():
        if name not in KNOWN:
            wrong = f'"{heading}" is to take "{name}", which is no order column'
            raise refuse("not one of the choices", path.name, wrong, f"Choose one of: {', '.join(KNOWN)}")
    twice = [name for name in columns.values() if list(columns.values()).count(name) > 1]
    if twice:
        raise refuse("label used twice", path.name, f'two columns are to take "{twice[0]}"', "Keep one of them")


def as_json(mapping: ColumnMap) -> bytes:
    """The small file; the columns may be edited there."""
    lines = [as_written(one) for one in mapping.appended]
    content: dict[str, Any] = {"": SAID, "sheet": mapping.sheet, "columns": mapping.columns}
    if mapping.written is not None:
        content["written"] = mapping.written
    head = json.dumps(content, ensure_ascii=False, indent=1).removesuffix("\n}")
    body = ",\n  ".join(json.dumps(line, ensure_ascii=False) for line in lines)
    return f'{head},\n "appended": [\n  {body}\n ]\n}}\n'.encode()
