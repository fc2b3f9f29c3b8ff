"""The columns of the Quote: what the customer gets is printed, what the shop types and reads stands to the right of it."""

import re
from collections.abc import Mapping, Sequence
from itertools import accumulate

from xlsxwriter.utility import xl_rowcol_to_cell

from bomcheck.io.layout import is_usable
from bomcheck.io.read.own import FIGURE as FIGURE_HEADING
from bomcheck.io.read.own import KEY_HEADING
from bomcheck.io.sheets.page import Cell, Page, Ref, address, text
from bomcheck.io.sheets.words import quantity, sentence
from bomcheck.model.line import amount, cents
from bomcheck.model.records import dataclass
from bomcheck.paper.quote import CONSUMABLES, DAYS, MARK_UP, QUOTE_PREFIX, RATE, TAX, Option, bought, options

ITEM, DETAIL, QUANTITY, PRICE, TOTAL, SHOP, FIGURE, USUAL, USED, KEY = range(10)
HEADINGS = (
    "Item", "What it is", "Quantity", "Rate", "Total", "For the shop, not printed", FIGURE_HEADING, "Usual",
    "Counts", KEY_HEADING,
)  # fmt: skip
FIGURES = (QUANTITY, PRICE, TOTAL, FIGURE, USUAL, USED)
WIDTHS = (34, 38, 11, 9, 11, 46, 10, 10, 10, 3)
WIDE = (36, 47, *WIDTHS[2:])
"""Of a car with two kits, whose longer quote stays on one page, its letters no smaller than 8 pt."""
LAST_PRINTED = TOTAL
HOURS, PERCENT, MONEY = 'General" h"', 'General" %"', "#,##0.00"
COUNT_LOOKS = ("cell", "right", "near")
"""Of quantities. A little smaller than money on purpose: LibreOffice drops the indent of a figure whose left neighbour differs from it
in the number format alone, and money would then not stand below money."""
UNLESS_NONE = f"{MONEY};-{MONEY};"
"""Money, and nothing where it is 0.00."""
Value = float | str


def number(value: Value) -> float:
    """A cell's value in a sum; a text counts nothing."""
    return float(value) if isinstance(value, int | float) else 0.0


@dataclass(frozen=True, slots=True)
class Figure:
    """at: address of the cell that counts. value: what it gives, "" for none."""

    at: str
    value: Value


@dataclass(frozen=True, slots=True)
class Quoted:
    """A row of the Quote, for the Bill: its total and how much that is for. size: units in one of these."""

    total: Figure
    count: Figure
    size: float = 1.0

    def each(self, packed: bool) -> tuple[str, Value]:
        """What one unit, or one pack, comes to: formula without "=", and its value."""
        known, size = (
            isinstance(self.total.value, int | float) and number(self.count.value) > 0,
            1.0 if packed else self.size,
        )
        value: Value = number(self.total.value) / number(self.count.value) / size if known else ""
        there = f"AND(ISNUMBER({self.total.at}),N({self.count.at})>0)"
        return f'IF({there},{self.total.at}/{self.count.at}/{size:g},"")', value


@dataclass(frozen=True, slots=True)
class Setting:
    """A yellow figure for the whole quote. key: without the prefix. note: what it is. usual: None for none."""

    key: str
    note: str
    usual: float | None
    shown: str


def settings(rate: float | None, tax: float | None, days: float) -> tuple[Setting, ...]:
    """Those of every quote. rate [currency/h], tax [%]: of the Job sheet, None where it does not say. days: usual."""
    return (
        Setting(DAYS, "Valid for, days", days, "0"),
        Setting(MARK_UP, "Mark-up on parts, percent, where no list price is typed", 0.0, PERCENT),
        Setting(RATE, f"Labour rate per hour{_said(rate)}", rate, MONEY),
        Setting(CONSUMABLES, "Consumables, percent: rags, gloves, disposal, no parts", 0.0, PERCENT),
        Setting(TAX, f"Tax, percent{_said(tax)}", tax, PERCENT),
    )


def _said(stated: float | None) -> str:
    return "; not stated on the Job sheet" if stated is None else "; usual: that of the Job sheet"


