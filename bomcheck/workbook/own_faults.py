"""What is wrong in the yellow figures of our sheets: no number, less than nothing, another currency."""

from collections.abc import Callable, Iterator
from functools import partial

from bomcheck.errors import Fault, Place, Unreadable
from bomcheck.parts.typed import amount
from bomcheck.workbook.cells import Cell
from bomcheck.workbook.mark import marked_sheets
from bomcheck.workbook.money import read_money
from bomcheck.workbook.package import Package
from bomcheck.workbook.refusal import one_line
from bomcheck.workbook.sheets.kept import QUOTE_PREFIX, input_cells

COUNTS = {"on_hand": "how many you have", "received": "how many came"}
QUOTE = {
    "kit": "the price of the kit to the customer",
    "rate": "the price of an hour",
    "days": "for how many days the quote holds",
    "mark-up": "the percentage",
    "consumables": "the percentage",
    "tax": "the percentage",
}
"""What a figure of the Quote is; all others are hours."""

MONEY = ("kit", "rate")
HOURS = "the hours for one time"

Judge = Callable[[Cell], Unreadable | None]


def own_faults(package: Package, currency: str) -> list[Fault]:
    """Those of Parts list and Quote, in this order. currency: of the job, "" where it states none."""
    return [*typed_faults(package, currency), *_sheet_faults(package, "quote", partial(_quote_judge, currency))]


def typed_faults(package: Package, currency: str) -> list[Fault]:
    """Those of the Parts list; `key` is the column: "on_hand", "own_price" or "received"."""
    return _sheet_faults(package, "parts", partial(_parts_judge, currency))


def _sheet_faults(package: Package, kind: str, judge_of: Callable[[str, str], Judge | None]) -> list[Fault]:
    """judge_of: for a line and a column; None for a column in which everything may stand."""
    name = marked_sheets(package).get(kind)
    return [] if name is None else list(_faults(package, name, judge_of))


def _faults(package: Package, name: str, judge_of: Callable[[str, str], Judge | None]) -> Iterator[Fault]:
    for line, cells in input_cells(package.cells(name)).items():
        for key, cell in cells.items():
            judge = judge_of(line, key)
            bad = judge(cell) if judge else None
            if bad is not None:
                place = Place(package.file, name, cell.address)
                yield Fault(bad.kind, place, one_line(cell.text), bad.wrong, bad.instead, key)


def _parts_judge(currency: str, _line: str, key: str) -> Judge | None:
    if key in COUNTS:
        return partial(_bad_number, what=COUNTS[key], wrong="this is no quantity")
    what = "the price of a pack, without tax"
    return partial(_bad_price, currency=currency, what=what) if key == "own_price" else None


def _quote_judge(currency: str, line: str, key: str) -> Judge | None:
    if key != "figure":
        return None
    name = line.removeprefix(QUOTE_PREFIX)
    if name in MONEY:
        return partial(_bad_price, currency=currency, what=QUOTE[name])
    what = QUOTE.get(name, HOURS)
    return partial(_bad_number, what=what, wrong="this is no figure of 0 or more")


def _bad_number(cell: Cell, what: str, wrong: str) -> Unreadable | None:
    value = cell.value if cell.kind == "number" else amount({"typed": cell.text}, "typed")
    if isinstance(value, float | int) and value >= 0:
        return None
    return Unreadable("unreadable text", cell.text, wrong, f"Type {what} as a number, or clear the cell")


def _bad_price(cell: Cell, currency: str, what: str) -> Unreadable | None:
    try:
        price = read_money(cell, currency)
    except Unreadable as bad:
        return bad
    if price is not None and price < 0:
        return Unreadable("out of range", cell.text, "a price is never negative", f"Type {what}")
    if cell.kind == "number" or amount({"typed": cell.text}, "typed") is not None:
        return None
    if price is None:
        return Unreadable("unreadable text", cell.text, "this is no price", f"Type {what}, or clear the cell")
    return Unreadable("unreadable text", cell.text, "the price has its currency in the cell", f"Type {price:g} alone")
