"""The rows of the Quote sheet whose figures add up: each formula carries the value that it gives."""

from typing import Any

from bomcheck.parts.typed import amount
from bomcheck.workbook.sheets.kept import FIGURE as FIGURE_HEADING
from bomcheck.workbook.sheets.kept import KEY_HEADING
from bomcheck.workbook.sheets.page import Cell, Page, Ref, address, text

ITEM, DETAIL, FIGURE, QUANTITY, PRICE, TOTAL, KEY = range(7)
HEADINGS = ("Item", "What it is", FIGURE_HEADING, "Quantity", "Price or rate", "Total", KEY_HEADING)
WIDTHS = (31, 46, 10, 10, 11, 13, 3)
Value = float | str


def number(value: Any) -> float:
    """A cell's value in a sum; a text counts nothing."""
    return float(value) if isinstance(value, int | float) else 0.0


class Sums:
    """Adds the rows one after another; `subtotal` sums those since the last one."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self._open: list[tuple[int, Value]] = []
        self._closed: list[tuple[int, float]] = []

    def figure(self, key: str, usual: float) -> float:
        """What was typed in a yellow cell, or the usual figure."""
        kept = self.page.book.kept.get(key, {})
        typed = amount(kept, "figure")
        return usual if typed is None and not kept.get("figure") else (typed or 0.0)

    def _input(self, key: str, usual: float | None, shown: str) -> Cell:
        value = self.page.book.kept.get(key, {}).get("figure")
        typed = amount({"figure": value}, "figure")
        if typed is None and value is not None:
            return Cell(str(value), ("input",))
        return Cell(usual if typed is None else typed, ("input figure",), shown=shown)

    def _line(self, item: str, detail: str, cells: dict[int, Cell], key: str = "") -> int:
        named = {ITEM: text(item), DETAIL: text(detail, "small"), **({KEY: Cell(key, ("key",))} if key else {})}
        return self.page.line({**named, **cells})

    def input_line(self, key: str, item: str, detail: str, usual: float, shown: str = "0.##") -> int:
        """A yellow figure that is no part of the sum."""
        return self._line(item, detail, {FIGURE: self._input(key, usual, shown)}, key)

    def priced_line(self, key: str, item: str, detail: str) -> None:
        """A row whose price is typed by hand."""
        row, typed = self.page.row, amount(self.page.book.kept.get(key, {}), "figure")
        at = address(row, FIGURE)
        total: Value = "" if typed is None else round(typed, 2)
        formula = f'=IF(ISNUMBER({at}),ROUND({at},2),"")'
        self._line(
            item,
            detail,
            {FIGURE: self._input(key, None, "#,##0.00"), TOTAL: Cell(total, ("cell", "money"), formula=formula)},
            key,
        )
        self._open.append((row, total))

    def referred_line(self, item: str, detail: str, ref: Ref) -> None:
        """A row of the Parts list."""
        value: Value = "" if ref.total_value is None else ref.total_value
        cells = {
            QUANTITY: Cell(ref.ordered_value, ("cell", "right"), formula=f"={ref.ordered}", shown=ref.shown),
            TOTAL: Cell(value, ("cell", "money"), formula=f"={ref.total}"),
        }
        self._open.append((self._line(item, detail, cells), value))

    def freight_line(self, item: str, ref: Ref) -> None:
        """A charge below the Parts list."""
        value: Value = ref.total_value or 0.0
        self._open.append(
            (self._line(item, "", {TOTAL: Cell(value, ("cell", "money"), formula=f"={ref.total}")}), value)
        )

    def rate_line(self, stated: float | None) -> tuple[str, Value]:
        """The labour rate; returns (its cell, its value)."""
        key, row = "quote rate", self.page.row
        typed = amount(self.page.book.kept.get(key, {}), "figure")
        value: Value = typed if typed is not None else "" if stated is None else float(stated)
        usual = '""' if stated is None else repr(float(stated)).removesuffix(".0")
        at = address(row, FIGURE)
        cell = Cell(value, ("cell", "money"), formula=f"=IF(ISNUMBER({at}),{at},{usual})")
        self._line(
            "Labour rate per hour",
            "Of the Job sheet, unless you type another",
            {FIGURE: self._input(key, None, "#,##0.00"), PRICE: cell},
            key,
        )
        return address(row, PRICE), value

    def labour_line(self, key: str, item: str, covers: str, hours: float, times: int, rate: tuple[str, Value]) -> None:
        """Hours x times x rate; the hours are yellow."""
        row, each = self.page.row, self.figure(key, hours)
        hour, count, price = (address(row, column) for column in (FIGURE, QUANTITY, PRICE))
        value: Value = round(each * times * rate[1], 2) if isinstance(rate[1], float) and self._counts(key) else ""
        formula = f'=IF(AND(ISNUMBER({hour}),ISNUMBER({price})),ROUND({hour}*{count}*{price},2),"")'
        cells = {
            FIGURE: self._input(key, hours, '0.## "h"'),
            QUANTITY: Cell(times, ("cell", "right"), shown='"x "0'),
            PRICE: Cell(rate[1], ("cell", "money"), formula=f"={rate[0]}"),
            TOTAL: Cell(value, ("cell", "money"), formula=formula),
        }
        self._line(item, covers, cells, key)
        self._open.append((row, value))

    def _counts(self, key: str) -> bool:
        """Whether the yellow cell holds a number."""
        kept = self.page.book.kept.get(key, {})
        return kept.get("figure") is None or amount(kept, "figure") is not None

    def subtotal(self, title: str) -> None:
        """Sum of the rows since the last subtotal."""
        first, last = self._open[0][0], self._open[-1][0]
        value = round(sum(number(one) for _, one in self._open), 2)
        self._open.clear()
        formula = f"=SUM({address(first, TOTAL)}:{address(last, TOTAL)})"
        self._closed.append((self._total_line(title, formula, value), value))

    def percent_line(self, key: str, item: str, detail: str) -> None:
        """A yellow percentage of all subtotals so far."""
        row, percent = self.page.row, self.figure(key, 0.0)
        of = round(sum(value for _, value in self._closed), 2)
        value = round(of * percent / 100, 2)
        base, at = self._added(), address(row, FIGURE)
        formula = f"=IF(ISNUMBER({at}),ROUND({address(row, PRICE)}*{at}/100,2),0)"
        cells = {
            FIGURE: self._input(key, 0.0, "0.##"),
            PRICE: Cell(of, ("cell", "money", "quiet"), formula=f"={base}"),
            TOTAL: Cell(value, ("cell", "money"), formula=formula),
        }
        self._line(item, detail, cells, key)
        self._closed.append((row, value))

    def _added(self) -> str:
        return "+".join(address(row, TOTAL) for row, _ in self._closed)

    def final(self, tax: float | None, currency: str) -> None:
        """Sum without tax, tax, total."""
        net = round(sum(value for _, value in self._closed), 2)
        row = self._total_line("Total without tax", f"={self._added()}", net)
        if tax is None:
            return
        cell = address(row, TOTAL)
        taxed = round(net * tax / 100, 2)
        percent = repr(float(tax)).removesuffix(".0")
        second = self._line(
            f"Tax, {percent} %", "", {TOTAL: Cell(taxed, ("cell", "money"), formula=f"=ROUND({cell}*{percent}/100,2)")}
        )
        both = f"={cell}+{address(second, TOTAL)}"
        self._total_line(f"Total with tax{', ' if currency else ''}{currency}", both, round(net + taxed, 2))

    def _total_line(self, title: str, formula: str, value: float) -> int:
        cells: dict[int, Cell] = {column: Cell(None, ("total",)) for column in range(TOTAL + 1)}
        cells[ITEM] = Cell(title, ("total",))
        cells[TOTAL] = Cell(value, ("total", "money"), formula=formula)
        return self.page.line(cells, least=20)