def figure_cells(page: Page, key: str, note: str, usual: float | None, shown: str) -> tuple[dict[int, Cell], Figure]:
    """Cells of the present row, and what counts: what was typed, or else the usual figure.

    A word and a figure below zero count nothing; they stay where they were typed.

    key: without the prefix. note: for the shop. shown: number format.
    """
    row, kept = page.row, page.book.kept.get(f"{QUOTE_PREFIX}{key}", {})
    typed, stands = amount(kept, "figure"), kept.get("figure")
    used: Value = typed if typed is not None else "" if stands is not None or usual is None else usual
    yours = address(row, FIGURE)
    otherwise = '""' if usual is None else f'IF({yours}="",{address(row, USUAL)},"")'
    number = typed if isinstance(stands, str) else stands
    figure = Cell(number, ("input figure",), shown=shown)
    cells = {
        SHOP: text(note, "small"),
        FIGURE: Cell(stands, ("input",)) if number is None and stands is not None else figure,
        USUAL: Cell(usual, ("cell", "right", "quiet"), shown=shown),
        USED: Cell(used, ("cell", "right"), formula=f"=IF({is_usable(yours)},{yours},{otherwise})", shown=shown),
        KEY: Cell(f"{QUOTE_PREFIX}{key}", ("key",)),
    }
    return cells, Figure(absolute(row, USED), used)


def absolute(row: int, column: int, sheet: str = "") -> str:
    """ "$I$4", with the sheet's name in front if one is given."""
    at: str = xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True)
    return f"'{sheet}'!{at}" if sheet else at


LONGEST = 7500  # characters of names; a formula holds 8192 at most
OTHERS = "and more"


@dataclass(frozen=True, slots=True)
class Row:
    """A row that is summed. row: 0-based. value: its total, "" for none. name: what it is called where it has none, ""
    where it always has a total. by: the name as a formula says it; what a user typed is referred to, never written into it.
    """

    row: int
    value: Value
    name: str = ""
    by: str = ""


def missing(rows: Sequence[Row], unless: Figure | None = None, whole: str = "") -> tuple[str, str]:
    """A formula, without "=", and its value: ", the kit, Banjo screw", "" where every row has a total.

    unless: a figure without which no row counts; `whole` is then named in their place.
    """
    named = [row for row in rows if row.name]
    pieces = [f'IF(ISNUMBER({address(one.row, TOTAL)}),"",", "&{one.by})' for one in named]
    count = sum(length <= LONGEST for length in accumulate(len(one) + 1 for one in pieces))
    pieces, first, rest = pieces[:count], named[:count], named[count:]
    words = [f", {escaped(one.name)}" for one in first if one.value == ""]
    if rest:
        area = f"{address(rest[0].row, TOTAL)}:{address(rest[-1].row, TOTAL)}"
        pieces.append(f'IF(COUNT({area})={rest[-1].row - rest[0].row + 1},"",", {OTHERS}")')
        words += [f", {OTHERS}"] if any(one.value == "" for one in rest) else []
    formula = "&".join(pieces) or '""'
    if unless is None:
        return formula, "".join(words)
    lacking = f", {whole}" if unless.value == "" else "".join(words)
    return f"IF(ISNUMBER({unless.at}),{formula},{quoted(f', {whole}')})", lacking


def quoted(words: str) -> str:
    """As a text inside a formula, in one line and without the control characters that no formula may hold.

    >>> quoted('8 "fine" screws')
    '"8 ""fine"" screws"'
    """
    printable = "".join(one if one.isprintable() else " " for one in words).rstrip()
    return f'"{printable.replace(chr(34), chr(34) * 2)}"'


def escaped(words: str) -> str:
    """A formula's value as it stands in the file (ISO/IEC 29500-1, 22.9.2.19, ST_Xstring); XlsxWriter does so for texts
    alone.

    >>> escaped("bell \\x07, _x0007_")
    'bell _x0007_, _x005F_x0007_'
    """
    kept = re.sub(r"(?=_x[0-9a-fA-F]{4}_)", "_x005F", words)
    return re.sub(r"[\x00-\x08\x0b-\x1f]", lambda one: f"_x{ord(one[0]):04X}_", kept)


FREIGHT, COST = "Freight and minimum orders", "Cost "
LISTED = "list "


