"""Quantities and sides as suppliers write them on packing slips, and the sizes that a line's words name."""

import csv
import io
import re
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from bomcheck.io.refusal import refuse
from bomcheck.model.errors import Unreadable, WorkbookError
from bomcheck.model.job import Part
from bomcheck.notation.text import decimal
from bomcheck.notation.thread import read_thread
from bomcheck.tables.fields import plain

SIDES = {
    "left": "left",
    "lh": "left",
    "l": "left",
    "lhs": "left",
    "right": "right",
    "rh": "right",
    "r": "right",
    "rhs": "right",
}
NO_SIDE = ("", "either", "both", "none", "any", "na")
_QUANTITY = re.compile(r"([\d.,]+)\s*(?:x|×)?\s*([A-Za-z]*)\.?")
_SIDE_WORD = re.compile(r"\b(left|right|lh|rh|lhs|rhs)\b", re.IGNORECASE)
_THREAD = re.compile(
    r"\bM\d+(?:[.,]\d+)?(?:\s*[x×]\s*\d(?:[.,]\d+)?)?(?!\d)|\b\d{1,2}/\d{1,2}-\d{2}\b(?:\s*NPT)?", re.IGNORECASE
)
_LENGTH = re.compile(r"(?:[x×]\s*|\blength\s*)(\d{1,3}(?:[.,]\d+)?)(?:\s*mm)?\b(?!\s*[x×])", re.IGNORECASE)
_MM = re.compile(r"\b(\d{1,3}(?:[.,]\d+)?)\s*mm\b")
_COMPOUND = re.compile(r"\bcompound\s+([\w-]+)", re.IGNORECASE)
LENGTH_SLACK, THICKNESS_SLACK = 0.6, 0.03  # mm


def counted(text: str) -> tuple[float, str] | None:
    """(how many, of what) of "4", "2 pcs", "1,5 L"; None for what is no quantity, or a negative one.

    >>> counted("4"), counted("2 pcs"), counted("1,5 L"), counted("-1"), counted("two")
    ((4.0, ''), (2.0, 'pcs'), (1.5, 'L'), None, None)
    """
    found = _QUANTITY.fullmatch(text.strip())
    value = decimal(found[1]) if found else None
    return None if found is None or value is None else (value, found[2])


def side_of(column: str, words: str) -> str | None:
    """left, right or "" where neither is named; None for a side that is none. The column rules over the words.

    >>> side_of("LH", ""), side_of("", "caliper, right"), side_of("", "left or right"), side_of("up", "")
    ('left', 'right', '', None)
    """
    stated = plain(column)
    if stated not in NO_SIDE:
        return SIDES.get(stated)
    named = {SIDES[one.lower()] for one in _SIDE_WORD.findall(words)}
    return named.pop() if len(named) == 1 else ""


def denied(said: str, part: Part) -> Iterator[str]:
    """What the words of a slip's line deny of the part that was expected, one text each: thread, length, thickness, compound.

    >>> from bomcheck.model.job import Part
    >>> list(denied("hex screw M10x1.25 x 45", Part("bracket screw", thread=read_thread("M10x1.25"), length=38.0)))
    ['length 45 mm on the slip, 38 mm expected']
    """
    rest = said
    found = _THREAD.search(said)
    if found:
        rest = said[: found.start()] + " " + said[found.end() :]
        yield from _other_thread(found[0], part)
    if part.length is not None:
        yield from _other_size("length", _sizes(_LENGTH, rest) or _sizes(_MM, rest), part.length, LENGTH_SLACK)
    elif part.thickness is not None and part.role == "shim":
        yield from _other_size("thickness", _sizes(_MM, rest), part.thickness, THICKNESS_SLACK)
    compound = _COMPOUND.search(said)
    if compound and part.role == "pad set" and part.strength_class and plain(compound[1]) != plain(part.strength_class):
        yield f"compound {compound[1]} on the slip, {part.strength_class} expected"


def _other_thread(text: str, part: Part) -> Iterator[str]:
    if part.thread is None:
        return
    try:
        named = read_thread(text.replace(",", ".").replace(" ", ""))
    except Unreadable:
        return
    if named is None:
        return
    alike = named.diameter == part.thread.diameter and named.form == part.thread.form
    if not alike or (named.pitch is not None and part.thread.pitch is not None and named.name != part.thread.name):
        yield f"thread {named.name} on the slip, {part.thread.name} expected"


def _sizes(pattern: re.Pattern[str], text: str) -> list[float]:
    return [float(one.replace(",", ".")) for one in pattern.findall(text)]


def _other_size(name: str, named: list[float], expected: float, slack: float) -> Iterator[str]:
    """Nothing where no size is named, or one of them is the expected one."""
    if named and all(abs(one - expected) > slack for one in named):
        yield f"{name} {named[-1]:g} mm on the slip, {expected:g} mm expected"


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
    from bomcheck.io.package import open_package

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
