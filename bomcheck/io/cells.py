"""Which number formats show a date, and the date that a number then stands for.

Built-in formats after ISO/IEC 29500-1 18.8.30 (numFmt); day numbers after 18.17.4 (dates).
"""

import re
from collections.abc import Mapping
from datetime import datetime, timedelta

from bomcheck.io.parts import doctype
from bomcheck.io.refusal import damaged, too_large
from bomcheck.io.xml import (
    LAST_COLUMN,
    LAST_ROW,
    MAIN,
    BadXml,
    Doctype,
    Node,
    column_letters,
    column_number,
    new_parser,
    run,
    whole,
)
from bomcheck.model.errors import WorkbookError
from bomcheck.model.records import dataclass

BUILT_IN_DATES = frozenset((*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)))
_NO_LETTERS = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!h+\]|m+\]|s+\])[^\]]*\]', re.IGNORECASE)
_LAST_DAY = 2_958_465


@dataclass(frozen=True, slots=True)
class Dated:
    """styles: indexes, as text, of the cell styles that show a date. since_1904: the old Macintosh day count."""

    styles: frozenset[str]
    since_1904: bool

    def iso(self, style: str, number: float) -> str:
        """ISO text of a cell's date, its time if it has one: "2026-10-01", "2026-10-01T08:30:00", "08:30:00"; or ""."""
        if style not in self.styles or not 0 <= number <= _LAST_DAY:
            return ""
        days, seconds = divmod(round(number * 86_400), 86_400)
        clock = f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"
        if days == 0 and not self.since_1904:
            return clock
        day = self._day(days).date().isoformat()
        return f"{day}T{clock}" if seconds else day

    def _day(self, days: int) -> datetime:
        """Day 60 of the 1900 count is a 29 February that never was."""
        if self.since_1904:
            return datetime(1904, 1, 1) + timedelta(min(days, _LAST_DAY - 1462))
        return datetime(1899, 12, 31 if days < 60 else 30) + timedelta(days)


def shows_date(code: str) -> bool:
    """True for a format such as "dd/mm/yyyy" or "[h]:mm"; false for "0.00", "General" or '0 "days"'."""
    first = _NO_LETTERS.sub("", code).split(";")[0].lower()
    return "general" not in first and any(letter in first for letter in "dmyhs")


def dated_styles(styles: Node | None, since_1904: bool) -> Dated:
    """Read a styles part (None: the workbook has none)."""
    if styles is None:
        return Dated(frozenset(), since_1904)
    custom = {
        node.attributes.get("numFmtId", ""): node.attributes.get("formatCode", "") for node in _in(styles, "numFmts")
    }
    formats = [node.attributes.get("numFmtId", "0") for node in _in(styles, "cellXfs")]
    return Dated(frozenset(str(i) for i, one in enumerate(formats) if _is_date(one, custom)), since_1904)


def _in(styles: Node, group: str) -> list[Node]:
    found = styles.child(group)
    return found.children if found else []


def _is_date(number: str, custom: dict[str, str]) -> bool:
    if number in custom:
        return shows_date(custom[number])
    return whole(number) in BUILT_IN_DATES


MOST_STRINGS = 400_000
SI, T, PHONETIC = (f"{MAIN} {name}" for name in ("si", "t", "rPh"))
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


def unescape(text: str) -> str:
    """Texts hold characters that XML cannot as _x000D_."""
    if "_x" not in text:
        return text
    text = _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text)
    return text.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")


RUN, RAISED, STRUCK_OUT = (f"{MAIN} {name}" for name in ("r", "vertAlign", "strike"))
_FIGURES = "0123456789"
_AS_SHOWN: dict[str, dict[int, str]] = {
    "superscript": {ord(one): raised for one, raised in zip(_FIGURES, "⁰¹²³⁴⁵⁶⁷⁸⁹", strict=True)},
    "subscript": {ord(one): lowered for one, lowered in zip(_FIGURES, "₀₁₂₃₄₅₆₇₈₉", strict=True)},
    "strike": {ord(one): f"{one}\u0336" for one in _FIGURES},
}


def look_of_run(tag: str, attributes: dict[str, str]) -> str:
    """What an element says of its run of a text: "superscript", "subscript", "strike", or ""."""
    value = attributes.get("val", "")
    if tag == RAISED:
        return value if value in _AS_SHOWN else ""
    return "strike" if tag == STRUCK_OUT and value not in ("0", "false", "off") else ""


def as_shown(words: str, look: str) -> str:
    """The words of one run with figures that are raised, lowered or struck out as such, so that none is taken for a size."""
    return words.translate(_AS_SHOWN[look]) if look else words


def read_strings(file: str, part: str, content: bytes) -> list[str]:
    """The shared texts in order: the runs of rich text joined, phonetic readings left out; raises WorkbookError."""
    reader = _Reader(file)
    try:
        reader.run(content)
    except Doctype:
        raise doctype(file, part) from None
    except BadXml as error:
        raise damaged(file, f"its shared texts are not readable ({error})") from None
    return reader.strings