class Sums:
    """Adds the rows one after another; `subtotal` sums those since the last one. mark_up: percent on parts."""

    def __init__(self, page: Page, mark_up: Figure) -> None:
        self.page = page
        self.mark_up = mark_up
        self.closed: list[Row] = []
        self.by_key: dict[str, Quoted] = {}
        self.lacking: list[tuple[str, str]] = []
        self._open: list[Row] = []

    def add(
        self, key: str, item: str, detail: str, cells: Mapping[int, Cell], name: str = "", by: str = "", size: float = 1.0
    ) -> None:  # fmt: skip
        """A row of the present block, kept under a key. name, by: what the totals call it, as in `Row`. size: of one."""
        value = cells[TOTAL].value
        row = self.page.line({ITEM: text(item), DETAIL: text(detail), **cells})
        self._open.append(Row(row, "" if value is None else value, name, by))
        count = cells[QUANTITY].value if QUANTITY in cells else ""
        total, many = (absolute(row, column, self.page.name) for column in (TOTAL, QUANTITY))
        quoted = Quoted(Figure(total, value if value is not None else ""), Figure(many, count or ""), size)
        self.by_key.setdefault(key, quoted)

    def priced_line(self, key: str, name: str, item: str, detail: str, note: str, usual: float | None) -> None:
        """A row whose price is typed by hand; usual: what counts where it is not."""
        cells, price = figure_cells(self.page, key, note, usual, MONEY)
        total: Value = cents(price.value) if isinstance(price.value, float | int) else ""
        formula = f'=IF(ISNUMBER({price.at}),ROUND({price.at},2),"")'
        cells[TOTAL] = Cell(total, ("cell", "money"), formula=formula)
        self.add(key, item, detail, cells, name, quoted(name))

    def marked_up(
        self, amount: str, value: float | None, listed: Cell | None = None, of: tuple[str, float] = ("", 0)
    ) -> Cell:
        """An amount of money, by its address or as a figure, with the mark-up; empty where it is none. listed: in its place,
        a list price of one; of: how many, its address and value."""
        formula = f'IF(ISNUMBER({amount}),ROUND({amount}*(1+N({self.mark_up.at})/100),2),"")'
        total: Value = "" if value is None else cents(value * (1 + number(self.mark_up.value) / 100))
        if listed is not None:
            price = address(self.page.row, FIGURE)
            formula = f"IF({is_usable(price)},ROUND({of[0]}*{price},2),{formula})"
            if isinstance(listed.value, int | float):
                total = cents(of[1] * listed.value)
        return Cell(total, ("cell", "money"), formula=f"={formula}")

    def work_line(self, key: str, item: str, detail: str, ref: Ref, shown: str, note: str) -> None:
        """A row of work of the Parts list, on which no mark-up goes. shown: how its quantity is shown."""
        cells = {
            QUANTITY: Cell(ref.ordered_value, COUNT_LOOKS, formula=f"={ref.ordered}", shown=shown),
            TOTAL: Cell("" if ref.total_value is None else ref.total_value, ("cell", "money"), formula=f"={ref.total}"),
            SHOP: text(note, "small"),
        }
        self.add(key, item, detail, cells, item, address(self.page.row, ITEM))

    def part_line(self, key: str, item: str, detail: str, ref: Ref, shown: str, note: str, size: float) -> None:
        """A part of the Parts list, with the mark-up or at its list price. size: units in what is counted."""
        cells, _ = figure_cells(self.page, f"{LISTED}{key}", "", None, MONEY)
        cells |= {
            QUANTITY: Cell(ref.ordered_value, COUNT_LOOKS, formula=f"={ref.ordered}", shown=shown),
            TOTAL: self.marked_up(ref.total, ref.total_value, cells[FIGURE], (ref.ordered, ref.ordered_value)),
            SHOP: self._cost(ref, note),
        }
        self.add(key, item, detail, cells, item, address(self.page.row, ITEM), size)

    @staticmethod
    def _cost(ref: Ref, note: str) -> Cell:
        """What the shop pays for it, beside what the customer does."""
        value = "" if ref.total_value is None else f"{COST}{ref.total_value:.2f}"
        shown = f'IF(ISNUMBER({ref.total}),"{COST}"&FIXED({ref.total},2,TRUE),"")'
        formula = f'={quoted(f"{note}.")}&" "&{shown}' if note else f"={shown}"
        return Cell(f"{note}. {value}" if note else value, ("cell", "small"), formula=formula)

    def quoted_line(self, item: str, detail: str, row: Quoted, name: str) -> None:
        """A row of the Quote as it stands there."""
        cells = {
            QUANTITY: Cell(row.count.value, COUNT_LOOKS, formula=f"={row.count.at}"),
            TOTAL: Cell(row.total.value, ("cell", "money"), formula=f"={row.total.at}"),
        }
        self.add(name, item, detail, cells if row.count.value != "" else {TOTAL: cells[TOTAL]}, name, quoted(name))

    def shelf_line(self, item: str, count: float, key: str, cost: float | None) -> None:
        """A part from the shop's own shelf; its cost is the usual figure and may be typed. count: how many are taken."""
        note = "From your shelf: its cost; the mark-up comes on it"
        cells, price = figure_cells(self.page, key, note, cost, MONEY)
        value = price.value if isinstance(price.value, float | int) else None
        cells[TOTAL] = self.marked_up(price.at, value)
        cells[QUANTITY] = Cell(count, COUNT_LOOKS)
        self.add(key, item, "From the shelf", cells, item, address(self.page.row, ITEM))

    def freight_line(self, refs: list[Ref]) -> None:
        """All charges below the Parts list; nothing is shown while there are none."""
        value, at = cents(sum(ref.total_value or 0.0 for ref in refs)), address(self.page.row, TOTAL)
        cells = {
            ITEM: Cell(FREIGHT if value else "", ("cell",), formula=f'=IF({at}=0,"","{FREIGHT}")'),
            TOTAL: Cell(value, ("cell", "money"), formula=f"={'+'.join(ref.total for ref in refs)}", shown=UNLESS_NONE),
        }
        self.add(FREIGHT, "", "", cells)

    def labour_line(self, key: str, item: str, covers: str, hours: float, times: int, rate: Figure, note: str) -> None:
        """Hours x times x rate; the hours of one time are yellow."""
        row = self.page.row
        cells, each = figure_cells(self.page, key, note, hours, HOURS)
        count, price = (address(row, column) for column in (QUANTITY, PRICE))
        spent: Value = each.value * times if isinstance(each.value, float) else ""
        total: Value = cents(spent * rate.value) if isinstance(spent, float) and isinstance(rate.value, float) else ""
        cells |= {
            QUANTITY: Cell(spent, COUNT_LOOKS, formula=f'=IF(ISNUMBER({each.at}),{each.at}*{times},"")', shown=HOURS),
            PRICE: Cell(rate.value, ("cell", "money"), formula=f"={rate.at}"),
            TOTAL: Cell(
                total,
                ("cell", "money"),
                formula=f'=IF(AND(ISNUMBER({count}),ISNUMBER({price})),ROUND({count}*{price},2),"")',
            ),
        }
        name = item[:1].lower() + item[1:]
        self.add(key, item, covers, cells, name, quoted(name))

    def subtotal(self, title: str, unless: Figure | None = None, whole: str = "") -> None:
        """Sum of the rows since the last subtotal. unless: a figure without which none of them counts; whole: then said."""
        rows, at = self._open, address(self.page.row, USED)
        first, last = rows[0].row, rows[-1].row
        value = cents(sum(number(one.value) for one in rows))
        formula, lacking = missing(rows, unless, whole)
        note = f"No price yet: {lacking[2:]}" if lacking else ""
        cells = {
            ITEM: at_least(title, at, lacking),
            SHOP: Cell(note, ("cell", "small"), formula=f'=IF({at}="","","No price yet: "&MID({at},3,999))'),
            USED: Cell(lacking, ("key",), formula=f"={formula}"),
            TOTAL: Cell(
                value, ("cell", "total", "money"), formula=f"=SUM({address(first, TOTAL)}:{address(last, TOTAL)})"
            ),
        }
        self.closed.append(Row(self.total_line(cells), value, title))
        self.lacking.append((at, lacking))
        self._open = []

    def total_line(self, cells: Mapping[int, Cell]) -> int:
        """A grey row across what is printed."""
        grey = {column: Cell(None, ("cell", "total")) for column in range(SHOP)}
        return self.page.line({**grey, **cells}, least=16)


