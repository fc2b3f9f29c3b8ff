"""What earlier runs put into the ordering spreadsheet, as the small file beside it keeps it."""

import json
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any

from bomcheck.io.cells import Cell
from bomcheck.io.disk import beside
from bomcheck.io.order.csv_file import Owner, owner_of
from bomcheck.io.package import Package, Sheet
from bomcheck.io.refusal import refuse
from bomcheck.model.errors import WorkbookError
from bomcheck.paper.order_rows import COLUMNS
from bomcheck.tables.fields import plain

TEXTS = ("part_number", "supplier", "description")


@dataclass
class Remembered:
    """One line. packs [-]: needed when it was ordered. row: where it was put. None: not known."""

    job_number: str
    line_key: str
    axle: str = ""
    vehicle_label: str = ""
    part_number: str | None = None
    supplier: str | None = None
    description: str | None = None
    packs: float | None = None
    row: int | None = None

    @property
    def owner(self) -> Owner:
        """Whose order it is."""
        return owner_of(asdict(self))

    @property
    def name(self) -> str:
        """How it is named in a sentence."""
        return " ".join(f"{self.part_number or ''} {self.description or ''}".split()) or self.line_key

    def is_line(self, line: Mapping[str, Any]) -> bool:
        """Whether this is that order line."""
        return self.line_key == str(line["line_key"]) and self.owner.may_be(owner_of(line))


def remembered(line: Mapping[str, Any], row: int | None = None) -> Remembered:
    """An order line as it is to be remembered."""
    owner = {key: str(line.get(key) or "") for key in ("axle", "vehicle_label")}
    texts = {key: str(line.get(key) or "") for key in TEXTS}
    packs = line.get("packs")
    packs = None if packs is None else float(packs)
    return Remembered(str(line["job_number"]), str(line["line_key"]), **owner, **texts, packs=packs, row=row)


def read_remembered(lines: Iterable[Any]) -> list[Remembered]:
    """From the small file; an older one kept (job number, line, packs) only."""
    return [_older(one) if isinstance(one, list) else _read(dict(one)) for one in lines]


def _older(line: list[Any]) -> Remembered:
    packs = float(line[2]) if len(line) > 2 and line[2] is not None else None
    return Remembered(str(line[0]), str(line[1]), packs=packs)


def _read(one: dict[str, Any]) -> Remembered:
    part_number, supplier, description = (None if one.get(key) is None else str(one[key]) for key in TEXTS)
    owner = {key: str(one.get(key) or "") for key in ("axle", "vehicle_label")}
    packs, row = one.get("packs"), one.get("row")
    packs, row = None if packs is None else float(packs), None if row is None else int(row)
    line = Remembered(str(one["job_number"]), str(one["line_key"]), **owner, packs=packs, row=row)
    return replace(line, part_number=part_number, supplier=supplier, description=description)


def as_written(one: Remembered) -> dict[str, Any]:
    """For the small file, without what is not known."""
    return {key: value for key, value in asdict(one).items() if value not in (None, "") or key in TEXTS}


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


@dataclass(frozen=True)
class Before:
    """book: mark of the spreadsheet's contents before the last run. lines: how many that run added. written: as then."""

    book: str
    lines: int
    written: list[str] | None


def book_mark(data: bytes) -> str:
    """The same for the same contents."""
    return f"{zlib.crc32(data):08x}{len(data):x}"


@dataclass
class ColumnMap:
    """sheet: name of the sheet. columns: heading as it stands there -> name of the order column. appended: lines of
    earlier runs. written: order columns that the last run filled, None before the first. before: what the spreadsheet
    and this list were before the last lines went in: a run that was broken off between the two is known by it.
    broken_off: lines of such a run, which never went in."""

    sheet: str
    columns: dict[str, str]
    appended: list[Remembered] = field(default_factory=list)
    written: list[str] | None = None
    before: Before | None = None
    broken_off: list[Remembered] = field(default_factory=list)

    def has(self, names: Iterable[str]) -> bool:
        """Whether any of these order columns has a place in the sheet."""
        return any(name in self.columns.values() for name in names)


def mapping_file(book: Path) -> Path:
    """`orders.xlsx` -> `orders.xlsx.columns.json`."""
    return beside(book, ".columns.json")


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


def kept_mapping(book: Path, kept: bytes | None, data: bytes) -> ColumnMap | None:
    """The mapping of an earlier run; None if there is none. Raises WorkbookError for one that cannot be read.

    kept: the small file. data: the spreadsheet; where it is still what it was before the last run, that run was broken
    off and its lines are not there.
    """
    path = mapping_file(book)
    if kept is None:
        return None
    try:
        read: dict[str, Any] = json.loads(kept)
        columns = {str(key): str(value) for key, value in read["columns"].items()}
        mapping = ColumnMap(str(read["sheet"]), columns, read_remembered(read.get("appended", [])), _written(read))
        mapping.before = _before(read)
    except (ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError):
        instead = "Delete it; the next run proposes a new one"
        raise refuse("damaged", path.name, "this list of columns cannot be read", instead) from None
    _require_known(path, columns)
    before = mapping.before
    if before is not None and before.lines and before.book == book_mark(data):
        mapping.appended, mapping.broken_off = mapping.appended[: -before.lines], mapping.appended[-before.lines :]
        mapping.written = before.written
    return mapping


