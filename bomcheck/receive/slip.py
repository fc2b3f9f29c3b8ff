"""A packing slip from any supplier, CSV or workbook: its headings are found by what they say."""

import csv
import io
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from bomcheck.errors import WorkbookError
from bomcheck.fields import plain
from bomcheck.receive.slip_words import counted, side_of
from bomcheck.workbook.refusal import refuse

TEXTS, BOOKS = (".csv", ".txt", ".tsv"), (".xlsx", ".xlsm")
HEADINGS_WITHIN = 40  # rows from the top
LARGEST = 20_000_000  # bytes
NAMES: dict[str, tuple[str, ...]] = {
    "part_number": ("part number", "part no", "part nr", "part num", "p/n", "pn", "part", "item no", "item number", "item nr",
                    "article number", "article no", "article", "art no", "number", "sku", "code", "product code", "order code"),
    "description": ("description", "item", "name", "product", "text", "designation", "what", "part description"),
    "quantity": ("quantity shipped", "qty shipped", "shipped", "quantity delivered", "qty delivered", "delivered", "quantity",
                 "qty", "pieces", "pcs", "count", "sent", "amount", "how many"),
    "side": ("side", "hand", "l/r", "left/right", "left or right"),
    "unit": ("unit", "uom", "unit of measure", "counted in"),
    "thread": ("thread",),
    "length": ("length", "length mm"),
}  # fmt: skip
BY_HEADING = {plain(words): key for key, names in NAMES.items() for words in names}


@dataclass(frozen=True, slots=True)
class SlipLine:
    """row: where it stands, "row 4" or "Sheet1!A4". quantity: in `unit`, "" where none is named. side: left, right or ""."""

    row: str
    part_number: str
    description: str
    quantity: float
    side: str = ""
    unit: str = ""
    thread: str = ""
    length: str = ""

    @property
    def name(self) -> str:
        """How the line is named in a sentence."""
        return " ".join(text for text in (self.part_number, self.description) if text)

    @property
    def said(self) -> str:
        """Everything that it says about the part."""
        return " ".join(text for text in (self.description, self.thread, self.length) if text)


@dataclass(frozen=True, slots=True)
class Slip:
    """mark: the same for the same contents. remarks: rows that are not used, and why."""

    name: str
    mark: str
    lines: tuple[SlipLine, ...]
    remarks: tuple[str, ...] = ()


Rows = list[tuple[str, list[str]]]


def read_slip(path: Path) -> Slip:
    """The slip in a file. Raises WorkbookError, one line, where it cannot be read as a whole."""
    kind = path.suffix.lower()
    if kind not in (*TEXTS, *BOOKS):
        raise refuse("file", path.name, "a packing slip is read from .csv or .xlsx", "Save it as one of these")
    rows, mark = _from_text(path) if kind in TEXTS else _from_book(path)
    at, columns = _headings(path.name, rows)
    remarks: list[str] = []
    lines = tuple(_lines(path.name, rows[at + 1 :], columns, remarks))
    if not lines:
        raise refuse(
            "nothing filled in", path.name, "no line stands below the headings", "Check that it is the right file"
        )
    return Slip(path.name, mark, lines, tuple(remarks))


def _from_text(path: Path) -> tuple[Rows, str]:
    try:
        data = path.read_bytes() if path.stat().st_size <= LARGEST else b""
    except FileNotFoundError:
        raise refuse("file", path.name, "there is no such file", "Check the name and the folder") from None
    if not data.strip():
        raise refuse(
            "file", path.name, "the file is empty or too large for a packing slip", "Check that it is the right file"
        )
    if b"\0" in data and data[:2] not in (b"\xff\xfe", b"\xfe\xff"):
        raise refuse("file", path.name, "this is no text file", "Save the slip as CSV or .xlsx")
    text = _decoded(data)
    head = text[:4000]
    try:
        lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=max(";,\t", key=head.count)))
    except csv.Error as error:
        raise refuse("damaged", path.name, f"this is no sound CSV ({error})", "Save it again as CSV") from None
    return [(f"row {number}", [cell.strip() for cell in line]) for number, line in enumerate(lines, 1)], _mark(data)


def _decoded(data: bytes) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def _mark(data: bytes) -> str:
    return f"{zlib.crc32(data):08x}{len(data):x}"


def _from_book(path: Path) -> tuple[Rows, str]:
    """The first sheet that has the headings of a slip."""
    from bomcheck.workbook.package import open_package

    package = open_package(path)
    found: Rows = []
    for sheet in package.sheets:
        grid: dict[int, dict[int, str]] = {}
        for cell in package.cells(sheet.name).values():
            grid.setdefault(cell.row, {})[cell.column] = cell.text.strip()
        rows = [(f"{sheet.name}!A{number}", _row(cells)) for number, cells in sorted(grid.items())]
        found = found or rows
        if _heading_at(rows) is not None:
            return rows, _mark(package.data)
    return found, _mark(package.data)


def _row(cells: Mapping[int, str]) -> list[str]:
    return [cells.get(column, "") for column in range(1, max(cells) + 1)]


def _heading_at(rows: Rows) -> tuple[int, dict[str, int]] | None:
    for at, (_, cells) in enumerate(rows[:HEADINGS_WITHIN]):
        columns: dict[str, int] = {}
        for number, text in enumerate(cells):
            key = BY_HEADING.get(plain(text.split("[")[0]))
            if key is not None:
                columns.setdefault(key, number)
        if "quantity" in columns and ("part_number" in columns or "description" in columns):
            return at, columns
    return None


def _headings(file: str, rows: Rows) -> tuple[int, dict[str, int]]:
    found = _heading_at(rows)
    if found is None:
        wrong = "no row of headings was found"
        raise refuse(
            "heading missing",
            file,
            wrong,
            "Head the columns Part number, Description, Quantity and, if it matters, Side",
        )
    return found


def _lines(file: str, rows: Rows, columns: Mapping[str, int], remarks: list[str]) -> Iterator[SlipLine]:
    for where, cells in rows:
        got = {key: cells[number] if number < len(cells) else "" for key, number in columns.items()}
        number, words = got.get("part_number", ""), got.get("description", "")
        if not number and (not words or plain(words).startswith("total")):
            if got["quantity"] and not words:
                remarks.append(f'{file}: {where}: "{got["quantity"]}": a quantity without a part; the row is not used.')
            continue
        yield _line(file, where, got)


def _line(file: str, where: str, got: Mapping[str, str]) -> SlipLine:
    number, words = got.get("part_number", ""), got.get("description", "")
    count = counted(got["quantity"])
    if count is None:
        raise _no_quantity(file, where, got["quantity"], number or words)
    side = side_of(got.get("side", ""), words)
    if side is None:
        raise refuse(
            "not one of the choices", f"{file}: {where}", "this is no side", "Type left or right", typed=got["side"]
        )
    unit = got.get("unit", "").strip() or count[1]
    return SlipLine(where, number, words, count[0], side, unit, got.get("thread", ""), got.get("length", ""))


def _no_quantity(file: str, where: str, typed: str, part: str) -> WorkbookError:
    wrong = f"the quantity of {part} is missing" if not typed else f"this is no quantity that can have come of {part}"
    return refuse("unreadable text", f"{file}: {where}", wrong, "Type how many came, 0 for none", typed=typed)