class _Reader:
    def __init__(self, file: str) -> None:
        self.file = file
        self.strings: list[str] = []
        self.words: list[str] = []
        self.pieces: list[str] = []
        self.phonetic = False
        self.look = ""

    def run(self, content: bytes) -> None:
        parser = new_parser()
        parser.StartElementHandler, parser.EndElementHandler = self.start, self.end
        parser.CharacterDataHandler = self.words.append
        run(parser, content)

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        if tag == T:
            self.words.clear()
        elif tag == SI:
            self.pieces.clear()
            self.look = ""
        elif tag == RUN:
            self.look = ""
        elif tag == PHONETIC:
            self.phonetic = True
        else:
            self.look = look_of_run(tag, attributes) or self.look

    def end(self, tag: str) -> None:
        if tag == T and not self.phonetic:
            self.pieces.append(as_shown("".join(self.words), self.look))
        elif tag == SI:
            self.keep()
        elif tag == PHONETIC:
            self.phonetic = False

    def keep(self) -> None:
        if len(self.strings) >= MOST_STRINGS:
            raise too_large(self.file, "it has too many different texts")
        self.strings.append(unescape("".join(self.pieces)))


MOST_CELLS = 150_000
"""Filled cells of one sheet that are read."""
MOST_EMPTY = 2_000_000
"""Cells of one sheet that only carry a format; they are passed over."""
_ADDRESS = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")
C, V, F, IS, CELL_TEXT, ROW, CELL_PHONETIC, DATA = (
    f"{MAIN} {name}" for name in ("c", "v", "f", "is", "t", "row", "rPh", "sheetData")
)


@dataclass(slots=True)
class Cell:
    """One cell that is not empty.

    address: "B12". row, column: from 1. kind: "number", "text", "date", "bool", "error" or "formula without value".
    value: float, str, bool; for a date its ISO text; None for a formula without value. text: what the person sees or
    typed, numbers with up to 15 digits and no trailing zeros; a number's value is that of its text, as some programs
    store 64.1 as 64.09999999999999. is_formula: True if a formula gave it.
    """

    address: str
    row: int
    column: int
    kind: str
    value: float | str | bool | None
    text: str
    is_formula: bool = False

    @property
    def content(self) -> float | str:
        """A number as a number, everything else as it is shown."""
        return float(self.value) if self.kind == "number" and isinstance(self.value, float | int) else self.text


def added_up(cells: Mapping[str, Cell]) -> tuple[int, float, int] | None:
    """(last row, sum of the numbers, letters of the texts), by which a change in a table is seen; None where dates, errors or
    formulas without a value stand in it."""
    if not cells or not {cell.kind for cell in cells.values()} <= {"number", "text", "bool"}:
        return None
    total = sum(float(cell.value or 0) for cell in cells.values() if cell.kind == "number")
    letters = sum(len(str(cell.value)) for cell in cells.values() if cell.kind == "text")
    return max(cell.row for cell in cells.values()), total, letters


def shortest(number: float) -> str:
    """A number as a person writes it: "13", "0.3", "1e+20"; 15 digits, as spreadsheet programs show at most."""
    return str(int(number)) if number.is_integer() and abs(number) < 1e15 else format(number, ".15g")