def _before(read: Mapping[str, Any]) -> Before | None:
    given = read.get("before")
    return None if given is None else Before(str(given["book"]), int(given["lines"]), _written(given))


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
    if mapping.before is not None:
        content["before"] = asdict(mapping.before)
    head = json.dumps(content, ensure_ascii=False, indent=1).removesuffix("\n}")
    body = ",\n  ".join(json.dumps(line, ensure_ascii=False) for line in lines)
    return f'{head},\n "appended": [\n  {body}\n ]\n}}\n'.encode()


HEADINGS_WITHIN = 40  # rows from the top
LEAST_HEADINGS = 2
Rows = dict[int, dict[int, Cell]]


@dataclass(frozen=True)
class Place:
    """heading: row of the headings. last: row of the last order line, or of the headings. columns: order column by number
    of the sheet's column. rows: the filled cells by row and column."""

    sheet: Sheet
    heading: int
    last: int
    columns: dict[int, str]
    rows: Rows

    def texts(self, row: int) -> dict[str, str]:
        """What a row of the sheet says, by order column."""
        return {name: self.rows[row][number].text for number, name in self.columns.items() if number in self.rows[row]}


def rows_of(cells: Mapping[str, Cell]) -> Rows:
    """The cells by row and column."""
    rows: Rows = {}
    for cell in cells.values():
        rows.setdefault(cell.row, {})[cell.column] = cell
    return rows


def find_place(package: Package, mapping: ColumnMap) -> Place:
    """Where a mapping says. Raises WorkbookError where a column is gone, or something stands in the way."""
    sheet = package.sheet(mapping.sheet)
    rows = rows_of(package.cells(sheet.name))
    wanted = {plain(heading) for heading in mapping.columns}
    heading = max(_near_top(rows), key=lambda row: len(wanted & _plain_texts(rows[row])), default=None)
    there = _plain_texts(rows[heading]) if heading is not None else set()
    gone = [text for text in mapping.columns if plain(text) not in there]
    if heading is None or gone or not wanted:
        raise _gone(package, sheet, (gone or ["Part number"])[0])
    by_heading = {plain(cell.text): number for number, cell in reversed(rows[heading].items())}
    columns = {by_heading[plain(text)]: name for text, name in mapping.columns.items()}
    last = _last_line(rows, heading, columns)
    _require_open_end(package, sheet, rows, last)
    return Place(sheet, heading, last, columns, rows)


def _gone(package: Package, sheet: Sheet, heading: str) -> WorkbookError:
    instead = f"Put the heading back, or correct {mapping_file(package.path).name}"
    return refuse("heading missing", package.file, f'the column "{heading}" is gone', instead, sheet=sheet.name)


def new_mapping(package: Package) -> ColumnMap:
    """A proposal, for the sheet whose headings are understood best. Raises WorkbookError where there is none."""
    best: ColumnMap | None = None
    for sheet in package.sheets:
        rows = rows_of(package.cells(sheet.name)) if sheet.visibility == "visible" else {}
        for row in _near_top(rows):
            texts = [cell.text for _, cell in sorted(rows[row].items()) if cell.kind == "text"]
            found = ColumnMap(sheet.name, propose(texts))
            if len(found.columns) > (len(best.columns) if best else LEAST_HEADINGS - 1) and found.has(NAMES):
                best = found
    if best is None:
        wrong = "no row of headings such as Part number, Description, Quantity was found"
        raise refuse("heading missing", package.file, wrong, "Give the columns of the ordering sheet such headings")
    return best


def require_useful(package: Package, mapping: ColumnMap) -> None:
    """Raises WorkbookError for a sheet that takes no quantity, or nothing that names the part."""
    for names, what in ((NAMES, "the part"), (COUNTS, "how many are ordered")):
        if not mapping.has(names):
            wrong = f"no column is known to take {what}"
            instead = f'Write it into {mapping_file(package.path).name}, for example "Your heading": "{names[0]}"'
            raise refuse("heading missing", package.file, wrong, instead, sheet=mapping.sheet)


def unknown_headings(package: Package, mapping: ColumnMap) -> list[str]:
    """Headings of the sheet that no order column goes into, in their order."""
    place = find_place(package, mapping)
    return [c.text for n, c in sorted(place.rows[place.heading].items()) if c.kind == "text" and n not in place.columns]


def _near_top(rows: Rows) -> list[int]:
    return [row for row in sorted(rows) if row <= HEADINGS_WITHIN]


def _plain_texts(cells: Mapping[int, Cell]) -> set[str]:
    return {plain(cell.text) for cell in cells.values() if cell.kind == "text"}


def _last_line(rows: Rows, heading: int, columns: Mapping[int, str]) -> int:
    """The last row with something typed in a column that is filled; formulas that wait for lines do not count."""
    filled = [row for row, cells in rows.items() if any(n in columns and not c.is_formula for n, c in cells.items())]
    return max([heading, *(row for row in filled if row > heading)])


def _require_open_end(package: Package, sheet: Sheet, rows: Rows, last: int) -> None:
    """Nothing that was typed may stand below the last line, and that line may not be the totals."""
    below = [c for row, cells in sorted(rows.items()) if row > last for c in cells.values() if not c.is_formula]
    totals = [
        c
        for c in rows.get(last, {}).values()
        if c.kind == "text" and plain(c.text) in ("total", "totals", "sum", "grandtotal")
    ]
    if below or totals:
        cell = (below or totals)[0]
        wrong = "below the order lines stands something else" if below else "the last line is a row of totals"
        instead = "Move it above the headings or to another sheet"
        raise refuse(
            "not allowed here", package.file, wrong, instead, typed=cell.text[:40], sheet=sheet.name, cell=cell.address
        )
