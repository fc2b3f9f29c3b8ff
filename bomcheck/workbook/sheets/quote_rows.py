"""The rows of the Quote sheet whose figures add up: each formula carries the value that it gives."""

from collections.abc import Mapping

from bomcheck.parts.cents import cents
from bomcheck.workbook.sheets.page import Cell, Page, Ref, address, text
from bomcheck.workbook.sheets.quote_columns import (
    COUNT_LOOKS,
    DETAIL,
    HOURS,
    ITEM,
    MONEY,
    PRICE,
    QUANTITY,
    SHOP,
    TOTAL,
    UNLESS_NONE,
    USED,
    Value,
    number,
)
from bomcheck.workbook.sheets.quote_figures import Figure, figure_cells
from bomcheck.workbook.sheets.quote_missing import Row, missing, quoted

FREIGHT = "Freight and minimum orders"


class Sums:
    """Adds the rows one after another; `subtotal` sums those since the last one. mark_up: percent on parts."""

    def __init__(self, page: Page, mark_up: Figure) -> None:
        self.page = page
        self.mark_up = mark_up
        self.closed: list[Row] = []
        self.lacking: list[tuple[str, str]] = []
        self._open: list[Row] = []

    def _add(self, item: str, detail: str, cells: Mapping[int, Cell], name: str = "", by: str = "") -> None:
        """A row of the present block. name, by: what the totals call it, as in `Row`."""
        value = cells[TOTAL].value
        row = self.page.line({ITEM: text(item), DETAIL: text(detail, "small"), **cells})
        self._open.append(Row(row, "" if value is None else value, name, by))

    def priced_line(self, key: str, name: str, item: str, detail: str, note: str) -> None:
        """A row whose price is typed by hand."""
        cells, price = figure_cells(self.page, key, note, None, MONEY)
        total: Value = cents(price.value) if isinstance(price.value, float) else ""
        formula = f'=IF(ISNUMBER({price.at}),ROUND({price.at},2),"")'
        cells[TOTAL] = Cell(total, ("cell", "money"), formula=formula)
        self._add(item, detail, cells, name, quoted(name))

    def marked_up(self, amount: str, value: float | None) -> Cell:
        """An amount of money, by its address or as a figure, with the mark-up; empty where it is none."""
        formula = f'=IF(ISNUMBER({amount}),ROUND({amount}*(1+N({self.mark_up.at})/100),2),"")'
        total: Value = "" if value is None else cents(value * (1 + number(self.mark_up.value) / 100))
        return Cell(total, ("cell", "money"), formula=formula)

    def referred_line(self, item: str, detail: str, ref: Ref, shown: str, marked: bool, note: str) -> None:
        """A row of the Parts list. shown: how its quantity is shown. marked: whether the mark-up goes on it."""
        total: Value = "" if ref.total_value is None else ref.total_value
        plain = Cell(total, ("cell", "money"), formula=f"={ref.total}")
        cells = {
            QUANTITY: Cell(ref.ordered_value, COUNT_LOOKS, formula=f"={ref.ordered}", shown=shown),
            TOTAL: self.marked_up(ref.total, ref.total_value) if marked else plain,
            SHOP: text(note, "small"),
        }
        self._add(item, detail, cells, item, address(self.page.row, ITEM))

    def freight_line(self, refs: list[Ref]) -> None:
        """All charges below the Parts list; nothing is shown while there are none."""
        value, at = cents(sum(ref.total_value or 0.0 for ref in refs)), address(self.page.row, TOTAL)
        cells = {
            ITEM: Cell(FREIGHT if value else "", ("cell",), formula=f'=IF({at}=0,"","{FREIGHT}")'),
            TOTAL: Cell(value, ("cell", "money"), formula=f"={'+'.join(ref.total for ref in refs)}", shown=UNLESS_NONE),
        }
        self._add("", "", cells)

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
        self._add(item, covers, cells, name, quoted(name))

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
        return self.page.line({**grey, **cells}, least=20)


def at_least(title: str, lacking_at: str, lacking: str) -> Cell:
    """A total's title, with "(at least)" while something has no price."""
    words = f"{title} (at least)" if lacking else title
    return Cell(words, ("cell", "total"), formula=f'={quoted(title)}&IF({lacking_at}="",""," (at least)")')