class CellReader:
    """Reads one sheet's part; one use each. The handlers run for every cell, so the common cases come first in them."""

    def __init__(self, file: str, sheet: str, strings: list[str], dated: Dated) -> None:
        self.file, self.sheet, self.strings, self.dated = file, sheet, strings, dated
        self.cells: dict[str, Cell] = {}
        self.row = self.column = self.empty = self.last = 0
        self.row_text = "0"
        self.sorted = True
        self.letters: dict[str, int] = {}
        self.words: list[str] = []
        self.attributes: dict[str, str] = {}
        self.value: str | None = None
        self.inline: list[str] | None = None
        self.formula = self.phonetic = False
        self.look = ""

    def read(self, content: bytes, part: str) -> dict[str, Cell]:
        """Cells by address in reading order; raises WorkbookError."""
        if content.count(b"</v></c>") + content.count(b"</is></c>") > MOST_CELLS:
            raise self._too_many()
        self.parser = parser = new_parser()
        parser.StartElementHandler, parser.EndElementHandler = self._start, self._end
        parser.CharacterDataHandler = self.words.append
        try:
            run(parser, content)
        except Doctype:
            raise doctype(self.file, part) from None
        except BadXml as error:
            raise damaged(self.file, f'its sheet "{self.sheet}" is not readable ({error})') from None
        return self.cells if self.sorted else self._in_order()

    def _in_order(self) -> dict[str, Cell]:
        return {cell.address: cell for cell in sorted(self.cells.values(), key=lambda one: (one.row, one.column))}

    def _start(self, tag: str, attributes: dict[str, str]) -> None:
        if tag == C:
            self.attributes, self.value, self.inline, self.formula = attributes, None, None, False
        elif tag == V or tag == CELL_TEXT:  # noqa: SIM109 - runs for every cell
            self.words.clear()
        elif tag == F:
            self.formula = True
        elif tag == ROW:
            self._start_row(attributes.get("r"))
        elif tag == IS:
            self.inline, self.phonetic, self.look = [], False, ""
        elif tag == CELL_PHONETIC:
            self.phonetic = True
        elif tag == RUN:
            self.look = ""
        elif self.inline is not None:
            self.look = look_of_run(tag, attributes) or self.look

    def _start_row(self, number: str | None) -> None:
        self.column = 0
        self.row = whole(number or "", self.row + 1)
        self.row_text = str(self.row)
        self.words.clear()

    def _end(self, tag: str) -> None:
        if tag == V:
            self.value = "".join(self.words)
        elif tag == C:
            self._place(self.attributes.get("r"))
            if self.value is not None or self.formula or self.inline is not None:
                self._keep()
            else:
                self._count_empty()
        elif tag == CELL_TEXT:
            if self.inline is not None and not self.phonetic:
                self.inline.append(as_shown("".join(self.words), self.look))
        elif tag == CELL_PHONETIC:
            self.phonetic = False
        elif tag == DATA:
            self.parser.StartElementHandler = self.parser.EndElementHandler = None
            self.parser.CharacterDataHandler = None

    def _place(self, address: str | None) -> None:
        """Take over row and column of an address; without one the cell follows the last."""
        if address is None:
            self.column += 1
            return
        letters = address.rstrip("0123456789")
        column = self.letters.get(letters)
        if column is None or address[len(letters) :] != self.row_text:
            column = self._read_address(address)
        self.column = column

    def _read_address(self, address: str) -> int:
        """Column of an address, whose row becomes the current one; raises WorkbookError for one outside of any sheet."""
        found = _ADDRESS.fullmatch(address)
        if found is None:
            raise self._bad(address, "this is not a cell's address")
        letters, self.row_text = found.groups()
        column = self.letters[letters] = column_number(letters)
        self.row = int(self.row_text)
        if column > LAST_COLUMN or self.row > LAST_ROW:
            raise self._bad(address, "this cell lies outside of any sheet")
        return column

    def _count_empty(self) -> None:
        self.empty += 1
        if self.empty > MOST_EMPTY:
            wrong = f'its sheet "{self.sheet}" has more than {MOST_EMPTY:,} cells that hold a format and nothing else'
            raise too_large(self.file, wrong, "Clear the formats of the empty rows and columns")

    def _keep(self) -> None:
        address = self.attributes.get("r") or f"{column_letters(self.column)}{self.row}"
        found = self._judge(address)
        if found is None:
            return
        kind, value, text = found
        cells = self.cells
        if address in cells:
            raise self._bad(address, "this cell is there twice")
        if len(cells) >= MOST_CELLS:
            raise self._too_many()
        order = self.row * LAST_COLUMN + self.column
        if order < self.last:
            self.sorted = False
        self.last = order
        cells[address] = Cell(address, self.row, self.column, kind, value, text, self.formula)

    def _judge(self, address: str) -> tuple[str, float | str | bool | None, str] | None:
        """(kind, value, text) of the cell just read; None if nothing is to be seen in it."""
        kind, value = self.attributes.get("t", "n"), self.value
        if kind == "n" and value and not value.isspace():
            return self._number(address, value)
        if kind == "inlineStr":
            return _as_text(unescape("".join(self.inline or ())))
        if kind == "str":
            return _as_text(unescape(value or ""))
        if not value or value.isspace():
            return ("formula without value", None, "") if self.formula else None
        if kind == "s":
            return _as_text(self._shared(address, value))
        if kind == "b":
            is_true = value.strip() in ("1", "true")
            return "bool", is_true, "TRUE" if is_true else "FALSE"
        if kind == "e":
            return "error", value, value
        if kind == "d":
            return "date", value, value
        return self._number(address, value)

    def _shared(self, address: str, index: str) -> str:
        try:
            return self.strings[int(index)] if int(index) >= 0 else self.strings[len(self.strings)]
        except (ValueError, IndexError):
            raise self._bad(address, "its text is missing from the workbook") from None

    def _number(self, address: str, value: str) -> tuple[str, float | str, str] | None:
        try:
            number = float(value)
        except ValueError:
            raise self._bad(address, f'its number is stored as "{value[:20]}"') from None
        if number - number:
            raise self._bad(address, f'its number is stored as "{value[:20]}"')
        style = self.attributes.get("s", "0")
        iso = self.dated.iso(style, number) if style in self.dated.styles else ""
        if iso:
            return "date", iso, iso
        text = shortest(number)
        return "number", float(text), text

    def _bad(self, address: str, what: str) -> WorkbookError:
        return damaged(self.file, what, sheet=self.sheet, cell=address[:20])

    def _too_many(self) -> WorkbookError:
        return too_large(self.file, f'its sheet "{self.sheet}" has more than {MOST_CELLS:,} cells'.replace(",", " "))


def _as_text(text: str) -> tuple[str, str, str] | None:
    return ("text", text, text) if text else None
