"""The end of the Quote's sum: consumables, the total without tax, tax, the total with it; all live."""

from bomcheck.parts.cents import cents
from bomcheck.workbook.sheets.page import Cell, address, text
from bomcheck.workbook.sheets.quote_columns import (
    COUNT_LOOKS,
    DETAIL,
    ITEM,
    PERCENT,
    QUANTITY,
    TOTAL,
    UNLESS_NONE,
    USED,
    Value,
    number,
)
from bomcheck.workbook.sheets.quote_figures import Figure
from bomcheck.workbook.sheets.quote_missing import Row, quoted
from bomcheck.workbook.sheets.quote_rows import Sums, at_least

CONSUMABLES, COVERS = "Consumables", "Rags, gloves, disposal"
SHOWN_PERCENT = f"{PERCENT};-{PERCENT};"


def write_totals(sums: Sums, consumables: Figure, tax: Figure, currency: str) -> None:
    """Adds the rows. consumables, tax: percent. currency: "" where it is not stated."""
    printable = "".join(one for one in currency if one.isprintable())
    named = f", {printable}" if printable else ""
    _consumables(sums, consumables)
    net, row = _net(sums, named)
    _tax(sums, tax, net, row, named)


def _consumables(sums: Sums, percent: Figure) -> None:
    """A percentage of all subtotals; nothing is shown where it is 0."""
    share = number(percent.value)
    of = cents(sum(number(one.value) for one in sums.closed))
    base = "+".join(address(one.row, TOTAL) for one in sums.closed)
    value = cents(of * share / 100)
    cells = {
        column: Cell(words if share else "", look, formula=f'=IF(N({percent.at})=0,"","{words}")')
        for column, words, look in ((ITEM, CONSUMABLES, ("cell",)), (DETAIL, COVERS, ("cell", "small")))
    }
    cells |= {
        QUANTITY: Cell(share, COUNT_LOOKS, formula=f"=N({percent.at})", shown=SHOWN_PERCENT),
        TOTAL: Cell(value, ("cell", "money"), formula=f"=ROUND(({base})*N({percent.at})/100,2)", shown=UNLESS_NONE),
    }
    sums.closed.append(Row(sums.page.line(cells), value))


def _net(sums: Sums, currency: str) -> tuple[float, int]:
    """The total without tax, and its row: "at least" while something has no price, which is named beside it."""
    value, at = cents(sum(number(one.value) for one in sums.closed)), address(sums.page.row, USED)
    lacking = "".join(words for _, words in sums.lacking)
    without = f"Without {lacking[2:]}" if lacking else ""
    cells = {
        ITEM: at_least(f"Total without tax{currency}", at, lacking),
        DETAIL: Cell(
            without, ("cell", "total", "plain", "small"), formula=f'=IF({at}="","","Without "&MID({at},3,9999))'
        ),
        USED: Cell(lacking, ("key",), formula=f"={'&'.join(where for where, _ in sums.lacking)}"),
        TOTAL: Cell(
            value, ("cell", "total", "money"), formula=f"={'+'.join(address(one.row, TOTAL) for one in sums.closed)}"
        ),
    }
    return value, sums.total_line(cells)


def _tax(sums: Sums, percent: Figure, net: float, row: int, currency: str) -> None:
    """Tax and the total with it; where no percentage is known both rows say so."""
    known, at, before = isinstance(percent.value, float), address(sums.page.row, TOTAL), address(row, TOTAL)
    taxed: Value = cents(net * number(percent.value) / 100) if known else ""
    there = f"ISNUMBER({percent.at})"
    sums.page.line(
        {
            ITEM: Cell(
                "Tax" if known else "Tax: not stated", ("cell",), formula=f'=IF({there},"Tax","Tax: not stated")'
            ),
            DETAIL: text(""),
            QUANTITY: Cell(percent.value, COUNT_LOOKS, formula=f"={percent.at}", shown=PERCENT),
            TOTAL: Cell(taxed, ("cell", "money"), formula=f'=IF({there},ROUND({before}*{percent.at}/100,2),"")'),
        }
    )
    lacking, lacks = "".join(words for _, words in sums.lacking), address(row, USED)
    title, unknown = f"Total with tax{currency}", "Total with tax: not known"
    least = f'{quoted(title)}&IF({lacks}="",""," (at least)")'
    said = f"{title} (at least)" if lacking else title
    sums.total_line(
        {
            ITEM: Cell(said if known else unknown, ("cell", "total"), formula=f'=IF({there},{least},"{unknown}")'),
            TOTAL: Cell(
                cents(net + number(taxed)) if known else "",
                ("cell", "total", "money"),
                formula=f'=IF({there},{before}+{at},"")',
            ),
        }
    )