def at_least(title: str, lacking_at: str, lacking: str) -> Cell:
    """A total's title, with "(at least)" while something has no price."""
    words = f"{title} (at least)" if lacking else title
    return Cell(words, ("cell", "total"), formula=f'={quoted(title)}&IF({lacking_at}="",""," (at least)")')


def write_options(page: Page, sums: Sums) -> None:
    """Adds the rows, with the mark-up on their prices."""
    found = options(page.book.report)
    if not found:
        return
    page.group("Options for the car's duty, not added to the total")
    quoted = {line.part_number for line in bought(page.book.report) if line.part_number}
    for one in found:
        page.line(_cells(page, sums, one, one.purchase.part.part_number in quoted))


def _cells(page: Page, sums: Sums, one: Option, quoted: bool) -> dict[int, Cell]:
    part, purchase = one.purchase.part, one.purchase
    why = f"{one.why}; this one is quoted above" if quoted else one.why
    price = purchase.total
    named = [word for word in (part.part_number, part.supplier) if word]
    return {
        ITEM: text(f"{sentence(one.what)}, {one.grade}", "bold"),
        DETAIL: Cell(sentence(part.description), ("cell",), more=((sentence(why), ("quiet", "near")),)),
        QUANTITY: Cell(_quantity(one), COUNT_LOOKS),
        TOTAL: text("") if price is None else sums.marked_up(f"{price:g}", price),
        SHOP: text(", ".join(named), "small"),
    }


def _quantity(one: Option) -> str:
    packs, size = one.purchase.packs, one.purchase.pack_size
    unit = "L" if one.what == "fluid" else "set"
    return quantity(size, unit) if packs == 1 else f"{packs:g} x {quantity(size, unit)}"
